"""The words of a finding that are more than plain words: a table, looked up by their first word."""

from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

from ticket.language.lexicon import look
from ticket.language.shortforms import may_be
from ticket.notes.finding.tokens import Places


@dataclass(frozen=True, slots=True)
class Phrase:
    """One row of the table.

    Attributes:
        words: the phrase, word by word, in lower case.
        letter: its class, see ``tokens.py``.
        means: the sign of an inequality; empty otherwise.
        places: the directions of a position.
        when: ``near``, ``num`` or empty; see the head of ``lexicon.tsv``.
    """

    words: tuple[str, ...]
    letter: str
    means: str = ""
    places: Places = ()
    when: str = ""


_JOINED_FROM = 7
"""Two words of limits that are longer than this together are known without the space between them too."""


@cache
def phrases() -> dict[str, tuple[Phrase, ...]]:
    """Rows by their first word, the longest first."""
    text = Path(__file__).with_name("lexicon.tsv").read_text(encoding="utf-8")
    rows = [line.split("\t") for line in text.split("\n") if line and not line.startswith("#")][1:]
    table: dict[str, list[Phrase]] = {}
    for phrase, letter, means, when in rows:
        words = tuple(phrase.split())
        places: Places = ()
        if letter == "p":
            pairs = (item.partition("=") for item in means.split("+"))
            places = tuple((direction, word) for direction, _, word in pairs)
        table.setdefault(words[0], []).append(Phrase(words, letter, "" if places else means, places, when))
        if letter in "lhs" and len(words) == 2 and len(phrase) > _JOINED_FROM:  # "shouldbe", "atleast"
            table.setdefault("".join(words), []).append(Phrase(("".join(words),), letter, means, (), when))
    return {
        first: tuple(sorted(found, key=lambda row: (-len(row.words), row.letter == "u", row.when == "")))
        for first, found in table.items()
    }


_MEASURED = frozenset(
    "imbalance quality health lambda co hc nox cca soh soc stft ltft sg duty dwell delta lowest highest average avg"
    " else remaining total standby reference id od dia x".split()
)
"""Quantities, and words for one of several readings, that are no noun of a thing. Common practice, no source."""


@lru_cache(maxsize=4096)
def is_noun(word: str) -> bool:
    """Whether a word names a thing or what is measured of it."""
    found = look(word)
    thing = any(one.cls in ("thing", "matter") and one.kind != "general" for one in found)
    return thing or word in _MEASURED or word.endswith("est") or (not found and may_be(word, "thing"))


@lru_cache(maxsize=4096)
def is_state(word: str) -> bool:
    """Whether a word tells how a thing was, where it was, or what it was doing."""
    return any(one.cls in ("state", "place") or one.form == "gerund" for one in look(word))
