"""The small form for a balance of two neighbouring reservoirs; it writes the one line a technician could type."""

from collections.abc import Callable, Iterable

from textual import on
from textual.widgets import Input

from ticket.grid.computed import balance_words
from ticket.grid.rows import Span
from ticket.readings.reservoir_balance_line import parse_balance
from ticket.screens.actions import key_for
from ticket.screens.form import Form, FormField
from ticket.screens.frame import bindings

_FIELDS = (
    ("name1", "name", "its name, such as fan drive"),
    ("amount1", "measured", "drained 1.02 L, took 0.38 L, level -14 mm"),
    ("expected1", "should hold", "filled with so much, such as 1.40"),
    ("heat1", "at", "when it was drained, such as 60 degC"),
    ("name2", "name", "its name, such as engine"),
    ("amount2", "measured", "drained 1.58 L, took, let out, level"),
    ("expected2", "should hold", "filled with so much, such as 1.20"),
    ("heat2", "at", "when it was drained"),
    ("outside", "outside", "dry or wet, where it was looked at"),
)


def _group(name: str) -> str:
    return "First reservoir" if name.endswith("1") else "Second reservoir" if name.endswith("2") else "Outside"


def balance_line(values: dict[str, str]) -> str:
    """The line of a finding from the fields of the form."""

    def side(i: int) -> str:
        expected, heat = values[f"expected{i}"].strip(), values[f"heat{i}"].strip()
        amount = values[f"amount{i}"].strip()
        if amount[:1].isdecimal():
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


class BalanceScreen(Form):
    """Nine fields; what they say is shown while they are filled; one key takes their line to the ticket."""

    BINDINGS = bindings("form")

    def __init__(self, write: Callable[[str], None]) -> None:
        super().__init__()
        self.write = write

    def rows(self) -> Iterable[FormField]:
        """The fields, all empty."""
        return (FormField(name, title, "", hint, _group(name), 22) for name, title, hint in _FIELDS)

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.top(
            [
                Span("Where did the fluid go?", "strong"),
                Span(f"  {key_for('save')} takes the line to the ticket", "quiet"),
            ]
        )
        self.hints()

    def _line(self) -> str:
        return balance_line({name: self.typed(name) for name, _, _ in _FIELDS})

    @on(Input.Changed)
    def _typed(self) -> None:
        balance = parse_balance(self._line().removeprefix("found: "))
        self.answer(balance_words(balance) if balance else "Fill in both reservoirs: name and what was measured.")

    def action_save(self) -> None:
        """Take the line to the ticket."""
        self.write(self._line())
        self.dismiss()
