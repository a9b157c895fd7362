"""One ticket: what is agreed, what waits, the entries, what is still to ask, and the line to type in."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Horizontal

from ticket.assist.typing_context import TypingContext, codes_of, gather
from ticket.machine.draft_lines import DraftLines
from ticket.machine.new_pictures import newest_pictures
from ticket.screens.frame import bindings, mark, strip
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt
from ticket.screens.story_rows import story_rows
from ticket.screens.ticket_entries import TicketEntries
from ticket.screens.ticket_rows import TicketView, head_spans, ticket_rows
from ticket.screens.understanding import LOW, height_for
from ticket.shop.money import account_of
from ticket.shop.opening import Shop
from ticket.shop.reading import case_of, gaps_of
from ticket.story.build import build
from ticket.story.facts.concerns import states

_WIDE = 110  # columns from which the story stands beside the ticket


class TicketScreen(TicketEntries):
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
        self.around = self._look_around()
        self.draft_lines = DraftLines(shop.store.path, shop.person)
        self.told: bool | None = None  # whether the story was asked for or sent away; None follows the width

    def _look_around(self) -> TypingContext:
        store = self.shop.store
        codes = codes_of(self.view.case.ticket)
        return gather(
            self.view.case,
            [(code, store.phrases_beside(code, sub)) for code, sub in codes],
            newest_pictures(self.shop.settings.photos),
        )

    def _read(self) -> TicketView:
        case = case_of(self.shop, self.number)
        account = account_of(self.shop, case.ticket)
        gaps, told = gaps_of(self.shop, case, account), self.told_before(case.ticket)
        signed = self.shop.store.overruled(self.number) if case.ticket.seal else ()
        return TicketView(case, states(case), gaps, told, account, signed)

    def compose(self) -> ComposeResult:
        """Top line, ticket with the story beside, understanding, line to type in, hints."""
        yield strip("top")
        with Horizontal(id="body"):
            yield Page(id="page")
            yield Page(id="story", pointer=False)
        yield strip("understood")
        with Horizontal(classes="line"):
            yield mark("›")
            yield Prompt(id="prompt")
        yield strip("hints")

    def on_mount(self) -> None:
        """Draw the ticket with its newest entries in reach."""
        self.draw(bottom=True)
        self.listen()

    def on_resize(self) -> None:
        """Draw for the new size; a low terminal keeps its lines for the entries."""
        lines, low = self.size.height, self.size.height < LOW
        understood = self.query_one("#understood")
        understood.styles.border_top = ("none", "gray") if low else ("solid", "gray")
        understood.styles.height = height_for(lines) + (not low)
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
            story = build(self.view.case, language=self.view.case.settings.language)
            self.query_one("#story", Page).show(story_rows(story, max(story_width, 20)))
        self.top(head_spans(self.view))
        self.hints()
        self.draw_prompt()
        self.draw_understanding()

    def reread(self, *, key: int | str | None = None, bottom: bool = False) -> None:
        """Read the ticket again and draw it; the line being typed stays."""
        self.view = self._read()
        self.around = self._look_around()
        self.draw(key=key, bottom=bottom)

    def changed_elsewhere(self) -> None:
        """Another terminal changed something; the pointer and the line stay where they are."""
        self.reread()

    def on_screen_resume(self) -> None:
        """Coming back from a form."""
        self.reread()

    # -- moving ------------------------------------------------------------------------------------------------

    def action_back(self) -> None:
        """Clear the line, stop retyping, send the story away, or leave the ticket: whichever comes first."""
        if self.clear_line():
            return
        if self.told and self.size.width < _WIDE:
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
        """Show the next answer of the open question, move the pointer down, or the story."""
        if self.next_answer():
            return
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
            self.said("Nothing is missing.")
            return
        here = keys.index(page.key) + 1 if page.key in keys else 0
        page.choose(keys[here % len(keys)])
