"""Limits that are put into words, given in turn, or shared: common practice of the trade, no source for the lines.

What each line means is arithmetic: the verdict is that of the figure against the bound the words name.
"""

from typing import Any

import pytest

from ticket.notes.meaning import meaning_of
from ticket.notes.read import read


def judged(line: str) -> list[tuple[str, str | None, str | None, str]]:
    """Value, least, largest and verdict of every reading of a line."""
    said = meaning_of(read(line))["measurements"]
    return [(one["value"], one["low"], one["high"], one["verdict"]) for one in said]


def asks(line: str) -> bool:
    said: dict[str, Any] = meaning_of(read(line))
    return bool(said["questions"] or said["unread"])


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        # a sign, and how often the words of the part say no
        ("kickdown cable 4.4 mm, gets binned over 4", [("4.4", None, "4", "high")]),
        ("reserve tank 11.1 V, nothing under 12 will do", [("11.1", "12", None, "low")]),
        ("hoist motor 96 A, shouldn't go past 80", [("96", None, "80", "high")]),
        ("hoist motor 76 A, should stay below 80", [("76", None, "80", "in")]),
        ("gland leak 9 mL, no good over 5", [("9", None, "5", "high")]),
        ("trunnion wall 5.2 mm, we want it over 6", [("5.2", "6", None, "low")]),
        ("shackle 11 mm, never happy below 12", [("11", "12", None, "low")]),
        ("wedge 7 mm, toss them at 8", []),
        ("brake lining 7 mm, toss them at 8", [("7", "8", None, "low")]),
        ("governor 480 rpm, wants 500 to 520", [("480", "500", "520", "low")]),
        # what it needs is the least
        ("boost 0.9 bar, needs 1.1", [("0.9", "1.1", None, "low")]),
        # one limit of a time, a draw or a heat is the largest
        ("door closes in 7 s, limit 6", [("7", None, "6", "high")]),
        ("standby draw 62 mA, limit 50", [("62", None, "50", "high")]),
        # limits in turn
        (
            "oil 1.2 bar idle, 3.1 bar at 2500 rpm, min 1.0 and 3.5",
            [("1.2", "1", None, "in"), ("3.1", "3.5", None, "low")],
        ),
        (
            "exhaust 0.8 psi idle, 2.1 psi at 2500 rpm; max 1.0 idle, 2.0 at 2500",
            [("0.8", None, "1", "in"), ("2.1", None, "2", "high")],
        ),
        (
            "suction 2.0 bar discharge 11 bar, expect 1.5-2.5 and 12-16",
            [("2", "1.5", "2.5", "in"), ("11", "12", "16", "low")],
        ),
        # the other side of the same thing
        ("LR hub 41.2 mm, max 41.5, RR hub 41.8", [("41.2", None, "41.5", "in"), ("41.8", None, "41.5", "high")]),
        (
            "LF dual 6 bar; RF dual 8 bar; 7 plus or minus 0.5",
            [("6", "6.5", "7.5", "low"), ("8", "6.5", "7.5", "high")],
        ),
        ("supply 212 V, 230 +/- 6%", [("212", "216.2", "243.8", "low")]),
        ("ramp opens 4.4 s, closes 6.1, 5 max", [("4.4", None, "5", "in"), ("6.1", None, "5", "high")]),
        # what it was is held against the same limits
        ("vacuum leak 4 kPa, was 11, max 5", [("4", None, "5", "in"), ("11", None, "5", "high")]),
        (
            "idle 900 rpm before the clean, 720 after, 650-800 per book",
            [("900", "650", "800", "high"), ("720", "650", "800", "in")],
        ),
    ],
)  # fmt: skip
def test_a_bound_in_words_judges_as_it_says(line: str, wanted: list[tuple[str, str | None, str | None, str]]) -> None:
    assert [one for one in judged(line) if one[3] != "none"] == wanted


@pytest.mark.parametrize(
    "line",
    [
        # limits for one state say nothing of another, bare limits of two sizes belong to nobody, a need of less is none
        "battery 12.3 V at rest, 9.1 V cranking, should hold over 9.6",
        "supply 12.4 V, 40 A (min 12)",
        "n/s brake 10.4 kN o/s brake 10.1, imbalance 3 %, max 25",
        "hot tyre 7.9 bar, cold spec 7.2-7.6",
        "bush play 3 mm, needs 1",
        "tester 28 psi leak, limit 30",
        "coolant -18 C, need 25",
        "sump 45 psi, rail 60 psi, min 50",
        "relief opens 180 psi closes 140 psi, 150 min",
        "loses 4 psi in 2 min, limit 2/min",
        "pads LF 4 LR 3 mm (min 2), spare set 7",
    ],
)
def test_what_the_words_leave_open_is_never_in_limits_for_all(line: str) -> None:
    verdicts = [verdict for *_, verdict in judged(line)]
    assert "in" not in verdicts or asks(line)


def test_a_limit_for_cranking_never_passes_a_battery_at_rest() -> None:
    for line in ("battery 12.4 V sitting, drags down to 8.9 cranking, no good under 9.6",
                 "battery 12.3 V at rest, 9.1 V cranking, should hold over 9.6"):  # fmt: skip
        assert [one for one in judged(line) if one[3] == "in"] == []
