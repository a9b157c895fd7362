"""One ticket: what is agreed, what waits, the entries, what is still to ask, and the line to type in."""

from collections.abc import Callable
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Input, Static

from ticket.gaps.find import find_gaps
from ticket.job.entry import Entry
from ticket.job.errors import TicketError
from ticket.notes.write import write
from ticket.screens.frame import bindings, mark, strip
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt
from ticket.screens.rows import Row
from ticket.screens.story_rows import story_rows
from ticket.screens.ticket_doors import TicketDoors
from ticket.screens.ticket_rows import TicketView, head_spans, ticket_rows
from ticket.screens.understanding import HEIGHT, understanding_rows
from ticket.shop.drafts import Settled
from ticket.shop.shop import Shop
from ticket.story.build import build
from ticket.story.concerns import states

_WIDE = 110  # columns from which the story stands beside the ticket


class TicketScreen(TicketDoors):
    """One ticket at one terminal.

    Args:
        shop: the open shop.
        number: the ticket.
    """

    subject: ClassVar[str] = "ticket"
    BINDINGS = bindings("ticket")
    DEFAULT_CSS = """
    TicketScreen #mark { width: auto; color: $accent; padding-right: 1; }
    TicketScreen #body { height: 1fr; }
    TicketScreen #story { width: 45%; padding-left: 1; border-left: solid $panel; display: none; }
    TicketScreen.beside #story { display: block; }
    TicketScreen.instead #story { display: block; width: 1fr; border-left: none; padding-left: 0; }
    TicketScreen.instead #page { display: none; }
    """

    def __init__(self, shop: Shop, number: int) -> None:
        super().__init__()
        self.shop = shop
        self.number = number
        self.view = self._read()
        self.sticky = ""
        self.editing: Entry | None = None
        self.refused = False
        self.told: bool | None = None  # whether the story was asked for or sent away; None follows the width
        self.settled: tuple[Settled, ...] = ()

    def _read(self) -> TicketView:
        case = self.shop.case(self.number)
        return TicketView(case, states(case), find_gaps(case))

    def compose(self) -> ComposeResult:
        """Top line, ticket with the story beside, understanding, line to type in, hints."""
        yield strip("top")
        with Horizontal(id="body"):
            yield Page(id="page")
            yield Page(id="story", pointer=False)
        understood = strip("understood")
        understood.styles.height = HEIGHT
        understood.styles.border_top = ("solid", "gray")
        yield understood
        with Horizontal(classes="line"):
            yield mark("›")
            yield Prompt(id="prompt")
        yield strip("hints")

    def on_mount(self) -> None:
        """Draw the ticket with its newest entries in reach."""
        self.query_one(Prompt).listener = self._typed
        self.draw(bottom=True)

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw(bottom=True)

    # -- drawing -----------------------------------------------------------------------------------------------

    def draw(self, *, key: int | str | None = None, bottom: bool = False) -> None:
        """Draw everything from what was read last."""
        width = self.size.width
        beside = (width >= _WIDE) if self.told is None else self.told
        self.set_class(beside and width >= _WIDE, "beside")
        self.set_class(beside and width < _WIDE, "instead")
        page_width = width * 55 // 100 if beside and width >= _WIDE else width
        self.page().show(ticket_rows(self.view, page_width - 4), key=key, bottom=bottom)
        if beside:
            story_width = width - page_width - 4 if width >= _WIDE else width - 3
            story = build(self.view.case)
            self.query_one("#story", Page).show(story_rows(story, max(story_width, 20)))
        self.top(head_spans(self.view))
        self.hints()
        self.draw_prompt()
        self.draw_understanding()

    def draw_prompt(self) -> None:
        """The sign before the line: the sticky concern, or the number of the entry being retyped."""
        sign = f"{self.editing.no} again ›" if self.editing else f"{self.sticky} ›" if self.sticky else "›"
        self.query_one("#mark", Static).update(sign)

    def draw_understanding(self) -> None:
        """What the typed line would become."""
        text = self.query_one(Prompt).value
        ticket = self.view.case.ticket
        self.settled = self.shop.understand(ticket, text, self.sticky, live=True) if text.strip() else ()
        width = max(self.size.width - 2, 20)
        rows = understanding_rows(self.settled, self.view.case, width, refused=self.refused)
        # Always the same number of rows: then only the lines that changed are drawn again.
        self.query_one("#understood", Page).show([*rows, *[Row()] * (HEIGHT - len(rows))])

    def reread(self, *, key: int | str | None = None, bottom: bool = False) -> None:
        """Read the ticket again and draw it; the line being typed stays."""
        self.view = self._read()
        self.draw(key=key, bottom=bottom)

    def changed_elsewhere(self) -> None:
        """Another terminal changed something; the pointer and the line stay where they are."""
        self.reread()

    def on_screen_resume(self) -> None:
        """Coming back from a form."""
        self.reread()

    # -- typing ------------------------------------------------------------------------------------------------

    def _typed(self) -> None:
        self.refused = False
        self.draw_understanding()

    @on(Input.Submitted)
    def _entered(self) -> None:
        text = self.query_one(Prompt).value
        if text.strip():
            self._put(text)

    @on(Prompt.Pasted)
    def _pasted(self, event: Prompt.Pasted) -> None:
        self._put(event.text)

    @on(Prompt.Asked)
    def _asked(self) -> None:
        self.desk.action_help()

    def _put(self, text: str) -> None:
        """Make entries of typed or pasted text; whatever goes wrong, the text stays in the line."""
        ticket = self.view.case.ticket
        try:
            settled = self.shop.understand(ticket, text, self.sticky)
            if self.editing is not None:
                self.shop.edit(self.number, self.editing.no, settled[0].draft.fact, self.editing.fact)
                number = self.editing.no
                self.editing = None
            else:
                added = self.shop.add_settled(self.shop.ticket(self.number), settled, accept=not self.refused)
                number = added[-1].entry.no
                self.sticky = added[-1].entry.concern.split("+")[0] or self.sticky
        except TicketError as error:
            self.desk.say(str(error))
            return
        self.query_one(Prompt).value = ""
        self.refused = False
        self.reread(key=number)

    # -- actions -----------------------------------------------------------------------------------------------

    def _chosen(self) -> Entry | None:
        key = self.page().key
        return self.view.case.ticket.entry(key) if isinstance(key, int) else None

    def action_back(self) -> None:
        """Clear the line, stop retyping, send the story away, or leave the ticket: whichever comes first."""
        prompt = self.query_one(Prompt)
        if prompt.value or self.editing:
            prompt.value = ""
            self.editing = None
            self.draw_prompt()
        elif self.told and self.size.width < _WIDE:
            self.told = False
            self.draw()
        elif self.page().key is not None:
            self.page().choose(None)
            self.page().scroll_end(animate=False)
        else:
            self.dismiss()

    def _reading(self) -> Page:
        """The page the arrows move on: the story where it stands instead of the ticket."""
        return self.query_one("#story" if self.has_class("instead") else "#page", Page)

    def action_up(self) -> None:
        """Move the pointer up, or the story."""
        if self.has_class("instead"):
            self._reading().scroll_up(animate=False)
        else:
            super().action_up()

    def action_down(self) -> None:
        """Move the pointer down, or the story."""
        if self.has_class("instead"):
            self._reading().scroll_down(animate=False)
        else:
            super().action_down()

    def action_page_up(self) -> None:
        """Scroll up."""
        self._reading().scroll_page_up(animate=False)

    def action_page_down(self) -> None:
        """Scroll down."""
        self._reading().scroll_page_down(animate=False)

    def action_story(self) -> None:
        """Show the story, or send it away."""
        shown = (self.size.width >= _WIDE) if self.told is None else self.told
        self.told = not shown
        self.draw()

    def action_gaps(self) -> None:
        """Go to the next gap."""
        page = self.page()
        keys = [key for key in page.keys if isinstance(key, str)]
        if not keys:
            self.desk.say("Nothing is missing.")
            return
        here = keys.index(page.key) + 1 if page.key in keys else 0
        page.choose(keys[here % len(keys)])

    def action_undo(self) -> None:
        """Take back what was done last at this terminal."""
        self._say_done("Taken back", self.shop.undo)

    def action_redo(self) -> None:
        """Do again what was taken back."""
        self._say_done("Done again", self.shop.redo)

    def _say_done(self, lead: str, verb: Callable[[int], str]) -> None:
        try:
            said = verb(self.number)
        except TicketError as error:
            self.desk.say(str(error))
            return
        self.desk.say(f"{lead}: {said}.")
        self.reread()

    def action_edit(self) -> None:
        """Bring the entry under the pointer back to the line."""
        entry = self._chosen()
        if entry is None:
            self.desk.say("Move the pointer to an entry first, with ↑ and ↓.")
            return
        self.editing = entry
        self.prompt_line(write(entry.fact, concern=entry.concern, shop_only=entry.shop_only))
        self.draw_prompt()

    def action_strike(self) -> None:
        """Strike the entry under the pointer."""
        entry = self._chosen()
        if entry is None:
            self.desk.say("Move the pointer to an entry first, with ↑ and ↓.")
            return
        try:
            self.shop.strike(self.number, entry.no)
        except TicketError as error:
            self.desk.say(str(error))
            return
        self.reread(key=entry.no)

    def action_rest(self) -> None:
        """Do not take the proposed entries."""
        self.refused = True
        self.draw_understanding()

    def action_take(self) -> None:
        """Write the proposal into the line, so that it can be changed."""
        if not self.settled or not self.settled[-1].proposed:
            return
        typed = self.query_one(Prompt).value
        lead = "for" if self.settled[-1].draft.fact.kind in ("offer", "did", "later") else "from"
        numbers = " ".join(str(ref) for ref in self.settled[-1].proposed)
        self.prompt_line(f"{typed.rstrip().rstrip(';')}; {lead} {numbers}")

    def prompt_line(self, line: str) -> None:
        """Put a line into the prompt, the cursor behind it."""
        prompt = self.query_one(Prompt)
        prompt.value = line
        prompt.cursor_position = len(line)
