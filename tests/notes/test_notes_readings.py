"""Readings and their limits: what judges what, and what is asked instead of guessed."""

import pytest

from support.facts import said
from ticket.job.entry import Draft
from ticket.job.kinds import Found
from ticket.job.values import Limits
from ticket.notes.read import read


def one(line: str) -> Draft:
    (draft,) = read(line)
    return draft


def asked(draft: Draft) -> list[tuple[str, str]]:
    """Every question with the piece of the line it is about."""
    return [(remark.text, draft.line[remark.start : remark.end]) for remark in draft.remarks]


@pytest.mark.parametrize(
    ("text", "stated"),
    [
        ("play 0.3 mm (max 0.2 mm) at the hub", ["play at the hub: 0.3 mm (max 0.2)"]),
        ("L 4 R 3 mm (min 2)", ["left: 4 mm (min 2)", "right: 3 mm (min 2)"]),
        ("R 4 L 3 mm (min 2)", ["right: 4 mm (min 2)", "left: 3 mm (min 2)"]),
        ("= R 4 L 3 mm", ["right: 4 mm", "left: 3 mm"]),
        ("pads L 4 mm R 3 mm (min 2)", ["pads, left: 4 mm (min 2)", "pads, right: 3 mm (min 2)"]),
        ("oil 5 L, dark", ["oil: 5 L", "seen: dark"]),
        ("LF: 7, RF: 2 mm", ["left front: 7 mm", "right front: 2 mm"]),
        ("pads left front 4 right front 3 mm", ["pads, left front: 4 mm", "pads, right front: 3 mm"]),
        ("bolt left 4 mm", ["bolt, left: 4 mm"]),
        ("pads LF metal RF 4 mm (min 2)", ["pads, left front: metal mm (min 2)", "pads, right front: 4 mm (min 2)"]),
        ("wiring OL kOhm", ["wiring: OL kOhm"]),
        ("rail >550 V", ["rail: >550 V"]),
        ("insulation 0.21 megohm (min 1)", ["insulation: 0.21 megohm (min 1)"]),
        ("rod 1 1/2 in", ["rod: 1 1/2 in"]),
        ("rest 12.6V(min 12.4)", ["rest: 12.6 V (min 12.4)"]),
        ("rest 12.6 V at 20 degC (min 12.4)", ["rest: 12.6 V [at 20 degC] (min 12.4)"]),
        ('drum 11" (max 11.06 in)', ["drum: 11 in (max 11.06)"]),
        ("level 0,9 L", ["level: 0.9 L"]),
        ("fluid 85 deg C, dark", ["fluid: 85 deg C", "seen: dark"]),
        ("cyl 172, 168, 170 psi", ["cylinder 1: 172 psi", "cylinder 2: 168 psi", "cylinder 3: 170 psi"]),
        ("cyl 12.1 11.8 7.9 bar", ["cylinder 1: 12.1 bar", "cylinder 2: 11.8 bar", "cylinder 3: 7.9 bar"]),
        ("cyl 1 120, cyl 2 125 psi", ["cylinder 1: 120 psi", "cylinder 2: 125 psi"]),
        ("leak-down 3 = 62 % (max 20)", ["leak-down 3: 62 % (max 20)"]),
        ("tape (see picture) 4 mm", ["tape see picture: 4 mm"]),
        ('"12 V lamp" 4 A (max 5)', ["12 V lamp: 4 A (max 5)"]),
        ("after 10 min 45 psi (min 40)", [": 45 psi [after 10 min] (min 40)"]),
        ("oil pressure at 700 rpm, 18 psi (min 10)", ["oil pressure: 18 psi [at 700 rpm] (min 10)"]),
        ("hose cracked, oil 8 psi, smells hot", ["oil: 8 psi", "seen: hose cracked, smells hot"]),
        ("pressure loss in 15 s 12 psi (max 5)", ["pressure loss: 12 psi [in 15 s] (max 5)"]),
        ("idle speed, hot, A/C on 760 rpm (700 to 850)", ["idle speed: 760 rpm [hot, A/C on] (700 to 850)"]),
        ("LF pad 4 mm (min 3), RF pad 2 mm (min 3)",
         ["pad, left front: 4 mm (min 3)", "pad, right front: 2 mm (min 3)"]),
        ("2-3 mm of play", ["play: 2-3 mm"]),
        ("voltage drops to 9 V", ["voltage: 9 V"]),
    ],
)  # fmt: skip
def test_readings(text: str, stated: list[str]) -> None:
    draft = one(f"found: {text}")
    assert said(draft.fact) == stated
    assert draft.remarks == ()


