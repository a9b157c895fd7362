"""The decoding commands: shapes of their answers and exit codes; values are checked where the decoders are tested."""

import json
from pathlib import Path
from typing import Any

import pytest

from ticket.cli.main import main


@pytest.fixture(autouse=True)
def shop_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TICKET_DB", str(tmp_path / "shop.db"))
    assert main(["shop", "--start"]) == 0


def answer(capsys: pytest.CaptureFixture[str], *arguments: str, code: int = 0) -> Any:
    capsys.readouterr()
    assert main([*arguments, "--json"]) == code
    return json.loads(capsys.readouterr().out)


def test_codes_of_several_forms_in_one_call(capsys: pytest.CaptureFixture[str]) -> None:
    # U0100-87 is C1 00 87 on the wire (ISO 15031-6 bit layout); SPN and FMI as SAE J1939-73 names them.
    first, second = answer(capsys, "code", "U0100-87", "SPN 102 FMI 18")
    assert (first["code"], first["sub_code"], first["bytes"], first["scheme"]) == ("U0100", "87", "C10087", "iso")
    assert (second["spn"], second["fmi"], second["conversion"]) == (102, 18, "certain")
    (raw,) = answer(capsys, "code", "C10087 2F")
    assert (raw["code"], raw["sub_code"], raw["bytes"]) == ("U0100", "87", "C100872F")
    assert answer(capsys, "code", "nothing here", code=1) == []


@pytest.mark.parametrize(
    ("text", "verdict", "code"),
    [
        # 49 CFR 570.9(a): at least 2/32 in of tread on a car (from memory); 1.6 mm is a little more than 2/32 in.
        ("2/32 in (min 2/32)", "in", 0),
        ("1/32 in (min 2/32 per law)", "low", 1),
        # 49 CFR 393.47(d): lining of a commercial vehicle's hydraulic brakes, at least 1.6 mm (1/16 in).
        ("1.5 mm (min 1.6 per law)", "low", 1),
        # SAE J300: grade 40 is 12.5 to below 16.3 mm2/s at 100 degC.
        ("13.6 mm2/s (12.5 to 16.3)", "in", 0),
        ("16.4 mm2/s (12.5 to 16.3)", "high", 1),
        ("OL ohm (max 5)", "high", 1),
    ],
)
def test_a_reading_is_held_against_published_limits(
    capsys: pytest.CaptureFixture[str], text: str, verdict: str, code: int
) -> None:
    assert answer(capsys, "check", text, code=code)["verdict"] == verdict


def test_a_coarse_gauge_decides_nothing_near_a_limit(capsys: pytest.CaptureFixture[str]) -> None:
    found = answer(capsys, "check", "3.2 mm (min 3.0)", "--gauge", "0.5", code=1)
    assert found["verdict"] == "undecided"
    assert found["reason"]


def test_a_shops_own_codes_are_taken_in_and_conflicts_stay_out(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    own = tmp_path / "own.csv"
    own.write_text("code,plain\nP1A30,a fan drive that asks for help\nP0562,something else\n", encoding="utf-8")
    merged = answer(capsys, "code", "--import", str(own), code=1)
    assert merged["added"] == ["P1A30"]
    assert [conflict["code"] for conflict in merged["conflicts"]] == ["P0562"]
    (known,) = answer(capsys, "code", "P1A30-7B")
    assert known["meaning"] == "a fan drive that asks for help"
    assert answer(capsys, "code", "P0562")[0]["meaning"] != "something else"
    assert answer(capsys, "code", "--import", str(own), "--accept", "P0562")["added"] == ["P0562"]
    assert answer(capsys, "code", "P0562")[0]["meaning"] == "something else"


def test_a_vehicle_number_is_checked(capsys: pytest.CaptureFixture[str]) -> None:
    # Seventeen ones: weighted sum 89, 89 mod 11 = 1, the check digit itself (49 CFR 565.15).
    good = answer(capsys, "vin", "1" * 17)
    assert good["ok"]
    bad = answer(capsys, "vin", "1" * 16 + "O", code=1)
    assert "1" * 16 + "0" in bad["suggestions"]
