"""Pasted scan reports in invented styles; no style is any tool's."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ticket.faults.report import LINE_MAX, Report, parse_report

Row = tuple[str, str, str, str]


def rows(report: Report) -> list[Row]:
    return [(f.unit, f.written.code, f.written.sub, f.status) for f in report.faults]


COLUMNS = """WORKSHOP PRINTOUT
Module               Code        Status      Description
-------------------  ----------  ----------  -----------------
Engine computer      P0562-16    stored      system voltage low
Fan control unit     P1A30-7B    pending     fluid level
Body computer        U0100-87    history     no messages
3 lines
"""
PIPES = """| ECU | DTC | FTB | Status byte |
|-----|-----|-----|-------------|
| Brake unit | C0031 | 13 | 0x2F |
| Airbag unit | B0010 | 1A | 28 |
| Climate unit | none | | |
"""
PROSE = """The engine control unit reports P0420-00 and P0430, both pending.
C0034 is stored in the brake computer.
Nothing else was found.
"""
BLOCKS = """Control unit: Climate panel
Code: P0532
Sub-code: 00
Status: stored
Description: pressure sensor low
Occurrences: 3

Control unit: Left door
Code: C10087
Status byte: 0x09
"""
MIXED_CASE = """=== ENGINE ===
p0303 CONFIRMED
p0300 Pending
=== brakes ===
No faults
"""
NOISE = "\x1b[31m##~~P0562-16~~##\x1b[0m  (ACTIVE)\n>>> u0121:87 <<< stored\n%%% 0x4 %%%\nA4711-P0420-9 part\n"
COMMAS = """Steuergerät;Fehlercode;Beschreibung;Status
Motor;P0562-16;Systemspannung 11,8 V;gespeichert
Klima;B10A1-13;Fühler 0,4 V;sporadisch
Kilometerstand 123.456,7 km
"""
SPANISH = """Unidad de frenos: C0031-13 almacenado, 0,0 km/h
Unidad de puertas: sin fallas
"""
GROUPS = """Stored codes (service 03)
  P0171  P0174
Pending codes (service 07)
  P0128
Permanent codes (service 0A)
  P0171
"""
TRUCK = """Engine ECU
SPN 102 FMI 18  active  count 14
SPN: 3251
FMI: 0
Status: previously active
SA 11 SPN 1569 FMI 31 inactive
DM1: 54 4F 61 02 13 00 21 06 1F 00 EE 10 04 00
"""
CSV = "module,code,status\nFan control,P1A30-7B,stored\nSteering,none,\n"
SEPARATORS = """Fan control - P1A30-7B - pending
Battery gauge: U0140:87 (history), B1A22/00
Heater\tB10EA 13\tnot present
"""


@pytest.mark.parametrize(
    ("text", "expected", "clear", "unread"),
    [
        (COLUMNS, [("Engine computer", "P0562", "16", "stored"), ("Fan control unit", "P1A30", "7B", "pending"),
                   ("Body computer", "U0100", "87", "previously active")], (), [1, 7]),
        (PIPES, [("Brake unit", "C0031", "13", "active"), ("Airbag unit", "B0010", "1A", "stored")],
         ("Climate unit",), []),
        (PROSE, [("engine control unit", "P0420", "00", "pending"), ("engine control unit", "P0430", "", "pending"),
                 ("brake computer", "C0034", "", "stored")], (), [3]),
        (BLOCKS, [("Climate panel", "P0532", "00", "stored"), ("Left door", "U0100", "87", "active")], (), []),
        (MIXED_CASE, [("ENGINE", "P0303", "", "stored"), ("ENGINE", "P0300", "", "pending")], ("brakes",), []),
        (NOISE, [("", "P0562", "16", "active"), ("", "U0121", "87", "stored")], (), [3, 4]),
        (COMMAS, [("Motor", "P0562", "16", "stored"), ("Klima", "B10A1", "13", "intermittent")], (), [4]),
        (SPANISH, [("Unidad de frenos", "C0031", "13", "stored")], ("Unidad de puertas",), []),
        (GROUPS, [("", "P0171", "", "stored"), ("", "P0174", "", "stored"), ("", "P0128", "", "pending"),
                  ("", "P0171", "", "permanent")], (), []),
        (TRUCK, [("Engine ECU", "SPN 102", "FMI 18", "active"),
                 ("Engine ECU", "SPN 3251", "FMI 0", "previously active"),
                 ("Engine ECU", "SPN 1569", "FMI 31", "previously active"),
                 ("Engine ECU", "SPN 609", "FMI 19", "active"),
                 ("Engine ECU", "SPN 1569", "FMI 31", "active"),
                 ("Engine ECU", "SPN 4334", "FMI 4", "active")], (), []),
        (CSV, [("Fan control", "P1A30", "7B", "stored")], ("Steering",), []),
        (SEPARATORS, [("Fan control", "P1A30", "7B", "pending"),
                      ("Battery gauge", "U0140", "87", "previously active"),
                      ("Battery gauge", "B1A22", "00", ""), ("Heater", "B10EA", "13", "previously active")], (), []),
    ],
)  # fmt: skip
def test_styles(text: str, expected: list[Row], clear: tuple[str, ...], unread: list[int]) -> None:
    report = parse_report(text)
    assert rows(report) == expected
    assert report.clear == clear
    assert [line.line for line in report.unread] == unread


NUMBERED = """VIN: 1G4AH59H45G118341
Date: 2026-03-02  Odometer: 123456
1. Engine computer
   1.1  P0562-16 System voltage low [Confirmed, not active]
        Freeze frame: 11.2 V, 812 rpm
