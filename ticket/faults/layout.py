"""How a five-character code is laid out in bits, and what can be computed from that alone.

Bit layout: SAE J2012 / ISO 15031-6, two bytes, high bits first: letter (2), second character (2), then three hex
digits. The three-byte form of ISO 14229-1 adds the failure type byte, the "sub-code".
"""

import re

from ticket.job.regex import Regex

LETTERS = "PCBU"
CODE = Regex(r"[PCBU][0-3][0-9A-F]{3}\Z")
SUB = Regex(r"[0-9A-F]{2}\Z")
_LOOSE = Regex(r"[PCBU][0-3O][0-9A-FO]{3}\Z", re.I | re.A)


def base(word: str) -> str:
    """The canonical five characters of a word such as ``po42O``, or nothing where it is not one code.

    A letter O is read as zero only beside two true digits: COCOA and CODE3 are words.
    """
    if _LOOSE.match(word) is None:
        return ""
    code = word.upper()
    if "O" in code and sum(c.isdecimal() for c in code) < 2:
        return ""
    return code.replace("O", "0")


def from_hex(raw: str) -> tuple[str, str]:
    """Code and sub-code of two or three raw bytes written as hex digits; without a third byte no sub-code."""
    first = int(raw[0], 16)
    return f"{LETTERS[first >> 2]}{first & 3}{raw[1:4].upper()}", raw[4:6].upper()


def to_number(code: str, sub: str = "") -> int:
    """The raw value of a canonical code: 16 bits without a sub-code, 24 bits with one.

    Raises:
        ValueError: the text is not a canonical code or sub-code.
    """
    if CODE.match(code) is None or (sub and SUB.match(sub) is None):
        raise ValueError(f"not a canonical fault code: {code!r} {sub!r}")
    value = LETTERS.index(code[0]) << 14 | int(code[1]) << 12 | int(code[2:], 16)
    return value << 8 | int(sub, 16) if sub else value


def decimal_form(code: str) -> int | None:
    """The five-digit decimal that some older tools print beside a P0 or P1 code.

    The rule is drawn from five printed pairs, no standard: 16384 + number for P0, 16408 + number for P1.
    """
    if code[:2] not in ("P0", "P1") or not code[1:].isdecimal():
        return None
    return (16384 if code[1] == "0" else 16408) + int(code[1:])
