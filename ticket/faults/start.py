"""The fault at the start of a text: where it ends, and what about it is in doubt."""

import re
from dataclasses import dataclass, replace

from ticket.faults import notation as n
from ticket.faults.layout import base, decimal_form, from_hex
from ticket.faults.trucks import FMI_MAX, SPN_MAX

_HEX_DIGITS = frozenset("0123456789ABCDEFabcdef")


@dataclass(frozen=True, slots=True)
class Hit:
    """A fault found at a position.

    Attributes:
        code: canonical code, such as ``P1A30`` or ``SPN 102``.
        sub: canonical sub-code, such as ``7B`` or ``FMI 18``; empty where none was written.
        end: position behind it.
        status: two hex digits of a status byte glued to it.
        source: number of the truck control unit that sent it.
        doubt: one plain sentence where the text can mean something else too.
    """

    code: str
    sub: str
    end: int
    status: str = ""
    source: str = ""
    doubt: str = ""


def find(text: str, start: int = 0) -> Hit | None:
    """The fault at a position, behind an optional word such as "code" or "DTC"."""
    prefix = n.PREFIX.match(text, start)
    begin = prefix.end() if prefix else start
    return _truck(text, begin) or _decimal(text, begin) or _display(text, begin) or _raw(text, begin)


def _display(text: str, start: int) -> Hit | None:
    apart = n.APART.match(text, start)
    if apart:
        return _with_sub(text, Hit((apart[1] + apart[2]).upper(), "", apart.end()))
    match = n.SHAPE.match(text, start)
    code = base(match[0]) if match else ""
    if match is None or not code:
        return None
    doubt = "The letter O was read as a zero." if "O" in match[0].upper() else ""
    glued = _glued(text, match.end())
    if len(glued) not in (0, 2, 4) or not _HEX_DIGITS.issuperset(glued):
        return None
    if glued:
        return Hit(code, glued[:2].upper(), match.end() + len(glued), status=glued[2:].upper(), doubt=doubt)
    return _with_sub(text, Hit(code, "", match.end(), doubt=doubt))


def _glued(text: str, start: int) -> str:
    """The letters and digits that follow without a gap; five at most, one more than any form has."""
    stop = start
    while stop < min(len(text), start + 5) and text[stop].isalnum():
        stop += 1
    return text[start:stop]


def _with_sub(text: str, hit: Hit) -> Hit:
    for pattern in (n.SUB_WORDED, n.SUB_HEX, n.SUB_MIXED):
        if match := pattern.match(text, hit.end):
            return _subbed(hit, match)
    if match := n.SUB_TIGHT.match(text, hit.end):
        closed = n.STOP.match(text, match.end())
        return _subbed(hit, match) if closed or not _wordy(match[1]) else hit
    if match := n.SUB_SLASH.match(text, hit.end):
        return _slash(hit, match)
    if match := n.SUB_BRACKET.match(text, hit.end):
        if match[1].isdecimal():
            return replace(
                hit, doubt=f"({match[1]}) may be a sub-code or a count: write {hit.code}-{match[1]} for one."
            )
        return _subbed(hit, match)
    if match := n.SUB_MARKED.match(text, hit.end):
        return _subbed(hit, match) if not match[1].isdecimal() else replace(hit, doubt=_perhaps(hit, f"{match[1]}h"))
    if match := n.SUB_COMMA.match(text, hit.end):
        return _behind_comma(hit, match, closed=n.STOP.match(text, match.end()) is not None)
    match = n.SUB_SPACED.match(text, hit.end)
    return _subbed(hit, match) if match and not _wordy(match[1]) else hit


def _behind_comma(hit: Hit, match: re.Match[str], *, closed: bool) -> Hit:
    """``P0171,1C`` is a row of a list; figures alone may count, and 5A or 1C in a sentence may be a measured value."""
    apart, pair = match[1], match[2]
    if pair.isalpha() or (pair.isdecimal() and not closed):
        return hit  # a word; an amount of what follows
    if pair.isdecimal() or ((apart or not closed) and pair[-1] in "ACac"):
        return replace(hit, doubt=_perhaps(hit, pair))
    return replace(hit, sub=pair.upper(), end=match.end())


def _perhaps(hit: Hit, typed: str) -> str:
    return f"{typed} may be a sub-code or something else: write {hit.code}-{typed[:2].upper()} for a sub-code."


def _subbed(hit: Hit, match: re.Match[str]) -> Hit:
    return replace(hit, sub=match[1].upper(), end=match.end())


def _wordy(pair: str) -> bool:
    """Two letters that may be a word ("be", "ad") rather than a sub-code."""
    return pair.isalpha() and not pair.isupper()


def _slash(hit: Hit, match: re.Match[str]) -> Hit:
    """``P0171/74`` may just as well stand for the codes P0171 and P0174; ``P0420/00`` cannot."""
    pair = match[1].upper()
    if pair.isdecimal() and hit.code[3:].isdecimal() and pair > hit.code[3:]:
        other = hit.code[:3] + pair
        doubt = f"/{pair} may be a sub-code or a second code: write {hit.code}-{pair}, or {hit.code} and {other}."
        return replace(hit, doubt=doubt)
    return _subbed(hit, match)


def _decimal(text: str, start: int) -> Hit | None:
    match = n.DECIMAL.match(text, start)
    found = _display(text, match.end()) if match else None
    if match is None or found is None:
        return None
    if decimal_form(found.code) != int(match[1]):
        return replace(found, doubt=f"The number {match[1]} does not belong to {found.code}: check which was meant.")
    return found


def _raw(text: str, start: int) -> Hit | None:
    match = n.RAW_0X_PAIRS.match(text, start) or n.RAW_0X.match(text, start)
    if match is None:
        match = n.RAW_PAIRS.match(text, start)
        if match is None or not _byte_pairs(text, match):
            return None
    digits = re.sub("0[xX]|[ ,]", "", match[0])
    code, sub = from_hex(digits)
    return Hit(code, sub, match.end(), status=digits[6:8].upper())


def _byte_pairs(text: str, match: re.Match[str]) -> bool:
    """Whether spaced pairs are raw bytes: "AC 12" and "12 14 psi" are not, "C1 00" and "90 00 16" are."""
    pairs = match[0].replace(" ", "")
    if pairs[:2].isalpha() or (len(pairs) == 4 and pairs.isdecimal()):
        return False
    sure = len(pairs) > 4 and not pairs.isdecimal()
    return sure or n.STOP.match(text, match.end()) is not None


def _truck(text: str, start: int) -> Hit | None:
    match = n.TRUCK.match(text, start)
    if match:
        source, spn, fmi, stop = match[1], match[2], match[3], match.end()
        if fmi is None and (tail := n.TRUCK_TAIL.match(text, stop)):
            fmi, stop = tail[1], tail.end()
    elif match := n.TRUCK_BACK.match(text, start):
        source, fmi, spn, stop = match[1], match[2], match[3], match.end()
    else:
        return None
    if int(spn) > SPN_MAX or (fmi is not None and int(fmi) > FMI_MAX):
        return None
    return Hit(f"SPN {int(spn)}", f"FMI {int(fmi)}" if fmi is not None else "", stop, source=source or "")
