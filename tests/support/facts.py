"""Random facts of every kind, as hostile as a fact can be.

Prose is anything a document may hold; figures, units, references and choices have the shapes the declarations name.
"""

from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from support import words as w
from ticket.job.entry import CONCERN_LETTERS
from ticket.job.field_specs import FieldSpec, specs
from ticket.job.kinds import KINDS, Fact, Found, Proof
from ticket.job.text import clean
from ticket.job.values import Answer, Clock, Due, Limits, Measurement, Quantity, Ref, Run, Share, Span, Value
from ticket.job.wall import FIRST_DAY, LAST_DAY
from ticket.notes.found import read_text, text_of
from ticket.notes.limits import write_limits
from ticket.notes.pen import Pen
from ticket.notes.shapes import Context
from ticket.notes.spans import Body
from ticket.readings.measured_groups import groups, subject
from ticket.readings.measured_groups import seen as seen_beside
from ticket.readings.positions import places
from ticket.readings.units import NAMES

# Pieces out of which the grammar itself is made: what plain text must never be mistaken for.
PIECES = (
    "found:", "did:", "# ", "A+C ", "; ", ";", ", ", "@ 12.50", "@", "#", "= ", "=", '"', "\\", "\\n", "\n", "\t", "(",
    ")", "(min 3)", "(2 to 4 per maker)", "4 mm", "LF 3 RF 4 mm", "cyl 1 2 3 psi", "12 V at", "OL", "none", "metal",
    "from 3 4", "for 2107/12", "in 2 weeks", "by Kay", "by 2026-03-02", "by phone 555", "in person", "est 640",
    "total 3", "up to 4", "may wait", "do now", "likely", "certain", "because it", "risk: x", "watch: y", "yes 7", "no",
    "thinks", "at 14:10", "clock 8:10-9:45", "rate engine", "pay shop", "core 3", "P0300", "P1A30-7B", "SPN 102 FMI 18",
    "stored", "14 times", "after repair", "frame: z", "1 x ", "2 L ", "1.2 h ", "4410-77", "5W-30", ", new", "3 now",
    "passed", "reproduced", "not reproduced", "back from 12", "done here", "looked at, still waits", "per", "1 1/2",
    "less 0.3", "shared: x", "core back 1", "split shop 40, customer 60", "deposit 20",
    "0,9 L", "²", "½", "٣", "\u2028", "\x85", "\x1c", "\ufffd", "e\u0301", "x",
)  # fmt: skip

texts = st.lists(
    st.sampled_from(PIECES) | st.sampled_from(w.HOSTILE) | st.text(max_size=6), min_size=1, max_size=6
).map(lambda parts: clean(" ".join(parts) if len(parts) % 2 else "".join(parts)))
"""Prose that imitates the grammar, or any Unicode; clean, as every stored text is."""

_filled = texts.filter(bool)
_INCH_PARTS = ("1/2", "3/4", "5/8", "7/16", "9/32", "3/64")
_digits = st.integers(0, 9999).map(str)
numbers = st.one_of(
    _digits,
    st.decimals("0", "999", places=2, allow_nan=False).map(lambda value: f"{value:f}"),
    st.sampled_from(_INCH_PARTS),
    st.sampled_from(_INCH_PARTS).map(lambda part: f"1 {part}"),
    st.integers(1000, 9_999_999).map(lambda value: f"{value:,}"),
    st.just(".5"),
)
"""Unsigned numbers as typed."""

signed = st.tuples(st.sampled_from(("", "", "-", "+", "\u2212")), numbers).map("".join)
readings = st.one_of(signed, st.tuples(st.sampled_from("<>"), signed).map("".join), st.sampled_from(("OL", "none")))
money = st.integers(0, 999_999).map(lambda cents: f"{cents // 100}.{cents % 100:02}") | st.just("1,228.40") | _digits
refs = st.builds(Ref, no=st.integers(1, 999_999_999), ticket=st.just(0) | st.integers(1, 999_999_999))
dates = st.dates(FIRST_DAY, LAST_DAY).map(str)
units = st.sampled_from(NAMES)
_clock_times = st.times().map(lambda at: f"{at.hour}:{at.minute:02}")
_times = _clock_times | st.tuples(dates, _clock_times).map(" ".join)
_sides = st.sampled_from(("LF", "RF", "LR", "RR", "left", "right", "L", "R", "front", "rear"))
_labels = st.one_of(
    _sides,
    st.tuples(_sides, st.sampled_from(("inner", "outer", "upper"))).map(" ".join),
    st.integers(1, 16).map(lambda place: f"cyl {place}"),
)