2. Airbag computer - OK
3. Climate: none
Codes found in the fan control unit:
P1A30-7B
"""


def test_numbered_lists_and_units_that_are_well() -> None:
    report = parse_report(NUMBERED)
    assert rows(report) == [("Engine computer", "P0562", "16", "stored"), ("fan control unit", "P1A30", "7B", "")]
    assert report.clear == ("Airbag computer", "Climate")
    assert [line.line for line in report.unread] == [1, 2, 5]
    assert report.faults[0].text == "System voltage low"


def test_part_numbers_are_no_codes() -> None:
    report = parse_report("bracket B1234-77-05 on order\nclip P0420-9812\nP0420-P0430, U0100/U0101\n")
    assert [fault.written.code for fault in report.faults] == ["P0420", "P0430", "U0100", "U0101"]
    assert [line.line for line in report.unread] == [1, 2]


def test_what_else_a_line_says_is_kept() -> None:
    blocks = parse_report(BLOCKS).faults[0]
    assert (blocks.text, blocks.written.count, blocks.line) == ("pressure sensor low", 3, 2)
    truck = parse_report(TRUCK).faults
    assert (truck[0].written.count, truck[2].written.source) == (14, 11)
    assert parse_report(COMMAS).faults[0].text == "Systemspannung 11,8 V"
    assert parse_report(PIPES).faults[0].written.status_byte == 0x2F


def test_permanent_is_believed_only_where_the_law_speaks() -> None:
    # "Permanent" is a term of 13 CCR 1968.2 and OBD service 0A; some makers' manuals use it for "present".
    assert parse_report(GROUPS).faults[-1].remark == ""
    loose = parse_report("Cluster unit: B1234 permanent\n").faults[0]
    assert loose.status == "permanent"
    assert "0A" in loose.remark


def test_doubts_come_along() -> None:
    assert "letter O" in parse_report("Code: PO42O").faults[0].remark


def test_a_description_is_not_the_control_unit() -> None:
    fault = parse_report("Gateway unit\nU0100-87 lost communication with engine control module, stored\n").faults[0]
    assert fault.unit == "Gateway unit"


PIECES = st.sampled_from(
    ["P0420-00", "SPN 1 FMI 3", "Module", "Code:", "Status", "stored", "|", "\t", "  ", ";", "\n", "unit", ":", "0x",
     "DM1 ", "54 4F ", "No codes", "=== ", "C10087", "12,4 V", "pending codes:", "\x1b[0m", "\u00e9", "-", ","]
)  # fmt: skip


@given(st.one_of(st.text(max_size=200), st.lists(PIECES, max_size=40).map("".join)))
def test_any_text_is_read_and_every_line_accounted_for(text: str) -> None:
    report = parse_report(text)
    count = len(text.splitlines())
    assert all(1 <= f.line <= count for f in report.faults)
    assert all(1 <= u.line <= count and u.text for u in report.unread)
    assert all(f.written.code for f in report.faults)


def test_a_line_no_tool_prints_is_cut_and_listed() -> None:
    report = parse_report("P0420 " + "x" * LINE_MAX + " P0430")
    assert rows(report) == [("", "P0420", "", "")]
    assert report.unread[0].text.endswith("P0430")


@pytest.mark.parametrize(
    "piece", [" ", "a ", "P0420 ", "|", "Module: ", "a:", "0 ", "- ", "DM1 00 ", "stored in ", "\t"]
)
def test_long_reports_take_no_longer_than_they_should(piece: str) -> None:
    line = (piece * 2000)[:1999]
    start = time.process_time()
    parse_report("\n".join([line] * 33))  # 64 KiB
    assert time.process_time() - start < 3
