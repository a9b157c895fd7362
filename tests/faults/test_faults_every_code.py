"""Every value there is, to text and back: all of the two-byte form, a large sample of the longer ones.

Two bytes: SAE J2012 / ISO 15031-6. Three: with the sub-code of ISO 14229-1, four with its status byte. Four bytes of a
truck: SAE J1939-73, packing 4 (SPN 19 bits, FMI 5, the high bit of the last byte 0).
"""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ticket.faults import fault_tables
from ticket.faults.code_meaning import meaning
from ticket.faults.layout import base, from_hex, to_number
from ticket.faults.start import find
from ticket.faults.table import builtin, key
from ticket.faults.trucks import unpack
from ticket.faults.written import parse

MANY = 10_000


@pytest.mark.slow
def test_all_65536_two_byte_values() -> None:
    seen = set()
    for value in range(1 << 16):
        code, sub = from_hex(f"{value:04X}")
        assert (to_number(code), sub) == (value, "")
        assert base(code.lower()) == code
        read = parse(code)
        assert (read.code, read.sub, read.scheme, read.certain) == (code, "", "obd", True)
        seen.add(code)
    assert len(seen) == 1 << 16


def test_two_bytes_as_raw_hex() -> None:
    for value in random.Random(2).sample(range(1 << 16), MANY):
        assert parse(f"0x{value:04x}").code == from_hex(f"{value:04X}")[0]


def test_three_byte_values() -> None:
    for value in random.Random(3).sample(range(1 << 24), MANY):
        code, sub = from_hex(f"{value:06X}")
        assert to_number(code, sub) == value
        for text in (f"{code}-{sub}", f"0x{value:06x}"):
            read = parse(text)
            assert (read.code, read.sub, read.status_byte) == (code, sub, None), text


def test_four_byte_values_with_a_status_byte() -> None:
    for value in random.Random(4).sample(range(1 << 32), MANY):
        code, sub = from_hex(f"{value >> 8:06X}")
        for text in (f"{code}{sub}{value & 0xFF:02X}", f"0x{value:08X}", f"{code}-{sub} status 0x{value & 0xFF:02x}"):
            read = parse(text)
            assert (read.code, read.sub, read.status_byte) == (code, sub, value & 0xFF), text


def test_four_byte_values_of_a_truck() -> None:
    for value in random.Random(1939).sample(range(1 << 31), MANY):
        spn, rest = value >> 12, value & 0xFFF
        fmi, count = rest >> 7, rest & 0x7F
        raw = bytes((spn & 0xFF, spn >> 8 & 0xFF, spn >> 16 << 5 | fmi, count))
        packed = unpack(raw)
        assert (packed.spn, packed.fmi, packed.count, packed.old) == (spn, fmi, count, False)
        read = parse(f"SPN {spn} FMI {fmi}")
        assert (read.spn, read.fmi, read.certain) == (spn, fmi, True)
        assert (read.code, read.sub) == (f"SPN {spn}", f"FMI {fmi}")


@pytest.mark.slow
def test_a_code_in_its_canonical_form_is_read_as_itself() -> None:
    subs = ["", "00", *(row[1] for row in fault_tables.rows("subcodes.tsv"))]
    modes = ["", *(f"FMI {row[0]}" for row in fault_tables.rows("fmi.tsv"))]
    written = [(code, subs) for code in builtin().by_code]
    written += [(f"SPN {row[0]}", modes) for row in fault_tables.rows("spn.tsv")]
    for code, seconds in written:
        for second in seconds:
            text = key(code, second)
            read = parse(text)
            assert key(read.code, read.sub) == text
            assert read.certain, text
            assert meaning(read.code, read.sub).code == code


LONG = st.text(
    alphabet="PCBUO0123456789ABCDEFabcdefSPNFMIx:-\u2013\u2212/.,;()[] \t\r\n\u00e9\u0661\u00b2\ud800\x00", max_size=300
)


@given(st.one_of(st.text(max_size=300), LONG, st.binary(max_size=80).map(lambda raw: raw.hex(" "))), st.booleans())
def test_nothing_makes_the_reading_fail(text: str, truck: bool) -> None:
    read = parse(text, truck=truck)
    assert read.typed == text
    assert read.code or read.reason
    for start in range(0, len(text), 7):
        hit = find(text, start)
        assert hit is None or start < hit.end <= len(text)
    again = parse(key(read.code, read.sub)) if read.scheme in ("obd", "truck") and read.code != "none" else read
    assert (again.code, again.sub) == (read.code, read.sub)
