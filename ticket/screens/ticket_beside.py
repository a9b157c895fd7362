"""What stands beside a ticket: who else is on it, and what earlier jobs with its codes turned out to be."""

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from ticket.job.errors import TicketError
from ticket.job.kinds import Code
from ticket.job.ticket import Ticket
from ticket.machine.presence import company_words
from ticket.screens.frame import Frame
from ticket.screens.ticket_view import TicketView

if TYPE_CHECKING:
    from ticket.shop.opening import Shop

_BEAT = 0.5  # seconds between two looks at who is here
_MOST = 3  # codes of a ticket that are told about


class TicketBeside(Frame):
    """A ticket's company and its codes' past; both come in behind, neither moves pointer or line.

    Attributes:
        number: the ticket.
        view: the ticket as last read.
    """

    number: int
    view: TicketView
    _others_here: tuple[str, ...] = ()
    _before: dict[tuple[str, str], str] | None = None  # what is told by code; empty text while it is asked

    def reread(self) -> None:
        """Read the ticket again and draw it; the ticket screen knows how."""
        raise NotImplementedError

    def on_mount(self) -> None:
        """Begin to be seen."""
        self._beat()
        self.set_interval(_BEAT, self._beat)

    def on_unmount(self) -> None:
        """Be seen here no longer."""
        self.desk.presence.leave()

    def _beat(self) -> None:
        tickets = [screen for screen in self.app.screen_stack if isinstance(screen, TicketBeside)]
        if not tickets or tickets[-1] is not self:
            return
        presence = self.desk.presence
        presence.be_on(self.number)
        company = presence.others(self.number)
        if company != self._others_here:
            self._others_here = company
            self.draw_head()

    def company(self) -> str:
        """Who else is on this ticket, in words."""
        return company_words(self._others_here, self.desk.presence.person)

    def draw_head(self) -> None:
        """Draw what stands above the entries; the ticket screen knows how."""
        raise NotImplementedError

    # -- what earlier jobs turned out to be ------------------------------------------------------------------------

    def told_before(self, ticket: Ticket) -> tuple[str, ...]:
        """What is known of earlier jobs with the ticket's codes, a sentence a code; more may come in behind."""
        known = self._before or {}
        return tuple(text for code in told_codes(ticket) if (text := known.get(code)))

    def ask_before(self) -> None:
        """Ask behind the screen what earlier jobs with codes that are new here turned out to be."""
        known = self._before if self._before is not None else {}
        self._before = known
        new = [code for code in told_codes(self.view.case.ticket) if code not in known]
        if new:
            known |= dict.fromkeys(new, "")
            self.work_behind(self._tell(new), "before", exclusive=False)

    async def _tell(self, codes: Sequence[tuple[str, str]]) -> None:
        try:
            for code in codes:
                told = await self.desk.behind.ask(partial(_turned_out, code, self.number))
                if self._before is not None:
                    self._before[code] = told
        except TicketError:
            return  # what the ticket itself needs will say what is wrong with the database
        self.reread()


def told_codes(ticket: Ticket) -> list[tuple[str, str]]:
    """The codes of a ticket with their sub-codes, newest first, the few that are told about."""
    codes = [
        (entry.fact.code, entry.fact.sub)
        for entry in reversed(ticket.living)
        if isinstance(entry.fact, Code) and entry.fact.code != "none"
    ]
    return list(dict.fromkeys(codes))[:_MOST]


def _turned_out(code: tuple[str, str], number: int, shop: "Shop") -> str:
    from ticket.past.turned_out import in_words
    from ticket.shop.past import before

    return in_words(before(shop, *code, but=(number,)))
