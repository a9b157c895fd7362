"""What the rows of a ticket look at beside the entry they tell: gathered once for all of them."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from ticket.job.case import Case
from ticket.job.kinds import Photo
from ticket.job.offer_answers import Standing, standing
from ticket.money.amount import grouped
from ticket.money.bill import Bill
from ticket.notes.open_pieces import again
from ticket.story.context import Job


@dataclass(frozen=True)
class Sight:
    """A ticket as its rows see it.

    Attributes:
        case: the ticket with what surrounds it.
        bill: its bill; ``None`` where nobody asked, and no sums are shown for labour and parts then.
        typed_only: no figure is shown that nobody typed, and every reading has a row: for papers.
    """

    case: Case
    bill: Bill | None = None
    typed_only: bool = False

    @cached_property
    def job(self) -> Job:
        """The same as the shop sees it."""
        return Job(self.case, "shop")

    @cached_property
    def standing(self) -> Standing:
        """Who answered what to which offer."""
        return standing(self.case.ticket)

    @cached_property
    def sums(self) -> Mapping[int, str]:
        """What is billed for each entry that has a price."""
        sums: dict[int, int] = {}
        unpriced: set[int] = set()
        for line in self.bill.lines if self.bill else ():
            sums[line.no] = sums.get(line.no, 0) + line.amount
            unpriced |= {line.no} if line.unpriced else set()
        return {no: grouped(amount) for no, amount in sums.items() if no not in unpriced}

    @cached_property
    def pictured(self) -> frozenset[int]:
        """The entries that a picture was taken for."""
        photos = (entry.fact for entry in self.case.ticket.living if isinstance(entry.fact, Photo))
        return frozenset(ref.no for fact in photos for ref in fact.refs if not ref.ticket)

    @cached_property
    def replaced(self) -> frozenset[int]:
        """The entries that an amendment stands in for."""
        return frozenset(entry.replaces for entry in self.case.ticket.living if entry.replaces)

    def open_pieces(self, no: int) -> tuple[str, ...]:
        """The pieces of an entry's line that nothing took."""
        entry = self.case.ticket.entry(no)
        if entry is None or entry.struck:
            return ()
        draft = again(entry.fact)
        return tuple(
            draft.line[remark.start : remark.end].strip() for remark in draft.remarks if remark.state == "unread"
        )
