"""Each piece of a typed line says what it was read as; pieces never overlap and never reach beyond the line."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.facts import PIECES
from ticket.job.entry import ROLES
from ticket.notes.line_roles import roles_of
from ticket.notes.read import read


def roles(line: str) -> list[tuple[str, str]]:
    return [(line[role.start : role.end], role.word) for role in roles_of(read(line)[-1])]


@pytest.mark.parametrize(
    ("line", "pieces"),
    [
        (
            "found: drive pressure bled 14 bar at 700 rpm (12 to 18), LF inner pad 1.9 mm (min 3.0)",
            [
                ("found:", "lead"), ("14 bar", "reading"), ("at 700 rpm", "condition"), ("(12 to 18)", "limit"),
                ("LF", "position"), ("inner", "position"), ("1.9 mm", "reading"), ("(min 3.0)", "limit"),
            ],
        ),
        ("used: 0.9 L washer fluid @ 21.40/L", [("used:", "lead"), ("0.9 L", "taken"), ("@ 21.40/L", "taken")]),
        ("code: P1A30-7B fan control, stored", [("code:", "lead"), ("P1A30-7B", "taken"), ("stored", "taken")]),
        (
            "later: replace shaft seal; may wait; because it may have seeped; in 1500 km or 2 months; est 640",
            [
                ("later:", "lead"), ("may wait", "taken"), ("because", "taken"), ("in 1500 km or 2 months", "taken"),
                ("est 640", "taken"),
            ],
        ),
        ("# seal kit is a two-day order", []),
        ("drive belt tight, no cracks", []),
    ],
)  # fmt: skip
def test_pieces_of_a_line(line: str, pieces: list[tuple[str, str]]) -> None:
    assert roles(line) == pieces


@given(st.lists(st.sampled_from(PIECES) | st.text(max_size=8), max_size=8).map(" ".join))
def test_pieces_stand_in_the_line_and_apart(line: str) -> None:
    for draft in read(line):
        end = 0
        for role in roles_of(draft):
            assert end <= role.start < role.end <= len(draft.line)
            assert role.word in ROLES
            end = role.end
