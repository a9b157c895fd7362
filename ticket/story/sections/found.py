"""What was found: codes, readings, observations, balances, then all that was within limits."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ticket.job.entry import Entry
from ticket.job.kinds import Found, Proof
from ticket.job.regex import Regex
from ticket.job.values import Ref
from ticket.language.quantities import named_by, plain
from ticket.readings.measured_groups import measures, seen
from ticket.readings.reservoir_balance_line import balance_of
from ticket.readings.units import convert
from ticket.story.context import sources
from ticket.story.readings import Reading
from ticket.story.sections.balance import tell_balance
from ticket.story.sections.leaves import Clause, good_word
from ticket.story.sections.measured import (
    limit,
    run,
    sentence,
    side_by_side,
    spread,
    taken,
    tell_listed,
    under_name,
    value,
)
from ticket.story.sections.naming import Named
from ticket.story.sections.older import as_today
from ticket.story.sections.talk import Talk, joined, stop
from ticket.story.sections.writer import Writer
from ticket.story.sentence import NOTE, Phrase

_IMPLIED = {"tread": 60, "thickness": 90}
"""The most, in millimeters, that a bare figure of a tire, a pad or a disc may be; common practice, no source."""
_BARE_FIGURE = Regex(r"\s*,\s*[~<>]?\s*[-+]?[0-9]")

_AFTER = Regex(
    r"(?i)\b(?:after|in|within|over|for) [0-9.,/]+ ?(?:s|secs?|seconds?|m|mins?|minutes?|h|hrs?|hours?|days?)\b"
)


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a finding or a test, with all of it that could be told for certain.

    Attributes:
        groups: its readings side by side, each with what they were taken of; ``None`` where a name is not certain.
        clauses: what was seen beside them, or all of it where there are none; ``None`` where it is not certain.
    """

    groups: tuple[tuple[tuple[Reading, ...], Named], ...] | None
    clauses: tuple[tuple[Phrase, Clause], ...] | None

    @property
    def certain(self) -> bool:
        """Whether each piece of it is: one that is not makes the whole line listed or a note."""
        return self.groups is not None and self.clauses is not None


def whole_text(entry: Entry) -> tuple[str, str]:
    """All that was typed of a finding or a test, and the field it stands in."""
    fact = entry.fact
    if not isinstance(fact, Found | Proof):
        return "", "what"
    fact = as_today(fact)
    if measures(fact):
        return (fact.what, "what") if fact.measurements else (f"{fact.what} {fact.seen}".strip(), "what")
    return seen(fact), "what" if fact.what else "seen"


def read_line(talk: Talk, entry: Entry, where: str) -> Line:
    """How far a line is certain."""
    fact = entry.fact
    if not isinstance(fact, Found | Proof):
        return Line(None, None)
    fact = as_today(fact)
    groups: list[tuple[tuple[Reading, ...], Named]] = []
    for rows in side_by_side(taken(talk, entry)):
        named = talk.leaves.names(rows[0]) if len(rows) > 1 else talk.leaves.name(rows[0])
        if (
            named is None
            or not _placed(talk, rows, named)
            or not _its_own(fact, rows)
            or _untold_limits(talk, rows[0])
            or _odd(rows[0], named)
            or any(map(in_time, rows))
            or any(_unlikely(row) for row in rows)
        ):
            return Line(None, None)
        groups.append((rows, named))
    text = seen(fact)
    if not text.strip():
        return Line(tuple(groups), ())
    if groups and good_word(text) and all(row.limits is not None for rows, _ in groups for row in rows):
        return Line(tuple((_where_good(rows), named) for rows, named in groups), ())
    field = "seen" if measures(fact) or not fact.what else "what"
    clauses = talk.clauses(entry, field, text, where)
    return Line(tuple(groups), tuple(clauses) if clauses else None)


def _placed(talk: Talk, rows: Sequence[Reading], named: Named) -> bool:
    """Whether the language has words for each position of readings side by side."""
    return len(rows) == 1 or all(talk.leaves.place(row, named.cls) for row in rows if row.label or row.place)


