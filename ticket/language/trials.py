"""A proof begins with a trial of the closed list: "rt 6mi", "idled 30min w/ ac on"; what it showed follows."""

from functools import cache

from ticket.language.groups import Doubt, places, things
from ticket.language.letters import letters
from ticket.language.lexicon import TYPED
from ticket.language.phrasebook import Taught
from ticket.language.records import Span, Things, Trial
from ticket.language.spans import spans
from ticket.language.tables import rows
from ticket.readings.units import find

PROOF = frozenset({"proof"})
_LED = "behind "
_ON_THINGS = frozenset({"run", "cycle", "charge", "start"})
_DIMENSIONS = {"length": "distance", "time": "time", "volume": "volume"}


@cache
def _listed() -> dict[tuple[str, ...], dict[str, str]]:
    """By the typed words: the kind of trial for what its figure measures."""
    return _table(behind=False)


@cache
def _behind() -> dict[tuple[str, ...], dict[str, str]]:
    """The same for words that stand behind their figure: "14 km run"."""
    return _table(behind=True)


def _table(*, behind: bool) -> dict[tuple[str, ...], dict[str, str]]:
    table: dict[tuple[str, ...], dict[str, str]] = {}
    for typed, kind, needs in rows(TYPED, "trials"):
        if needs.startswith(_LED) == behind:
            for form in typed.split(","):
                table.setdefault(tuple(form.split()), {})[needs.removeprefix(_LED)] = kind
    return table


def trial(piece: tuple[Span, ...], taught: dict[str, Taught]) -> tuple[Trial, tuple[Span, ...]] | None:
    """The trial a piece begins with and the spans behind it, or ``None`` where it begins with none.

    Raises :class:`Doubt` where a trial stands there with a figure that it does not take.
    """
    if (named := _named(piece, taught)) is not None:
        return named
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
    done_to, width = _done_to(piece, width, taught)
    figure = piece[width] if width < len(piece) and piece[width].cls == "figure" else None
    where, rest = _circumstances(piece[width + (figure is not None) :], taught)
    kind = kinds.get("place" if figure is None and where and "place" in kinds else _measures(figure))
    if kind is None:
        raise Doubt("a trial without its figure", piece[width - 1])
    if done_to is not None and (kind not in _ON_THINGS or figure is None):
        raise Doubt("a trial of a thing", piece[0])
    return Trial(kind, figure, done_to, where), rest


def _named(piece: tuple[Span, ...], taught: dict[str, Taught]) -> tuple[Trial, tuple[Span, ...]] | None:
    """A trial by its name behind its figure, with circumstances at most: "14 km run", "10 min idle"."""
    if len(piece) < 2 or piece[0].cls != "figure":
        return None
    for width in (2, 1):
        bases = tuple(word for span in piece[1 : 1 + width] for word in span.base.split(" "))
        kind = _behind().get(bases, {}).get(_measures(piece[0]))
        if kind is not None:
            where, rest = _circumstances(piece[1 + width :], taught)
            return (Trial(kind, piece[0], None, where), ()) if not rest else None
    return None


def begins_with_trial(text: str) -> bool:
    """Whether a line begins with a trial of the closed list or names a test, whatever kind of entry it stands in."""
    held = spans(text, "proof")
    if any(span.base.rpartition(" ")[2] == "test" for span in held[:2]):
        return True
    try:
        return trial(held, {}) is not None
    except Doubt:
        return False


def _done_to(piece: tuple[Span, ...], width: int, taught: dict[str, Taught]) -> tuple[Things | None, int]:
    """What is run or cycled, where it stands between the trial and its figure: "cycled latch 20x"."""
    end = next((i for i, span in enumerate(piece) if i >= width and span.cls == "figure"), width)
    if end == width:
        return None, width
    held = piece[width:end]
    try:
        return things(held, letters(held, "proof", taught)), end
    except Doubt:
        return None, width


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
