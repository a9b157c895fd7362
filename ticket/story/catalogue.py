"""Sentence patterns by id. English lives in ``catalogue_en.tsv``; another language is another file of the same ids."""

from functools import cache
from pathlib import Path

from ticket.job.regex import Regex
from ticket.story.sentence import Lit, Part, Phrase, Val

_SLOT = Regex(r"\{([a-z0-9]+)\}")
_FILE = "catalogue_en.tsv"

Slot = Phrase | Part


@cache
def patterns() -> dict[str, tuple[str, ...]]:
    """The variants of every pattern."""
    table: dict[str, tuple[str, ...]] = {}
    text = Path(__file__).with_name(_FILE).read_text(encoding="utf-8")
    for line in [line for line in text.split("\n") if line and not line.startswith("#")][1:]:
        name, _, pattern = line.partition("\t")
        table[name] = (*table.get(name, ()), pattern)
    return table


def has(name: str) -> bool:
    """Whether the catalogue knows the pattern."""
    return name in patterns()


def variants(name: str, /, **slots: Slot) -> tuple[Phrase, ...]:
    """All variants of a pattern with its slots filled, in order of liking.

    Raises:
        KeyError: for an unknown pattern or an unfilled slot: a fault of the program, not of a ticket.
    """
    return tuple(_filled(pattern, slots) for pattern in patterns()[name])


def say(name: str, /, **slots: Slot) -> Phrase:
    """The first variant of a pattern with its slots filled."""
    return _filled(patterns()[name][0], slots)


def title(name: str) -> str:
    """The text of a pattern without slots."""
    return patterns()[name][0]


@cache
def _pieces(pattern: str) -> tuple[str, ...]:
    """Words and names of slots, in turn."""
    return tuple(_SLOT.split(pattern))


def _filled(pattern: str, slots: dict[str, Slot]) -> Phrase:
    out: list[Part] = []
    for i, piece in enumerate(_pieces(pattern)):
        if i % 2 == 0:
            if piece:
                out.append(Lit(piece))
            continue
        filled = slots[piece]
        out += [filled] if isinstance(filled, Lit | Val) else filled
    return tuple(out)
