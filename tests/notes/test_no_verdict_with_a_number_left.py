"""Limits never call a line good while a number that was typed in it is held against nothing.

Each check stays true where such a line is one day read right instead of asked about: then every number stands in a
field, or the reading that is too small or too large is told so.
"""

import json
import random
import re
from pathlib import Path
from typing import Any

import pytest

from ticket.cli.main import main
from ticket.job.kinds import Fact, Found, Proof
from ticket.notes.read import read
from ticket.readings.inexact import text_of_value
from ticket.readings.measured_groups import groups
from ticket.readings.verdict import judge

DEMO = Path(__file__).parents[2] / "demo_jobs"

LINES = [
    # A condition behind the sign, two places, positions without a word of the notation, mixed numbers with a dash,
    # two readings parted by a stroke, places between readings: how they are typed is common practice, no source.
    "oil press 8psi @ 700rpm (min 10)",
    "hv isolation 0.2 Mohm @ 500 V (min 1)",
    "front pads 2 and 5 mm (min 3)",
    "tread n/s/f inner 1.4 mid 3.1 outer 3.8 mm (min 1.6)",
    "brake stroke LF 1-3/4 RF 1 7/8 LR 2-1/8 RR 2 in (max 2)",
    "cyl 1 120 2 125 3 60 4 122 psi (min 100)",
    "oil press 8 psi, 700 rpm (min 10)",
    "front pads 2, 5 mm (min 3)",
    "pads 5 mm (min 3) RF 2 mm",
    "insulation 0.2 Mohm 500 V (min 1)",
    "level 2 mm (0 to 3) under mark",
]


def fact_of(line: str) -> Found | Proof:
    (draft,) = read(line)
    assert isinstance(draft.fact, Found | Proof)
    return draft.fact


def all_good(fact: Fact) -> bool:
    """Whether each reading is told to be within its limits."""
    assert isinstance(fact, Found | Proof)
    held = groups(fact)
    return bool(held) and all(verdict.word == "in" for group in held for verdict in judge(group.run))


def held(fact: Found | Proof) -> str:
    """All that a reader of the facts sees as values, limits, positions, names or conditions."""
    shown: list[str] = []
    for one in fact.measurements:
        limits = one.limits
        shown += [text_of_value(one), *one.at, *(fact.what[span.start : span.end] for span in one.when)]
        shown += re.findall(NUMBERED, " ".join(fact.what[span.start : span.end] for span in one.of))
        shown += [limits.low, limits.high, limits.nominal, limits.tol, limits.spread] if limits else []
    return " ".join([*shown, fact.seen])


NUMBERED = (
    r"\b(?:pin|cyl|sensor|fuse|bank|socket|plug|channel|relay|valve|coil|pump|door|motor|wire) [0-9]+\b"
    r"|\b[0-9.]+ V (?:resistor|system)\b"
)
"""A thing that has a number or a rating for a name: common practice, no source."""


@pytest.mark.parametrize("line", LINES)
def test_a_line_with_a_number_left_over_is_not_judged_in_limits(line: str) -> None:
    assert not all_good(fact_of(f"found: {line}"))
    assert not all_good(fact_of(f"proof: 3 now {line}"))


@pytest.mark.parametrize("line", LINES)
def test_nor_does_the_command_that_holds_a_reading_against_its_limits(
    capsys: pytest.CaptureFixture[str], line: str
) -> None:
    assert main(["check", line, "--json"]) != 0
    said = capsys.readouterr().out
    rows = json.loads(said) if said else []
    for row in rows if isinstance(rows, list) else [rows]:
        assert row["value"] not in ("700", "6/5")
        assert row["value"] != "500" or row["verdict"] == "none"


@pytest.mark.parametrize("line", LINES)
def test_a_signed_paper_never_holds_it_as_good(database: Path, capsys: pytest.CaptureFixture[str], line: str) -> None:
    """Shown as facts, the entry either has no limits at all or a reading that is outside of them."""
    arguments = ["--db", str(database)]
    assert main([*arguments, "new", "--vehicle", "Corvane Alder", "--odometer", "48,210 mi"]) == 0
    assert main([*arguments, "add", "1", f"found: {line}", "--accept"]) == 0
    capsys.readouterr()
    assert main([*arguments, "show", "1", "--json"]) == 0
    entries: list[dict[str, Any]] = json.loads(capsys.readouterr().out)["entries"]
    measured = entries[-1]["fact"].get("measurements", [])
    words = [v.get("word", "") for v in entries[-1].get("verdicts", [])]
    assert not measured or any(word != "in" for word in words) or len(words) < len(measured)
    assert main([*arguments, "gaps", "1"]) == 1  # in doubt or out of limits: never "nothing is missing"


@pytest.mark.parametrize(
    "line",
    [
        "A/C on, 1500 rpm 12 psi (10 to 40)",
        "after 10 min 45 psi (min 40)",
        "oil pressure at 700 rpm, 18 psi (min 10)",
        "pin 2 12.3 V (min 11.5)",
        "cyl 1-3 410 405 398 psi (min 350)",
        "tread 5/32 in (min 2/32)",
        "rod 1 7/8 in (max 2)",
        "M8 bolt 22 Nm (min 20)",
        "pads LR 6/5 mm (min 3)",
    ],
)
def test_a_line_whose_numbers_are_all_clear_keeps_its_verdict(line: str) -> None:
    assert all_good(fact_of(f"found: {line}"))


def _demo_lines() -> list[str]:
    """The findings of the demo jobs, with limits so wide that whatever is read as the reading is within them."""
    lines = []
    for path in sorted(DEMO.glob("1*.json")):
        for entry in json.loads(path.read_text("utf-8"))["entries"]:
            fact = entry["fact"]
            if entry["kind"] == "found" and fact.get("run") and fact["run"].get("unit"):
                values = " ".join(f"{v.get('label', '')} {v['number']}".strip() for v in fact["run"]["values"])
                seen = f", {fact['seen']}" if fact.get("seen") else ""
                lines.append(f"{fact.get('what', '')} {values} {fact['run']['unit']} (-99,999 to 99,999){seen}")
    return lines


def _spliced(chance: random.Random, line: str) -> tuple[str, str]:
    """A line of the demo with a number put in somewhere before its last word, and that number."""
    number = chance.choice(["7.31", "731", "7", "73", "0.731", "7/31", "7-3/4"])
    sign = chance.choice(["", "", "@ ", "/ ", "and ", "- ", "x ", "~", "+ ", "or ", "vs "])
    unit = chance.choice(["", "", " mm", " V", "psi", " rpm", " ohm", " A", " degF", "%", " in"])
    spaces = [match.start() for match in re.finditer(" ", line)]
    at = chance.choice(spaces)
    return f"{line[:at]} {sign}{number}{unit}{line[at:]}", number


@pytest.mark.slow
def test_a_thousand_lines_with_a_number_put_in_are_never_in_limits_while_it_stands_in_the_words_alone() -> None:
    lines = _demo_lines()
    chance = random.Random(20260302)
    assert len(lines) > 20
    good, bad = 0, []
    for _ in range(1000):
        line, number = _spliced(chance, chance.choice(lines))
        fact = fact_of(f"found: {line}")
        if not all_good(fact):
            continue
        good += 1
        shown = held(fact)
        if (
            number not in shown
            and not all(part in shown for part in re.split("[-/]", number))
            and f"vs {number}" not in line
        ):
            bad.append((line, fact.measurements))
    assert bad == []
    assert good > 20  # the check sees lines that are judged at all
