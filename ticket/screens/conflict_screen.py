"""Two people changed the same field: before, yours and theirs side by side, and the person chooses. Nothing is lost."""

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding

from ticket.assist.merging import Clash
from ticket.grid.rows import Span
from ticket.job.errors import TicketError
from ticket.screens.conflict_rows import LINE, MINE, THEIRS, conflict_rows
from ticket.screens.frame import Frame, bindings, strip
from ticket.screens.page import Page


class ConflictScreen(Frame):
    """Before, yours, theirs; the pointer stands on what can be done, Enter does it, Escape goes back undecided.

    Args:
        why: who changed it, when.
        clashes: the fields that differ.
        mine: writes what was typed here over what stands there.
        theirs: lets stand what stands there.
        line: takes the typed line back to be changed; ``None`` where there is none.

    Attributes:
        decided: one of the two versions was chosen; read by whoever opened the screen, once it is left.
    """

    subject: ClassVar[str] = "conflict"
    AUTO_FOCUS: ClassVar[str | None] = None
    BINDINGS: ClassVar = [*bindings("conflict"), Binding("enter", "choose", "choose", show=False)]

    def __init__(
        self, why: str, clashes: Sequence[Clash], mine: Callable[[], None], theirs: Callable[[], None],
        line: Callable[[], None] | None = None,
    ) -> None:  # fmt: skip
        super().__init__()
        self.why = why
        self.clashes = clashes
        self.decided = False
        self.deeds: dict[str, Callable[[], None]] = {MINE: mine, THEIRS: theirs}
        if line is not None:
            self.deeds[LINE] = line

    def compose(self) -> ComposeResult:
        """Top line, the two versions with what can be done, hints."""
        yield strip("top")
        yield Page(id="page")
        yield strip("hints")

    def on_resize(self) -> None:
        """Draw for the new width."""
        page = self.page()
        page.show(conflict_rows(self.why, self.clashes, max(self.size.width - 3, 20), retype=LINE in self.deeds))
        if page.key is None:
            page.choose(THEIRS)
        self.top([Span("Two of you changed the same field", "strong")])
        self.hints()

    def action_choose(self) -> None:
        """Do what the pointer stands on."""
        deed = self.deeds.get(str(self.page().key))
        if deed is None:
            return
        try:
            deed()
        except TicketError as error:
            self.desk.say(str(error))
            return
        self.decided = self.page().key in (MINE, THEIRS)
        self.dismiss()

    @on(Page.Chosen)
    def _clicked(self) -> None:
        self.action_choose()

    def action_back(self) -> None:
        """Back to what was typed; nothing is decided."""
        self.dismiss()
