"""Typed words of the trade as a line of a paper says them, in the language of the paper.

What the words of a language do not hold for certain stands as typed, its short forms spelled out.
"""

from ticket.job.kinds import Used
from ticket.job.values import Ref
from ticket.language.terse import past, terse
from ticket.papers.matter import Matter
from ticket.story.context import Job
from ticket.story.facts.labour_kinds import read_as
from ticket.story.sections.files import load
from ticket.story.sections.talk import Talk
from ticket.story.sentence import text_of


def done(matter: Matter, no: int, text: str) -> str:
    """The labour of an entry in the past: "changed engine oil"."""
    if matter.language == "en" or not no:
        return past(text, _read_as(matter, text))
    talk, where = _talk(matter), _read_as(matter, text)
    told = talk.done(Ref(no), "text", text) if where == "did" else ()
    return text_of(told or talk.typed(Ref(no), "text", text, where))


def _read_as(matter: Matter, text: str) -> str:
    return read_as(text, (one.fact.text for one in matter.case.ticket.living if isinstance(one.fact, Used)))


def to_do(matter: Matter, no: int, text: str) -> str:
    """Work of an entry that is proposed or waits: "change engine oil"."""
    if matter.language == "en" or not no:
        return terse(text, "remedy")
    talk = _talk(matter)
    return text_of(talk.todo(Ref(no), "text", text) or talk.typed(Ref(no), "text", text, "remedy"))


def thing(matter: Matter, no: int, text: str) -> str:
    """A part, a fluid or work bought outside."""
    if matter.language == "en" or not no:
        return terse(text, "used")
    if not text.strip():
        return ""
    talk = _talk(matter)
    return text_of(talk.thing(Ref(no), "text", text, "bare") or talk.typed(Ref(no), "text", text, "used"))


def _talk(matter: Matter) -> Talk:
    return Talk(Job(matter.case, matter.reader), load(matter.language))
