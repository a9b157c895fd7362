"""Deferred work by date and distance: call, agree on another day, close it, or open a ticket for it."""

from collections.abc import Iterable
from datetime import date, timedelta
from functools import partial
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult

from ticket.grid.list_grid import column_at, head_rows
from ticket.grid.rows import Row, Span, row
from ticket.grid.signs import RULE, UNREAD, UNSAFE
from ticket.job.errors import InputError, TicketError
from ticket.machine.draft_lines import DraftLines
from ticket.screens.actions import key_for
from ticket.screens.followups_rows import (
    ROWS,
    SORTS,
    columns_for,
    empty_rows,
    heads_of,
    in_order,
    item_row,
    key_of,
    narrowed,
    preview_rows,
    scale_for,
)  # fmt: skip
from ticket.screens.form import Form, FormField
from ticket.screens.frame import Frame, bindings, strip
from ticket.screens.long_page import Lines, LongPage
from ticket.screens.page import Page
from ticket.screens.prompt import FIND, Prompt
from ticket.screens.routes import route_to
from ticket.screens.sides import ends
from ticket.shop.deferred import DueItem, agreed_day, due_within, follow_up, open_from
from ticket.shop.opening import Shop

_AHEAD = 92  # days that are looked at first
_TALL, _BROAD = 20, 72  # rows and columns from which the pointed piece is told below the list
_MOST = 200  # items that are read and shown; whoever has more closes old ones first


class FollowupsScreen(Frame):
    """What waits, soonest first; one key for each thing that can become of it."""

    subject: ClassVar[str] = "followups"
    BINDINGS = bindings("followups")
    DEFAULT_CSS = """
    FollowupsScreen #page { scrollbar-size-vertical: 0; }
    """

    def __init__(self, shop: Shop) -> None:
        super().__init__()
        self.shop = shop
        self.items: list[DueItem] | None = None
        self.until: date | None = shop.today + timedelta(days=_AHEAD)
        self.sort = SORTS[0]

    def compose(self) -> ComposeResult:
        """Counts, heads, what waits, the pointed piece, the line to find with, keys."""
        yield strip("top")
        yield strip("heads", 2)
        yield LongPage(id="page")
        yield strip("preview", ROWS)
        yield strip("rule")
        yield Prompt(id="prompt", lead=FIND, placeholder="plate, name, what; late, unsafe, no date")
        yield strip("hints")

    def on_mount(self) -> None:
        """Ask what waits."""
        prompt = self.query_one(Prompt)
        prompt.listener, prompt.enter, prompt.finds = self.draw, self.action_visit, True
        self.page().on_pointed = self._draw_preview
        self.reread()

    def page(self) -> LongPage:
        """The list."""
        return self.query_one("#page", LongPage)

    def on_screen_resume(self) -> None:
        """Coming back from a form or a ticket."""
        self.reread()

    def reread(self) -> None:
        """Ask again what waits; the pointer stays."""
        self.work_behind(self._ask, "due")

    changed_elsewhere = reread

    async def _ask(self) -> None:
        try:
            self.items = await self.desk.behind.ask(partial(due_within, until=self.until, most=_MOST))
        except TicketError as error:
            self.desk.say(str(error))
            return
        self.draw()

    def on_resize(self) -> None:
        """Draw for the new size."""
        shown = self.size.height >= _TALL and self.size.width >= _BROAD
        self.query_one("#preview", Page).styles.height = ROWS if shown else 0
        self.query_one("#rule", Page).show([Row((Span(RULE * self.size.width, "rule"),))])
        self.draw()

    def draw(self) -> None:
        """Draw what was found, narrowed and sorted."""
        width, today = max(self.size.width, 20), self.shop.today
        typed = self.query_one(Prompt).value
        found = in_order(narrowed(self.items or (), typed, today), self.sort)
        head = [row("  Looking ...", "quiet")] if self.items is None else []
        if self.items is not None and not found:
            head = empty_rows(typed, self.until, width)
        keys = [key_of(item) for item in found]
        scale = scale_for(found, today)
        self.page().show_lines(Lines(head, keys, lambda i: [item_row(found[i], today, width, scale)]))
        self.query_one("#heads", Page).show(head_rows(heads_of(width, scale), self.sort, width))
        self._draw_top(found)
        self._draw_preview()
        self.hints()

    def _draw_top(self, found: list[DueItem]) -> None:
        today = self.shop.today
        late = sum(item.day is not None and item.day < today for item in found)
        dateless = sum(item.day is None and item.odometer is None for item in found)
        many = f"the first {_MOST}" if len(self.items or ()) == _MOST else f"{len(found)} wait"
        left = [Span("Due", "strong"), Span(f"  {many if self.items is not None else ''}")]
        left += [Span(f"  {UNSAFE} {late} late", "bad")] if late else []
        left += [Span(f"  {UNREAD} {dateless} without a date", "ask")] if dateless else []
        looked = f", looked at to {self.until.day} {self.until:%b}" if self.until else ", all of it"
        right = (Span(f"today {today.day} {today:%b}{looked}", "quiet"),)
        rows = [Row((Span(" "), *ends(left, right, max(self.size.width - 2, 20)))), Row()]
        top = self.query_one("#top", Page)
        top.styles.height = len(rows) if self.size.height >= _TALL else 1
        top.show(rows)

    def _draw_preview(self) -> None:
        key = self.page().key
        item = next((item for item in self.items or () if key_of(item) == key), None)
        self.query_one("#preview", Page).show(preview_rows(item, self.size.width))

    def on_click(self, event: events.Click) -> None:
        """A click on a head sorts by it."""
        if event.widget is self.query_one("#heads"):
            name = column_at(columns_for(max(self.size.width, 20)), event.x)
            self.sort = name if name in SORTS else self.sort
            self.draw()

    def action_sort(self) -> None:
        """Sort by the next column."""
        self.sort = SORTS[(SORTS.index(self.sort) + 1) % len(SORTS)]
        self.draw()

    @on(Prompt.Asked)
    def _asked_for_help(self) -> None:
        self.desk.action_help()

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

    def action_remind(self) -> None:
        """Write a reminder for the customer."""
        item = self._chosen()
        if item is not None:
            self.app.push_screen(route_to("remind", self.shop, item))

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
        """Clear the line, else back to where it was opened."""
        if self.query_one(Prompt).value:
            self.query_one(Prompt).value = ""
        else:
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
            yield FormField("day", "come back on", "", "2026-03-02, or in 3 weeks", width=20)
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
        agreed = " A day only where one was agreed on." if self.what == "call" else ""
        self.answer(f"{key_for('save')} records it.{agreed}")
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
