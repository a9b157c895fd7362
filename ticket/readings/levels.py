"""What a fluid level means beside its neighbour's: the open explanations, each with the fact of the trade behind it."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from ticket.job.text import fold
from ticket.job.values import Quantity

LOW, RIGHT, OVER = "low", "right", "over"


@dataclass(frozen=True, slots=True)
class LevelFact:
    """One fact of ``levels.tsv``: phrases that mean it, the level they mean, its figure, where it comes from."""

    id: str
    words: tuple[str, ...]
    state: str
    figure: Quantity | None
    standing: str
    fact: str


@dataclass(frozen=True, slots=True)
class LevelCause:
    """One explanation of a level.

    Attributes:
        id: ``outside leak``, ``passing seal``, ``earlier short fill`` or ``earlier over-fill``.
        standing: ``seen``, ``not seen``, ``pointed to`` or ``open``.
        because: id of the fact behind the standing.
    """

    id: str
    standing: str
    because: str


@dataclass(frozen=True, slots=True)
class LevelView:
    """What a level means.

    Attributes:
        counts: whether the reading may be used at all; ``None`` where nothing says that air was purged.
        causes: every explanation that remains, the best supported first.
        next: ids of the facts that say what to do next, in order.
    """

    counts: bool | None
    causes: tuple[LevelCause, ...]
    next: tuple[str, ...]


@cache
def level_facts() -> dict[str, LevelFact]:
    """The facts by id, in the order of the file."""
    text = Path(__file__).with_name("levels.tsv").read_text(encoding="utf-8")
    rows = [line.split("\t") for line in text.split("\n") if line and not line.startswith("#")][1:]
    return {
        name: LevelFact(
            name, tuple(filter(None, words.split("|"))), state, Quantity(value, unit) if value else None, standing, fact
        )
        for name, words, state, value, unit, standing, fact in rows
    }


def state_at_plug(seen: str) -> tuple[str, str]:
    """The level that words about a drawn plug mean, and the fact that says so; both empty where they say none.

    Words that mean two different levels mean none.
    """
    text = fold(seen)
    found = [fact for fact in level_facts().values() if any(word in text for word in fact.words)]
    return (found[0].state, found[0].id) if len({fact.state for fact in found}) == 1 else ("", "")


def explain_level(
    own: str, neighbour: str = "", outside: str = "", *, purged: bool | None = None, topped_up: bool = False
) -> LevelView:
    """Which explanations a level leaves open, and what decides between them.

    Args:
        own: ``low``, ``right`` or ``over``.
        neighbour: the level beside it, empty when it was not checked.
        outside: ``dry`` or ``wet``, empty when nobody looked.
        purged: whether air was purged by the running procedure before the level was read.
        topped_up: the level has been put right since.
    """
    causes = {LOW: _low, OVER: _over}.get(own, _right)(neighbour, outside)
    off = own in (LOW, OVER)
    steps = {
        "purge-first": purged is not True,
        "separate-fluids": off and not neighbour,
        "leak-shows": own == LOW and not outside,
        "recheck": off and topped_up,
        "can-wait": off and topped_up and outside != "wet",
    }
    return LevelView(purged, causes, tuple(name for name, wanted in steps.items() if wanted))


def _low(neighbour: str, outside: str) -> tuple[LevelCause, ...]:
    leak = LevelCause("outside leak", {"wet": "seen", "dry": "not seen"}.get(outside, "open"), "leak-shows")
    seal = LevelCause("passing seal", "open", "three-ways")
    if neighbour == OVER:
        seal = LevelCause("passing seal", "pointed to", "low-beside-over")
    causes = [leak, seal, LevelCause("earlier short fill", "open", "three-ways")]
    order = ("seen", "pointed to", "open", "not seen")
    return tuple(sorted(causes, key=lambda cause: order.index(cause.standing)))


def _over(neighbour: str, _outside: str) -> tuple[LevelCause, ...]:
    fill = LevelCause("earlier over-fill", "open", "separate-fluids")
    if neighbour == LOW:
        return LevelCause("passing seal", "pointed to", "low-beside-over"), fill
    return fill, LevelCause("passing seal", "open", "separate-fluids")


def _right(_neighbour: str, _outside: str) -> tuple[LevelCause, ...]:
    return ()
