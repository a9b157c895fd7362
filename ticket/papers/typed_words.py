"""Typed words of the trade as a line of a paper says them, in the language of the paper.

What the words of a language do not hold for certain stands as typed, its short forms spelled out.
"""

from ticket.job.kinds import Used
from ticket.job.text import one_line
from ticket.job.values import Ref
from ticket.language.terse import past, terse
from ticket.papers.copy_contents import CopyContents
from ticket.story.context import Job
from ticket.story.facts.labour_kinds import read_as
from ticket.story.sections.files import load
from ticket.story.sections.talk import Talk
from ticket.story.sentence import text_of


def done(contents: CopyContents, no: int, text: str) -> str:
    """The labour of an entry in the past: "changed engine oil"."""
    if contents.language == "en" or not no:
        return past(text, _read_as(contents, text))
    talk, where = _talk(contents), _read_as(contents, text)
    told = talk.done(Ref(no), "text", text) if where == "did" else ()
    return text_of(told or talk.typed(Ref(no), "text", text, where))


def _read_as(contents: CopyContents, text: str) -> str:
    return read_as(text, (one.fact.text for one in contents.case.ticket.living if isinstance(one.fact, Used)))


def to_do(contents: CopyContents, no: int, text: str) -> str:
    """Work of an entry that is proposed or waits: "change engine oil"."""
    if contents.language == "en" or not no:
        return terse(text, "remedy")
    talk = _talk(contents)
    return text_of(talk.todo(Ref(no), "text", text) or talk.typed(Ref(no), "text", text, "remedy"))


def told_reason(contents: CopyContents, no: int, field: str, text: str) -> str:
    """A reason, a risk or a sign to watch for: in the language where every word is certain, else as typed."""
    if not text.strip() or contents.language == "en":
        return one_line(text).rstrip(". ")
    talk = _talk(contents)
    clauses = talk.clauses(Ref(no), field, text, field)
    return text_of(talk.in_row(clauses) if clauses else talk.typed(Ref(no), field, text, field)).rstrip(". ")


def thing(contents: CopyContents, no: int, text: str) -> str:
    """A part, a fluid or work bought outside."""
    if contents.language == "en" or not no:
        return terse(text, "used")
    if not text.strip():
        return ""
    talk = _talk(contents)
    return text_of(talk.thing(Ref(no), "text", text, "bare") or talk.typed(Ref(no), "text", text, "used"))


def _talk(contents: CopyContents) -> Talk:
    return Talk(Job(contents.case, contents.reader), load(contents.language))