def _limits(unit: str) -> st.SearchStrategy[Limits]:
    ranges = st.fixed_dictionaries({}, optional={"low": signed, "high": signed})
    nothing: st.SearchStrategy[dict[str, str]] = st.just({})
    around = nothing | st.fixed_dictionaries({"nominal": signed, "tol": numbers})
    spread = nothing | st.fixed_dictionaries({"spread": numbers, "spread_unit": st.sampled_from((unit, "%"))})
    parts = st.tuples(ranges, around, spread).map(lambda three: three[0] | three[1] | three[2]).filter(bool)
    return st.builds(lambda fields, source: Limits(**fields, source=source), parts, st.just("") | _filled)


@st.composite
def runs(draw: Any, *, unitless: bool = False) -> Run:
    """One to sixteen readings, labelled or not, with or without limits."""
    unit = draw(units | st.just("")) if unitless else draw(units)
    form = draw(st.sampled_from(("one", "list", "labels", "cylinders")))
    figures = draw(st.lists(readings, min_size=1, max_size=1 if form == "one" else 16))
    if form == "labels":
        values = tuple(Value(figure, draw(_labels)) for figure in figures)
    elif form == "cylinders":
        values = tuple(Value(figure, f"cyl {place}") for place, figure in enumerate(figures, 1))
    else:
        values = tuple(map(Value, figures))
    return Run(values, unit, draw(st.none() | _limits(unit)))


def _quantities(*names: str) -> st.SearchStrategy[Quantity | None]:
    return st.none() | st.builds(Quantity, numbers, st.sampled_from(names))


_dues = st.builds(
    Due,
    distance=_quantities("km", "mi", "miles"),
    time=_quantities("days", "weeks", "month", "years"),
    hours=_quantities("h"),
    odometer=st.none() | st.builds(Quantity, st.integers(20_000, 999_999).map(str), st.sampled_from(("km", "mi"))),
    event=st.sampled_from(("", "", "next PM", "next oil change", "before winter")),
).filter(lambda due: due != Due())
_answers = st.builds(
    Answer,
    answer=st.sampled_from(("yes", "no", "thinks", "no answer", "left message", "asked")),
    to=st.lists(refs, max_size=3).map(tuple),
)

splits = st.one_of(
    st.integers(0, 100).map(lambda share: (Share("warranty", str(share)), Share("customer", str(100 - share)))),
    st.just((Share("contract", "33.3"), Share("shop", "33.3"), Share("customer", "33.4"))),
    st.just((Share("shop", "100"),)),
)
"""Shares of several payers that make the whole."""

_SHAPES: dict[str, st.SearchStrategy[Any]] = {
    "text": texts, "number": numbers, "money": money, "refs": st.lists(refs, min_size=1, max_size=5).map(tuple),
    "ref": refs, "due": _dues, "date": dates, "time": _times, "person": _filled, "rate": _filled, "unit": units,
    "clock": st.lists(st.builds(Clock, _clock_times, _clock_times), min_size=1, max_size=3).map(tuple),
    "answers": st.lists(_answers, min_size=1, max_size=3).map(tuple), "run": runs(), "measurements": st.just(()),
    "split": splits,
    "code": st.sampled_from(("none", "P0300", "P1A30", "U0100", "SPN 102", "E 12", "E12")) | texts,
    "sub": st.sampled_from(("", "7B", "00", "FMI 18")) | texts,
    "part": st.sampled_from(w.PARTS) | texts,
    "picture": st.sampled_from(("0123456789ab", "fan.jpg")) | texts,
}  # fmt: skip


def _value(spec: FieldSpec) -> st.SearchStrategy[Any]:
    if spec.choices:
        return st.sampled_from(spec.choices)
    if spec.shape == "choice":  # how often a fault was counted
        return st.integers(1, 999).map(lambda count: f"{count} times")
    return _SHAPES[spec.shape]


@st.composite
def facts(draw: Any, kind: str = "", *, older: bool = True) -> Fact:
    """A random fact, of one kind or of any; ``older``: findings may hold a run, as older tickets do."""
    cls = KINDS[kind or draw(st.sampled_from(tuple(KINDS)))]
    fields = {spec.name: draw(_value(spec)) for spec in specs(cls) if spec.required or draw(st.booleans())}
    if cls.kind == "used" and not fields.get("amount"):
        fields.pop("unit", None)  # a unit of nothing says nothing
    if cls.kind == "proof" and fields.get("of") and "run" in fields:
        fields["run"] = draw(runs(unitless=True))
    if issubclass(cls, Found | Proof):
        held = "older" if older and "run" in fields and draw(st.booleans()) else "read"
        fields |= {"measurements": ()} if held == "older" else {"measurements": (), "run": None, "seen": ""}
        if held == "read":
            again = bool(fields.get("of"))
            text = text_of(Found(what=fields.get("what", ""), run=draw(st.none() | runs(unitless=again))), Pen())
            fields |= read_text(Body.of(text), Context(), again=again, tested=cls.kind == "proof").fields
    return cls(**fields)


