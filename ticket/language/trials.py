"""A proof begins with a trial of the closed list: "rt 6mi", "idled 30min w/ ac on"; what it showed follows."""

from functools import cache

from ticket.language.groups import Doubt, places
from ticket.language.letters import letters
from ticket.language.lexicon import TYPED
from ticket.language.phrasebook import Taught
from ticket.language.records import Span, Trial
from ticket.language.tables import rows
from ticket.readings.units import find

PROOF = frozenset({"proof"})
_DIMENSIONS = {"length": "distance", "time": "time", "volume": "volume"}


@cache
def _listed() -> dict[tuple[str, ...], dict[str, str]]:
    """By the typed words: the kind of trial for what its figure measures."""
    table: dict[tuple[str, ...], dict[str, str]] = {}
    for typed, kind, needs in rows(TYPED, "trials"):
        for form in typed.split(","):
            table.setdefault(tuple(form.split()), {})[needs] = kind
    return table


def trial(piece: tuple[Span, ...], taught: dict[str, Taught]) -> tuple[Trial, tuple[Span, ...]] | None:
    """The trial a piece begins with and the spans behind it, or ``None`` where it begins with none.

    Raises :class:`Doubt` where a trial stands there with a figure that it does not take.
    """
    bases: list[str] = []
    found: tuple[int, dict[str, str]] | None = None
    for i, span in enumerate(piece[:3]):
        bases.extend(span.base.split(" "))
        kinds = _listed().get(tuple(bases))
        if kinds is not None:
            found = (i + 1, kinds)
    if found is None:
        return None
    width, kinds = found
    figure = piece[width] if width < len(piece) and piece[width].cls == "figure" else None
    kind = kinds.get(_measures(figure))
    if kind is None:
        raise Doubt("a trial without its figure", piece[width - 1])
    rest = piece[width + (figure is not None) :]
    where, rest = _circumstances(rest, taught)
    return Trial(kind, figure, None, where), rest


def _measures(figure: Span | None) -> str:
    if figure is None:
        return "none"
    if figure.unit == "times":
        return "times"
    unit = find(figure.unit) if figure.unit else None
    return _DIMENSIONS.get(unit.dimension, "") if unit is not None else ""


def _circumstances(rest: tuple[Span, ...], taught: dict[str, Taught]) -> "tuple[tuple, tuple[Span, ...]]":  # type: ignore[type-arg]
    """The longest run of circumstances right behind the figure."""
    codes = letters(rest, "proof", taught)
    for end in range(len(rest), 0, -1):
        try:
            return places(rest[:end], codes[:end]), rest[end:]
        except Doubt:
            continue
    return (), rest
