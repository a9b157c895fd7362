"""Typed words of the trade as a line of a paper says them, in the language of the paper.

What the word lists of a language do not know is quoted, as in its stories.
"""

from typing import TYPE_CHECKING

from ticket.job.values import Ref
from ticket.papers.matter import Matter
from ticket.story.context import Job
from ticket.story.sentence import text_of
from ticket.story.words.terse import past, terse

if TYPE_CHECKING:
    from ticket.story.other.talk import Talk


def done(matter: Matter, no: int, text: str) -> str:
    """The labour of an entry in the past: "changed engine oil"."""
    entry = matter.case.ticket.entry(no)
    if matter.language == "en" or entry is None:
        return past(text)
    from ticket.story.other import lines

    return text_of(lines.done(_talk(matter), entry, text))


def to_do(matter: Matter, no: int, text: str) -> str:
    """Work of an entry that is proposed or waits: "change engine oil"."""
    entry = matter.case.ticket.entry(no)
    if matter.language == "en" or entry is None:
        return terse(text)
    from ticket.story.other import lines

    return text_of(lines.work(_talk(matter), entry, text))


def thing(matter: Matter, no: int, text: str) -> str:
    """A part, a fluid or work bought outside."""
    if matter.language == "en" or not no:
        return terse(text)
    return text_of(_talk(matter).bare(Ref(no), "text", text)) if text.strip() else ""


def _talk(matter: Matter) -> "Talk":
    from ticket.story.other.files import load
    from ticket.story.other.talk import Talk

    return Talk(Job(matter.case, matter.reader), load(matter.language))
