"""What was found about falling due so far, and the small words in front of an amount or a day."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from ticket.job.entry import Remark
from ticket.job.values import Due
from ticket.notes.phrases import means
from ticket.notes.tokens import Token


@dataclass(slots=True)
class DueFound:
    """What a text says about falling due: the value, the date, the tokens that say it, and what is asked."""

    due: Due = field(default_factory=Due)
    date: str = ""
    taken: set[int] = field(default_factory=set)
    remarks: list[Remark] = field(default_factory=list)


def lead_of_due(tokens: Sequence[Token], at: int) -> int:
    """The first of the small words in front of an amount: ``due in about``."""
    while at > 0 and (means("due lead", tokens[at - 1].low) or tokens[at - 1].low in ("the", "(", "than", "later")):
        at -= 1
    return at
