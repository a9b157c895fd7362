"""A part or fluid on a line that names no kind: counted, called by its name, and priced."""

import re

from ticket.job.regex import Regex
from ticket.notes.part_numbers import is_part_number
from ticket.notes.phrases import means

_PRICED = Regex(
    r"\s*(?P<used>used\s+)?(?P<put>(?:put in|fitted|installed|added|supplied)\s+)?"
    r"(?P<amount>[0-9]{1,3}(?:[.,][0-9]{1,2})?)\s?(?P<unit>[A-Za-z×]{1,6})\.?\s+(?P<name>\S.*?)\s*"
    r"@\s?(?P<sign>[$£€]\s?)?(?P<price>[0-9]+(?:[.,][0-9]{1,2})?|\.[0-9]{2})"
    r"(?P<each>\s?(?:/\s?(?P<per>[A-Za-z]+)|ea\b|each\b|apiece\b))?\s*(?:[;,].*)?\Z",
    re.I,
)
# The name in front: "coolant 6 L @ 8.40". The price shows by its cents or its sign, so "2 L low @ 40000" is none.
_NAMED_FIRST = Regex(
    r"\s*(?P<used>used\s+)?(?P<name>[A-Za-z]\S*(?:\s+\S+){0,5}?)\s+(?:[0-9]{1,3}(?:[.,][0-9]{1,2})?)\s?"
    r"(?P<unit>[A-Za-z×]{1,7})\.?,?(?:\s+(?:DOT|[A-Za-z]{0,4}[0-9][\w-]*)){0,2}\s+@\s?(?:[$£€]\s?[0-9.,]+|[0-9]+[.,][0-9]{2})"
    r"(?:\s?(?:/\s?(?P<per>[A-Za-z]+)|ea\b|each\b|apiece\b))?\s*\Z",
    re.I,
)
_CONDITION = Regex(r"\b(?:new|reman|rebuilt|recon|used)\b", re.I)
# Words that tell the state of a thing and not its name.
_STATE = Regex(
    r"\b(?:is|are|was|on|out|off|bad|broken|broke|missing|worn|dead|dim|low|leaks?|leaking|leaked|cracks?|cracked|loose"
    r"|needs?|wrong|should|noisy|noise|burnt|failed|short|recovered|added|ago|left|quoted?|estimated?)\b",
    re.I,
)  # fmt: skip
_MEASURES = frozenset({"m", "g", "h"})  # sold by these too, but oftener measured in them


_CATALOGUED = Regex(
    r"\s*[a-z][a-z /-]{2,40}?\s+(?:p/n|pn|part (?:no|number|#))[:.#]?\s*[a-z0-9-]*[0-9][a-z0-9-]*[,\s]+qty:? ?[0-9]+"
    r"[,\s]+@?\s?[$£€]\s?[0-9]+(?:\.[0-9]{2})?(?: ?ea(?:ch)?)?\s*\Z", re.I
)  # fmt: skip
"""``relay p/n 90-3317 qty 1 $11.60``: name, number, count and price of a part, and nothing else."""


def is_part(text: str) -> int | None:
    """Where the facts of the part begin, if the line can hardly be anything but one; else nothing.

    ``2 x`` says that things are counted; beside another unit something else has to say that the figure behind ``@`` is
    a price: its sign, what it is for, a part number or a condition.
    """
    if _CATALOGUED.match(text):
        return 0
    named = _NAMED_FIRST.match(text)
    if named and not _STATE.search(named["name"]) and means("sold", named["unit"].lower()) not in ("", *_MEASURES):
        per = named["per"]
        return (named.end("used") if named["used"] else 0) if not per or means("sold", per.lower()) else None
    match = _PRICED.match(text)
    if match is None or _STATE.search(match["name"]):
        return None
    unit = match["unit"].lower()
    if match["put"]:
        priced = "." in match["price"] or "," in match["price"] or match["sign"] or match["each"]
        plural = unit.endswith("s") or bool(means("sold", unit))
        return match.start("amount") if priced and plural and unit not in _MEASURES else None
    if unit in ("x", "×"):
        certain = not match["name"][0].isdecimal() or _numbered(match["name"])
    else:
        sold = bool(means("sold", unit)) and unit not in _MEASURES
        certain = sold and bool(match["sign"] or _each(match, unit) or _numbered(match["name"])
                                or _CONDITION.search(match["name"]))  # fmt: skip
    return (match.end("used") if match["used"] else 0) if certain else None


def is_state(text: str) -> bool:
    """Whether a word tells how a thing is: leaked, worn, missing."""
    return _STATE.search(text) is not None


def _each(match: re.Match[str], unit: str) -> bool:
    """``@ 14/gal`` behind gallons, ``@ 2.05 ea``."""
    if not match["each"]:
        return False
    return not match["per"] or means("sold", match["per"].lower()) == means("sold", unit)


def _numbered(name: str) -> bool:
    return is_part_number(name.split(maxsplit=1)[0].rstrip(",;"))
