"""A thread as a person reads it, and a reminder of it: in weeks, in both languages, recorded when sent."""

import json
from pathlib import Path

import pytest

from ticket.cli import main
from ticket.job.ticket import Customer, Header, Vehicle
from ticket.job.values import Quantity
from ticket.machine import clipboard
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop, set_setting

NOW = "2026-03-02T14:10:00+00:00"
LINES = """says: fan drive whines
found: fan-drive reservoir level -14 mm (-20 to 0)
proof: 2 now -1 mm
later: replace shaft seal; may wait; because it may have seeped slowly; risk: fan may stop; for 2; in 3000 mi"""


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "shop.db"
    for name, value in (("TICKET_DB", str(path)), ("TICKET_PERSON", "K. Orlo"), ("TICKET_NOW", NOW)):
        monkeypatch.setenv(name, value)
    with Shop.open(path, "K. Orlo") as opened:
        set_setting(opened, "shop", "Wrenfold Garage")
        header = Header(Vehicle("Corvane Petrel", "", "GRN 04"), Customer("Ada Fenn"), Quantity("90000", "mi"))
        add_lines(opened, new_ticket(opened, header), LINES)
    return path


def say(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(list(arguments)) == 0
    return capsys.readouterr().out


def test_a_short_text_in_weeks(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """3,000 miles of an unknown driver: 41, 118 and 334 days (worked value), told as weeks."""
    text = say(capsys, "due", "1/4", "--remind", "text")
    assert text.strip() == (
        "Wrenfold Garage: your Corvane Petrel is due in about 17 weeks (5 to 48, if driving stays as it is) for: "
        "replace shaft seal. It could wait because: it may have seeped slowly. Please call us for a day that suits you."
    )
    assert "%" not in text


@pytest.mark.parametrize(
    ("language", "wanted"),
    [
        ("en", ("Dear Ada Fenn,", "On March 2, 2026 we noted this for later",
                "It could wait because: it may have",
                "What may happen meanwhile: fan may stop.", "It is due in about 17 weeks (5 to 48")),
        ("es", ("Estimado/a Ada Fenn:", "El 2 de marzo de 2026 anotamos", "Podía esperar porque:",
                "Toca en unas 17 semanas (5 a 48")),
    ],
)  # fmt: skip
def test_a_letter_tells_what_why_risk_and_when(
    shop: Path, capsys: pytest.CaptureFixture[str], language: str, wanted: tuple[str, ...]
) -> None:
    text = " ".join(say(capsys, "due", "1/4", "--remind", "letter", "--language", language).split())
    for piece in wanted:
        assert piece in text, piece


def test_what_was_sent_is_a_contact(shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "reminder.txt"
    say(capsys, "due", "1/4", "--remind", "letter", "-o", str(target), "--sent", "letter")
    assert "Wrenfold Garage" in target.read_text(encoding="utf-8")
    (item,) = json.loads(say(capsys, "due", "--json"))
    assert (item["state"], item["followed"].endswith("reminder sent by letter")) == ("customer told", True)


def test_without_a_terminal_nothing_is_copied_and_it_says_what_to_do(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(clipboard, "TERMINAL", shop.parent / "none")
    assert main(["due", "1/4", "--remind", "text", "--copy", "--sent", "email"]) == 2
    assert "write it to a file with -o FILE" in capsys.readouterr().err
    (item,) = json.loads(say(capsys, "due", "--json"))
    assert item["followed"] == "", "what was not handed out was not sent"


def test_a_copy_is_the_sequence_of_the_terminal(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """OSC 52 (xterm control sequences, "Manipulate Selection Data"): c names the clipboard, the text is base64."""
    terminal = tmp_path / "tty"
    terminal.touch()
    monkeypatch.setattr(clipboard, "TERMINAL", terminal)
    clipboard.copy("Fällig: 2 Wochen")
    assert terminal.read_bytes() == b"\x1b]52;c;RsOkbGxpZzogMiBXb2NoZW4=\x07"


def test_what_no_longer_waits_is_not_reminded_of(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    say(capsys, "due", "1/4", "--declined")
    assert main(["due", "1/4", "--remind", "text"]) == 2
    assert "no longer waits: declined" in capsys.readouterr().err


def test_a_thread_with_its_arithmetic(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with Shop.open(shop, "K. Orlo") as opened:
        header = Header(Vehicle("", "", "GRN 04"), odometer_in=Quantity("90600", "mi"))
        number = new_ticket(opened, header)
        add_lines(opened, number, "proof: 1/2 now -9 mm\nlater: for 1/4; looked at, still waits")
    text = say(capsys, "due", "1/4")
    assert "1/4: replace shaft seal (looked at again)" in text
    assert "-1 mm then -9 mm, fell" in text
    assert "x 1,000" not in text
    assert "8 mm x 1,000 / 600 mi" in say(capsys, "due", "2/2", "--explain")
    assert json.loads(say(capsys, "due", "1/4", "--json"))["state"] == "looked at again"


def test_a_new_ticket_brings_up_what_waits(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "Waits from earlier: replace shaft seal [1/4]" in say(capsys, "new", "--plate", "grn-04")
    assert json.loads(say(capsys, "new", "--plate", "GRN04", "--json"))["waits"] == ["1/4"]


@pytest.mark.parametrize(
    ("vehicle", "stop"),
    [
        ("Corvane Petrel", "Please do not drive until it is done."),
        ("Hallick box trailer", "Please do not pull it until it is done."),
    ],
)
def test_what_is_not_driven_is_not_told_to_be(
    shop: Path, capsys: pytest.CaptureFixture[str], vehicle: str, stop: str
) -> None:
    with Shop.open(shop, "K. Orlo") as opened:
        number = new_ticket(opened, Header(Vehicle(vehicle), Customer("Ada Fenn")))
        add_lines(
            opened,
            number,
            "later: replace hub bearing; do not drive; because it grinds; risk: wheel comes off; in 1 month",
        )
    assert stop in say(capsys, "due", f"{number}/1", "--remind", "text")
