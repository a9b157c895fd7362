"""F6: sides are typed, never added, swapped or dropped, and left and right are used for nothing else."""

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from support.faithful.figures import COUNT, QUANTITY, Figure, scan
from support.faithful.finding import Finding
from support.faithful.grounds import Grounds
from support.faithful.language import Language, load
from support.faithful.tokens import Text, cut, find, spanned
from ticket.job.text import fold

_STRETCH = 60  # letters between a position and its figure
_REACH = 3  # words between a side and the noun it belongs to


class Phrase(NamedTuple):
    """Sides that stand together ("left front inner"), and the words they belong to."""

    first: int
    last: int
    sides: frozenset[str]


def sides(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """What is wrong with the sides of a text."""
    language = grounds.language
    axes = [frozenset(axis) for axis in language.data["sides"]["axes"]]
    allowed = _contexts(grounds, axes)
    if grounds.reader == "customer":
        yield from _misused(text, grounds)
    for phrase in phrases(text, language):
        if text.quoted[phrase.first] or any(phrase.sides <= context for context in allowed):
            continue
        named = " ".join(text.keys[phrase.first : phrase.last])
        start, end = text.words[phrase.first].start, text.words[phrase.last - 1].end
        yield Finding("F6", f"The side “{named}” is not the one that was typed.", start, end)
    yield from _nouns(text, grounds, axes[:2])
    yield from _values(text, grounds, axes)


@cache
def _short(code: str) -> dict[str, tuple[str, ...]]:
    language = load(code)
    short = {key: tuple(told.split()) for key, told in language.data["sides"]["short"].items()}
    return short | {side: (side,) for axis in language.data["sides"]["axes"] for side in axis}


def phrases(text: Text, language: Language, *, letters: bool = False) -> list[Phrase]:
    """Runs of side words; single letters count only in the label of a reading."""
    known = _short(language.code)
    found: list[Phrase] = []
    for i, key in enumerate(text.keys):
        named = known.get(key)
        if named is None or (len(key) == 1 and not letters):
            continue
        last = found[-1] if found else None
        if last is not None and last.last == i and text.clause[last.first] == text.clause[i]:
            found[-1] = Phrase(last.first, i + 1, last.sides | frozenset(named))
        else:
            found.append(Phrase(i, i + 1, frozenset(named)))
    return found


def _contexts(grounds: Grounds, axes: list[frozenset[str]]) -> set[frozenset[str]]:
    """Every set of sides that some typed thing has: those that stand together, with the others of its clause."""
    contexts: set[frozenset[str]] = set()
    for piece in grounds.pieces:
        for text in piece.texts:
            by_clause: dict[int, list[frozenset[str]]] = {}
            for phrase in phrases(text, grounds.language):
                by_clause.setdefault(text.clause[phrase.first], []).append(phrase.sides)
            for group in by_clause.values():
                distinct = set(group)
                around = frozenset[str]().union(*distinct)
                contexts |= {_widened(one, around, axes) for one in distinct}
    for reading in grounds.readings:
        label = sides_of(reading.label, grounds.language)
        around = sides_of(reading.name, grounds.language)
        contexts.add(_widened(label, around, axes))
    return contexts


def sides_of(text: str, language: Language) -> frozenset[str]:
    """All sides that a short text names; in a label a single letter is one."""
    found = phrases(cut(text, language), language, letters=len(text) <= 12)
    return frozenset(side for phrase in found for side in phrase.sides)


def _widened(sides: frozenset[str], around: frozenset[str], axes: list[frozenset[str]]) -> frozenset[str]:
    """The sides with those around them that lie on another axis."""
    taken = frozenset[str]().union(*(axis for axis in axes if axis & sides))
    return sides | (around - taken)


def _misused(text: Text, grounds: Grounds) -> Iterator[Finding]:
    for hit in find(text, grounds.language, grounds.language.list("sides", "misused")):
        start, end = spanned(text, hit)
        whole = fold(text.raw[start:end]).replace("’", "'") == " ".join(hit.phrase)
        side = text.keys[hit.last : hit.last + 1] and text.keys[hit.last] in _short(grounds.language.code)
        if whole and not side and not grounds.typed(" ".join(hit.phrase)):
            yield Finding("F6", f"“{' '.join(hit.phrase)}”: left and right are sides and nothing else.", start, end)


def _bound(text: Text, language: Language) -> Iterator[tuple[int, frozenset[str] | None]]:
    """Each content word with the sides that stand right before it, or right behind it; ``None`` for no side."""
    near: dict[int, frozenset[str]] = {}
    found = phrases(text, language)
    taken = {i for phrase in found for i in range(phrase.first, phrase.last)}
    for phrase in found:
        clause = text.clause[phrase.first]
        for i in range(phrase.last, min(phrase.last + _REACH, len(text.words))):
            if i in taken or text.clause[i] != clause or text.keys[i] in language.empty:
                break
            near.setdefault(i, phrase.sides)
        else:
            continue
        if (
            phrase.last >= len(text.words)
            or text.clause[phrase.last] != clause
            or text.keys[phrase.last] in language.empty
        ):
            for i in range(phrase.first - 1, max(phrase.first - 1 - _REACH, -1), -1):
                if i in taken or text.clause[i] != clause or text.keys[i] in language.empty:
                    break
                near.setdefault(i, phrase.sides)
    for i, key in enumerate(text.keys):
        if i not in taken and key not in language.empty and not key.isnumeric():
            yield i, near.get(i)


def _nouns(text: Text, grounds: Grounds, axes: list[frozenset[str]]) -> Iterator[Finding]:
    """A thing typed on one side is not told on the other."""
    typed: dict[str, set[frozenset[str] | None]] = {}
    by_name: dict[str, set[frozenset[str]]] = {}
    for reading in grounds.readings:
        if reading.label:
            by_name.setdefault(reading.name, set()).add(sides_of(reading.label, grounds.language))
    placeless = {reading.name for reading in grounds.readings if not reading.label}
    for piece in grounds.pieces:
        # A reading's place stands beside its name, so the bare name does not say that the thing has no side.
        placed = piece.typed.raw in by_name and piece.typed.raw not in placeless
        for one in piece.texts:
            for i, bound in _bound(one, grounds.language):
                if bound is not None or not placed:
                    typed.setdefault(one.stems[i], set()).add(bound)
    for name, labels in by_name.items():
        for word in cut(name, grounds.language).words:
            typed.setdefault(word.stem, set()).update(labels)
    for i, bound in _bound(text, grounds.language):
        known = typed.get(text.stems[i])
        if bound is None or not known or None in known or text.quoted[i]:
            continue
        if all(one is not None and _clash(bound, one, axes) for one in known):
            word = text.words[i]
            yield Finding("F6", f"“{word.key}” was typed on another side.", word.start, word.end)
            return


def _clash(one: frozenset[str], other: frozenset[str], axes: list[frozenset[str]]) -> bool:
    return any(one & axis and other & axis and not one & other & axis for axis in axes)


class _Positions:
    """Where each cited reading was taken: by its digits the sides, or the numbers of a counted list."""

    def __init__(self, grounds: Grounds) -> None:
        self.labels: dict[str, list[frozenset[str]]] = {}
        self.places: dict[str, set[str]] = {}
        self.plain: set[str] = {digits for reading in grounds.readings for digits in reading.limits}
        for reading in grounds.readings:
            label = sides_of(reading.label, grounds.language)
            for digits in reading.digits:
                if label:
                    self.labels.setdefault(digits, []).append(label)
                elif reading.counted:
                    self.places.setdefault(digits, set()).add(str(reading.place))
                else:
                    self.plain.add(digits)
        for piece in grounds.pieces:
            if piece.field != "run" and piece.entry is not None:
                self.plain |= {figure.digits for figure in scan(piece.typed.raw, grounds.language)}
        self.every = {place for known in self.places.values() for place in known}


def _values(text: Text, grounds: Grounds, axes: list[frozenset[str]]) -> Iterator[Finding]:
    """A labelled reading is told at its own position, a counted one at its own place."""
    positions = _Positions(grounds)
    before: Phrase | None = None
    last: Figure | None = None
    found = iter(phrases(text, grounds.language))
    following = next(found, None)
    for figure in scan(text.raw, grounds.language):
        while following is not None and text.words[following.last - 1].end <= figure.start:
            before, following = following, next(found, None)
        if figure.kind in (QUANTITY, COUNT) and figure.digits not in positions.plain:
            yield from _misplaced(text, figure, before, last, positions, axes)
        last = figure


def _misplaced(
    text: Text, figure: Figure, side: Phrase | None, number: Figure | None, positions: _Positions,
    axes: list[frozenset[str]],
) -> Iterator[Finding]:  # fmt: skip
    labels = positions.labels.get(figure.digits)
    if labels and side is not None and _close(text.raw[text.words[side.last - 1].end : figure.start]):
        named = " ".join(text.keys[side.first : side.last])
        if all(_clash(side.sides, label, axes) for label in labels):
            yield Finding("F6", f"{figure.text} was not read at “{named}”.", figure.start, figure.end)
    at = positions.places.get(figure.digits)
    if at and number is not None and _close(text.raw[number.end : figure.start].replace(":", "")):
        reason = f"{figure.text} was not read at number {number.text}."
        if number.kind == COUNT and number.digits in positions.every - at:
            yield Finding("F6", reason, number.start, figure.end)


def _close(between: str) -> bool:
    """A position stands in the same stretch of text as the figure, with no stop or semicolon between."""
    return len(between) < _STRETCH and not any(stop in between for stop in ";.,:")
