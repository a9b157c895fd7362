"""Raw bytes on a line of faults: three or more of them, and everything they can mean.

A truck's message (SAE J1939-73) is two bytes of lamps and four bytes a fault; one fault alone travels in a frame of
eight bytes, whose last two are filled up.
"""

import re
from collections.abc import Iterator

from ticket.faults.layout import from_hex
from ticket.faults.trucks import COUNT_UNKNOWN, Packed, unpack
from ticket.job.regex import Regex

_PAIR = "[0-9A-Fa-f]{2}"
_NETWORK = r"(?:DM1|DM2|J1939)"
_APART = rf"(?:0x)?{_PAIR}(?:(?:[ ]|[ ]?[:,\-][ ]?)(?:0x)?{_PAIR}){{2,79}}"
_GLUED = rf"(?:0x)?(?:{_PAIR}){{4,80}}"  # four bytes at least: six digits may be a part, a number, a time
# Eight digits without a sign are bytes where they hold a letter and do not begin as a code does.
_BARE = rf"(?![BC][0-3][0-9A-Fa-f]{{3}})(?=[0-9]*[A-Fa-f])(?=[A-Fa-f]*[0-9])(?:{_PAIR}){{4}}"
_BYTES = Regex(
    rf"\s*(?:(?:{_NETWORK}|raw|hex|bytes?)\s*[:=]?\s*)?({_APART})(?![0-9A-Za-z])"
    rf"|\s*(?:{_NETWORK}|raw|hex|bytes?)\s*[:=]?\s*({_GLUED})(?![0-9A-Za-z])"
    rf"|\s*({_BARE})(?![0-9A-Za-z\-/.])",
    re.I | re.A,
)  # fmt: skip
_TRUCK = Regex(rf"\s*{_NETWORK}\s*[:=]?\s*(?:0x)?{_PAIR}", re.I | re.A)
_SIGN = Regex(r"0x|[ ,:\-]", re.I)
_CAR = (3, 4)  # bytes: a code with its sub-code, and with a status byte
_LAMPS = 2  # bytes of lamp state that open a message of a truck
_FAULT = 4
_FRAME = 8
_FILL = (b"\xff\xff", b"\0\0")  # what fills a frame behind its only fault


def bytes_at(text: str) -> int:
    """The place behind three or more bytes at the start of a text that should be a code; 0 where none stand there."""
    match = _BYTES.match(text)
    return match.end() if match else 0


def truck_bytes_at(text: str) -> bool:
    """Whether a text begins with bytes that name the truck's network they were read on, as in ``DM1 04 FF ...``."""
    return _TRUCK.match(text) is not None and bytes_at(text) > 0


def readings_of(typed: str) -> list[str]:
    """Everything the bytes can mean, in words: a car's code with sub-code, a truck's faults, a truck's message."""
    match = _BYTES.match(typed)
    if match is None:
        return []
    raw = bytes.fromhex(_SIGN.sub("", match[1] or match[2] or match[3]))
    readings = [] if _TRUCK.match(typed) else list(_of_car(raw))
    return readings + list(_of_truck(raw))


def _of_car(raw: bytes) -> Iterator[str]:
    if len(raw) in _CAR:
        code, sub = from_hex(raw.hex())
        status = f", status byte {raw[3]:02X}" if len(raw) == _CAR[1] else ""
        yield f"{code}-{sub} (a car's three bytes{status})"


def _of_truck(raw: bytes) -> Iterator[str]:
    if len(raw) == _FAULT:
        yield from _told(unpack(raw), "a truck's four bytes")
        return
    if len(raw) % _FAULT == 0:
        yield _all(raw, "a truck's faults, four bytes each")
    body = raw[_LAMPS:]
    if len(raw) == _FRAME and body[_FAULT:] in _FILL:
        body = body[:_FAULT]
    if body and len(body) % _FAULT == 0:
        only = unpack(body) if len(body) == _FAULT else None
        if only and not only.empty:
            yield from _told(only, "a truck's message")
        else:
            yield _all(body, "a truck's message")


def _told(fault: Packed, what: str) -> Iterator[str]:
    """One fault; where its bytes may be packed in an older way, by every packing."""
    count = "" if fault.count in (0, COUNT_UNKNOWN) else f", counted {fault.count}"
    yield f"SPN {fault.spn} FMI {fault.fmi} ({what}{count})"
    if fault.old:
        for spn in dict.fromkeys(fault.others):
            yield f"SPN {spn} FMI {fault.fmi} ({what} in an older packing{count})"


def _all(raw: bytes, what: str) -> str:
    faults = [unpack(raw[at : at + _FAULT]) for at in range(0, len(raw), _FAULT)]
    named = ", ".join(f"SPN {fault.spn} FMI {fault.fmi}" for fault in faults if not fault.empty)
    old = ", perhaps in an older packing" if any(fault.old for fault in faults) else ""
    return f"{named or 'none'} ({what}{old})"
