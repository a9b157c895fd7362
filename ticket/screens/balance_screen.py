"""The small form for a balance of two neighbouring reservoirs; it writes the one line a technician could type."""

from collections.abc import Callable
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Grid
from textual.widgets import Input, Static

from ticket.readings.balance_line import parse_balance
from ticket.screens.computed import balance_words
from ticket.screens.frame import Frame, bindings, strip
from ticket.screens.rows import Span

_FIELDS = (
    ("name1", "first reservoir", "its name, such as fan drive"),
    ("amount1", "measured", "drained 1.02 L, or took 0.38 L, or level -14 mm"),
    ("expected1", "should hold", "the amount it is filled with, such as 1.40"),
    ("heat1", "at", "temperature of what was drained, such as 60 degC"),
    ("name2", "second reservoir", "its name, such as engine"),
    ("amount2", "measured", "drained 1.58 L, or took, let out, level"),
    ("expected2", "should hold", "the amount it is filled with, such as 1.20"),
    ("heat2", "at", "temperature of what was drained"),
    ("outside", "outside", "dry or wet, where it was looked at"),
)


def balance_line(values: dict[str, str]) -> str:
    """The line of a finding from the fields of the form."""

    def side(i: int) -> str:
        expected, heat = values[f"expected{i}"].strip(), values[f"heat{i}"].strip()
        amount = values[f"amount{i}"].strip()
        if amount[:1].isdigit():
            amount = f"drained {amount}"
        return " ".join(
            part
            for part in (
                values[f"name{i}"].strip(),
                amount,
                f"of {expected}" if expected else "",
                f"at {heat}" if heat else "",
            )
            if part
        )

    outside = values["outside"].strip()
    return f"found: balance: {side(1)}; {side(2)}" + (f"; outside {outside}" if outside else "")


class BalanceScreen(Frame):
    """Nine fields; what they say is shown while they are filled; Enter writes the line."""

    subject: ClassVar[str] = "form"
    BINDINGS = bindings("form")
    AUTO_FOCUS: ClassVar[str | None] = "Input"
    DEFAULT_CSS = """
    BalanceScreen Grid { grid-size: 2; grid-columns: 18 1fr; grid-rows: 1; height: auto; padding: 1; }
    BalanceScreen Input { border: none; height: 1; padding: 0; background: $panel; }
    BalanceScreen #why { padding: 0 1; height: auto; }
    """

    def __init__(self, write: Callable[[str], None]) -> None:
        super().__init__()
        self.write = write

    def compose(self) -> ComposeResult:
        """One row a field."""
        yield strip("top")
        with Grid():
            for name, title, hint in _FIELDS:
                yield Static(title, markup=False)
                field = Input(id=f"field-{name}", placeholder=hint)
                field.cursor_blink = False
                yield field
        yield Static("", id="why", markup=False)
        yield strip("hints")

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.top([Span("Where did the fluid go?", "title"), Span("  Enter writes the line, Esc goes back", "quiet")])
        self.hints()

    def _line(self) -> str:
        return balance_line({name: self.query_one(f"#field-{name}", Input).value for name, _, _ in _FIELDS})

    @on(Input.Changed)
    def _typed(self) -> None:
        balance = parse_balance(self._line().removeprefix("found: "))
        text = balance_words(balance) if balance else "Fill in both reservoirs: name and what was measured."
        self.query_one("#why", Static).update(text)

    @on(Input.Submitted)
    def _done(self) -> None:
        self.write(self._line())
        self.dismiss()

    def action_back(self) -> None:
        """Back without a line."""
        self.dismiss()

    def action_up(self) -> None:
        """The field before."""
        self.focus_previous()

    def action_down(self) -> None:
        """The field behind."""
        self.focus_next()
