"""The vocabulary of pasted scan reports: column titles, labels, words for a state, names of control units."""

import re
from functools import cache

from ticket.faults import fault_tables
from ticket.job.regex import Regex
from ticket.job.text import fold

# Where several states stand in one line, the one that says most about the fault comes first.
_ORDER = (
    "permanent", "active again", "stored again", "active", "intermittent", "stored", "previously active", "pending",
    "cleared",
)  # fmt: skip
_UNIT_NOUN = (
    r"(?:modules?|units?|computers?|controllers?|ecus?|clusters?|gateways?|steuergeräte?|unidad|calculateur|módulo)"
)
UNIT = Regex(rf"\b{_UNIT_NOUN}\b", re.I)
# A name of at most six words that holds such a noun: "brake control module", "unidad de frenos".
_WORD = r"[^\W_][\w/&.\-]{0,30}"
UNIT_NAME = Regex(rf"(?:{_WORD} ){{0,4}}{_UNIT_NOUN}(?: (?:de|del|du|of|the) {_WORD}| [A-Z0-9]{{1,2}}\b)?", re.I)
STORED_IN = Regex(
    rf"\b(?:stored|set|found|present|active|pending|logged|reported)\s+(?:in|by)\s+(?:the\s+)?({UNIT_NAME.pattern})",
    re.I,
)
_FAULT_NOUN = r"(?:faults?|(?:fault |trouble )?codes?|dtcs?|errors?|fehler|fallas?|códigos?|défauts?)"
NO_FAULTS = Regex(
    rf"\b(?:no|0|keine|sin|aucun) (?:stored |active )?{_FAULT_NOUN}\b(?: (?:found|stored|present|active|set))?", re.I
)
ALL_WELL = Regex(r"(?:[:|\t]|\s[\-–])[ \t]{0,9}(?:ok|none|passed|i\.?o\.?)[ \t.]{0,9}\Z", re.I)
COUNT = Regex(r"\b(?:oc|count|cnt|occurrences?)[ :=]{1,3}([0-9]{1,5})\b|\b([0-9]{1,5}) ?times\b", re.I)
CODES_TITLE = Regex(r"\b(?:faults?|codes?|dtcs?|fehler|códigos|défauts)\b", re.I)
_LEAD = Regex(r"\A(?:(?:the|in|from|on|by|of|der|die|das|el|la|le|les)\s+)+", re.I)


@cache
def _columns() -> dict[str, str]:
    return {row[1]: row[2] for row in fault_tables.rows("report_words.tsv") if row[0] == "column"}


@cache
def _states() -> dict[str, str]:
    return {row[1]: row[2] for row in fault_tables.rows("report_words.tsv") if row[0] == "status"}


@cache
def _state_pattern() -> re.Pattern[str]:
    longest = sorted(_states(), key=len, reverse=True)
    return re.compile(rf"(?<![\w\-])(?:{'|'.join(map(re.escape, longest))})(?![\w\-])", re.I)


def role(title: str) -> str:
    """What a column title or label stands for (``unit code sub spn fmi status byte count text``), or nothing."""
    return _columns().get(fold(title).strip(" .:#*[]()"), "")


def state(text: str) -> str:
    """The state of a fault that a text names, as a fault entry takes it, or nothing."""
    found = {_states().get(fold(match.group()), "") for match in _state_pattern().finditer(text)}
    return next((word for word in _ORDER if word in found), "")


def without_states(text: str) -> str:
    """A text without its words for a state."""
    return _state_pattern().sub(" ", text)


def unit_name(text: str) -> str:
    """The name of a control unit that a text holds, without articles, or nothing."""
    match = UNIT_NAME.search(text)
    return _LEAD.sub("", match.group(), count=1) if match else ""
