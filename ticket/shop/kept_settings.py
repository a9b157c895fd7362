"""What a shop keeps beside its tickets, read from stored texts; one that is broken never keeps the shop shut."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from ticket.job.case import Settings
from ticket.job.codec import decode
from ticket.job.errors import DataError
from ticket.job.read_json import read_json
from ticket.job.text import one_line

CODES = "codes"
"""The key of the shop's own rows of the code table."""

TERMS = "glossary"
"""The key of the shop's own words."""

SYNONYMS, SAME_CAUSES, CHECKS = "synonyms", "same causes", "checks"
PAIRS = {
    SYNONYMS: "the words the shop calls one: ticket shop synonyms 'WORD = WORD'",
    SAME_CAUSES: "the causes the shop calls one: ticket before CODE --same CAUSE CAUSE",
    CHECKS: "what the shop says of its checks: ticket shop checks 'CAUSE = 10 min'",
}
"""The keys of lists of pairs of texts, and how each is taken in."""

LIMITS = "limits"
"""The key of the shop's own limits book."""

DOCUMENTS = ("prices", "pack ", LIMITS)
"""How the keys of documents kept beside the settings begin."""

BROKEN = "\ufffd"
"""Stands for a document that cannot be read. There is no default for prices: whoever asks for it is told."""

_BAD = object()


@dataclass(frozen=True, slots=True)
class KeptSettings:
    """Settings and what else stands beside them.

    Attributes:
        codes: the shop's own rows of the code table.
        terms: the shop's own words: a term, and what it means.
        pairs: lists of pairs of texts by their key.
        documents: texts by their key.
        doubts: a sentence for each value that could not be read.
        chosen: the settings that the shop set itself.
        extras: what the folder of the shop's own holds, a few words each.
    """

    settings: Settings
    codes: tuple[tuple[str, ...], ...] = ()
    terms: tuple[tuple[str, str], ...] = ()
    pairs: Mapping[str, tuple[tuple[str, str], ...]] = field(default_factory=dict)
    documents: Mapping[str, str] = field(default_factory=dict)
    doubts: tuple[str, ...] = ()
    extras: tuple[str, ...] = ()
    chosen: frozenset[str] = frozenset()


def read_kept_settings(stored: Mapping[str, str]) -> KeptSettings:
    """Everything kept beside the tickets; what cannot be read stands at its default and in the doubts.

    Args:
        stored: JSON texts by their key; U+FFFD stands for bytes that are no text, since JSON escapes that sign.
    """
    raw = {key: _value(text) for key, text in stored.items()}
    documents = {key: raw.pop(key) for key in list(raw) if key.startswith(DOCUMENTS)}
    texts = {key: value if isinstance(value, str) else BROKEN for key, value in documents.items()}
    doubts = [
        f"{_shown(key)} cannot be read: take it in again from its file" for key, v in texts.items() if v == BROKEN
    ]
    codes, terms = raw.pop(CODES, []), raw.pop(TERMS, [])
    if not _is_rows(codes):
        doubts.append("the shop's own fault codes cannot be read and are left out: ticket code --import FILE")
        codes = []
    if not _is_rows(terms) or any(len(row) != 2 for row in terms):
        doubts.append("the shop's own words cannot be read and are left out: ticket shop glossary 'TERM = WORDS'")
        terms = []
    pairs, odd = _pairs({key: raw.pop(key, []) for key in PAIRS})
    doubts += odd
    settings, broken = _settings(raw)
    doubts += broken
    return KeptSettings(
        settings, tuple(map(tuple, codes)), tuple((term, plain) for term, plain in terms),
        pairs, texts,
        tuple(doubts),
        chosen=frozenset(raw),
    )  # fmt: skip


def _pairs(raw: Mapping[str, Any]) -> tuple[dict[str, tuple[tuple[str, str], ...]], list[str]]:
    """The lists of pairs, and a sentence for each that cannot be read."""
    odd = [key for key, value in raw.items() if not _is_rows(value) or any(len(row) != 2 for row in value)]
    kept = {key: () if key in odd else tuple((one, other) for one, other in value) for key, value in raw.items()}
    return kept, [f"{_shown(key)} cannot be read and is left out: {PAIRS[key]}" for key in odd]


def _settings(raw: Mapping[str, Any]) -> tuple[Settings, list[str]]:
    """The settings, and a sentence for each that could not be read and stands at its default."""
    good: dict[str, Any] = {}
    doubts = []
    for key, value in raw.items():
        try:
            decode(Settings, {key: None if value is _BAD else value})
        except DataError:
            known = getattr(Settings(), key, _BAD)
            stands = "is left out" if known is _BAD else f"stands at {known!r}; set it again: ticket shop {key} VALUE"
            doubts.append(f"the setting {_shown(key)} cannot be read and {stands}")
        else:
            good[key] = value
    return decode(Settings, good), doubts


def _value(text: str) -> Any:
    try:
        return _BAD if "\ufffd" in text else read_json(text)
    except DataError:
        return _BAD


def _shown(key: str) -> str:
    return json.dumps(one_line(key), ensure_ascii=False)


def _is_rows(value: Any) -> bool:
    return isinstance(value, list) and all(
        isinstance(row, list) and all(isinstance(cell, str) for cell in row) for row in value
    )
