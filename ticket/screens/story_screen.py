"""The story with what it rests on: choose a reader, follow a sentence to its entries and back, hand it out."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal

from ticket.job.errors import TicketError
from ticket.job.values import Ref
from ticket.screens.frame import Frame, bindings, strip
from ticket.screens.page import Page
from ticket.screens.rows import Row, Span
from ticket.screens.story_pairs import Pairs, entry_rows, first_row, place_of, sentence_rows
from ticket.shop.shop import Shop
from ticket.story.sentence import READERS

_WIDE = 110  # columns from which the entries stand beside the story


class StoryScreen(Frame):
    """One ticket's story at one terminal.

    Args:
        shop: the open shop.
        number: the ticket.
    """

    subject: ClassVar[str] = "telling"
    AUTO_FOCUS: ClassVar[str | None] = None
    BINDINGS = bindings("telling")
    DEFAULT_CSS = """
    StoryScreen #body { height: 1fr; }
    StoryScreen #entries { display: none; }
    StoryScreen.wide #entries { display: block; width: 45%; padding-left: 1; border-left: solid $panel; }
    StoryScreen.turned #entries { display: block; }
    StoryScreen.turned #page { display: none; }
    """

    def __init__(self, shop: Shop, number: int) -> None:
        super().__init__()
        self.shop = shop
        self.number = number
        self.reader = READERS[0]
        self.at_entries = False
        self.pairs = self._read()

    def _read(self) -> Pairs:
        return Pairs(self.shop.case(self.number), self.shop.story(self.number, self.reader))

    def compose(self) -> ComposeResult:
        """Top line, the story with the entries beside, hints."""
        yield strip("top")
        with Horizontal(id="body"):
            yield Page(id="page")
            yield Page(id="entries")
        yield strip("hints")

    def on_mount(self) -> None:
        """Draw the story with the pointer on its first sentence."""
        self.draw()
        self.action_down()

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw()

    def on_screen_resume(self) -> None:
        """Coming back from a form."""
        self.changed_elsewhere()

    def changed_elsewhere(self) -> None:
        """The ticket changed: read it again, the pointer stays."""
        self.pairs = self._read()
        self.draw()

    def page(self) -> Page:
        """The page with the pointer: the story, or the entries."""
        return self.query_one("#entries" if self.at_entries else "#page", Page)

    # -- drawing -----------------------------------------------------------------------------------------------

    def draw(self) -> None:
        """Draw both sides: the pointer on one, what belongs to it marked on the other."""
        width, wide = self.size.width, self.size.width >= _WIDE
        self.set_class(wide, "wide")
        self.set_class(self.at_entries and not wide, "turned")
        beside = width * 45 // 100 if wide else width
        key = self.page().key
        rests = frozenset() if self.at_entries else self.pairs.sources(key)
        tells = self.pairs.tellers(key) if self.at_entries and isinstance(key, int) else frozenset()
        told = sentence_rows(
            self.pairs, max((width - beside if wide else width) - 3, 20), key, tells, under=not self.at_entries
        )
        entries = entry_rows(self.pairs, max(beside - 5, 20), key, rests, under=self.at_entries)
        self.query_one("#page", Page).show(told)
        self.query_one("#entries", Page).show(entries)
        if wide:
            self._follow(told, entries, tells, {source.no for source in rests if isinstance(source, Ref)})
        self.top(
            [
                Span(f"Story of ticket {self.number}", "title"),
                Span(f"  for the {self.reader}", "strong"),
                Span("  entries" if self.at_entries else "", "quiet"),
            ]
        )
        self.hints()

    def _follow(self, told: list[Row], entries: list[Row], tells: frozenset[int], rests: set[int]) -> None:
        """Scroll the side without the pointer to what is marked there."""
        if self.at_entries:
            other, line = "#page", first_row(told, lambda key: place_of(key) in tells)
        else:
            other, line = "#entries", first_row(entries, lambda key: key in rests)
        if line is not None:
            page = self.query_one(other, Page)
            page.call_after_refresh(page.scroll_to, y=max(line - 2, 0), animate=False, force=True)

    # -- moving ------------------------------------------------------------------------------------------------

    def action_up(self) -> None:
        """The sentence or entry before."""
        super().action_up()
        self.draw()

    def action_down(self) -> None:
        """The next sentence or entry."""
        super().action_down()
        self.draw()

    @on(Page.Chosen)
    def _clicked(self, event: Page.Chosen) -> None:
        self.at_entries = event.page.id == "entries"
        self.draw()

    def action_side(self) -> None:
        """From a sentence to the first entry it rests on, or from an entry to the first sentence that tells it."""
        key = self.page().key
        if self.at_entries:
            wanted = min(self.pairs.tellers(key), default=None) if isinstance(key, int) else None
            target: int | str | None = f"s{wanted}" if wanted is not None else None
        else:
            target = min((ref.no for ref in self.pairs.sources(key) if isinstance(ref, Ref) and not ref.ticket),
                         default=None)  # fmt: skip
        self.at_entries = not self.at_entries
        self.draw()
        page = self.page()
        page.choose(target if target is not None else page.key)
        if page.key is None:
            page.move(1)
        self.draw()

    def action_back(self) -> None:
        """Back to the ticket."""
        self.dismiss()

    # -- choosing ----------------------------------------------------------------------------------------------

    def action_reader(self) -> None:
        """Tell it to the next reader."""
        self.reader = READERS[(READERS.index(self.reader) + 1) % len(READERS)]
        self.changed_elsewhere()
        if not self.at_entries:
            self.page().choose(None)
            self.action_down()

    # -- handing out -------------------------------------------------------------------------------------------

    def action_write(self) -> None:
        """Write it to a file."""
        from ticket.screens.story_write import WriteScreen

        self.app.push_screen(WriteScreen(self.shop, self.number, self.reader))

    def action_printer(self) -> None:
        """Hand it to the printer; the answer comes when the printing system has given one."""
        self.run_worker(self._print(), exclusive=True)

    async def _print(self) -> None:
        import asyncio

        from ticket.screens.story_write import paper
        from ticket.shop.handing import print_out

        try:
            content = paper(self.shop, self.number, self.reader, "text")
            said = await asyncio.to_thread(print_out, content, f"ticket {self.number}, for the {self.reader}")
        except TicketError as error:
            self.desk.say(str(error))
            return
        self.desk.say(f"Sent to the printer: {said or 'it said nothing'}.")
