"""A PIN asked for in one line at the foot; what stands above it, and what was half typed, stays as it is."""

from collections.abc import Callable
from typing import Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.screen import ModalScreen, Screen
from textual.widgets import Input, Static

from ticket.job.errors import InputError, PinNeededError, TicketError
from ticket.job.text import one_line, sentence
from ticket.machine.pin_hash import flaw
from ticket.screens.desk import Desk
from ticket.screens.frame import bindings
from ticket.shop.opening import Shop

Take = Callable[[str], None]


class PinLine(ModalScreen[None]):
    """One line whose signs are not shown.

    Args:
        question: what is asked, before the line.
        take: takes what was typed; an error of ours is told and the line stays.
        then: what follows when it was taken.
        told: a sentence above the line.
    """

    BINDINGS = bindings("pin")
    DEFAULT_CSS = """
    PinLine { background: transparent; }
    PinLine > Vertical { dock: bottom; height: auto; background: $background; }
    PinLine Static { height: auto; padding: 0 1; }
    PinLine Horizontal { height: 1; }
    PinLine Horizontal Static { width: auto; color: $accent; }
    PinLine Input, PinLine Input:focus { border: none; height: 1; padding: 0; width: 1fr; background: transparent; }
    """

    def __init__(self, question: str, take: Take, then: Callable[[], None], told: str = "") -> None:
        super().__init__()
        self.question = question
        self._take = take
        self._then = then
        self._told = told or "Enter gives it, Esc leaves all as it was."

    def compose(self) -> ComposeResult:
        """What is told, and the line."""
        with Vertical():
            yield Static(one_line(self._told), id="told", markup=False)
            with Horizontal():
                yield Static(f"{one_line(self.question)}:", markup=False)
                yield Input(password=True, id="pin")

    @on(Input.Submitted)
    def _given(self, event: Input.Submitted) -> None:
        event.stop()
        typed, event.input.value = event.value, ""
        try:
            self._take(typed)
        except TicketError as error:
            self.query_one("#told", Static).update(sentence(str(error)))
            return
        self.dismiss()
        self.app.call_later(self._then)

    def action_back(self) -> None:
        """Leave all as it was."""
        self.dismiss()


class TellLine(ModalScreen[None]):
    """Something to write down, on the screen until Enter or Esc."""

    BINDINGS: ClassVar[list[BindingType]] = [*bindings("pin"), ("enter", "back", "back")]
    DEFAULT_CSS = """
    TellLine { background: transparent; }
    TellLine > Static { dock: bottom; height: auto; padding: 0 1; background: $background; }
    """

    def __init__(self, told: str) -> None:
        super().__init__()
        self._told = told

    def compose(self) -> ComposeResult:
        """The sentence."""
        yield Static(one_line(self._told), markup=False)

    def action_back(self) -> None:
        """It was written down."""
        self.dismiss()


def ask_pin(screen: Screen[Any], shop: Shop, needed: PinNeededError, again: Callable[[], None]) -> None:
    """Ask for the PIN that an action needs, then do the action again."""
    name = needed.person
    told = f"{needed.what} needs the PIN. Enter gives it, Esc leaves all as it was."
    screen.app.push_screen(PinLine(f"PIN of {name}", lambda typed: shop.gate.unlock(name, typed), again, told))


def set_pin_on(screen: Screen[None], shop: Shop, name: str, desk: Desk, then: Callable[[], None]) -> None:
    """Ask for a new PIN twice and set it; who may is looked at first. Raises an error of ours where that is refused."""
    from ticket.shop import settings

    def first() -> None:
        try:
            settings.may_set(shop, name)
        except PinNeededError as needed:
            ask_pin(screen, shop, needed, first)
        except TicketError as error:
            desk.say(str(error))
        else:
            screen.app.push_screen(PinLine(f"New PIN of {name}", check, lambda: None))

    def check(typed: str) -> None:
        if why := flaw(typed):
            raise InputError(why)
        screen.app.call_later(
            lambda: screen.app.push_screen(PinLine("The same again", lambda again: keep(typed, again), then))
        )

    def keep(typed: str, again: str) -> None:
        if typed != again:
            raise InputError("They are not the same; Esc leaves all as it was.")
        done = settings.set_pin(shop, name, typed)
        desk.say(f"{name} has a PIN now.")
        if done.code:
            code = (
                f"Recovery code: {done.code}. Write it down and keep it away from the shop: it is shown once, and"
                " stands in for an owner's lost PIN. Enter goes on."
            )
            screen.app.call_later(lambda: screen.app.push_screen(TellLine(code)))

    first()
