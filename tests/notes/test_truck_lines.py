"""A truck's faults as people type them are the faults that the network's own library unpacks, never a car's code.

Sources: SAE J1939-73 (layout of a fault and of the messages DM1 and DM2), by way of can-j1939 (MIT), a library that
the program does not use and that makes SPN, FMI and count out of random bytes here. The written forms, the words of a
state and the ways a count is written are common practice, no source. ``TICKET_FULL=1`` takes all 4,000 lines.
"""

import os
import random
import re
from dataclasses import dataclass
from typing import Any

import pytest

from ticket.notes.meaning import meaning_of
from ticket.notes.read import read

j1939 = pytest.importorskip("j1939", reason="can-j1939, a test-only reference (extra: oracles)")

LINES = 4000 if os.environ.get("TICKET_FULL") else 400
CAR = re.compile(r"[PCBU][0-3][0-9A-F]{3}", re.A)
CERTAIN = [
    "SPN {spn} FMI {fmi}", "spn {spn} fmi {fmi}", "SPN{spn} FMI{fmi}", "SPN {spn}/FMI {fmi}", "SPN: {spn}, FMI: {fmi}",
    "SPN {spn}, FMI {fmi}", "spn#{spn} fmi#{fmi}", "SPN {spn} / {fmi}", "SPN {spn}-{fmi}", "spn/fmi {spn}/{fmi}",
    "SPN={spn} FMI={fmi}", "FMI {fmi} SPN {spn}",
]  # fmt: skip
IN_DOUBT = ["{spn}/{fmi}", "{spn}-{fmi}", "{spn}:{fmi}"]
STATES = {
    "active": "active", "act": "active", "current": "active", "previously active": "previously active",
    "prev active": "previously active", "inactive": "previously active", "stored": "stored", "pending": "pending",
}  # fmt: skip
COUNTS = ["OC {n}", "oc: {n}", "count {n}", "x{n}", "{n} times", "occ {n}", "cnt {n}"]
SOURCES = ["SA {sa}", "sa {sa}", "source address {sa}"]


@dataclass(frozen=True, slots=True)
class Line:
    """A typed line and what the library makes of its bytes."""

    text: str
    spn: int
    fmi: int
    state: str = ""
    count: int | None = None
    source: int | None = None
    certain: bool = True


def _fault(chance: random.Random) -> tuple[bytes, Any]:
    """Four random bytes of the packing that is in use today (the library decodes no older one), and its reading."""
    while True:
        raw = bytes([*chance.randbytes(3), chance.randrange(128)])
        if any(raw):
            return raw, j1939.DTC(dtc=int.from_bytes(raw, "little"))


def _written(chance: random.Random) -> Line:
    _, dtc = _fault(chance)
    form = chance.choice(CERTAIN + IN_DOUBT)
    word = chance.choice(sorted(STATES)) if chance.random() < 0.6 else ""
    count = dtc.oc if chance.random() < 0.4 else None
    source = chance.randrange(254) if chance.random() < 0.4 else None
    behind = [word] if word else []
    behind += [chance.choice(COUNTS).format(n=count)] if count is not None else []
    behind += [chance.choice(SOURCES).format(sa=source)] if source is not None else []
    chance.shuffle(behind)
    # A short word in front of two bare numbers may be a side: there the whole word is typed.
    lead = chance.choice(["code: ", "co: "]) if form in CERTAIN else "code: "
    text = lead + chance.choice([" ", ", "]).join([form.format(spn=dtc.spn, fmi=dtc.fmi), *behind])
    return Line(text, dtc.spn, dtc.fmi, STATES.get(word, ""), count, source, form in CERTAIN)


