"""The word lists of the judge, read once a language."""

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from ticket.language.lexicon import Word, look

_HERE = Path(__file__).parent
FOLDERS = [_HERE]
"""Where the lists of a language are looked for, first match first."""
_ENDINGS = (("ies", "y"), ("ied", "y"), ("edly", ""), ("ing", ""), ("ed", ""), ("ly", ""), ("es", ""), ("s", ""))
_KEPT = ("ss", "us", "is", "eed", "bed", "red", "ring", "king", "thing")
_ROOTED = ("doing", "work", "link", "thing", "matter", "state", "quality")


@dataclass(frozen=True, eq=False)
class Tables:
    """One language's lists, with what is asked most often worked out."""

    data: Mapping[str, Any]
    plain: frozenset[str]
    light: frozenset[str]
    same: Mapping[str, str]
    numbers: Mapping[str, Fraction]
    patterns: Mapping[str, "re.Pattern[str]"]
    opposites: Mapping[str, frozenset[str]]

    def said(self, name: str, text: str) -> "re.Match[str] | None":
        """The first phrase of a list that stands in a text in small letters."""
        return self.patterns[name].search(text)

    def roots(self, words: str) -> frozenset[str]:
        """Roots of words between spaces."""
        return _roots(words, self)

    def words(self, name: str) -> frozenset[str]:
        """A list of single words."""
        return frozenset(self.data["speech"][name])


@cache
def tables(code: str = "en") -> Tables:
    """The lists of a language. Raises ``FileNotFoundError`` where there are none."""
    path = next((path for folder in FOLDERS if (path := folder / f"{code}.toml").is_file()), _HERE / f"{code}.toml")
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    same: dict[str, str] = {}
    for group in data.get("same", ()):
        names = [stem(word) for word in group.split()]
        head = next((same[name] for name in names if name in same), names[0])
        for name in names:
            same.setdefault(name, head)
    lists = {name: value for name, value in data.items() if isinstance(value, list) and _are_phrases(value)}
    return Tables(
        data,
        frozenset(data.get("plain", "").split()),
        frozenset(data.get("speech", {}).get("light", "").split()),
        same,
        {word: Fraction(str(value)) for word, value in data.get("number_words", {}).items()},
        {name: _pattern(value) for name, value in lists.items()},
        _opposites(data.get("turned", ())),
    )


def _opposites(rows: Iterable[list[str]]) -> dict[str, frozenset[str]]:
    """Each word's opposites, by their stems."""
    found: dict[str, frozenset[str]] = {}
    for one, other in rows:
        for mine, theirs in ((one, other), (other, one)):
            held = frozenset(map(stem, theirs.split()))
            for word in map(stem, mine.split()):
                found[word] = found.get(word, frozenset()) | held
    return found


def _are_phrases(value: list[Any]) -> bool:
    return all(isinstance(one, str) for one in value)


def _pattern(phrases: Iterable[str]) -> "re.Pattern[str]":
    longest = sorted(phrases, key=len, reverse=True)
    return re.compile(r"(?<![\w-])(?:" + "|".join(map(re.escape, longest)) + r")(?![\w-])")


def phrase(words: str) -> "re.Pattern[str]":
    """A pattern that finds one of the phrases between bars."""
    return _phrase(words)


@cache
def _roots(words: str, lists: Tables) -> frozenset[str]:
    return frozenset(lists.same.get(stem(word), stem(word)) for word in words.split())


@cache
def _phrase(words: str) -> "re.Pattern[str]":
    return _pattern(words.split("|"))


@lru_cache(maxsize=8192)
def stem(word: str) -> str:
    """A word in small letters without its endings, so that "replaced" and "replace" are one; rough and total."""
    word = word.removesuffix("'s").removesuffix("’s")
    listed = [one for one in look(word) if one.cls in _ROOTED and " " not in one.base]
    if listed:
        word = min(listed, key=_rank).base
    if len(word) > 3 and not word.endswith(_KEPT):
        for ending, instead in _ENDINGS:
            if word.endswith(ending) and len(word) - len(ending) >= 3:
                word = word[: -len(ending)] + instead
                break
    if len(word) > 3 and word[-1] == word[-2] and word[-1] not in "sl":
        word = word[:-1]
    return word[:-1] if len(word) > 3 and word.endswith("e") else word


def _rank(word: Word) -> int:
    return _ROOTED.index(word.cls)
