"""What the two forms of a ticket's header share: one order, the same names, and what a typed value reads as."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from functools import partial

from textual import events, on
from textual.widgets import Input

from ticket.assist.field_fit import Misfit, may_be_plate, misfit
from ticket.assist.typed_header import odometer
from ticket.assist.waits_for import WAITS_FOR
from ticket.job.errors import InputError
from ticket.job.header_fields import HEADER_FIELDS
from ticket.job.promise import promised_day
from ticket.job.ticket import ODOMETER_REASONS
from ticket.job.values import PAYERS, SUMS_TOLD
from ticket.job.vin import LENGTH, check, tidy
from ticket.screens.actions import shown_key
from ticket.screens.form import FieldRow, Form, FormField
from ticket.screens.frame import bindings
from ticket.screens.prompt import Field
from ticket.shop.opening import Shop

STATUS = "status"
_CHOICES = tuple(WAITS_FOR.items())
_CHOSEN = {
    "odometer-reason": (("", "none"), *((reason, reason) for reason in ODOMETER_REASONS)),
    "sums-told": (("", "as the price list"), *((way, way) for way in SUMS_TOLD)),
    "pays": tuple((payer, payer) for payer in PAYERS),
}
"""The fields of a header that take no text, each with its values."""


def header_rows(texts: Mapping[str, str], names: Iterable[str], status: str) -> Iterator[FormField]:
    """The named fields of a header, and what the ticket waits for behind the promise."""
    for name in names:
        field = HEADER_FIELDS[name]
        chosen = _CHOSEN.get(name, ())
        yield FormField(name, field.title, texts.get(name, ""), field.help, field.group, field.width, chosen)
        if name == "ready-by":
            yield FormField(STATUS, "waits for", status, group=field.group, choices=_CHOICES)


def read_as(name: str, text: str, today: date, unit: str) -> tuple[str, bool]:
    """What a typed value reads as, for the place beside its field, and whether it is doubtful."""
    typed = text.strip()
    if not typed:
        return HEADER_FIELDS[name].help if name in HEADER_FIELDS else "", False
    if name.startswith("odometer"):
        return _reading(typed, unit)
    if name == "vin":
        return _number(typed)
    if name == "vehicle" and may_be_plate(typed):
        return "a plate? it has its own field", True
    if name == "ready-by":
        day = promised_day(typed, today)
        return (f"{day:%a} {day.day} {day:%b}", False) if day else ("as you say it; no day is read in it", False)
    return "", False


def _reading(typed: str, unit: str) -> tuple[str, bool]:
    try:
        read = odometer(typed, unit)
    except InputError:
        return "no reading: 100214 mi", True
    told = f"{int(read.number):,} {read.unit}" if read and read.number.isdecimal() else str(read or "")
    return told if told != typed else "", False


def _number(typed: str) -> tuple[str, bool]:
    number = tidy(typed)
    if len(number) != LENGTH:
        return f"{len(number)} of {LENGTH} signs", True
    report = check(typed)
    if report.problems:
        return report.problems[0], True
    return "17 signs, checked" if report.ok else "17 signs", False


class HeaderForm(Form):
    """Fields of a ticket's header in the order of :data:`ticket.job.header_fields.HEADER_FIELDS`.

    A value that reads as what another field holds is refused, and one key moves it there.
    """

    BINDINGS = bindings("form")
    shop: Shop

    def __init__(self) -> None:
        super().__init__()
        self._stood: dict[str, str] = {}  # by field, what stood there before the last typing
        self._stayed = ("", "")  # the value that Enter did not leave behind at first

    def begun(self) -> date:
        """The day a promise counts from: that on which the ticket was opened."""
        return self.shop.today

    def flaws(self) -> dict[str, Misfit]:
        """The values that stand in the wrong field, from the top."""
        there = ((name, self.typed(name)) for name in self.names())
        found = ((name, misfit(name, text)) for name, text in there if self.must_fit(name, text))
        return {name: flaw for name, flaw in found if flaw is not None}

    def names(self) -> list[str]:
        """The fields that take text."""
        rows = (row.field for row in self.query(FieldRow))
        return [field.name for field in rows if field.name in HEADER_FIELDS and not field.choices]

    def must_fit(self, name: str, text: str) -> bool:
        """Whether a value is looked at: what stood there before may stay."""
        return bool(text.strip()) and text != self.first.get(name, "")

    @on(Input.Changed)
    def look_at(self, event: Input.Changed) -> None:
        """Say at once what a field reads, or that the value belongs elsewhere."""
        name = (event.input.id or "").removeprefix("field-")
        if hasattr(self, "first") and name in HEADER_FIELDS:
            self.tell_beside(name, event.value)

    def tell_beside(self, name: str, text: str) -> None:
        """Tell what a value reads as beside its field, and below what can be done about it."""
        flaw = misfit(name, text) if self.must_fit(name, text) else None
        control = self.control(name)
        if isinstance(control, Field):
            control.mover = partial(self._move_on, name) if flaw else None
        words, doubtful = read_as(name, text, self.begun(), self.shop.settings.distance)
        self.row_of(name).tell(flaw.why if flaw else words, flawed=bool(flaw) or doubtful)
        if control is self.focused:
            self.answer(self._told(text, flaw) if flaw else "")
            if not flaw and self.row_of(name).cut_off():
                self.hint(self.row_of(name).beside)

    def _told(self, text: str, flaw: Misfit) -> str:
        target = self._target(flaw)
        if not flaw.sort:
            return f"? {text.strip()} is {flaw.why}."
        moves = f" {shown_key('right')} moves it to {HEADER_FIELDS[target].title}." if target else ""
        return f"? {text.strip()} reads as {flaw.sort}.{moves}"

    def _target(self, flaw: Misfit) -> str:
        """The field that a value is moved to: an empty one, else none."""
        return next((name for name in flaw.belongs if name in self.names() and not self.typed(name).strip()), "")

    def _move_on(self, name: str) -> bool:
        text = self.typed(name)
        flaw = misfit(name, text)
        target = self._target(flaw) if flaw else ""
        if not target:
            return False
        self.control(name).put(self._stood.get(name, ""))
        self.control(target).put(text.strip())
        self.call_after_refresh(self.answer, f"{text.strip()} stands in {HEADER_FIELDS[target].title} now.")
        return True

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Remember what stands in a field that is gone to: a value that belongs elsewhere gives it back."""
        super().on_descendant_focus(event)
        name = (event.widget.id or "").removeprefix("field-")
        if isinstance(event.widget, Field) and misfit(name, event.widget.value) is None:
            self._stood[name] = event.widget.value

    def fits(self) -> bool:
        """Whether every value stands where it belongs; else the first that does not is gone to."""
        for name, flaw in self.flaws().items():
            self.set_focus(self.control(name))
            self.answer(f"{self._told(self.typed(name), flaw)} Nothing was written.")
            return False
        return True

    def action_next(self) -> None:
        """Go to the next field; a value that belongs elsewhere holds it here once, where one key moves it."""
        name = (getattr(self.focused, "id", "") or "").removeprefix("field-")
        flaw = misfit(name, self.typed(name)) if name in self.names() else None
        if flaw and self.must_fit(name, self.typed(name)) and self._stayed != (name, self.typed(name)):
            self._stayed = name, self.typed(name)
            self.answer(f"{self._told(self.typed(name), flaw)} Enter once more goes on.")
        else:
            super().action_next()

    def action_save(self) -> None:
        """Write what stands in the fields; each form knows how."""
        raise NotImplementedError
