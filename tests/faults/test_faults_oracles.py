"""The same answers as independent libraries, where they are installed (extra: oracles)."""

import random

import pytest

from ticket.faults.layout import from_hex, to_number
from ticket.faults.status import status
from ticket.faults.trucks import unpack
from ticket.faults.written import parse

SOME = random.Random(15031).sample(range(1 << 24), 300)


def test_text_of_three_bytes_as_a_diagnostics_library_prints_it() -> None:
    udsoncan = pytest.importorskip("udsoncan", reason="extra: oracles")
    for value in SOME:
        printed = udsoncan.Dtc(value).id_iso()
        assert "-".join(from_hex(f"{value:06X}")) == printed
        assert (parse(printed).code, parse(printed).sub) == from_hex(f"{value:06X}")


def test_status_bits_as_a_diagnostics_library_splits_them() -> None:
    udsoncan = pytest.importorskip("udsoncan", reason="extra: oracles")
    names = ("test_failed", "test_failed_this_operation_cycle", "pending", "confirmed",
             "test_not_completed_since_last_clear", "test_failed_since_last_clear",
             "test_not_completed_this_operation_cycle", "warning_indicator_requested")  # fmt: skip
    words = {mask: status(mask).bits for mask in (1 << bit for bit in range(8))}
    for byte in range(256):
        split = udsoncan.Dtc.Status.from_byte(byte)
        expected = tuple(word for bit, name in enumerate(names) if getattr(split, name) for word in words[1 << bit])
        assert status(byte).bits == expected


def test_both_ways_as_a_second_diagnostics_library_goes() -> None:
    encode = pytest.importorskip("uds.utilities", reason="extra: oracles").obd_dtc_to_int
    for value in SOME:
        code, sub = from_hex(f"{value:06X}")
        assert encode(f"{code}-{sub}") == value == to_number(code, sub)


def test_four_bytes_as_a_truck_network_library_reads_them() -> None:
    j1939 = pytest.importorskip("j1939", reason="extra: oracles")
    for value in random.Random(1939).sample(range(1 << 32), 300):
        raw = value.to_bytes(4, "big")
        packed = unpack(raw)
        if packed.old:
            continue  # the library only warns about older packings
        dtc = j1939.DTC(dtc=int.from_bytes(raw, "little"))
        assert (packed.spn, packed.fmi, packed.count) == (dtc.spn, dtc.fmi, dtc.oc)
