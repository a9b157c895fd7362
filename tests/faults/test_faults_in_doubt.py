"""What may be read in two ways is never told as certain; no byte and no sub-code that was typed is lost silently."""

import json
import random

import pytest

from ticket.cli.main import main
from ticket.faults.report import parse_report
from ticket.faults.trucks import unpack
from ticket.faults.written import leading, parse
from ticket.job.kinds import Code
from ticket.notes.read import read


def said(capsys: pytest.CaptureFixture[str], text: str) -> list[dict[str, object]]:
    main(["code", text, "--json"])
    rows: list[dict[str, object]] = json.loads(capsys.readouterr().out)
    return rows


def test_the_bytes_of_a_truck_fault_are_never_a_cars_code_that_is_certain(capsys: pytest.CaptureFixture[str]) -> None:
    """Four bytes behind DM1 are SPN, FMI and count (SAE J1939-73, packing 4; read here by the layout, not by parse)."""
    chance = random.Random(19390073)
    for _ in range(400):
        raw = bytes([*(chance.randrange(256) for _ in range(3)), chance.randrange(128)])
        typed = " ".join(f"{byte:02X}" for byte in raw)
        spn, fmi = raw[2] >> 5 << 16 | raw[1] << 8 | raw[0], raw[2] & 31
        for fault in parse_report(f"DM1 {typed}").faults:
            assert fault.written.scheme == "truck", typed
            assert (fault.written.spn, fault.written.fmi) == (spn, fmi)
        for fault in parse_report(typed).faults:
            assert not fault.written.certain or fault.remark, typed
    assert unpack(bytes.fromhex("964BB140")).spn == 347030
    (row,) = said(capsys, "DM1 96 4B B1 40")
    assert (row["spn"], row["fmi"], row["code"]) == (347030, 17, "SPN 347030")


def test_the_fourth_of_four_bytes_is_kept(capsys: pytest.CaptureFixture[str]) -> None:
    (row,) = said(capsys, "EE 10 04 00")
    assert row["conversion"] == "uncertain"
    assert row["bytes"] == "EE100400"
    assert "SPN 4334 FMI 4" in str(row["problem"])  # EE 10 04: SPN 10EE hex is 4334


def test_no_code_and_a_failing_fault_are_not_told_in_one_breath(capsys: pytest.CaptureFixture[str]) -> None:
    (row,) = said(capsys, "00 00 22 03")
    assert not row["status"] or row["code"] != "P0000"
    assert row["conversion"] == "uncertain"
    (draft,) = read("code: 00 00 22 03")
    assert isinstance(draft.fact, Code)
    assert draft.remarks or draft.fact.code != "P0000"


@pytest.mark.parametrize(
    "typed", ["P0171 1Ch", "P0171,1C", "P0171 1Ch engine computer", "P0171, 1F, stored", "P0171-1Ch"]
)
def test_a_sub_code_in_hexadecimal_or_behind_a_comma_is_read(typed: str) -> None:
    # ISO 14229-1: the failure type byte is two hexadecimal digits; the h behind is common practice, no source.
    found = leading(typed)
    assert found is not None
    assert (found[0], found[1]) in (("P0171", "1C"), ("P0171", "1F"))


@pytest.mark.parametrize("typed", ["P0171 14h", "P0171,14", "P0171, 1C", "P0171,1C engine computer", "P0171/74"])
def test_what_may_be_a_sub_code_is_read_or_asked_about(typed: str) -> None:
    written = parse(typed)
    assert written.sub or not written.certain
    for draft in read(f"code: {typed}"):
        assert isinstance(draft.fact, Code)
        assert draft.fact.sub or draft.remarks


@pytest.mark.parametrize("typed", ["P0171, 14 times", "P0171, 14 V", "P0171, be", "P0171 12 h", "P0171,P0174"])
def test_what_is_no_sub_code_is_none(typed: str) -> None:
    found = leading(typed)
    assert found is not None
    assert found[1] == ""
