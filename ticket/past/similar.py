"""Which past jobs are told like the one in hand, though in other words and with slips of the finger. Pure.

Okapi BM25 over groups of three letters of each word (Robertson and others 1994, with the logarithm that is never
negative), then what both jobs know beside their words: the code, the sub-code, the vehicle. No likeness is told as a
figure: who reads it sees the words both share.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from math import log

from ticket.job.likeness import content_words
from ticket.job.text import fold

_SLIP, _CLOSE = 4, 0.8  # letters of a word, and the share of them, by which a slip is told
K1, B = 1.2, 0.75
"""As the authors recommend."""
SAME_SUB, SAME_CODE, OTHER_CODE, SAME_MODEL = 0.6, 0.25, -0.3, 0.05
"""What it counts beside the words, in units of the best score of the words; from trials with invented jobs."""


@dataclass(frozen=True, slots=True)
class Told:
    """What of a job is compared.

    Attributes:
        number: of the ticket.
        text: complaints and findings, and for a past job its causes.
        codes: (code, sub-code or empty).
        model: what people call the vehicle, folded.
    """

    number: int
    text: str
    codes: frozenset[tuple[str, str]] = frozenset()
    model: str = ""


@dataclass(frozen=True, slots=True)
class Near:
    """A past job that is told alike.

    Attributes:
        number: of the ticket.
        score: to order by; it means nothing by itself.
        words: that both share, or of which one is a slip of the other.
    """

    number: int
    score: float
    words: tuple[str, ...]


def pieces(text: str, synonyms: Mapping[str, str] | None = None) -> Counter[str]:
    """Groups of three signs of each word of a text, its ends among them; words the shop calls one are one."""
    found: Counter[str] = Counter()
    for word in _words(text, synonyms or {}):
        padded = f" {word} "
        found.update(padded[i : i + 3] for i in range(len(padded) - 2))
    return found


def _words(text: str, synonyms: Mapping[str, str]) -> list[str]:
    plain = "".join(char if char.isalnum() else " " for char in fold(text))
    return [_called(word, synonyms) for word in plain.split()]


def _called(word: str, synonyms: Mapping[str, str]) -> str:
    """The word the shop calls it; a slip of the finger in it does not matter."""
    if word in synonyms or len(word) < _SLIP:
        return synonyms.get(word, word)
    near = get_close_matches(word, synonyms, n=1, cutoff=_CLOSE)
    return synonyms[near[0]] if near else word


def score(asked: Mapping[str, int], held: Sequence[Mapping[str, int]]) -> list[float]:
    """Okapi BM25 of each text for a query, both as counts of their terms."""
    count = len(held)
    sizes = [sum(one.values()) for one in held]
    mean = sum(sizes) / count if count else 1.0
    within = Counter(term for one in held for term in one.keys() & asked.keys())
    weight = {term: log(1 + (count - found + 0.5) / (found + 0.5)) for term, found in within.items()}
    return [
        sum(
            weight[term] * one[term] * (K1 + 1) / (one[term] + K1 * (1 - B + B * size / (mean or 1)))
            for term in one.keys() & asked.keys()
        )
        for one, size in zip(held, sizes, strict=True)
    ]


def nearest(
    hand: Told, jobs: Iterable[Told], *, synonyms: Mapping[str, str] | None = None, most: int = 5
) -> tuple[Near, ...]:  # fmt: skip
    """The past jobs most alike, the most alike first; none where no word is shared."""
    known = [job for job in jobs if job.number != hand.number]
    found = score(pieces(hand.text, synonyms), [pieces(job.text, synonyms) for job in known])
    best = max(found, default=0.0)
    if best <= 0:
        return ()
    scored = [(value / best + _beside(hand, job), job) for value, job in zip(found, known, strict=True) if value > 0]
    scored.sort(key=lambda one: (-one[0], -one[1].number))
    return tuple(Near(job.number, value, shared_words(hand.text, job.text)) for value, job in scored[:most])


def _beside(hand: Told, job: Told) -> float:
    same = SAME_MODEL if hand.model and hand.model == job.model else 0.0
    if not hand.codes or not job.codes:
        return same
    if any(pair in job.codes for pair in hand.codes if pair[1]):
        return same + SAME_SUB
    if {code for code, _ in hand.codes} & {code for code, _ in job.codes}:
        return same + SAME_CODE
    return same + OTHER_CODE


def shared_words(one: str, other: str) -> tuple[str, ...]:
    """Words that name things and stand in both."""
    return tuple(sorted(content_words(one) & content_words(other)))
