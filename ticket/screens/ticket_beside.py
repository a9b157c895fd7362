"""What stands beside a ticket: who else is on it, what earlier jobs with its codes turned out to be, its pictures."""

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from ticket.job.entry import Entry
from ticket.job.kinds import Code, Photo, Ruled
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.machine.presence import company_words
from ticket.screens.frame import Frame
from ticket.screens.look import look_on
from ticket.screens.ticket_view import TicketView

if TYPE_CHECKING:
    from ticket.past.next_check import NextChecks
    from ticket.past.turned_out import TurnedOut
    from ticket.shop.opening import Shop

_Code = tuple[str, str]
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

    def __init__(self) -> None:
        super().__init__()
        self._before: dict[_Code, TurnedOut | None] = {}  # none while it is asked
        self._checks: dict[tuple[tuple[_Code, ...], tuple[str, ...]], NextChecks | None] = {}
        self._shades: dict[tuple[str, int, int], tuple[str, ...]] = {}  # by digest and size

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

    # -- what earlier jobs turned out to be, and what to check next -------------------------------------------------

    def told_before(self, ticket: Ticket) -> "tuple[TurnedOut, ...]":
        """What is known of earlier jobs with the ticket's codes; more may come in behind."""
        return tuple(found for code in told_codes(ticket) if (found := self._before.get(code)) is not None)

    def told_next(self, ticket: Ticket) -> "NextChecks | None":
        """What is proposed to check next, as far as it was asked about what stands on the ticket now."""
        return self._checks.get(_asked_next(ticket))

    def ask_before(self) -> None:
        """Ask behind the screen about codes that are new here, and what to check next where that has changed."""
        ticket = self.view.case.ticket
        new, asked = [code for code in told_codes(ticket) if code not in self._before], _asked_next(ticket)
        if new:
            self._before |= dict.fromkeys(new)
        if asked[0] and asked not in self._checks:
            self._checks[asked] = None
            self.work_behind(partial(self._tell, new, asked[0][0], ticket), "before", exclusive=False)
        elif new:
            self.work_behind(partial(self._tell, new, None, ticket), "before", exclusive=False)

    async def _tell(self, codes: Sequence[_Code], newest: _Code | None, ticket: Ticket) -> None:
        for code in codes:
            self._before[code] = await self.desk.behind.ask(partial(_turned_out, code, self.number))
        if newest is not None:
            self._checks[_asked_next(ticket)] = await self.desk.behind.ask(partial(_to_check, newest, ticket))
        now = self.view.case.ticket
        self.view = replace(self.view, before=self.told_before(now), checks=self.told_next(now))
        self.draw_pane()

    # -- the picture of the pointed entry ---------------------------------------------------------------------------

    def picture_of(self, entry: Entry | None, columns: int, rows: int) -> tuple[str, ...]:
        """The picture of an entry, or the newest one that shows it, in shades; nothing while it is being made."""
        digest = "" if self.desk.shop.hidden else picture_about(self.view.case.ticket, entry)
        key = (digest, columns, rows)
        if not digest or key in self._shades:
            return self._shades.get(key, ())
        self._shades[key] = ()
        self.work_behind(partial(self._shade, key), "picture", exclusive=False)
        return ()

    async def _shade(self, key: tuple[str, int, int]) -> None:
        light = look_on(self.app).name.startswith("light")
        self._shades[key] = await self.desk.behind.ask(partial(_shaded, key, light))
        self.draw_pane()

    def draw_pane(self) -> None:
        """Draw the second pane; the ticket screen knows how."""
        raise NotImplementedError


def picture_about(ticket: Ticket, entry: Entry | None) -> str:
    """The digest of the picture an entry holds, else of the newest that is for it; empty where there is none."""
    if entry is None:
        return ""
    if isinstance(entry.fact, Photo):
        return entry.fact.picture
    shown = (e.fact for e in reversed(ticket.living) if isinstance(e.fact, Photo) and Ref(entry.no) in e.fact.refs)
    return next((fact.picture for fact in shown), "")


def _shaded(key: tuple[str, int, int], light: bool, shop: "Shop") -> tuple[str, ...]:
    from ticket.machine.picture_shades import shades

    digest, columns, rows = key
    return shades(shop.store.picture(digest).content, columns, rows, light=light)


def told_codes(ticket: Ticket) -> list[_Code]:
    """The codes of a ticket with their sub-codes, newest first, the few that are told about."""
    codes = [
        (entry.fact.code, entry.fact.sub)
        for entry in reversed(ticket.living)
        if isinstance(entry.fact, Code) and entry.fact.code != "none"
    ]
    return list(dict.fromkeys(codes))[:_MOST]


def _asked_next(ticket: Ticket) -> tuple[tuple[_Code, ...], tuple[str, ...]]:
    """What a proposal depends on: the newest code, and what was ruled out on the ticket."""
    ruled = tuple(entry.fact.text for entry in ticket.of_kind(Ruled) if isinstance(entry.fact, Ruled))
    return tuple(told_codes(ticket)[:1]), ruled


def _to_check(code: _Code, ticket: Ticket, shop: "Shop") -> "NextChecks":
    from ticket.shop.past import next_for

    return next_for(shop, *code, on=ticket)


def _turned_out(code: _Code, number: int, shop: "Shop") -> "TurnedOut":
    from ticket.shop.past import before

    return before(shop, *code, but=(number,))
