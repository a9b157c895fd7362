"""Which causes are one cause in other words: what the shop said so, and what it may want to be asked about. Pure."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from itertools import combinations

from ticket.job.likeness import likeness

_WORD = 0.75  # letters two spellings of one word share; from trials with invented slips of the finger
_WORDS = 0.5  # words two tellings of one cause share
_MOST = 200  # causes that are compared with each other


@dataclass(frozen=True, slots=True)
class Alike:
    """What the shop calls the same.

    Attributes:
        synonyms: a word, and the word it stands for.
        same: the key of a cause, and the key of the cause it is.
    """

    synonyms: Mapping[str, str] = field(default_factory=dict)
    same: Mapping[str, str] = field(default_factory=dict)

    @classmethod
    def of(cls, synonyms: Iterable[tuple[str, str]], same: Iterable[tuple[str, str]]) -> "Alike":
        """From the pairs a shop keeps; of causes that were called the same in a ring, the first stands for all."""
        found = cls(dict(synonyms))
        joined: dict[str, str] = {}
        for one, other in same:
            kept, gone = (_last(joined, found.worded(key)) for key in (other, one))
            if kept != gone:
                joined[gone] = kept
        return cls(found.synonyms, joined)

    def worded(self, key: str) -> str:
        """A key with the words of the shop put in."""
        if not self.synonyms:
            return key
        words, bar, where = key.partition(" / ")
        return " ".join(sorted({self.synonyms.get(word, word) for word in words.split()})) + bar + where

    def key(self, key: str) -> str:
        """The key that stands for a cause."""
        return _last(self.same, self.worded(key))


def _last(joined: Mapping[str, str], key: str) -> str:
    while (other := joined.get(key)) is not None and other != key:
        key = other
    return key


def likely_pairs(texts: Iterable[str], alike: Alike) -> list[tuple[str, str]]:
    """Wordings that may be one cause: the same side, and nearly the same words; those of the shop's own are left out.

    Args:
        texts: one wording of each cause, most frequent first.
        alike: what is called the same already.
    """
    keys = {alike.key(likeness(text)): text for text in reversed(list(texts)[:_MOST])}
    return [(keys[one], keys[other]) for one, other in combinations(reversed(keys), 2) if near(one, other)]


def near(one: str, other: str) -> bool:
    """Whether the keys of two causes may be one in other words: the same side, and nearly the same words."""
    mine, _, here = one.partition(" / ")
    theirs, _, there = other.partition(" / ")
    a, b = mine.split(), theirs.split()
    if here != there or not a or not b or abs(len(a) - len(b)) > 1:
        return False
    met = sum(any(_spelled_alike(word, word_too) for word_too in b) for word in a)
    return met == len(a) == len(b) or met / max(len(a), len(b)) > _WORDS


def _spelled_alike(one: str, other: str) -> bool:
    if one == other:
        return True
    if len(one) > 3 and len(other) > 3 and (one.startswith(other) or other.startswith(one)):
        return True
    return min(len(one), len(other)) > 2 and SequenceMatcher(None, one, other).ratio() >= _WORD
