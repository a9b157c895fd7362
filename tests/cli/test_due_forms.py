"""The list of deferred work as JSON, as a table and as a calendar; each is read back by another reader than ours."""

import csv
import io
import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar
from jsonschema import Draft202012Validator

from ticket.cli import main
from ticket.job.ticket import Customer, Header, Vehicle
from ticket.job.values import Quantity
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.deferred import follow_up
from ticket.shop.opening import Shop

SCHEMA = json.loads((Path(__file__).parents[2] / "schemas" / "due.json").read_text(encoding="utf-8"))
NOW = "2026-03-02T14:10:00+00:00"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "shop.db"
    for name, value in (("TICKET_DB", str(path)), ("TICKET_PERSON", "K. Orlo"), ("TICKET_NOW", NOW)):
        monkeypatch.setenv(name, value)
    with Shop.open(path, "K. Orlo") as opened:
        header = Header(Vehicle("2019 Corvane Petrel", "", "GRN 04"), Customer("Ada Fenn", "+1 555-0134"),
                        Quantity("90000", "mi"))  # fmt: skip
        number = new_ticket(opened, header)
        add_lines(opened, number, "later: =HYPERLINK(1); may wait; because @it seeps; risk: fan may stop; in 500 mi")
        add_lines(opened, number, "later: replace belt; by 2026-09-01; est 120")
        add_lines(opened, number, "later: grease pins; in 250 h")
    return path


def out(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(["due", *arguments]) == 0
    return capsys.readouterr().out


def test_json_keeps_its_schema(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    items = json.loads(out(capsys, "--json"))
    Draft202012Validator(SCHEMA).validate(items)
    assert [item["entry"] for item in items] == [1, 2, 3]
    assert (items[0]["state"], items[2]["hours"]) == ("open", "250 h")
    assert items[0]["earliest"] < items[0]["date"] < items[0]["latest"]
    assert items[0]["thread"] == [
        {"ticket": 1, "entry": 1, "date": "2026-03-02", "reading": "90000 mi", "what": "put off"}
    ]


def test_a_table_starts_no_formula(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Cells a spreadsheet would take for a formula begin with an apostrophe (OWASP, CSV Injection; from memory)."""
    rows = list(csv.DictReader(io.StringIO(out(capsys, "--as", "csv"), newline="")))
    assert [row["text"] for row in rows] == ["'=HYPERLINK(1)", "replace belt", "grease pins"]
    assert (rows[0]["because"], rows[0]["phone"]) == ("'@it seeps", "'+1 555-0134")
    assert not any(cell[:1] in ("=", "+", "-", "@") for row in rows for cell in row.values())


def events(text: str) -> dict[str, tuple[date, str, int]]:
    calendar: Any = Calendar.from_ical(text)
    return {
        str(event["uid"]): (event.decoded("dtstart"), str(event.get("status", "")), event.decoded("sequence"))
        for event in calendar.walk("VEVENT")
    }


def test_a_calendar_updates_instead_of_doubling(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One UID for good, SEQUENCE rising, whole days, settled work cancelled (RFC 5545 3.8.4.7, 3.8.7.4, 3.8.1.11)."""
    first = events(out(capsys, "--as", "ics"))
    assert len(first) == 2  # hours of a vehicle that counts miles have no day
    with Shop.open(shop, "K. Orlo") as opened:
        follow_up(opened, 1, 1, "new date", day="2026-05-01")
        follow_up(opened, 1, 2, "declined")
    second = events(out(capsys, "--as", "ics"))
    assert set(first) == set(second)
    moved, gone = sorted(second, key=lambda uid: second[uid][1])
    assert second[moved][:2] == (date(2026, 5, 1), "")
    assert second[gone][1] == "CANCELLED"
    assert all(second[uid][2] > first[uid][2] for uid in first)


def test_within_names_what_to_call_about(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """500 miles at 29.3 a day (its age at the first reading) fall due on March 18, risky work is called for at once."""
    for within, entries in (("30d", [1]), ("6 weeks", [1]), ("7 months", [1, 2])):
        assert [item["entry"] for item in json.loads(out(capsys, "--within", within, "--json"))] == entries
    (item,) = json.loads(out(capsys, "--within", "1d", "--json"))
    assert (item["call"], item["date"]) == ("2026-03-03", "2026-03-18")


def test_a_reminder_stays_told_behind_a_call_that_says_nothing(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with Shop.open(shop, "K. Orlo") as opened:
        follow_up(opened, 1, 1, "call", note="reminder sent by letter")
    out(capsys, "1/1", "--call")
    followed = json.loads(out(capsys, "--json"))[0]["followed"]
    assert followed.startswith("called (2026-03-02 by K. Orlo); before that called")
    assert followed.endswith("reminder sent by letter")
    out(capsys, "1/1", "--call", "--note", "calls back")
    assert json.loads(out(capsys, "--json"))[0]["followed"] == "called (2026-03-02 by K. Orlo): calls back"


def test_files_are_written_once(shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "calls.ics"
    out(capsys, "--as", "ics", "-o", str(target))
    assert events(target.read_text(encoding="utf-8"))
    assert main(["due", "--as", "ics", "-o", str(target)]) == 2
    out(capsys, "--as", "csv", "-o", str(target), "--force")
    assert target.read_text(encoding="utf-8").startswith("ticket,entry,")


def test_text_tells_interval_and_call(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = " ".join(out(capsys).split())
    assert "some time between 9 March and 12 April 2026; call on 2026-03-03" in text
    assert "no date or after 250 h" in text


def test_calibration_says_that_there_are_too_few(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "too few to tell" in out(capsys, "--calibration")
    facts = json.loads(out(capsys, "--calibration", "--json"))
    assert (facts["checks"], facts["factor"], facts["vehicles"]) == (0, 1.0, 1)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [(["--within", "soon"], "30d"), (["--as", "csv", "--json"], "not for both"), (["--within", "30 psi"], "30d")],
)
def test_wrong_use_is_one_clear_line(
    shop: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], said: str
) -> None:
    assert main(["due", *arguments]) == 2
    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1