def _where_good(rows: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """Readings with a good word typed behind them: it says no more than their verdict, or neither is to be believed."""
    if not any(row.bad for row in rows):
        return rows
    return tuple(replace(row, verdict=replace(row.verdict, word="none")) for row in rows)


def _its_own(fact: Found | Proof, rows: Sequence[Reading]) -> bool:
    """Whether readings may stand in a full sentence: a bare figure behind a comma has no thing of its own."""
    if not all(reading.name.strip() or reading.what.strip() for reading in rows):
        return False
    if any(fact.what[span.start : span.end].lower().startswith("of ") for one in fact.measurements for span in one.of):
        return False  # "tire 3 in of play": so much of something, no name of what was measured
    ends = [max(span.end for span in one.of) for one in fact.measurements if one.of]
    return not any(_BARE_FIGURE.match(fact.what, end) for end in ends)


def _odd(reading: Reading, named: Named) -> bool:
    """What no plain sentence says: a figure below zero that is no level, a bare figure of what is no quantity."""
    below = reading.value is not None and reading.value < 0 and reading.quantity != "level"
    return below or (reading.limits is None and not named.quantity)


def in_time(reading: Reading) -> bool:
    """A bare value beside others, with a time that may be of one of them: "100 kPa, 99 after 15 min"."""
    timed = _AFTER.search(reading.name) is not None
    return reading.together > 1 and not reading.label and timed


def _unlikely(reading: Reading) -> bool:
    """A figure that the thing alone would be told as a quantity of, and cannot be one: 17 inches of tire, no tread."""
    most = _IMPLIED.get(reading.quantity)
    size = convert(reading.value, reading.unit, "mm") if most and reading.value is not None else None
    said = not named_by(reading.quantity).isdisjoint(plain(reading.what).split(" "))
    return most is not None and size is not None and size > most and not said


def judging(talk: Talk, reading: Reading) -> bool:
    """Whether limits were typed that a line can tell."""
    return reading.limits is not None and bool(limit(talk, reading) or reading.limits.nominal)


def _untold_limits(talk: Talk, reading: Reading) -> bool:
    """Limits that judge nothing ("should be about 85") would be lost in a sentence."""
    return reading.limits is not None and not limit(talk, reading)


def tell_findings(talk: Talk, entries: list[Entry], writer: Writer) -> None:
    """Findings as typed; the readings within limits last, in one breath."""
    good: list[tuple[Reading, Named]] = []
    for entry in entries:
        fact = entry.fact
        if not isinstance(fact, Found):
            continue
        if balance_of(fact) is not None:
            tell_balance(talk, entry, fact, writer)
            continue
        line = read_line(talk, entry, "found")
        if not line.certain:
            tell_uncertain(talk, entry, writer)
            continue
        for rows, named in line.groups or ():
            if len(rows) == 1 and rows[0].good:
                good.append((rows[0], named))
            else:
                tell_rows(talk, entry, rows, named, writer)
        tell_seen(talk, entry, writer, "found")
    _good(talk, good, writer)


def tell_uncertain(talk: Talk, entry: Entry, writer: Writer, where: str = "found") -> None:
    """A line with limits in one listed line, any other as a note: whole, once, in the order typed."""
    held = taken(talk, entry)
    if any(judging(talk, reading) for reading in held):
        tell_listed(talk, entry, held, writer)
        return
    text, field = whole_text(entry)
    if text.strip():
        lines = talk.lines(entry, field, text, where)  # certain as a whole, though a name before a figure is not
        for line in lines:
            writer.add(sources(entry), line, form=talk.form(text, where))
        if lines:
            return
        writer.add(sources(entry), talk.note(entry, field, text, where), form=NOTE)


def tell_rows(
    talk: Talk, entry: Entry, rows: Sequence[Reading], named: Named, writer: Writer, kind: str = "reading",
    more: tuple[Ref, ...] = (),
) -> None:  # fmt: skip
    """Readings of one thing in a full sentence."""
    if len(rows) == 1:
        writer.add((*sources(entry), *more), *map(stop, sentence(talk, rows[0], named, kind)))
        return
    writer.add(sources(entry), *map(stop, run(talk, rows, named)))
    limits = rows[0].limits
    if limits is not None and limits.spread and (limits.low or limits.high or limits.nominal):
        writer.add(sources(entry), stop(talk.say("limit.spread", spread=spread(talk, entry, limits, rows[0].unit))))


def tell_seen(talk: Talk, entry: Entry, writer: Writer, where: str) -> None:
    """What was seen beside readings, or all of it where there are none, in whole sentences."""
    fact = entry.fact
    if isinstance(fact, Found | Proof):
        field = "seen" if measures(fact) or not fact.what else "what"
        for line in talk.lines(entry, field, seen(fact), where):
            writer.add(sources(entry), line, form=talk.form(seen(fact), where))


def tell_beside(talk: Talk, entry: Entry, writer: Writer) -> None:
    """What was seen beside listed readings: in sentences where it is certain, else as typed."""
    fact = entry.fact
    text = seen(fact) if isinstance(fact, Found | Proof) else ""
    if text.strip():
        lines = talk.lines(entry, "what", text, "proof")
        for line in lines or (talk.note(entry, "what", text),):
            writer.add(sources(entry), line, form=talk.form(text, "proof") if lines else NOTE)


def _good(talk: Talk, good: list[tuple[Reading, Named]], writer: Writer) -> None:
    if len(good) == 1:
        reading, named = good[0]
        writer.add(sources(reading.entry), *map(stop, sentence(talk, reading, named)))
        return
    if good:
        items = [
            talk.say("within.item", thing=under_name(talk, reading, named), v=value(talk, reading))
            for reading, named in good
        ]
        writer.add(sources(*(one.entry for one, _ in good)), stop(talk.say("within.all", items=joined(items, "; "))))
