"""Raw bytes on a line of faults: three or more of them, and everything they can mean."""

import re

from ticket.faults.layout import from_hex
from ticket.faults.trucks import unpack

_PAIR = "[0-9A-Fa-f]{2}"
_BYTES = re.compile(
    rf"\s*(?:(?:DM1|DM2|J1939|raw|hex|bytes?)\s*[:=]?\s*)?"
    rf"((?:0x)?{_PAIR}(?:(?:[ ]|[ ]?[:,\-][ ]?)(?:0x)?{_PAIR}){{2,11}})(?![0-9A-Za-z])",
    re.I | re.A,
)
_SIGN = re.compile(r"0x|[ ,:\-]", re.I)
_LAMPS = 2  # bytes of lamp state that open a message of a truck


def bytes_at(text: str) -> int:
    """The place behind three or more bytes at the start of a text that should be a code; 0 where none stand there."""
    match = _BYTES.match(text)
    return match.end() if match else 0


def readings_of(typed: str) -> list[str]:
    """Everything the bytes can mean, in words: a car's code with sub-code, a truck's fault, a truck's whole message."""
    match = _BYTES.match(typed)
    if match is None:
        return []
    digits = _SIGN.sub("", match[1])
    found: list[str] = []
    truck = re.match(r"\s*(?:DM1|DM2|J1939)", typed, re.I) is not None
    if len(digits) in (6, 8) and not truck:
        code, sub = from_hex(digits)
        status = f", status byte {digits[6:8].upper()}" if len(digits) == 8 else ""
        found.append(f"{code}-{sub} (a car's three bytes{status})")
    if len(digits) == 8:
        fault = unpack(bytes.fromhex(digits))
        found.append(f"SPN {fault.spn} FMI {fault.fmi} (a truck's four bytes)")
    if len(digits) >= 12 and (len(digits) - 4) % 8 == 0:
        raw = bytes.fromhex(digits)[_LAMPS:]
        faults = [unpack(raw[at : at + 4]) for at in range(0, len(raw), 4)]
        found.append(
            ", ".join(f"SPN {fault.spn} FMI {fault.fmi}" for fault in faults if not fault.empty)
            + " (a truck's message)"
        )
    return found
