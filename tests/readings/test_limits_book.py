"""The limits book: which row fits which reading, and what the packaged rows of law say."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ticket.assist.limits_shelf import base_book
from ticket.job.values import Limits, Run, Value
from ticket.readings.digits import number
from ticket.readings.limits_book import Asked, LimitRow, Shelf
from ticket.readings.limits_typed import Typed, proposals
from ticket.readings.measured_groups import Group

PAD = LimitRow(thing="brake pad", also=("pad",), unit="mm", low="3", source="maker")


def fitting(
    rows: tuple[LimitRow, ...], what: str, *labels: str, unit: str = "mm", vehicle: str = "", law: str = ""
) -> list[LimitRow]:
    return [fit.row for fit in Shelf(rows).fitting(Asked(what, labels or ("",), unit, vehicle, law))]


@pytest.mark.parametrize("what", ["pad", "Pads", "brake pads", "inner pad", "pad thickness", "pads on axle 2"])
def test_a_thing_is_found_by_its_words_with_places_and_measures_around_it(what: str) -> None:
    assert fitting((PAD,), what) == [PAD]


@pytest.mark.parametrize(
    "what", ["", "pad slide gap", "pad L", "pad sensor", "brake pedal", "launch pad", "brake", "padding"]
)
def test_a_word_that_is_left_over_makes_it_another_thing(what: str) -> None:
    assert fitting((PAD,), what) == []


@given(st.text(alphabet="bcdfgjklmnpqrtuvwxz", min_size=4, max_size=9), st.booleans())
def test_no_unknown_word_slips_into_a_thing(word: str, before: bool) -> None:
    assert fitting((PAD,), f"{word} pad" if before else f"pad {word}") == []


@pytest.mark.parametrize(
    ("unit", "fits"),
    [("mm", True), ("in", True), ("32nds", True), ("psi", False), ("V", False), ("", False), ("zz", False)],
)
def test_a_row_of_another_dimension_never_fits(unit: str, fits: bool) -> None:
    assert bool(fitting((PAD,), "pad", unit=unit)) is fits


def test_a_row_for_one_vehicle_is_offered_for_that_one_alone_and_goes_first() -> None:
    own = LimitRow(thing="pad", vehicle="corvane alder", unit="mm", low="4", source="maker")
    assert fitting((PAD, own), "pads", vehicle="2019 Corvane Alder 2.0") == [own, PAD]
    assert fitting((PAD, own), "pads", vehicle="Corvane Birch") == [PAD]
    assert fitting((PAD, own), "pads") == [PAD], "an unnamed vehicle is not taken for it"


@pytest.mark.parametrize(
    ("label", "fits"),
    [
        ("left front", True), ("front", True), ("left", True), ("", True), ("axle 1 left", True),
        ("left rear", False), ("axle 2", False),
    ],
)  # fmt: skip
def test_a_row_for_a_place_is_kept_from_a_reading_that_names_another(label: str, fits: bool) -> None:
    row = LimitRow(thing="tread", position=("front", "axle 1"), unit="in", low="4/32", source="law")
    assert bool(fitting((row,), "tread", label, unit="in")) is fits


def test_a_place_named_in_the_subject_counts_too() -> None:
    front = LimitRow(thing="tread", position=("steer", "axle 1"), unit="in", low="4/32", source="law")
    rear = LimitRow(thing="tread", position=("drive", "axle 2"), unit="in", low="2/32", source="law")
    assert fitting((front, rear), "steer axle tread", unit="in") == [front]
    assert fitting((front, rear), "drive axle tread", unit="in") == [rear]


def test_a_row_for_some_of_the_positions_is_named_but_not_whole() -> None:
    row = LimitRow(thing="tread", position=("front",), unit="in", low="4/32", source="law")
    (fit,) = Shelf((row,)).fitting(Asked("tread", ("left front", "left rear"), "in"))
    assert not fit.whole
    (fit,) = Shelf((row,)).fitting(Asked("tread", ("left front", "right front"), "in"))
    assert fit.whole


def test_a_law_of_another_country_is_kept_out_where_the_country_is_known() -> None:
    us, gb = (LimitRow(thing="tread", unit="mm", low="1.6", source="law", where=where) for where in ("US", "GB"))
    assert fitting((us, gb), "tread", law="GB") == [gb]
    assert fitting((us, gb), "tread") == [us, gb], "no rule of the place known: none is silent"


def test_a_limit_stated_in_two_units_is_offered_in_that_of_the_reading() -> None:
    mm = LimitRow(thing="lining", unit="mm", low="4.8", source="law", citation="one section")
    inch = LimitRow(thing="lining", unit="in", low="3/16", source="law", citation="one section")
    assert fitting((mm, inch), "lining", unit="in") == [inch], "3/16 in is 4.76 mm, which 4.8 mm would call low"
    assert fitting((mm, inch), "lining", unit="mm") == [mm]
    assert fitting((mm, inch), "lining", unit="cm") == [mm, inch]


# What is published, read beside the book: section, thing, least value as the law writes it. Places and kinds of brake
# stand in the citation of each row.
#   49 CFR 570.59(c), 570.62(a): print of the Code of Federal Regulations, title 49 ("not less than four thirty-seconds
#   of an inch deep on each front tire ... two thirty-seconds of an inch on all other tires"; "one thirty-second of an
#   inch over the fastener, or one-sixteenth of an inch over the brake shoe on bonded linings").
#   49 CFR 393.75(b), (c), 393.47(d), 393.51(c): told at length in the trade press; Construction and Use Regulations
#   1986 reg. 27: the British police's own answers. 49 CFR 570.9(a) and Directive 89/459/EEC art. 1: from memory.
PUBLISHED = {
    ("49 CFR 570.9(a)", "tread", "in", "2/32"), ("49 CFR 570.62(a)", "tread", "in", "4/32"),
    ("49 CFR 570.62(a)", "tread", "in", "2/32"), ("49 CFR 393.75(b)", "tread", "in", "4/32"),
    ("49 CFR 393.75(c)", "tread", "in", "2/32"),
    ("Construction and Use Regulations 1986 reg. 27", "tread", "mm", "1.6"),
    ("Construction and Use Regulations 1986 reg. 27", "tread", "mm", "1.0"),
    ("Directive 89/459/EEC", "tread", "mm", "1.6"),
    *((f"49 CFR 393.47(d)({i})", "brake lining", unit, low) for i, unit, low in (
        (1, "mm", "4.8"), (1, "in", "3/16"), (1, "mm", "6.4"), (1, "in", "1/4"), (1, "mm", "1.6"), (1, "in", "1/16"),
        (2, "mm", "6.4"), (2, "in", "1/4"), (2, "mm", "1.6"), (2, "in", "1/16"))),
    *((f"49 CFR 393.47(d)({i})", "brake pad", unit, low) for i in (1, 2) for unit, low in (
        ("mm", "3.2"), ("in", "1/8"), ("mm", "1.6"), ("in", "1/16"))),
    *(("49 CFR 570.59(c)", thing, "in", low) for thing in ("brake lining", "brake pad") for low in ("1/16", "1/32")),
    ("49 CFR 393.51(c)", "low air warning", "psi", "55"),
}  # fmt: skip


def test_every_packaged_row_says_what_is_published() -> None:
    rows = base_book().limits
    said = {(row.citation.partition(",")[0], row.thing, row.unit, row.low) for row in rows}
    assert said == PUBLISHED
    for row in rows:
        assert row.source == "law"
        assert row.standing
        assert row.where
        assert row.high == row.nominal == ""


def test_limits_that_the_law_states_twice_agree() -> None:
    # 49 CFR 393.47(d) gives each thickness in millimetres and in inches; an inch is 25.4 mm (NIST SP 811, B.8).
    by_place: dict[tuple[object, ...], dict[str, Fraction]] = {}
    for row in base_book().limits:
        if "393.47" in row.citation:
            value = number(row.low)
            assert value is not None
            by_place.setdefault((row.thing, row.position, row.citation), {})[row.unit] = value
    assert len(by_place) == 9
    for pair in by_place.values():
        assert abs(pair["in"] * Fraction("25.4") - pair["mm"]) <= Fraction("0.06"), "the law rounds to tenths"


def test_only_rows_that_were_read_in_the_law_itself_say_so() -> None:
    sections = {row.citation.partition(",")[0] for row in base_book().limits if row.standing == "read in the source"}
    assert sections == {"49 CFR 570.59(c)", "49 CFR 570.62(a)"}


def typed(
    entry: int, what: str, limits: Limits, *, unit: str = "mm", label: str = "", vehicle: str = "Corvane Alder"
) -> Typed:
    return Typed(1, entry, vehicle, Group(what, Run((Value("5", label),), unit, limits)))


def test_limits_typed_twice_for_a_thing_of_a_vehicle_are_proposed() -> None:
    low = Limits(low="3", source="maker")
    same = [typed(1, "Pads", low, label="left front"), typed(4, "pad", low, label="right front")]
    (one,) = proposals(same, ())
    assert one.row == LimitRow(
        thing="pad", position=("front",), vehicle="Corvane Alder", unit="mm", low="3", source="maker"
    ), "for the place both share"
    assert one.stands == ((1, 1), (1, 4))
    assert proposals(same, (one.row,)) == (), "what the book has is not proposed"


def test_limits_in_two_units_are_one_where_they_are_equal() -> None:
    both = [typed(1, "gap", Limits(high="2.54")), typed(2, "gap", Limits(high="1/10"), unit="in")]
    assert len(proposals(both, ())) == 1
    assert proposals([both[0], typed(2, "gap", Limits(high="3/32"), unit="in")], ()) == ()


@pytest.mark.parametrize(
    "second",
    [
        typed(1, "pad", Limits(low="3")),  # the same entry, another position of it
        typed(2, "pad", Limits(low="4")),
        typed(2, "rotor", Limits(low="3")),
        typed(2, "pad", Limits(low="3"), vehicle="Corvane Birch"),
        typed(2, "pad", Limits(low="3", spread="1")),
        typed(2, "pad", Limits(high="3")),
    ],
)
def test_what_was_typed_once_is_not_proposed(second: Typed) -> None:
    assert proposals([typed(1, "pad", Limits(low="3")), second], ()) == ()


def test_nothing_is_proposed_for_a_vehicle_without_a_name_or_a_target_without_a_tolerance() -> None:
    assert proposals([typed(i, "pad", Limits(low="3"), vehicle=" ") for i in (1, 2)], ()) == ()
    assert proposals([typed(i, "pad", Limits(nominal="3")) for i in (1, 2)], ()) == ()
