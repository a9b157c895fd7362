"""What jobs with a code turned out to be, and what becomes of deferred work, from the shell."""

import json
from pathlib import Path

import pytest

from ticket.cli import main


@pytest.fixture(autouse=True)
def chosen(demo: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TICKET_DB", str(demo))


def say(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    code = main(arguments)
    out = capsys.readouterr()
    return code, out.out, out.err


def test_before_counts_causes_work_and_come_backs(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = say(capsys, "before", "P0562-16")
    assert code == 0
    flat = " ".join(out.split())
    assert flat.startswith("P0562-16 before: 3 finished jobs; worn belt tensioner lets the drive belt slip 1")
    assert "apart: 1 not finished" in flat
    assert "not finished, not counted: 1023" in flat
    found = json.loads(say(capsys, "before", "p0562", "16", "--json")[1])
    assert [outcome["jobs"] for outcome in found["causes"]] == [[1019], [1015], [1002]]
    assert (found["jobs"], found["total"], found["still_open"]) == ([1019, 1015, 1002], 3, [1023])
    assert found["came_back"] == []
    back = json.loads(say(capsys, "before", "P0455", "--json")[1])
    # Opened June 9 and July 14, 2026, the same plate: 35 days by the calendar, within the 90 of the demo shop.
    assert [(item["job"], item["by"]) for item in back["came_back"]] == [(1006, 1010)]
    assert 33 <= back["came_back"][0]["days"] <= 35
    wanted = {"text": "fuel cap does not seal", "jobs": [1006], "came_back": [1006]}
    assert wanted.items() <= back["causes"][1].items()
    assert (back["causes"][1]["held"]["back"], back["causes"][1]["held"]["watched"]) == (1, 1)


def test_another_sub_code_is_said_to_be_another(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = json.loads(say(capsys, "before", "P0562-1C", "--json")[1])
    assert (found["exact"], len(found["jobs"])) == (False, 3)
    assert (
        "P0562-1C before: no job; P0562 with another sub-code: 3 finished jobs" in say(capsys, "before", "P0562-1C")[1]
    )
    assert say(capsys, "before", "P2A00")[1].strip() == "P2A00 before: no past jobs."
    code, _, error = say(capsys, "before", "rattle")
    assert (code, error.count("\n")) == (2, 1)


def test_deferred_work_is_followed_up_and_becomes_a_ticket(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    items = json.loads(say(capsys, "due", "--json")[1])
    item = items[0]
    name = f"{item['ticket']}/{item['entry']}"
    assert say(capsys, "due", name, "--date", "2027-02-01", "--note", "after [/x] \x1b[31mholidays")[0] == 0
    assert say(capsys, "due", name, "--call", "--note", "left word")[0] == 0
    now = {f"{i['ticket']}/{i['entry']}": i for i in json.loads(say(capsys, "due", "--json")[1])}
    assert now[name]["date"] == "2027-02-01", "a call keeps the day that was agreed"
    assert now[name]["followed"].endswith(": left word")
    assert "\x1b" not in say(capsys, "due")[1]
    opened = json.loads(say(capsys, "due", name, "--ticket", "--json")[1])["number"]
    ticket = json.loads(say(capsys, "show", str(opened), "--json")[1])
    assert ticket["header"]["vehicle"]["label"] == item["vehicle"]
    assert ticket["entries"][0]["fact"]["refs"] == [{"no": item["entry"], "ticket": item["ticket"]}]
    assert say(capsys, "due", name, "--done")[0] == 0
    assert name not in {f"{i['ticket']}/{i['entry']}" for i in json.loads(say(capsys, "due", "--json")[1])}
    assert say(capsys, "audit", "--deep")[0] == 0


@pytest.mark.parametrize(
    "arguments",
    [("2107", "--call"), ("9999/1", "--call"), ("1020/1", "--done"), ("1020/99", "--ticket"), ("--call",), ("1020/9",),
     ("1020/1", "--date", "Friday")],
)  # fmt: skip
def test_what_cannot_be_followed_up_is_said_in_one_line(
    demo: Path, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...]
) -> None:
    code, out, error = say(capsys, "due", *arguments)
    assert (code, out, error.count("\n")) == (2, "", 1)


def test_a_narrow_look_finds_the_same_due_work(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    everything = json.loads(say(capsys, "due", "--json")[1])
    for day in ("2026-06-01", "2026-11-25", "2027-03-01", "2030-01-01"):
        wanted = [item for item in everything if item["date"] and item["date"] <= day]
        assert json.loads(say(capsys, "due", "--until", day, "--json")[1]) == wanted


def test_work_that_costs_nothing_is_said_to_be_free(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("TICKET_DB", str(tmp_path / "free.db"))
    assert say(capsys, "new", "--vehicle", "Corvane Alder")[0] == 0
    free, costly = (
        "later: look at the hose; may wait; in 500 mi; est 0",
        "later: swap the hose; do soon; in 900 mi; est 40",
    )
    assert say(capsys, "add", "1", free, costly)[0] == 0
    due = " ".join(say(capsys, "due")[1].split())
    assert ("free of charge" in due, "about $40" in due, "$0" in due) == (True, True, False)
    paper = say(capsys, "paper", "1")[1].splitlines()
    assert [line.split("  ")[-1].strip() for line in paper if line.startswith(("Look at", "Swap"))] == ["free", "$40"]
    assert any("within 900 mi" in line.replace("\u00a0", " ") for line in paper), (
        "what is pressing comes before, not after"
    )
    assert "gratis" in say(capsys, "paper", "1", "--language", "es")[1]
