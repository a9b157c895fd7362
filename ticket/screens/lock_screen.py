"""The screens of a shop with PINs lock themselves: nothing of a customer shows until somebody's PIN was typed."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.screen import Screen
from textual.widgets import Input, Static

from ticket.job.errors import TicketError
from ticket.job.text import clean, one_line, sentence
from ticket.machine.presence import Presence
from ticket.shop.opening import Shop


class LockScreen(Screen[None]):
    """A blank page with one question; all that was open stands below as it was, half lines too.

    Args:
        shop: the open shop.
        presence: this terminal among the others.
    """

    subject: ClassVar[str] = "lock"
    BINDINGS: ClassVar[list[BindingType]] = []
    AUTO_FOCUS: ClassVar[str | None] = "#pin"
    DEFAULT_CSS = """
    LockScreen #room { height: 1fr; }
    LockScreen Static { padding: 0 1; height: auto; }
    LockScreen Horizontal { height: 1; }
    LockScreen Horizontal Static { width: 10; color: $accent; }
    LockScreen Input, LockScreen Input:focus { border: none; height: 1; padding: 0; width: 1fr; }
    """

    def __init__(self, shop: Shop, presence: Presence) -> None:
        super().__init__()
        self.shop = shop
        self.presence = presence
        shop.gate.close()
        presence.lock(locked=True)

    def compose(self) -> ComposeResult:
        """What is told, and two lines at the foot: who, and the PIN."""
        yield Static("", id="room")
        yield Static("Locked. Your work stands as it was; the PIN brings it back.", id="told", markup=False)
        with Horizontal():
            yield Static("who", markup=False)
            yield Input(value=one_line(self.shop.person), id="who")
        with Horizontal():
            yield Static("PIN", markup=False)
            yield Input(password=True, id="pin")

    @on(Input.Submitted)
    def _given(self) -> None:
        name, line = clean(self.query_one("#who", Input).value).strip(), self.query_one("#pin", Input)
        typed, line.value = line.value, ""
        try:
            self.shop.gate.unlock(name, typed)
        except TicketError as error:
            self.query_one("#told", Static).update(sentence(str(error)))
            line.focus()
            return
        self.shop.person = self.presence.person = name
        self.presence.lock(locked=False)
        self.dismiss()
