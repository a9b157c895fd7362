"""`ticket forecast`: readings in, a day and an honest interval out; no ticket, no shop."""

import json

import pytest

from ticket.cli import main

A = ("2024-03-04=41200", "2024-09-12=46350", "2025-01-20=49,800 mi", "2025-06-30=54100", "2025-11-03=57650")


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    code = main(["forecast", *arguments])
    out = capsys.readouterr()
    return code, out.out, out.err


def readings(*texts: str) -> list[str]:
    return [part for text in texts for part in ("--reading", text)]


def test_worked_value_as_words_and_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    """3,000 miles of the worked vehicle: 2026-01-30, 02-11, 02-20, 03-18; risky work 01-23."""
    code, out, _ = run(capsys, *readings(*A), "--after", "3000mi")
    assert (code, out.splitlines()[0]) == (
        0, "3000 mi from 2025-11-03: about mid-February, between 26 January and 22 March 2026.",
    )  # fmt: skip
    facts = json.loads(run(capsys, *readings(*A), "--after", "3000 mi", "--json")[1])
    assert (facts["earliest"], facts["call"], facts["date"], facts["latest"]) == (
        "2026-01-30", "2026-02-11", "2026-02-20", "2026-03-18",
    )  # fmt: skip
    assert (facts["driving"], facts["unit"]) == ("own", "mi")
    risky = json.loads(run(capsys, *readings(*A), "--after", "3000mi", "--risky", "--json")[1])
    assert risky["call"] == "2026-01-23"


def test_kilometres_give_the_same_days(capsys: pytest.CaptureFixture[str]) -> None:
    miles = json.loads(run(capsys, *readings("2025-06-30=10000", "2025-11-03=13000"), "--after", "1000mi", "--json")[1])
    km = ("2025-06-30=16093.44 km", "2025-11-03=20921.472 km")
    there = json.loads(run(capsys, *readings(*km), "--after", "1609.344km", "--json")[1])
    assert [there[name] for name in ("earliest", "date", "latest", "call")] == [
        miles[name] for name in ("earliest", "date", "latest", "call")
    ]


def test_hours_of_a_machine(capsys: pytest.CaptureFixture[str]) -> None:
    meter = ("2025-03-03=1210h", "2025-06-10=1402.5h", "2025-09-15=1598h", "2026-01-12=1790h")
    facts = json.loads(run(capsys, *readings(*meter), "--after", "250h", "--json")[1])
    assert (facts["earliest"], facts["date"], facts["latest"]) == ("2026-04-26", "2026-06-06", "2026-08-02")


def test_without_readings_the_average_from_a_named_day(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "--after", "3000mi", "--from", "2025-11-03")
    assert code == 0
    assert "some time between 8 December 2025 and 4 October 2026" in out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--after", "500mi"], "From which day"),
        (["--after", "soon", "--from", "2025-11-03"], "soon"),
        (["--reading", "yesterday=5", "--after", "5mi"], "yesterday"),
        (["--reading", "57650", "--after", "5mi"], "write it as"),
        (["--reading", "2025-11-03=x", "--after", "5mi"], "'x'"),
        (["--reading", "2025-11-03=5", "--after", "5h"], "count a distance"),
    ],
)
def test_what_cannot_be_used_is_one_clear_line(
    capsys: pytest.CaptureFixture[str], arguments: list[str], said: str
) -> None:
    code, out, error = run(capsys, *arguments)
    assert (code, out, error.count("\n")) == (2, "", 1)
    assert said in error


def test_one_reading_of_a_machine_tells_no_day(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "--reading", "2025-11-03=1210h", "--after", "250h")
    assert code == 0
    assert "at least two readings" in out