spans = st.builds(Span, start=st.integers(0, 30), end=st.integers(0, 40))
measurements = st.builds(
    Measurement,
    value=st.one_of(signed, st.sampled_from(("OL", "none", "metal"))),
    unit=units | st.just(""),
    to=st.just("") | signed,
    than=st.sampled_from(("", "", "<", ">", "~", ">=")),
    at=st.lists(st.sampled_from(("left front", "right rear", "inner", "cylinder 3")), max_size=2).map(tuple),
    of=st.lists(spans, max_size=2).map(tuple),
    when=st.lists(spans, max_size=1).map(tuple),
    limits=st.none() | units.flatmap(_limits),
)
"""A measurement that need not stand in the text beside it."""


@st.composite
def measured_facts(draw: Any) -> Found | Proof:
    """A finding or a verification with several measurements, as a document of another program may hold them."""
    held = tuple(draw(st.lists(measurements, min_size=1, max_size=4)))
    text, seen = draw(texts), draw(st.just("") | texts)
    if draw(st.booleans()):
        return Found(what=text, measurements=held, seen=seen)
    return Proof(of=draw(st.none() | refs), what=text, measurements=held, seen=seen)


_older_labels = st.sampled_from(
    (("",), ("LF", "RF"), ("left", "right"), ("RF inner", "RF outer"), ("cyl 1", "cyl 2", "cyl 3"), ("cyl 4",))
)
_figures = st.integers(1, 99_999).map(lambda value: f"{value / 100:.2f}")
older_findings = st.builds(
    lambda what, seen, unit, labels, figures, limits: Found(
        what=what, run=Run(tuple(map(Value, figures, labels)), unit, limits), seen=seen
    ),
    st.sampled_from(("pads", "oil pressure", "voltage drop", "wheel bearing play")),
    st.sampled_from(("", "deep grooves", "smells burnt; dark", "no leaks")),
    st.sampled_from(("mm", "psi", "V", "kPa", "degC", "Nm")),
    _older_labels,
    st.lists(_figures, min_size=3, max_size=3),
    st.sampled_from((None, Limits(low="1.5"), Limits(high="40", source="maker"), Limits("2", "9.5", source="law"),
                     Limits(nominal="9.6", tol="0.2"))),
)  # fmt: skip
"""Findings as people of the bay left them in older tickets: one thing, one unit, positions that differ."""


def run_of(fact: Fact | None) -> Run | None:
    """The readings of a fact that holds no more than one group of them, its positions in words."""
    assert isinstance(fact, Found | Proof)
    held = [_placed(group.run) for group in groups(fact)]
    assert len(held) < 2
    return held[0] if held else None


def in_parts(fact: Fact) -> tuple[object, ...]:
    """A fact as what it says, so that one of an older ticket equals the one its line is read as today."""
    if not isinstance(fact, Found | Proof):
        return (fact,)
    empty: dict[str, Any] = {"what": "", "measurements": (), "run": None, "seen": ""}
    held = tuple(
        (group.what, group.when, group.run.unit, group.run.limits, value)
        for group in groups(fact)
        for value in _placed(group.run).values
    )
    return replace(fact, **empty), subject(fact), held, seen_beside(fact)


def said(fact: Fact) -> list[str]:
    """Each measurement of a finding as one line: subject, position: value [condition] (limits); then what was seen."""
    assert isinstance(fact, Found | Proof)
    out = []
    for group in groups(fact):
        limits = f" ({write_limits(group.run.limits, group.run.unit, Pen())})" if group.run.limits else ""
        when = f" [{group.when}]" if group.when else ""
        for value in group.run.values:
            of = ", ".join(part for part in (group.what, value.label) if part)
            out.append(f"{of}: {value.number} {group.run.unit}".rstrip() + when + limits)
    return [*out, *([f"seen: {fact.seen}"] if fact.seen else [])]


def same_saying(read: Fact, meant: Fact) -> bool:
    """Whether a line was read as the fact it was written from; as what that says, where an older ticket holds it."""
    if isinstance(meant, Found | Proof) and not meant.measurements:
        return in_parts(read) == in_parts(meant)
    return read == meant


def _placed(run: Run) -> Run:
    return replace(run, values=tuple(Value(value.number, " ".join(places(value.label))) for value in run.values))


concerns = st.one_of(
    st.just(""),
    st.sampled_from(CONCERN_LETTERS),
    st.lists(st.sampled_from(CONCERN_LETTERS), min_size=2, max_size=4, unique=True).map("+".join),
)
"""Letters of concerns as they stand in front of a word."""
