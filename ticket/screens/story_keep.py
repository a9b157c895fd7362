"""How much of a wording is kept in the phrasebook: the phrase with its places, narrowed and widened by the arrows."""

from typing import ClassVar

from textual.app import ComposeResult

from ticket.grid.rows import Span
from ticket.job.book_entry import BookEntry
from ticket.job.errors import TicketError
from ticket.screens.frame import Frame, bindings, strip
from ticket.screens.note_rows import width_rows
from ticket.screens.page import Page
from ticket.shop.opening import Shop
from ticket.shop.wordings import keep


class KeepScreen(Frame):
    """Every width of one wording; Enter keeps the one under the pointer, Escape keeps nothing.

    Args:
        shop: the open shop.
        choices: the entries it may become, widest first.
    """

    subject: ClassVar[str] = "keeping"
    AUTO_FOCUS: ClassVar[str | None] = ""
    BINDINGS = bindings("keeping")

    def __init__(self, shop: Shop, choices: tuple[BookEntry, ...]) -> None:
        super().__init__()
        self.shop = shop
        self.choices = choices
        self.at = 0

    def compose(self) -> ComposeResult:
        """Top line, the widths, hints."""
        yield strip("top")
        yield Page(id="page")
        yield strip("hints")

    def on_mount(self) -> None:
        """Draw it with the widest chosen."""
        self.draw()

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw()

    def draw(self) -> None:
        """Draw the widths, the chosen one in bold."""
        rows = width_rows(self.choices, self.at, max(self.size.width - 3, 20))
        self.query_one("#page", Page).show(rows, key=self.at)
        self.top(
            [
                Span("Keep in the phrasebook", "strong"),
                Span("  told on every later ticket; {thing}, {n}, {side} stand for what is typed there", "quiet"),
            ]
        )
        self.hints()

    def action_narrower(self) -> None:
        """Keep less of the line."""
        self.at = min(self.at + 1, len(self.choices) - 1)
        self.draw()

    def action_wider(self) -> None:
        """Keep more of the line."""
        self.at = max(self.at - 1, 0)
        self.draw()

    def action_down(self) -> None:
        """The next one down."""
        self.action_narrower()

    def action_up(self) -> None:
        """The one above."""
        self.action_wider()

    def action_keep_it(self) -> None:
        """Keep it for every ticket."""
        try:
            made = keep(self.shop, self.choices[self.at])
        except TicketError as error:
            self.desk.say(str(error))
            return
        self.desk.say(f"Kept as entry {made.no}: “{made.typed}” as “{made.told}”.")
        self.dismiss()

    def action_back(self) -> None:
        """Keep nothing."""
        self.dismiss()
