"""Readings and their limits: what judges what, and what is asked instead of guessed."""

import pytest

from support.facts import in_parts, run_of
from ticket.job.entry import Draft
from ticket.job.kinds import Fact, Found
from ticket.job.values import Limits, Run, Value
from ticket.notes.read import read


def one(line: str) -> Draft:
    (draft,) = read(line)
    return draft


def run(unit: str, *values: str | tuple[str, str], **limits: str) -> Run:
    made = tuple(Value(item) if isinstance(item, str) else Value(item[1], item[0]) for item in values)
    return Run(made, unit, Limits(**limits) if limits else None)


def asked(draft: Draft) -> str:
    return " ".join(remark.text for remark in draft.remarks)


@pytest.mark.parametrize(
    ("text", "fact"),
    [
        ("play 0.3 mm (max 0.2 mm) at the hub",
         Found(what="play", run=run("mm", "0.3", high="0.2"), seen="at the hub")),
        ("L 4 R 3 mm (min 2)", Found(run=run("mm", ("L", "4"), ("R", "3"), low="2"))),
        ("R 4 L 3 mm (min 2)", Found(run=run("mm", ("R", "4"), ("L", "3"), low="2"))),
        ("= R 4 L 3 mm", Found(run=run("mm", ("R", "4"), ("L", "3")))),
        ("oil 5 L, dark", Found(what="oil", run=run("L", "5"), seen="dark")),
        ("LF: 7, RF: 2 mm", Found(run=run("mm", ("LF", "7"), ("RF", "2")))),
        ("pads left front 4 right front 3 mm",
         Found(what="pads", run=run("mm", ("left front", "4"), ("right front", "3")))),
        ("bolt left 4 mm", Found(what="bolt left", run=run("mm", "4"))),
        ("pads LF metal RF 4 mm (min 2)", Found(what="pads", run=run("mm", ("LF", "metal"), ("RF", "4"), low="2"))),
        ("wiring OL kOhm", Found(what="wiring", run=run("kOhm", "OL"))),
        ("rail >550 V", Found(what="rail", run=run("V", ">550"))),
        ("insulation 0.21 megohm (min 1)", Found(what="insulation", run=run("megohm", "0.21", low="1"))),
        ("end play 1 1/2 mm", Found(what="end play", run=run("mm", "1 1/2"))),
        ("list 1 1 1/2 3 mm", Found(what="list", run=run("mm", "1", "1 1/2", "3"))),
        ("rest 12.6V(min 12.4)", Found(what="rest", run=run("V", "12.6", low="12.4"))),
        ("fluid 85 deg C, dark", Found(what="fluid", run=run("deg C", "85"), seen="dark")),
        ("cyl 172, 168, 170 psi", Found(run=run("psi", ("cyl 1", "172"), ("cyl 2", "168"), ("cyl 3", "170")))),
        ("cyl 1 120, cyl 2 125 psi", Found(run=run("psi", ("cyl 1", "120"), ("cyl 2", "125")))),
        ("leak-down 3 = 62 % (max 20)", Found(what="leak-down 3", run=run("%", "62", high="20"))),
        ("tape (see picture) 4 mm", Found(what="tape (see picture)", run=run("mm", "4"))),
        ('"12 V lamp" 4 A (max 5)', Found(what="12 V lamp", run=run("A", "4", high="5"))),
        ("after 10 min 45 psi (min 40)", Found(what="after 10 min", run=run("psi", "45", low="40"))),
    ],
)  # fmt: skip
def test_readings(text: str, fact: Fact) -> None:
    draft = one(f"found: {text}")
    assert in_parts(draft.fact) == in_parts(fact)
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
        ("max 1,500", Limits(high="1,500")),
        ("min 1 1/2 per data plate, hot", Limits("1 1/2", source="data plate, hot")),
        ('min 3 per "plate (front)"', Limits("3", source="plate (front)")),
    ],
)  # fmt: skip
def test_limits(bracket: str, limits: Limits) -> None:
    fact = one(f"found: gap 4 mm ({bracket})").fact
    assert isinstance(fact, Found)
    assert run_of(fact) == Run((Value("4"),), "mm", limits)


@pytest.mark.parametrize(
    ("text", "question"),
    [
        ("pads L 4 mm R 3 mm (min 2)", "Which number do these limits judge?"),
        ("rest 12.6 V at 20 degC (min 12.4)", "Which number do these limits judge?"),
        ("no 12 V (min 11)", "Which number do these limits judge?"),
        ("pads fine (min 3)", "Which number do these limits judge?"),
        ("pads 4 (min 3)", "Which number do these limits judge?"),
        ('drum 11" (max 11.06 in)', "Which number do these limits judge?"),
        ("leak-down 3 62 % (max 20)", "Which of 3 and 62 is the reading?"),
        ("level 0,9 L", "Is 0,9 meant as 0.9?"),
        ("cells " + "1.2 " * 17 + "V (min 1)", "more than 16"),
    ],
)
def test_in_doubt_no_reading_and_a_question(text: str, question: str) -> None:
    draft = one(f"found: {text}")
    assert draft.fact == Found(what=text)
    assert question in asked(draft)


@pytest.mark.parametrize("bracket", ["(min 3 psi)", "(spec 3)", "(min 3, min 4)", "(3 or so)"])
def test_a_bracket_that_is_no_limits_judges_nothing(bracket: str) -> None:
    draft = one(f"found: pads 4 mm {bracket}")
    assert in_parts(draft.fact) == in_parts(Found(what="pads", run=run("mm", "4"), seen=bracket))
    assert "not understood" in asked(draft)


def test_only_the_first_bracket_judges() -> None:
    draft = one("found: LF pad 4 mm (min 3), RF pad 2 mm (min 3)")
    assert in_parts(draft.fact) == in_parts(
        Found(what="LF pad", run=run("mm", "4", low="3"), seen="RF pad 2 mm (min 3)")
    )
    assert "line of its own" in asked(draft)


@pytest.mark.parametrize(
    ("text", "fact"),
    [
        ("m = 12.3 g", Found(what="m", run=run("g", "12.3"))),
        ("t = 30.2 °C", Found(what="t", run=run("°C", "30.2"))),
        ("L = 10.234 m", Found(what="L", run=run("m", "10.234"))),
        ("L = 10 m 23.4 cm", Found(what="L = 10 m 23.4 cm")),
        ("angle = 30° 22' 8\"", Found(what="angle = 30° 22' 8\"")),
        ("a 10 kΩ resistor", Found(what="a 10 kΩ resistor")),
        ("a 35-millimetre film", Found(what="a 35-millimetre film")),
    ],
)
def test_values_of_quantities_as_the_si_brochure_writes_them(text: str, fact: Fact) -> None:
    """Examples of the SI Brochure (BIPM), formatting the value of a quantity: section 5.3.3 of the 8th edition."""
    assert in_parts(one(f"found: {text}").fact) == in_parts(fact)