def _lines() -> list[Line]:
    chance = random.Random(193973)
    return [_written(chance) for _ in range(LINES // 2)]


def _no_car(said: dict[str, Any]) -> bool:
    return not any(CAR.match(code["code"]) for code in said["codes"])


def test_a_written_truck_fault_is_read_as_the_library_unpacks_it() -> None:
    for line in _lines():
        said = meaning_of(read(line.text))
        assert said["kind"] == "code", line
        (code,) = said["codes"]
        assert (code["code"], code["spn"], code["fmi"]) == (f"SPN {line.spn}", str(line.spn), str(line.fmi)), line
        assert (code["sub"], code["status"]) == (None, [line.state] if line.state else []), line
        assert code["times"] == line.count, line
        assert code.get("source") == (None if line.source is None else str(line.source)), line
        assert not said["unread"], line
        assert bool(said["questions"]) is not line.certain, line


def test_no_truck_line_without_its_word_becomes_a_cars_code() -> None:
    """Without ``code:`` in front a line may stay a finding, but then it claims no code."""
    for line in _lines():
        said = meaning_of(read(line.text.partition(": ")[2]))
        assert _no_car(said), line
        assert all(code["spn"] == str(line.spn) and code["fmi"] == str(line.fmi) for code in said["codes"]), line
        if line.certain and line.state:
            assert said["codes"], line


SEPARATORS = [" ", ":", "-", ",", ", "]
MESSAGES = ["DM1 ", "DM1: ", "dm1 ", "DM2 ", "J1939 "]


def _hex(raw: bytes, chance: random.Random) -> str:
    sign = chance.choice(["", "", "", "0x"])
    digits = [f"{sign}{byte:02X}" if chance.random() < 0.9 else f"{sign}{byte:02x}" for byte in raw]
    return chance.choice(SEPARATORS).join(digits)


def test_bytes_of_a_named_message_tell_every_fault_in_words_and_claim_none() -> None:
    chance = random.Random(73)
    for _ in range(LINES // 4):
        faults = [_fault(chance) for _ in range(chance.choice([1, 1, 1, 2, 3, 7]))]
        raw = bytes([4, 255]) + b"".join(packed for packed, _ in faults)
        raw += b"\xff\xff" if len(faults) == 1 and chance.random() < 0.5 else b""
        said = meaning_of(read(chance.choice(["", "code: "]) + chance.choice(MESSAGES) + _hex(raw, chance)))
        named = ", ".join(f"SPN {dtc.spn} FMI {dtc.fmi}" for _, dtc in faults)
        assert (said["kind"], said["codes"]) == ("code", []), raw.hex(" ")
        (asked,) = said["unread"]
        assert f"{named} (a truck's message" in asked["question"], (raw.hex(" "), named)
        assert named in asked["answers"]


def test_four_bytes_that_may_be_a_cars_or_a_trucks_name_both_and_claim_none() -> None:
    chance = random.Random(1939)
    for _ in range(LINES // 4):
        raw, dtc = _fault(chance)
        said = meaning_of(read("code: " + _hex(raw, chance)))
        assert (said["kind"], said["codes"]) == ("code", []), raw.hex(" ")
        (asked,) = said["unread"]
        truck = f"SPN {dtc.spn} FMI {dtc.fmi}"
        car = f"{'PCBU'[raw[0] >> 6]}{raw[0] >> 4 & 3}{raw[0] & 15:X}{raw[1]:02X}-{raw[2]:02X}"  # ISO 15031-6
        assert asked["answers"] == [car, truck], raw.hex(" ")
        assert f"{car} (a car's three bytes, status byte {raw[3]:02X})" in asked["question"]
        assert f"{truck} (a truck's four bytes" in asked["question"]
        assert dtc.oc in (0, 127) or f"counted {dtc.oc}" in asked["question"]


@pytest.mark.parametrize("typed", ["964BB140", "raw 964bb140", "0x96 0x4B 0xB1 0x40", "96-4B-B1-40"])
def test_four_bytes_are_the_same_however_they_are_parted(typed: str) -> None:
    (asked,) = meaning_of(read(f"code: {typed}"))["unread"]
    assert asked["answers"] == ["B164B-B1", f"SPN {j1939.DTC(dtc=0x40B14B96).spn} FMI 17"]


@pytest.mark.parametrize("typed", ["C1234567", "44012233", "E-12"])
def test_what_a_maker_writes_is_not_taken_for_bytes(typed: str) -> None:
    assert not any("bytes" in asked["question"] for asked in meaning_of(read(f"code: {typed}"))["unread"])


def test_bytes_of_an_older_packing_name_the_older_readings_too() -> None:
    """The conversion bit of SAE J1939-73 is set: the library refuses, so each packing is unpacked by hand here."""
    said = meaning_of(read("code: DM1 96 4B B1 C0"))
    # packing 1: most significant bits first; packing 2: bytes swapped; packings 3 and 4: as today
    expected = [(0b101 << 16 | 0x4B96), (0x96 << 8 | 0x4B) << 3 | 0b101, (0x4B << 8 | 0x96) << 3 | 0b101]
    assert said["codes"] == []
    assert said["unread"][0]["answers"] == [f"SPN {spn} FMI 17" for spn in expected]


def test_a_message_without_a_fault_says_so_and_a_cut_one_names_nothing() -> None:
    (empty,) = meaning_of(read("code: DM1 00 FF 00 00 00 00 FF FF"))["unread"]
    assert "none (a truck's message)" in empty["question"]
    (cut,) = meaning_of(read("code: DM1 04 FF 96 4B B1"))["unread"]
    assert "no whole fault" in cut["question"]
    assert not cut["answers"]
