"""Deferred work by date and distance: call, agree on another day, close it, or open a ticket for it."""

from collections.abc import Iterable
from datetime import date, timedelta
from functools import partial
from typing import ClassVar

from textual.app import ComposeResult

from ticket.grid.rows import Span, row
from ticket.job.errors import InputError, TicketError
from ticket.machine.draft_lines import DraftLines
from ticket.screens.actions import key_for
from ticket.screens.followups_rows import followup_rows, key_of
from ticket.screens.form import Form, FormField
from ticket.screens.frame import Frame, bindings, strip
from ticket.screens.page import Page
from ticket.shop.deferred import DueItem, agreed_day, due_items, follow_up, open_from
from ticket.shop.opening import Shop

_AHEAD = 92  # days that are looked at first
_MOST = 200  # items that are read and shown; whoever has more closes old ones first


class FollowupsScreen(Frame):
    """What waits, soonest first; one letter for each thing that can become of it."""

    subject: ClassVar[str] = "followups"
    AUTO_FOCUS: ClassVar[str | None] = None
    BINDINGS = bindings("followups")

    def __init__(self, shop: Shop) -> None:
        super().__init__()
        self.shop = shop
        self.items: list[DueItem] | None = None
        self.until: date | None = shop.today + timedelta(days=_AHEAD)

    def compose(self) -> ComposeResult:
        """Top line, what waits, hints."""
        yield strip("top")
        yield Page(id="page")
        yield strip("hints")

    def on_mount(self) -> None:
        """Ask what waits."""
        self.reread()

    def on_screen_resume(self) -> None:
        """Coming back from a form or a ticket."""
        self.reread()

    def reread(self) -> None:
        """Ask again what waits; the pointer stays."""
        self.work_behind(self._ask(), "due")

    changed_elsewhere = reread

    async def _ask(self) -> None:
        try:
            self.items = await self.desk.behind.ask(partial(due_items, until=self.until, most=_MOST))
        except TicketError as error:
            self.desk.say(str(error))
            return
        self.draw()

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.draw()

    def draw(self) -> None:
        """Draw what was found."""
        width = max(self.size.width - 3, 20)
        page = self.page()
        if self.items is None:
            page.show([row("Looking ...", "quiet")])
        else:
            page.show(followup_rows(self.items, self.shop.today, width, until=self.until))
            if page.key is None and page.keys:
                page.choose(page.keys[0])
        due = sum(1 for item in self.items or () if item.day is not None and item.day <= self.shop.today)
        many = f"the first {_MOST}" if self.items and len(self.items) == _MOST else f"{len(self.items or ())} waiting"
        found = f"  {many}, {due} due now" if self.items is not None else ""
        self.top([Span("Follow-ups", "strong"), Span(found, "quiet")])
        self.hints()

    # -- actions -------------------------------------------------------------------------------------------------

    def _chosen(self) -> DueItem | None:
        found = next((item for item in self.items or () if key_of(item) == self.page().key), None)
        if found is None:
            self.desk.say("Move the pointer to a piece of work first, with ↑ and ↓.")
        return found

    def _follow(self, what: str) -> None:
        item = self._chosen()
        if item is not None:
            self.app.push_screen(FollowForm(self.shop, item, what))

    def action_call(self) -> None:
        """Record a call."""
        self._follow("call")

    def action_redate(self) -> None:
        """Agree on another day."""
        self._follow("new date")

    def action_finished(self) -> None:
        """It was done."""
        self._follow("done")

    def action_refused(self) -> None:
        """The customer does not want it."""
        self._follow("declined")

    def action_visit(self) -> None:
        """Open the ticket that put it off."""
        item = self._chosen()
        if item is not None:
            self.desk.open_ticket(item.ticket)

    def action_new(self) -> None:
        """Open a ticket for it, with vehicle and customer."""
        item = self._chosen()
        if item is None:
            return
        try:
            number = open_from(self.shop, item.ticket, item.entry)
        except TicketError as error:
            self.desk.say(str(error))
            return
        self.desk.open_ticket(number)

    def action_farther(self) -> None:
        """Later work too, or only what falls due soon."""
        self.until = self.shop.today + timedelta(days=_AHEAD) if self.until is None else None
        self.reread()

    def action_back(self) -> None:
        """Back to the jobs."""
        self.dismiss()


_TITLES = {"call": "Called", "new date": "Another day", "done": "Done", "declined": "Declined"}


class FollowForm(Form):
    """What was said, and the day that was agreed; one key records it, Escape records nothing and keeps the words."""

    BINDINGS = bindings("form")

    def __init__(self, shop: Shop, item: DueItem, what: str) -> None:
        super().__init__()
        self.shop = shop
        self.item = item
        self.what = what

    def rows(self) -> Iterable[FormField]:
        """The day where one is agreed on, and a note."""
        if self.what in ("call", "new date"):
            optional = "" if self.what == "new date" else ", where one was agreed on"
            yield FormField("day", "come back on", "", f"2026-03-02, or in 3 weeks{optional}", width=20)
        yield FormField("note", "what was said", "", "in your own words; may stay empty", width=0)

    def kept_as(self) -> tuple[DraftLines, str] | None:
        """Half of it is kept for this work."""
        return DraftLines(self.shop.store.path, self.shop.person), f"{self.what} {key_of(self.item)}"

    def on_resize(self) -> None:
        """Draw for the new width."""
        item = self.item
        who = " · ".join(part for part in (item.vehicle, item.customer, item.phone) if part)
        name = f"{_TITLES[self.what]}: {item.text} [{key_of(item)}]"
        self.top([Span(name, "strong"), Span(f"  {who}", "quiet")])
        self.answer(f"{key_for('save')} records it.")
        self.hints()

    def action_save(self) -> None:
        """Record it."""
        try:
            day = agreed_day(self.typed("day"), self.shop.today) if self.what in ("call", "new date") else ""
            if self.what == "new date" and not day:
                raise InputError("On which day? Write it as 2026-03-02, or as in 3 weeks.")
            follow_up(self.shop, self.item.ticket, self.item.entry, self.what, note=self.typed("note"), day=day)
        except TicketError as error:
            self.answer(str(error))
            return
        self.saved()
        self.keep_line()
        self.dismiss()
