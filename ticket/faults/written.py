"""A fault as people and tools write it -> what was written, in one canonical form.

Nothing is guessed: a form that can mean two things is read the safe way and says so, a form that means nothing
known is kept as typed.
"""

import re

from ticket.faults import notation as n

SPN_MAX = 524287  # 19 bits, SAE J1939-73
FMI_MAX = 31  # 5 bits


def leading(text: str) -> tuple[str, str, int] | None:
    """The fault that stands at the start of a text, in any written form.

    Args:
        text: any text, such as ``P1A30-7B fan control, stored``.

    Returns:
        Code, sub-code (empty where none was written) and the position behind them; ``None`` where the text does
        not start with a fault. Ordinary words never do: raw hex counts only with ``0x`` or as spaced byte pairs.
        Truck codes come as ``("SPN 102", "FMI 18", end)``.
    """
    prefix = n.PREFIX.match(text)
    start = prefix.end() if prefix else 0
    return _truck(text, start) or _decimal(text, start) or _display(text, start) or _raw(text, start)


def base(word: str) -> str:
    """The canonical five characters of a word such as ``po42O``, or nothing where it is not one code.

    A letter O is read as zero only beside two true digits: COCOA and CODE3 are words.
    """
    match = n.SHAPE.fullmatch(word)
    if match is None:
        return ""
    code = word.upper()
    if "O" in code and sum(c.isdigit() for c in code) < 2:
        return ""
    return code.replace("O", "0")


def from_bytes(raw: str) -> tuple[str, str]:
    """Code and sub-code of two or more raw bytes as hex digits (bit layout of SAE J2012 / ISO 15031-6)."""
    first = int(raw[0], 16)
    return f"{'PCBU'[first >> 2]}{first & 3}{raw[1:4].upper()}", raw[4:6].upper()


def _display(text: str, start: int) -> tuple[str, str, int] | None:
    apart = n.APART.match(text, start)
    if apart:
        code, stop = (apart[1] + apart[2]).upper(), apart.end()
        return code, *_sub(text, stop, code)
    match = n.SHAPE.match(text, start)
    if match is None:
        return None
    code, stop = base(match[0]), match.end()
    run = _run(text, stop)
    if not code or len(run) not in (0, 2, 4) or not all(c in "0123456789ABCDEFabcdef" for c in run):
        return None
    if run:
        return code, run[:2].upper(), stop + len(run)
    return code, *_sub(text, stop, code)


def _run(text: str, start: int) -> str:
    """The letters and digits glued to a position; five at most, one more than any form has."""
    stop = start
    while stop < len(text) and stop < start + 5 and text[stop].isalnum():
        stop += 1
    return text[start:stop]


def _sub(text: str, stop: int, code: str) -> tuple[str, int]:
    for pattern in (n.SUB_WORDED, n.SUB_HEX, n.SUB_MIXED):
        if match := pattern.match(text, stop):
            return match[1].upper(), match.end()
    if match := n.SUB_TIGHT.match(text, stop):
        if not _wordy(match[2]) or n.STOP.match(text, match.end()):
            return match[2].upper(), match.end()
    elif match := n.SUB_SLASH.match(text, stop):
        if not doubtful_slash(code, match[1]):
            return match[1].upper(), match.end()
    elif match := n.SUB_BRACKET.match(text, stop) or n.SUB_SPACED.match(text, stop):
        bracket = text[match.end() - 1] in ")]"
        if not _wordy(match[1]) and not (bracket and match[1].isdigit()):
            return match[1].upper(), match.end()
    return "", stop


def _wordy(pair: str) -> bool:
    """Two letters that may begin or be a word ("be", "ad") rather than a sub-code."""
    return pair.isalpha() and not pair.isupper()


def doubtful_slash(code: str, pair: str) -> bool:
    """Whether ``P0171/74`` may just as well stand for two codes, P0171 and P0174."""
    return pair.isdigit() and code[3:].isdigit() and pair > code[3:]


def _decimal(text: str, start: int) -> tuple[str, str, int] | None:
    match = n.DECIMAL.match(text, start)
    if match is None:
        return None
    found = _display(text, match.end())
    return found if found and decimal_form(found[0]) == int(match[1]) else None


def decimal_form(code: str) -> int | None:
    """The five-digit decimal some older tools print beside a P0 or P1 code (rule drawn from five pairs)."""
    if code[:2] not in ("P0", "P1") or not code[1:].isdigit():
        return None
    return (16384 if code[1] == "0" else 16408) + int(code[1:])


def _raw(text: str, start: int) -> tuple[str, str, int] | None:
    match = n.RAW_0X_PAIRS.match(text, start) or n.RAW_0X.match(text, start)
    if match:
        return *from_bytes(re.sub("0[xX]|[ ,]", "", match[0])), match.end()
    match = n.RAW_PAIRS.match(text, start)
    if match is None or match[0][:2].isalpha():
        return None
    pairs = match[0].replace(" ", "")
    if len(pairs) == 4 and pairs.isdigit():
        return None  # "12 14" may be two flash codes
    if (len(pairs) == 4 or pairs.isdigit()) and not n.STOP.match(text, match.end()):
        return None
    return *from_bytes(pairs), match.end()


def _truck(text: str, start: int) -> tuple[str, str, int] | None:
    match = n.TRUCK.match(text, start)
    if match:
        spn, fmi, stop = match[2], match[3], match.end()
        if fmi is None and (tail := n.TRUCK_TAIL.match(text, stop)):
            fmi, stop = tail[1], tail.end()
    elif match := n.TRUCK_BACK.match(text, start):
        spn, fmi, stop = match[3], match[2], match.end()
    else:
        return None
    if int(spn) > SPN_MAX or (fmi is not None and int(fmi) > FMI_MAX):
        return None
    return f"SPN {int(spn)}", f"FMI {int(fmi)}" if fmi is not None else "", stop
