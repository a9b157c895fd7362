"""Findings and verifications as rows: each reading with its limits and its verdict, what is out always on its own."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from ticket.grid.cells import Cells, typographic
from ticket.grid.computed import fit_words
from ticket.grid.rows import HELD, Span
from ticket.grid.sight import Sight
from ticket.grid.signs import HIGH, IN, LOW, PROVED, UNJUDGED, UNREAD, UNSAFE
from ticket.job.entry import Entry
from ticket.job.kinds import Found, Proof
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.job.values import Limits, Value
from ticket.readings.digits import finite, number, written_like
from ticket.readings.measured_groups import Group, measures
from ticket.readings.pairing import Compared, before, judge_entry, measured
from ticket.readings.reservoir_balance_line import balance_of
from ticket.readings.units import same
from ticket.readings.verdict import Verdict
from ticket.story.facts.proved import BACK, FAILED, PASSED, UNTESTED, outcome

_MOST = 2
"""So many places in limits of one thing have rows of their own; more are one row."""
_ENDED = {
    PASSED: (PROVED, "proved", "value"), FAILED: (UNSAFE, "failed", "bad"), BACK: (UNSAFE, "is back", "bad"),
    UNTESTED: ("", "not tested", "quiet"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Taken:
    """One reading with what it is judged by."""

    group: Group
    value: Value
    verdict: Verdict
    was: str = ""


def measured_cells(sight: Sight, entry: Entry, fact: Found | Proof) -> list[Cells]:
    """The rows of a finding or a verification."""
    if not measures(fact):
        return _unmeasured(sight, entry, fact)
    rows = list(_readings(sight, entry))
    if fact.seen:
        rows.append(Cells(what=(Span(fact.seen),)))
    if _lost(fact, rows):
        rows.append(Cells(what=(Span(f"typed: {fact.what}", "quiet"),)))
    balance = balance_of(fact) if isinstance(fact, Found) else None
    if balance is not None and not sight.typed_only:
        rows.append(Cells(what=(Span(fit_words(balance), "quiet"),)))
    if isinstance(fact, Proof) and _shows(fact, sight, entry) == PASSED:
        rows = [replace(row, sign=PROVED, result=(Span("proved", "value"),)) if row.sign == IN else row for row in rows]
    return rows


def _readings(sight: Sight, entry: Entry) -> Iterator[Cells]:
    """Each reading on a row; many of one thing that are all in limits on one, behind what is out."""
    name = ""
    for held in _by_thing(sight, entry):
        fine = [one for one in held if one.verdict.word == "in"]
        folded = fine if len(fine) > _MOST and not sight.typed_only else []
        for one in held:
            if one not in folded:
                yield _reading(one, name, typed_only=sight.typed_only)
                name = fold(one.group.what)
        if folded:
            yield _fold(folded, name, others=len(folded) < len(held))
            name = fold(folded[0].group.what)


_WORD = Regex(r"[^\W\d_]{3,}")
_OF_LIMITS = frozenset(
    "per min max spec limit limits minimum maximum least most spread between from maker shop law wear cyl and".split()
)
"""Words that stand in the columns of the limits in another form."""


def _lost(fact: Found | Proof, rows: Sequence[Cells]) -> bool:
    """Whether a typed word stands in none of the columns; the line is then shown as typed too."""
    shown = " ".join(
        " ".join((*(span.text for span in row.what), row.value, row.unit, *row.against)) for row in rows
    ).casefold()
    told = {word for one in fact.measurements for place in one.at for word in place.casefold().split()} | _OF_LIMITS
    told |= {word for one in fact.measurements if one.limits for word in one.limits.source.casefold().split()}
    return any(word not in told and word not in shown for word in _WORD.findall(fact.what.casefold()))


def _by_thing(sight: Sight, entry: Entry) -> Iterator[list[_Taken]]:
    case = sight.case
    verdicts = iter(judge_entry(case.ticket, entry, case.earlier))
    olds = iter(before(case.ticket, entry, case.earlier))
    for taken in measured(case.ticket, entry, case.earlier).groups:
        held = []
        for value in taken.run.values:
            old, verdict = next(olds, None), next(verdicts, Verdict("none"))
            held.append(_Taken(taken.group, value, verdict, _was(old, taken.run.unit)))
        yield held


def _was(old: Compared | None, unit: str) -> str:
    """The value before, with its unit where that is another."""
    if old is None:
        return ""
    before_it = old.taken.run.unit
    return " ".join([typographic(old.value.number), *([before_it] if not same(before_it, unit) else [])]).strip()


def _reading(one: _Taken, named: str, *, typed_only: bool) -> Cells:
    group, verdict = one.group, one.verdict
    alike = fold(group.what) == named
    where = ", ".join(part for part in (one.value.label, group.when) if part)
    what = [] if alike and where else [Span(group.what)] if group.what else []
    if where:
        what += [*([Span(" ")] if what else []), Span(where, "where")]
    if one.was:
        what.append(Span(f"{', ' if what else ''}was{HELD}{one.was}", "quiet"))
    sign, result, ink = _judged(one, typed_only=typed_only)
    return Cells(
        sign=sign, what=tuple(what), value=one.value.number, ink=ink, unit=group.run.unit,
        against=against_words(group.run.limits), result=result if verdict.word != "none" else (),
    )  # fmt: skip


def _judged(one: _Taken, *, typed_only: bool) -> tuple[str, tuple[Span, ...], str]:
    verdict = one.verdict
    if verdict.word in ("low", "high"):
        by = "" if typed_only else how_far(one)
        return (
            LOW if verdict.word == "low" else HIGH,
            (Span(f"{verdict.word} by {by}" if by else verdict.word, "bad"),),
            "bad",
        )
    if verdict.word == "in":
        return IN, (Span("in limits", "quiet"),), "value"
    return (UNJUDGED, (Span("not judged", "ask"),), "value") if verdict.word == "undecided" else ("", (), "value")


def how_far(one: _Taken) -> str:
    """How far beyond its limit a reading is, with the digits that were typed."""
    by = one.verdict.by
    if by is None:
        return ""
    limit = one.verdict.limit.split(" ")[0]
    typed = [text for text in (one.value.number, limit) if number(text) is not None]
    return written_like(by, *typed) if len(typed) > 1 else finite(by)


def _fold(held: Sequence[_Taken], named: str, *, others: bool) -> Cells:
    """Many places in limits as one row: how many, and between which figures."""
    group = held[0].group
    known = [(number(one.value.number), one.value.number) for one in held]
    figures = sorted((value, text) for value, text in known if value is not None)
    ends = [typographic(figures[0][1]), typographic(figures[-1][1])] if len(figures) == len(held) else []
    count = f"{len(held)} {'other ' if others else ''}places"
    what = (Span(count, "where"),) if fold(group.what) == named else (Span(f"{group.what}, "), Span(count, "where"))
    return Cells(
        sign=IN, what=what, value=" to ".join(dict.fromkeys(ends)), unit=group.run.unit,
        against=against_words(group.run.limits), result=(Span("in limits", "quiet"),),
    )  # fmt: skip


def against_words(limits: Limits | None) -> tuple[str, ...]:
    """Limits as the table shows them, without where they come from."""
    if limits is None:
        return ()
    named = f" {limits.unit}" if limits.unit else ""
    low, high = typographic(limits.low), typographic(limits.high)
    words = []
    if low and high:
        words.append(f"{low} to {high}{named}")
    elif low or high:
        words.append((f"min {low}" if low else f"max {high}") + named)
    if limits.nominal:
        tolerance = f" ± {limits.tol}" if limits.tol else ""
        words.append(f"{typographic(limits.nominal)}{tolerance}{named}")
    if limits.spread:
        words.append(f"spread {limits.spread} {limits.spread_unit}".rstrip())
    return tuple(words)


def _unmeasured(sight: Sight, entry: Entry, fact: Found | Proof) -> list[Cells]:
    text = ", ".join(part for part in (fact.what, fact.seen) if part)
    if isinstance(fact, Found):
        return [Cells(what=(Span(text),))]
    again = (Span(f"{fact.of} again", "where"), *((Span(": "),) if text else ())) if fact.of else ()
    sign, word, ink = _ENDED.get(_shows(fact, sight, entry), (UNJUDGED, "not sure", "ask"))
    return [Cells(sign=sign, what=(*again, Span(text)), result=(Span(word, ink),))]


def _shows(fact: Proof, sight: Sight, entry: Entry) -> str:
    return outcome(sight.job, entry, fact)


def with_open_pieces(rows: Sequence[Cells], pieces: Sequence[str]) -> list[Cells]:
    """The rows with the pieces nobody took marked where they stand, or behind the subject where they do not."""
    if not pieces or not rows:
        return list(rows)
    left, made = list(pieces), []
    for row in rows:
        what = row.what
        for piece in list(left):
            parted = _parted(what, piece)
            if parted is not None:
                what = parted
                left.remove(piece)
        made.append(replace(row, what=what))
    first = made[0]
    more = tuple(span for piece in left for span in (Span(" "), Span(piece, "unread")))
    silent = not first.result or all(span.style == "quiet" for span in first.result)
    word = (Span("unread", "ask"),) if silent else first.result
    made[0] = replace(first, sign=UNREAD, what=(*first.what, *more), result=word)
    return made


def _parted(what: Sequence[Span], piece: str) -> tuple[Span, ...] | None:
    """The text with one piece of it in the ink of what is unread; ``None`` where it does not hold it."""
    for at, span in enumerate(what):
        head, found, tail = span.text.partition(piece)
        if found and piece and span.style != "unread":
            pieces = (Span(head, span.style), Span(found, "unread"), Span(tail, span.style))
            return (*what[:at], *(one for one in pieces if one.text), *what[at + 1 :])
    return None
