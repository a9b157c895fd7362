"""Figures are typed: kind with kind, digit for digit, and other units only by exact factors.

Unit factors are held against NIST Special Publication 811 (2008), appendix B, cited from memory and confirmed by
the unit table's own tests.
"""

from fractions import Fraction

import pytest

from support.faithful import check
from support.faithful.figures import scan
from support.faithful.language import load
from support.tickets import ticket_of

EN = load("en")


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("come back after 77 km", "quantity 77 km"),
        ("part 4410-77", "part number 4410-77"),
        ("rose 3 mm on 3 March", "quantity 3 mm; date ????-03-03"),
        ("on March 2, 2026 at 14:10", "date 2026-03-02; clock 14:10"),
        ("P0562 with sub-code 16", "code P0562; sub-code 16"),
        ("P0562-16", "code P0562; sub-code 16"),
        ("SPN 102 FMI 18 active, counted 14 times", "code SPN 102; sub-code FMI 18; count 14"),
        ("the total is $412.00", "money 412.00"),
        ("13.8 to 14.8 volts", "quantity 13.8 V; quantity 14.8 V"),
        ("0.06 volts, down from 2.1", "quantity 0.06 V; quantity 2.1 V"),
        ("0.03 mm (max 0.10 per maker)", "quantity 0.03 mm; quantity 0.10 mm"),
        ("cylinder 1 178 psi", "count 1; quantity 178 psi"),
        ("4 thousandths of an inch", "quantity 4 thou"),
        ("1 1/2 mm and 2/32 in", "quantity 1 1/2 mm; quantity 2/32 in"),
        ("cylinder 3 in the rail", "count 3"),
        ("lost 62% of its air", "quantity 62 %"),
        ("5W-30 oil, M8 bolt, 12V", "part number 5w-30; part number m8; quantity 12 V"),
        ("both tires, five months", "count both; quantity five month"),
        ("call 555-0134, 8:30-10:06", "phone 555-0134; clock 8:30; clock 10:06"),
        ("48-55 psi", "quantity 48 psi; quantity 55 psi"),
        ("0.4 +/- 0.1 qt", "quantity 0.4 qt; quantity 0.1 qt"),
        ("a 20-minute drive", "quantity 20 min"),
        ("١٢ volts, ½ turn", "part number ١٢; part number 1⁄2"),
        ("nothing here", ""),
    ],
)
def test_each_figure_has_its_kind(text: str, kinds: str) -> None:
    shown = [f"{one.kind} {one.text} {one.unit}".strip() for one in scan(text, EN)]
    assert "; ".join(shown).lower() == kinds.lower()


@pytest.mark.parametrize(
    ("typed", "told", "fits"),
    [
        ("road test 12 km", "We drove 12 km (7 miles).", True),  # 1 mi = 1.609344 km: 7.46
        ("road test 12 km", "We drove 12 km (8 miles).", False),
        ("road test 9 mi", "We drove 9 miles (14 km).", True),  # 14.48
        ("road test 9 mi", "We drove 14 km.", False),  # the typed figure must stand beside it
        ("fuel pressure 50 psi", "The fuel pressure was 50 psi (345 kPa).", True),  # 1 psi = 6.894757 kPa: 344.7
        ("fuel pressure 50 psi", "The fuel pressure was 50 psi (344 kPa).", False),
        ("coolant 91 degC", "The coolant was 91 °C (196 °F).", True),  # 195.8
        ("coolant 91 degC", "The coolant was 91 °C (195 °F).", False),
    ],
)
def test_a_converted_figure_stands_beside_the_typed_one_and_is_exact(typed: str, told: str, *, fits: bool) -> None:
    ticket = ticket_of([f"found: {typed}"])
    wrong = {one.rule for one in check(told, ticket.entries, ticket=ticket)} & {"F2", "F3"}
    assert wrong == (set() if fits else {"F3"})


@pytest.mark.parametrize("said", ["3 mm", "3.00 mm", "2.9 mm", "3.0 inches", "$3.0", "3.0 V"])
def test_digits_unit_and_kind_are_those_typed(said: str) -> None:
    ticket = ticket_of(["found: pad 3.0 mm"])
    assert {"F2", "F3"} & {one.rule for one in check(f"The pad was {said}.", ticket.entries, ticket=ticket)}
    assert not check("The pad was 3.0 mm.", ticket.entries, ticket=ticket)


def test_a_very_long_number_is_compared_letter_for_letter() -> None:
    digits = "7" * 6000
    assert [one.value for one in scan(f"{digits} mm", EN)] == [None]
    assert scan("7" * 40, EN)[0].value == Fraction(int("7" * 40))
