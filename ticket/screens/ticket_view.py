"""Everything the page of a ticket shows, as one value that was read at one moment."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from ticket.gaps.gap import Gap
from ticket.grid.sight import Sight
from ticket.job.case import Case
from ticket.past.next_check import NextChecks
from ticket.past.turned_out import TurnedOut
from ticket.rules.account import Account
from ticket.store.overruled_gaps import Overruled
from ticket.story.facts.concerns import ConcernState


@dataclass(frozen=True)
class TicketView:
    """A ticket with what is asked of it.

    Attributes:
        before: what earlier jobs with its codes turned out to be.
        checks: what past jobs with its newest code propose to look at next; ``None`` where nobody asked.
        account: its money; ``None`` where nobody asked.
        overruled: what it was signed in spite of.
        sight: the same as the rows of its entries see it.
    """

    case: Case
    states: Sequence[ConcernState]
    gaps: Sequence[Gap]
    before: Sequence[TurnedOut] = ()
    checks: NextChecks | None = None
    account: Account | None = None
    overruled: Sequence[Overruled] = ()
    sight: Sight = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "sight", Sight(self.case, self.account.bill if self.account else None))
