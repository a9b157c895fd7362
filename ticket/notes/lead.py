"""The start of a line: shop-only mark, concern, and the word that decides what the line is."""

import re
from dataclasses import dataclass

from ticket.job.entry import CONCERN_LETTERS
from ticket.job.kinds import KINDS
from ticket.job.regex import Regex

SHORT = {declared.short: kind for kind, declared in KINDS.items() if declared.short}
"""The short leads: lower case only, a space behind the colon."""

_CONCERNS = rf"(?:([{CONCERN_LETTERS}](?:\+[{CONCERN_LETTERS}])*) +)?"
_LEAD = Regex(rf"\s*(# +)?{_CONCERNS}(?:((?i:ruled +out|{'|'.join(KINDS)})) *:|({'|'.join(SHORT)}):(?= |\Z))", re.A)
_STATES = Regex(
    rf"\s*(# +)?{_CONCERNS}((?i:c/s|customer (?:states|complains(?: of)?|complaint)"
    r"|cust\.? (?:states|complains(?: of)?)"
    r"|(?:driver|owner|operator) (?:states|complains(?: of)?)))(?: ?:|(?=[ ]))", re.A
)  # fmt: skip
_TWO = Regex(rf"\s*(# +)?{_CONCERNS}((?i:{'|'.join(KINDS)})) +((?i:{'|'.join(KINDS)})) ?:(?=\s)", re.A)
_HIDDEN = Regex(r"\s*# +")
_FIRST = Regex(r"\s*([A-Za-z]{2,10}) ?:(?=\s|\Z)")
_NEAR = {
    "part": "used", "parts": "used", "labour": "did", "labor": "did", "not": "ruled", "test": "proof",
    "tested": "proof", "customer": "says", "called": "told", "fault": "code",
}  # fmt: skip
# Things of the trade that are one letter away from a word of the notation.
_THINGS = frozenset({"water", "cold", "hold", "old", "gold", "roof", "mode", "node", "sound", "round", "lid", "use"})


@dataclass(frozen=True, slots=True)
class Lead:
    """What the start of a line says.

    Attributes:
        kind: the kind it names; empty where no word of the notation stands there.
        short: it was a short lead.
        concern: letters of the concerns, joined by ``+``.
        shop_only: the line began with ``# ``.
        word: the lead as typed.
        start: position of the lead.
        end: position behind the lead, where the body begins.
        twice: a second word of the notation that stands beside the first, as in ``says found:``.
    """

    kind: str = ""
    short: bool = False
    concern: str = ""
    shop_only: bool = False
    word: str = ""
    start: int = 0
    end: int = 0
    twice: str = ""


def lead_of(line: str) -> Lead:
    """The lead of a line; a line without one keeps everything behind a ``# `` as its body."""
    match = _LEAD.match(line)
    if match is None and (stated := _STATES.match(line) or _TWO.match(line)):
        kind = "says" if stated.re is _STATES.compiled else stated[3].lower()
        concern = "+".join(dict.fromkeys(stated[2].split("+"))) if stated[2] else ""
        twice = "" if stated.re is _STATES.compiled else stated[4].lower()
        return Lead(kind, False, concern, bool(stated[1]), stated[3], stated.start(3), stated.end(), twice)
    if match is None:
        hidden = _HIDDEN.match(line)
        return Lead(shop_only=hidden is not None, end=hidden.end() if hidden else 0)
    mark, letters, word, short = match.groups()
    kind = SHORT[short] if short else word.split()[0].lower()
    concern = "+".join(dict.fromkeys(letters.split("+"))) if letters else ""
    start = match.start(4 if short else 3)
    return Lead(kind, bool(short), concern, bool(mark), word or short, start, match.end())


def without_lead(lead: Lead) -> Lead:
    """The lead of a line whose short word turned out to be text: all of it belongs to the body."""
    return Lead(concern=lead.concern, shop_only=lead.shop_only, start=lead.start, end=lead.start)


def near_word(line: str) -> tuple[str, str, int, int] | None:
    """A first word that is probably meant as a lead: as typed, the word of the notation, and where it stands."""
    match = _FIRST.match(line)
    if match is None:
        return None
    typed = match[1]
    meant = _NEAR.get(typed.lower()) or _one_slip(typed.lower())
    return (typed, meant, match.start(1), match.end()) if meant else None


def _one_slip(typed: str) -> str:
    if typed in _THINGS or len(typed) < 3:
        return ""
    return next((kind for kind in KINDS if one_edit(typed, kind)), "")


def one_edit(a: str, b: str) -> bool:
    """True where one letter added, left out, changed or swapped with its neighbour turns ``a`` into ``b``."""
    if a == b or abs(len(a) - len(b)) > 1:
        return False
    start = next((i for i, (x, y) in enumerate(zip(a, b, strict=False)) if x != y), min(len(a), len(b)))
    return (
        a[start + 1 :] == b[start + 1 :]
        or a[start:] == b[start + 1 :]
        or a[start + 1 :] == b[start:]
        or (a[start : start + 2] == b[start : start + 2][::-1] and a[start + 2 :] == b[start + 2 :])
    )
