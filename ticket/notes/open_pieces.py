"""What is still open about an entry that stands: its own written line is read again, and what that asks is asked.

So a question that was answered, or whose answer was taken with Enter, is gone; a piece that is no fact is quoted.
"""

from functools import lru_cache

from ticket.job.entry import Draft
from ticket.job.kinds import Fact
from ticket.notes.read import read_line
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
