"""Short forms are spelled out only where one meaning holds; everywhere else they stay as typed."""

import pytest

from ticket.language.cutting import cut
from ticket.language.shortforms import resolve, spell, table

# typed, kind of line, told. Common practice, no source.
SPELLED = [
    ("rt 8mi, quiet", "proof", "Road test 8 mi, quiet."),
    ("rt mirror loose", "found", "Right mirror loose."),
    ("wheel brg rt side", "found", "Wheel bearing right side."),
    ("R&R starter", "did", "Replaced starter."),
    ("r/r water pump", "did", "Replaced water pump."),
    ("R&I dash", "did", "Removed and reinstalled dash."),
    ("bulb LF n/g", "found", "Bulb left front no good."),
    ("lf tire worn", "found", "Left front tire worn."),
    ("n/s mirror, o/s wiper", "found", "Nearside mirror, offside wiper."),
    ("L 4 mm, R 5 mm", "found", "Left 4 mm, right 5 mm."),
    ("rr bumper loose", "found", "Rear bumper loose."),
    ("rr shock wet", "found", "Right rear shock wet."),
    ("oil chg", "found", "Oil change."),
    ("chg port hot", "found", "Charge port hot."),
    ("cam screen dark", "found", "Camera screen dark."),
    ("cam sensor dead", "found", "Camshaft sensor dead."),
    ("w/ new bolts", "did", "With new bolts."),
    ("mold@seam", "found", "Mold at seam."),
    ("stuck at 3 deg C", "found", "Stuck at 3 °C."),
    ("FAN RELAY STUCK", "found", "Fan relay stuck."),
    ("egt2 open", "found", "Exhaust temperature sensor 2 open."),
    ("starter 9.1 V (9.6 min)", "found", "Starter 9.1 V (9.6 minimum)."),
    ("MAF sensor dirty", "found", "Air-flow sensor dirty."),
]

KEPT = [
    ("shifts into R hard", "found", "Shifts into R hard.", "a gear"),
    ("L connector wet", "did", "L connector wet.", "no measuring line and no side word: it may be a name"),
    ("6/32 l", "found", "6/32 l.", "no liters behind a fraction"),
    ("speed 40/min", "found", "Speed 40/min.", "a rate stays a rate"),
    ("1,240 rpm", "found", "1,240 rpm.", "one number"),
    ("hv+ clip off", "found", "High-voltage+ clip off.", "a pole, no and"),
    ("R&R mirror later", "says", "R&R mirror later.", "no work line"),
    ("INT light on", "note", "Interior light on.", "before light it is certain"),
    ("motor open, OL on meter", "found", "Motor open, OL on meter.", "out of the meter's range, no loop"),
    ("alt plug & B+ cable", "found", "Alternator plug and B+ cable.", "a cable may be of either end"),
    ("ext int dirty", "found", "Ext int dirty.", "several meanings"),
]


@pytest.mark.parametrize(("typed", "where", "told"), SPELLED, ids=[row[0] for row in SPELLED])
def test_a_short_form_is_spelled_out_where_its_row_holds(typed: str, where: str, told: str) -> None:
    assert spell(typed, where) == told


@pytest.mark.parametrize(("typed", "where", "told", "why"), KEPT, ids=[row[0] for row in KEPT])
def test_a_short_form_stays_where_it_may_be_another_thing(typed: str, where: str, told: str, why: str) -> None:
    assert spell(typed, where) == told, why


def test_no_stop_is_added_twice_and_an_empty_line_stays_empty() -> None:
    assert spell("seal dry.", "found") == "Seal dry."
    assert spell("why?", "found") == "Why?"
    assert spell("", "found") == ""


def test_every_row_has_conditions_that_are_known() -> None:
    pieces = cut("a", "found")
    for typed, held in table().items():
        for row in held:
            assert "?" not in row.meaning, typed
        resolve(cut(f"{typed} 3 {typed}", "found"), "found")  # an unknown condition raises
    assert pieces


def test_no_two_rows_of_one_form_hold_everywhere() -> None:
    for typed, held in table().items():
        free = [row.meaning for row in held if not row.where and row.meaning]
        assert len(set(free)) <= 1, typed
