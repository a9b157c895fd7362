"""What a finding or a verification measured, whichever way its ticket holds it: readings side by side, in order.

A ticket holds measurements one by one; older ones hold a single run. This is the one place that reads both.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from ticket.job.codec import free_paths
from ticket.job.kinds import Fact, Found, Proof
from ticket.job.text import fold, unescaped
from ticket.job.values import Measurement, Run, Span, Value
from ticket.readings.inexact import text_of_value
from ticket.readings.positions import in_order, place_key


@dataclass(frozen=True, slots=True)
class Group:
    """Readings of one thing, in one unit, under one set of limits and conditions.

    Attributes:
        what: the words of what was measured.
        run: its values labelled by position; a value that is no single figure is text such as ``<30``, ``195-230``.
        when: the words of the conditions.
        first: index of its first reading among all of the fact.
    """

    what: str
    run: Run
    when: str = ""
    first: int = 0

    @property
    def name(self) -> str:
        """What was measured with its conditions, as a finding of that one thing would say it."""
        return ", ".join(part for part in (self.what, self.when) if part)


@lru_cache(maxsize=1024)  # gaps, story and screens ask the same facts
def groups(fact: Found | Proof) -> tuple[Group, ...]:
    """The readings of a fact in order; neighbours that differ only in position form one group."""
    if fact.run is not None:
        return (Group(fact.what, fact.run),)
    out: list[Group] = []
    held: list[Measurement] = []
    for at, one in enumerate(fact.measurements):
        new = Group(
            _named(fact.what, one.of), Run((_value(one),), one.unit, one.limits), _when(fact.what, one.when), at
        )
        if out and _together(out[-1], held, new, one):
            out[-1] = replace(out[-1], run=replace(out[-1].run, values=(*out[-1].run.values, *new.run.values)))
            held.append(one)
        else:
            out.append(new)
            held = [one]
    return tuple(out)


def measures(fact: Found | Proof) -> bool:
    """Whether a fact holds readings."""
    return fact.run is not None or bool(fact.measurements)


def seen(fact: Found | Proof) -> str:
    """What was observed beside the readings; all that was typed where there are none."""
    if measures(fact):
        return fact.seen
    return ", ".join(part for part in (fact.what, fact.seen) if part)


def subject(fact: Found | Proof) -> str:
    """What was measured first, or what was looked at; empty where it is named by the entry measured again."""
    if measures(fact):
        return groups(fact)[0].name
    again = isinstance(fact, Proof) and fact.of is not None and not fact.seen
    return "" if again else fact.what


def prose(fact: Found | Proof) -> str:
    """The words of a fact without its readings: what was looked at or measured, and what was seen."""
    return " ".join(part for part in (*names(fact), fact.seen) if part)


def names(fact: Found | Proof) -> tuple[str, ...]:
    """The words of everything that was measured, each once, or what was looked at."""
    if not measures(fact):
        return (fact.what,) if fact.what else ()
    return tuple(dict.fromkeys(group.name for group in groups(fact) if group.name))


def text_in(fact: Fact, field: str) -> str:
    """The words of a text field, without the readings a finding's text holds; empty where it is no text."""
    if field == "what" and isinstance(fact, Found | Proof):
        return "; ".join(names(fact))
    text = getattr(fact, field, "")
    return text if isinstance(text, str) else ""


def words_of(fact: Fact) -> str:
    """All the prose of a fact in one string, without the readings a finding's text holds: to search and to match."""
    return " ".join(text for name in free_paths(fact.kind) if (text := text_in(fact, name)))


def values(fact: Found | Proof) -> tuple[Value, ...]:
    """Every value of a fact in order, with its position."""
    return tuple(value for group in groups(fact) for value in group.run.values)


def labels(fact: Found | Proof) -> tuple[str, ...]:
    """For every value its position, behind what was measured where a fact measured several things."""
    held = groups(fact)
    return tuple(
        f"{group.what if len(held) > 1 else ''} {value.label}".strip() for group in held for value in group.run.values
    )


def _value(one: Measurement) -> Value:
    return Value(text_of_value(one), " ".join(in_order(one.at)), one.uncertainty)


_MOMENTS = {"was": "before", "were": "before"}
"""What stands on the line between two readings of one thing says which of them is the older."""


def _when(text: str, spans: Sequence[Span]) -> str:
    pieces = [piece for piece in _pieces(text, spans) if piece]
    return ", ".join(_MOMENTS.get(piece.casefold(), piece) for piece in pieces)


def _named(text: str, spans: Sequence[Span]) -> str:
    """The words of a name; where its position stood behind "at" the word is kept: "voltage at LF lamp"."""
    out = ""
    for i, piece in enumerate(_pieces(text, spans)):
        between = text[max(spans[i - 1].end, 0) : max(spans[i].start, 0)].split() if i else []
        joint = " at " if between and between[0].lower() in ("at", "@") else " "
        out = f"{out}{joint}{piece}" if out and piece else out or piece
    return out


def _cut(text: str, spans: Sequence[Span], glue: str = " ") -> str:
    return glue.join(filter(None, _pieces(text, spans)))


def _pieces(text: str, spans: Sequence[Span]) -> Iterator[str]:
    for span in spans:
        start, end = max(span.start, 0), max(span.end, 0)
        quoted = start and text[start - 1 : start] == text[end : end + 1] == '"'
        yield unescaped(text[start:end]) if quoted else text[start:end].strip()


def _together(group: Group, held: Sequence[Measurement], new: Group, one: Measurement) -> bool:
    """Whether a measurement goes on with a group: another position of the same, or one more of a bare list."""
    alike = (fold(group.name), group.run.unit, group.run.limits) == (fold(new.name), new.run.unit, new.run.limits)
    if not alike or bool(held[-1].at) != bool(one.at):
        return False
    if not one.at:
        return held[-1].of == one.of
    return place_key(" ".join(one.at)) not in {place_key(" ".join(before.at)) for before in held}
