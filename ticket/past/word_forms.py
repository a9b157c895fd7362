"""The regular forms of an English word, so that ``flickering`` finds ``flickers``. Pure.

The rules are those of spelling in any grammar of English (final e, y, doubled consonants); what is irregular is not
known here, and a form that nobody writes finds nothing and harms nothing.
"""

from collections.abc import Iterator
from functools import lru_cache

_VOWELS = frozenset("aeiou")
_LEAST = 4  # letters from which on an ending is taken off


@lru_cache(maxsize=1024)
def forms(word: str) -> tuple[str, ...]:
    """The word first, then its other forms; a word with a figure or a mark has none."""
    told = word.lower()
    if len(told) < 3 or not (told.isascii() and told.isalpha()):
        return (word,)
    found = dict.fromkeys(form for base in _bases(told) for form in _bent(base))
    return (word, *(form for form in found if form != told))


def _bases(word: str) -> Iterator[str]:
    """What the word may be a form of; always itself."""
    yield word
    if len(word) < _LEAST:
        return
    if word.endswith(("ies", "ied")):
        yield word[:-3] + "y"
    if word.endswith("s") and not word.endswith(("ss", "us", "is")):
        yield word[:-1]
        if word.endswith(("ses", "xes", "zes", "ches", "shes")):
            yield word[:-2]
    for ending in ("ing", "ed"):
        stem = word.removesuffix(ending)
        if stem != word and len(stem) > 2 and not _VOWELS.isdisjoint(stem):
            yield from (stem, stem + "e")
            if len(stem) > 3 and stem[-1] == stem[-2]:
                yield stem[:-1]


def _bent(base: str) -> Iterator[str]:
    """The forms of a base: several, past, going on."""
    yield base
    if base.endswith("y") and base[-2:-1] not in _VOWELS:
        yield from (base[:-1] + "ies", base[:-1] + "ied", base + "ing")
        return
    yield base + ("es" if base.endswith(("s", "x", "z", "ch", "sh")) else "s")
    if base.endswith("e"):
        yield from (base + "d", base[:-1] + "ing")
        return
    yield from (base + "ed", base + "ing")
    short = len(base) > 2 and base[-1] not in _VOWELS | set("wxy") and base[-2] in _VOWELS and base[-3] not in _VOWELS
    if short:
        yield from (base + base[-1] + "ed", base + base[-1] + "ing")
