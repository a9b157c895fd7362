"""A ticket typed line by line: each line answered with its understanding and its one question, nothing drawn."""

import io
import json
from pathlib import Path

import pytest

from ticket.cli.main import main
from ticket.cli.parser import build_parser
from ticket.data import data_folder
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of

LINES = (
    "says: battery light flickers at idle",
    "code: P0562-16 engine computer, stored",
    "voltage drop alternator stud to B+ 2.1 V (max 0.2)",
    "told: Bo by phone, yes ok 14 whatever 99",
    ".undo",
    "did: replaced charge cable 0.9 h",
)


def talk(lines: tuple[str, ...], monkeypatch: pytest.MonkeyPatch, *arguments: str) -> int:
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
    return main(["talk", *arguments])


def test_a_new_ticket_is_talked_through_to_its_story(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert talk((*LINES, ".", "found: never read"), monkeypatch) == 0
    told = capsys.readouterr().out.split("\n")
    assert told[0].startswith("Ticket 1 ")
    assert "3, finding, concern A: " in told[3]
    assert told[3].endswith("High.")
    assert told[5].startswith("? What is 99?")
    assert told[6].startswith("Undone: ")
    assert any(line.startswith("? blocking") for line in told)
    assert any(line.endswith("Type .set vehicle ...") for line in told), "and how it is answered"
    assert any(line.startswith("In short: ") for line in told)
    assert "never read" not in "".join(told)


def test_what_was_typed_stands_on_the_ticket_and_nothing_is_drawn(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    database = tmp_path / "talk.db"
    talk(LINES, monkeypatch, "--db", str(database))
    assert "\x1b" not in capsys.readouterr().out
    with Shop.open(database) as shop:
        living = [entry.kind for entry in ticket_of(shop, 1).living]
    assert living == ["says", "code", "found", "did"]


def test_references_are_taken_with_a_plus_and_only_once(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = ("found: LF pad 1.9 mm (min 3.0)", "offer: replace LF pad; est 120", "+", "+", "A", ".nonsense")
    talk(lines, monkeypatch)
    told = capsys.readouterr().out.split("\n")
    assert "? Does it rest on 1? + takes it, or type 'for 1' yourself." in told
    assert any("for 1" in line and line.startswith("2  ") for line in told)
    assert "No references were offered for the last entry." in told
    assert any(line.startswith("There is no .nonsense.") for line in told)


def test_a_line_that_is_refused_is_one_sentence_and_the_talk_goes_on(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    talk((".undo", "found: pads worn"), monkeypatch)
    told = capsys.readouterr().out.split("\n")
    assert told[1].startswith("! ")
    assert told[2].startswith("1, finding")


def test_for_scripts_every_line_is_an_object_of_its_schema(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from support.schemas import validate

    talk((*LINES, "."), monkeypatch, "--json")
    schema = json.loads((data_folder("schemas") / "talk.json").read_text("utf-8"))
    objects = [json.loads(line) for line in capsys.readouterr().out.split("\n") if line]
    for one in objects:
        validate(one, schema)
    assert [one["id"] for one in objects if "id" in one] == [1, 2, 3, 4, 5]
    assert objects[3]["verdicts"] == ["high"]


def test_a_command_is_never_a_fact_and_the_head_can_be_typed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = (
        "vehicle: Corvane Alder", ".set plate fen-204", ".set odometer in 88200 mi", ".set customer 88200 mi",
        "battery dead every few days, started last week", "battery 9.1 V (min 9.6)", ".edit 2 battery 12.1 V (min 9.6)",
        ".set", ".strike 9", ".frob 3", "found: terminal loose", ".strike 3", "customer: Ada Fenn",
    )  # fmt: skip
    talk(lines, monkeypatch, "--db", str(tmp_path / "talk.db"))
    told = capsys.readouterr().out.split("\n")
    assert "What does the customer say?" in told[0]
    assert told[4] == "! customer 88200 mi: a distance, not a customer."
    assert told[5].startswith("1, complaint"), "what is typed first answers what was asked"
    assert told[7].startswith("2, finding")
    assert told[7].endswith("In limits.")
    assert told[8].startswith("! Which field?")
    assert told[9].startswith("! ")
    assert told[10].startswith("There is no .frob 3.")
    assert "? Does this belong in the head? .undo takes it back, .set customer Ada Fenn fills the head." in told
    with Shop.open(tmp_path / "talk.db") as shop:
        ticket = ticket_of(shop, 1)
    head = ticket.header
    assert (head.vehicle.label, head.vehicle.plate, str(head.odometer_in)) == ("Corvane Alder", "FEN-204", "88200 mi")
    assert [entry.kind for entry in ticket.living] == ["says", "found", "found"]


def test_no_bar_is_drawn_over_what_is_answered() -> None:
    assert build_parser().parse_args(["talk"]).undrawn