@pytest.mark.parametrize(
    ("bracket", "limits"),
    [
        ("min 22.0", Limits(low="22.0")), ("MAX 0.05", Limits(high="0.05")), ("22.0 to 24.0", Limits("22.0", "24.0")),
        ("-3 to 0 per maker", Limits("-3", "0", source="maker")), ("22-24 mm", Limits("22", "24")),
        ("22 – 24", Limits("22", "24")), ("9.6 +/- 0.2", Limits(nominal="9.6", tol="0.2")),
        ("9.6 ± 0.2 mm per law", Limits(nominal="9.6", tol="0.2", source="law")),
        ("min 3, spread 25 %", Limits(low="3", spread="25", spread_unit="%")),
        ("spread 2", Limits(spread="2", spread_unit="mm")), ("min 3, max 4", Limits("3", "4")),
        ("max 1,500", Limits(high="1500")), ("spec 3", Limits(nominal="3")),
        ("min 1 1/2 per data plate, hot", Limits("1 1/2", source="data plate")),
        ('min 3 per "plate (front)"', Limits("3", source="plate (front)")),
    ],
)  # fmt: skip
def test_limits(bracket: str, limits: Limits) -> None:
    fact = one(f"found: gap 4 mm ({bracket})").fact
    assert isinstance(fact, Found)
    (measured,) = fact.measurements
    assert (measured.value, measured.unit, measured.limits) == ("4", "mm", limits)


@pytest.mark.parametrize(
    ("text", "question", "place"),
    [
        ("no 12 V (min 11)", "Which reading do these limits judge?", "(min 11)"),
        ("pads fine (min 3)", "Which reading do these limits judge?", "(min 3)"),
        ("leak-down 3 62 % (max 20)", "was not read", "3 62 %"),
        ("pads 4 mm (min 3, min 4)", "not understood", "4 mm (min 3, min 4)"),
        ("pads 4 mm (3 or so)", "not understood", "4 mm (3 or so)"),
        ("cyl 1-6 410 405 398 psi (min 350)", "6 positions and 3 values", "cyl 1-6 410 405 398 psi"),
    ],
)
def test_in_doubt_no_reading_and_a_question(text: str, question: str, place: str) -> None:
    draft = one(f"found: {text}")
    assert draft.fact == Found(what=text)
    assert any(question in words and piece == place for words, piece in asked(draft)), draft.remarks


@pytest.mark.parametrize(
    ("text", "stated", "question", "place"),
    [
        ("pads 4 mm (min 3 psi)", ["pads: 4 mm"], "in the unit of these limits", "(min 3 psi)"),
        ("length 10 in (min 1 m, max 50 in)", ["length: 10 in"], "Several limits", "(min 1 m, max 50 in)"),
        ("level 2 mm (0 to 3) under mark", ["level under mark: 2 mm"], "Above or below the mark?", "2 mm (0 to 3)"),
    ],
)  # fmt: skip
def test_limits_in_doubt_judge_nothing_and_hold_the_signature(
    text: str, stated: list[str], question: str, place: str
) -> None:
    draft = one(f"found: {text}")
    assert said(draft.fact) == stated
    assert [(question in words, piece) for words, piece in asked(draft)] == [(True, place)]
    assert [remark.blocks for remark in draft.remarks] == [True]


def test_a_figure_without_a_unit_beside_its_limits_is_asked_for_it() -> None:
    draft = one("found: pads 4 (min 3)")
    assert said(draft.fact) == ["pads: 4 (min 3)"]
    assert asked(draft) == [("In which unit is this?", "4")]


def test_a_pad_without_limits_beside_one_that_has_them_is_asked_about() -> None:
    draft = one("found: pads 5 mm (min 3) RF 2 mm")
    assert said(draft.fact) == ["pads: 5 mm (min 3)", "pads, right front: 2 mm"]
    assert asked(draft) == [("Do the limits behind hold for this reading too?", "2 mm")]


@pytest.mark.parametrize(
    ("text", "stated"),
    [
        ("m = 12.3 g", ["m: 12.3 g"]),
        ("t = 30.2 °C", ["t: 30.2 °C"]),
        ("L = 10.234 m", ["L: 10.234 m"]),
        ("L = 10 m 23.4 cm", ["L: 1023.4 cm"]),
        ("angle = 30° 22' 8\"", ["angle: 30 83/225 deg"]),
        ("a 10 kΩ resistor", []),
        ("a 35-millimetre film", []),
    ],
)
def test_values_of_quantities_as_the_si_brochure_writes_them(text: str, stated: list[str]) -> None:
    """Examples of the SI Brochure (BIPM), formatting the value of a quantity: section 5.3.3 of the 8th edition.

    A degree is 60 minutes and 3600 seconds of arc (the same, table 8): 22 minutes and 8 seconds are 83/225 of one.
    """
    draft = one(f"found: {text}")
    assert said(draft.fact) == stated
    assert draft.remarks == ()
