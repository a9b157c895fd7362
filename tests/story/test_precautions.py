"""What to heed before work: every row is whole, is called for by its words, and by nothing near them.

The rows restate public rules named in their source column; which were read and which come from memory stands in the
standing column.
"""

import re
from dataclasses import replace
from datetime import date

import pytest

from support.tickets import ticket_of
from ticket.cli.ticket_commands import before_lines
from ticket.job.case import Case, Settings
from ticket.screens.ticket_rows import ticket_rows
from ticket.screens.ticket_view import TicketView
from ticket.story.facts.concerns import states
from ticket.story.precautions import STANDING, cautions_for, precautions

CALLED = {
    "high-voltage": ("offer: isolate high-voltage system", "offer: replace high tension cable"),
    "high-voltage-people": ("did: replace inverter", "did: replace convertor"),
    "high-voltage-moving": ("note: hybrid, to be towed in", "note: to be towed in"),
    "airbag": ("offer: replace clock spring", "offer: replace seat cover"),
    "raised": ("offer: replace middle muffler", "offer: replace horn"),
    "lift": ("did: look at it on the lift", "did: replace tailgate lift strap"),
    "held-badly": ("did: set it on axle stands", "did: level the seat"),
    "fuel": ("did: replace fuel hose", "did: replace fuel cap"),
    "full-throttle": ("found: fuel pressure, full load 41 psi", "found: fuel pressure 41 psi"),
    "engine-running": ("proof: idle run 5 min, dry", "proof: horn sounds"),
    "exhaust-indoors": ("found: dry after 15 min at idle", "found: dry after 15 min"),
    "carbon-monoxide": ("found: carbon monoxide in the cabin 4 ppm", "found: smell in the cabin"),
    "hot": ("did: replace thermostat", "did: replace door handle"),
    "brake-dust": ("offer: replace front pads", "offer: replace mirror"),
    "refrigerant": ("offer: recharge A/C", "offer: replace blower"),
    "used-oil": ("did: change engine oil", "did: check engine oil level"),
    "used-coolant": ("did: replace pump, refill coolant", "did: read coolant level"),
    "used-fluid": ("did: refill and bleed steering", "did: read fluid level"),
    "battery": ("did: charge battery", "did: clean hybrid battery fan, replace filter"),
    "air-suspension": ("did: replace air spring", "did: replace air filter"),
    "tire-inflate": ("offer: replace rear tires", "offer: replace air filter, rotate tires"),
    "paint": ("did: paint the bumper", "did: clean the bumper"),
    "wheel-refit": ("did: rotate tires", "did: rotate the mirror"),
    "glass-camera": ("did: replace windshield", "did: replace rear window"),
}


def case_of(*lines: str, status: str = "open") -> Case:
    return Case(replace(ticket_of(lines), status=status), Settings(), date(2026, 3, 2))


def ids(*lines: str) -> set[str]:
    return {called.precaution.id for called in cautions_for(case_of(*lines))}


@pytest.mark.parametrize("name", [row.id for row in precautions()])
def test_a_row_is_called_for_by_its_words_and_not_by_those_beside_them(name: str) -> None:
    calling, other = CALLED[name]
    assert name in ids(calling)
    assert name not in ids(other)


def test_every_row_is_whole_and_defers() -> None:
    for row in precautions():
        assert row.source, row.id
        assert row.standing in STANDING, row.id
        assert re.match(r"(Before you |Before it )[^:]+: ", row.words), row.id


def test_the_gravest_rows_hold_the_point_of_their_rules() -> None:
    # HSE INDG434 (stands), 29 CFR 1910.1001 appendix F (brake dust), 40 CFR 82.34 (refrigerant), 40 CFR 279.22
    # (used oil), 29 CFR 1910.177 (rims): the rows that name them hold their point.
    words = {row.id: row.words for row in precautions()}
    assert "never under a jack alone" in words["raised"]
    assert "asbestos" in words["brake-dust"]
    assert "no dry brushing" in words["brake-dust"]
    assert "no venting" in words["refrigerant"]
    assert "marked Used Oil" in words["used-oil"]
    assert "nobody in front" in words["full-throttle"]
    assert "prove dead" in words["high-voltage"]
    assert "cage" in words["tire-inflate"]
    assert "outdoors" in words["exhaust-indoors"]


def test_they_are_shown_until_the_work_is_ready() -> None:
    lines = ("says: grinding noise", "found: LF pad 1.9 mm (min 3.0)", "offer: replace front pads; for 2")
    case = case_of(*lines)
    shown = "\n".join(before_lines(case))
    assert "[3] Before you lift it: never under a jack alone" in " ".join(shown.split())
    page = "\n".join(row.text for row in ticket_rows(TicketView(case, states(case), ()), 80))
    assert page.startswith("!")
    assert page.index("Before you lift it: ") < page.index("says  “grinding noise”")
    assert "(and 2 more: F1)" in " ".join(page.split())
    assert cautions_for(case_of(*lines, status="ready")) == ()
