"""Wear between visits, against worked figures of Fieller's interval."""

from datetime import UTC, datetime
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ticket.job.entry import Entry
from ticket.job.kinds import Found, Proof
from ticket.job.ticket import Header, Ticket
from ticket.job.values import Limits, Quantity, Ref, Run, Value
from ticket.readings.trend import trends
from ticket.readings.wear import fieller, wear

AT = datetime(2026, 3, 2, 14, 10, tzinfo=UTC)

# Invented wear (8 to 5 mm in 16,450 mi, limit 2; tread 8/32 to 6/32 in 9,000 mi, limit 2/32); the intervals were
# computed apart from this program and agree with a Monte Carlo run within its scatter.
INTERVALS = [
    ("8 5 2 16450 1", (16450, 10898, 25782)),
    ("8 5 2 16450 1/2", (16450, 13368, 20425)),
    ("8 5 2 16450 1/10", (16450, 15773, 17162)),
    ("8/32 6/32 2/32 9000 1/32", (18000, 11392, 33183)),
]


@pytest.mark.parametrize(("figures", "expected"), INTERVALS)
def test_distance_to_the_limit(figures: str, expected: tuple[int, int, int]) -> None:
    start, later, limit, miles, step = (Fraction(text) for text in figures.split())
    found = wear(start, later, limit, miles, steps=(step, step))
    assert found.state == "wears"
    got = [float("nan") if end is None else round(end) for end in (found.left, found.earliest, found.latest)]
    assert got == list(expected)
    assert found.per_thousand == (start - later) * 1000 / miles


def test_what_is_left_is_kept_exactly() -> None:
    """8 to 5 mm in 1,000 miles, limit 2.5: two and a half more at three in a thousand are 2,500/3."""
    step = Fraction(1, 10)
    found = wear(Fraction(8), Fraction(5), Fraction("2.5"), Fraction(1000), steps=(step, step))
    assert found.left == Fraction(2500, 3)


def test_fieller_closes_on_the_plain_ratio_and_solves_its_quadratic() -> None:
    """Fieller 1954: the ends r solve (top - r bottom)^2 = z^2 (var_top - 2 r cov + r^2 var_bottom)."""
    z2 = 1.959964**2
    for r in fieller(3.0, 3.0, 1 / 12, 1 / 6, -1 / 12):
        assert (3 - 3 * r) ** 2 == pytest.approx(z2 * (1 / 12 + 2 * r / 12 + r * r / 6), rel=1e-9)
    assert fieller(3.0, 2.0, 0.0, 0.0, 0.0) == (1.5, 1.5)


def test_what_the_gauge_cannot_show_is_not_projected() -> None:
    def state(start: str, end: str, step: str, *, toward_high: bool = False, limit: str = "2") -> str:
        steps = (Fraction(step), Fraction(step))
        return wear(
            Fraction(start), Fraction(end), Fraction(limit), Fraction(9000), steps=steps, toward_high=toward_high
        ).state

    assert state("5.0", "4.5", "1") == "too small"
    assert state("5.0", "5.3", "1") == "too small"
    assert state("5", "7", "1") == "away"
    assert state("3", "2", "1/10") == "reached"
    assert state("0.1", "0.3", "1/100", toward_high=True, limit="0.5") == "wears"
    with pytest.raises(ValueError, match="distance"):
        wear(Fraction(1), Fraction(1), Fraction(0), Fraction(0), steps=(Fraction(1), Fraction(1)))


@given(
    st.fractions(min_value=3, max_value=20, max_denominator=100),
    st.fractions(min_value=3, max_value=20, max_denominator=100),
    st.sampled_from([Fraction(1), Fraction(1, 2), Fraction(1, 32)]),
    st.integers(min_value=1, max_value=10**6),
)
def test_interval_holds_the_projection_and_mirrors(start: Fraction, end: Fraction, step: Fraction, miles: int) -> None:
    found = wear(start, end, Fraction(2), Fraction(miles), steps=(step, step))
    mirrored = wear(-start, -end, Fraction(-2), Fraction(miles), steps=(step, step), toward_high=True)
    assert found == mirrored
    if found.state == "wears":
        assert found.left is not None
        assert found.earliest is not None
        assert found.latest is not None
        assert 0 <= found.earliest <= float(found.left) * (1 + 1e-9)
        assert float(found.left) * (1 - 1e-9) <= found.latest


def visit(number: int, miles: str, *facts: Found | Proof, unit: str = "mi") -> Ticket:
    entries = tuple(Entry(no=i, fact=fact, person="A", at=AT) for i, fact in enumerate(facts, 1))
    return Ticket(number=number, opened=AT, header=Header(odometer_in=Quantity(miles, unit)), entries=entries)


def pads(left: str, right: str, unit: str = "mm") -> Found:
    return Found(what="Front pads", run=Run((Value(left, "LF"), Value(right, "RF")), unit, Limits(low="2")))


def test_visits_are_matched_by_name_and_position() -> None:
    now = visit(9, "66,450", pads("5", "7"))
    before = visit(5, "50,000", Found(what="front pads", run=Run((Value("8", "LF"), Value("6", "RF")), "mm")))
    older = visit(2, "30,000", pads("12", "12"))
    left, right = trends(now, (before, older))
    assert (left.label, left.first, left.last, left.limit) == ("LF", Ref(1, 5), Ref(1, 9), "2")
    assert left.wear.left == 16450
    assert left.distance == 16450
    assert right.wear.state == "away"


def test_the_state_it_left_with_counts() -> None:
    """Renewed pads measured at the end of the earlier visit, and kilometres against miles."""
    again = Proof(of=Ref(1), run=Run((Value("12", "LF"), Value("12", "RF")), "mm"))
    before = visit(5, "100000", pads("2", "2"), again, unit="km")
    (left, _) = trends(visit(9, "70,000", pads("9", "9")), (before,))
    assert left.start == Quantity("12", "mm")
    assert left.distance == 70000 - Fraction(100000) / Fraction("1.609344")


def test_no_history_no_trend() -> None:
    now = visit(9, "66,450", pads("5", "7"))
    assert trends(now, ()) == ()
    assert trends(now, (visit(5, "66,450", pads("8", "8")),)) == ()
    assert trends(now, (visit(5, "9" * 5000, pads("8", "8")),)) == ()
    volts = Found(what="battery", run=Run((Value("12.6"),), "V", Limits(low="12")))
    assert trends(visit(9, "66,450", volts), (visit(5, "50,000", volts),)) == ()
