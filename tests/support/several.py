"""A made-up finding with four measurements of three things, and the verification that repeats some of them."""

from datetime import UTC, datetime

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Did, Fact, Found, Proof, Says
from ticket.job.ticket import Header, Ticket, Vehicle
from ticket.job.values import Limits, Measurement, Quantity, Ref, Span

AT = datetime(2026, 3, 2, 14, 10, tzinfo=UTC)


def spans(text: str, words: str, after: str = "") -> tuple[Span, ...]:
    """Where some words stand in a text."""
    start = text.index(words, text.index(after))
    return (Span(start, start + len(words)),)


TEXT = (
    "engine oil pressure at idle 12 psi (min 15 per maker), coolant temperature 225-230 degF (max 220), "
    "LF tread 4/32 RF tread 1/32 in (min 2/32 per law), leak at the oil cooler"
)
_LAW = Limits(low="2/32", source="law")
FINDING = Found(
    what=TEXT,
    measurements=(
        Measurement(
            "12", "psi", of=spans(TEXT, "engine oil pressure"), when=spans(TEXT, "at idle"),
            limits=Limits(low="15", source="maker"),
        ),
        Measurement("225", "degF", to="230", of=spans(TEXT, "coolant temperature"), limits=Limits(high="220")),
        Measurement("4/32", "in", at=("left front",), of=spans(TEXT, "tread", "LF"), limits=_LAW),
        Measurement("1/32", "in", at=("right front",), of=spans(TEXT, "tread", "RF"), limits=_LAW),
    ),
    seen="leak at the oil cooler",
)  # fmt: skip
AGAIN = Proof(
    of=Ref(2),
    what="17 psi, LF 8/32 RF 8/32 in",
    measurements=(
        Measurement("17", "psi"),
        Measurement("8/32", "in", at=("left front",)),
        Measurement("8/32", "in", at=("right front",)),
    ),
)


def several() -> Ticket:
    """A job that rests on the finding, with the verification behind it."""
    facts: tuple[Fact, ...] = (
        Says(text="oil light on at idle"), FINDING, Cause(text="worn oil pump", refs=(Ref(2),)),
        Did(hours="2", text="replaced oil pump"), AGAIN,
    )  # fmt: skip
    header = Header(vehicle=Vehicle("2019 Corvane Petrel"), odometer_in=Quantity("48,210", "mi"))
    entries = tuple(Entry(no, fact, "Kim Arden", AT, "A") for no, fact in enumerate(facts, 1))
    return Ticket(number=7, opened=AT, header=header, entries=entries)
