"""What is still open about an entry that stands: its own written line is read again, and what that asks is asked.

So a question that was answered, or whose answer was taken with Enter, is gone; a piece that is no fact is quoted.
"""

from functools import lru_cache

from ticket.job.entry import Draft, Remark
from ticket.job.kinds import Code, Fact, Found
from ticket.notes.read import kind_remark, read_line
from ticket.notes.shapes import Context
from ticket.notes.write import write

_ANYBODY = Context(anyone=True)


@lru_cache(maxsize=4096)
def line_of(fact: Fact) -> str:
    """The written line of a fact, remembered."""
    return write(fact)


@lru_cache(maxsize=4096)
def read_again(line: str) -> Draft:
    """What a written line says by itself, remembered by the line."""
    return read_line(line, _ANYBODY)[0]


def again(fact: Fact) -> Draft:
    """A fact as its own written line reads, with everything that is asked about it."""
    return read_again(line_of(fact))


def kind_question(fact: Fact) -> Remark | None:
    """What a finding asks that may be of another kind: its words without the word in front."""
    return _kind_asked(line_of(fact).removeprefix(f"{Found.kind}: ")) if isinstance(fact, Found) else None


@lru_cache(maxsize=4096)
def _kind_asked(line: str) -> Remark | None:
    return kind_remark(line)


def unit_of(fact: Code) -> str:
    """The control unit as far as it is one: without a piece that is asked about, which may be a sub-code."""
    draft = again(fact)
    unit = fact.unit
    for remark in draft.remarks:
        if remark.state == "unread" and (piece := draft.line[remark.start : remark.end].strip()):
            unit = unit.removeprefix(piece)
    return unit.strip(" ,;")
