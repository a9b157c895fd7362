"""Limits of the book for a line that has none: offered to the typist, with their source, and never taken by itself."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from ticket.assist.limits_shelf import bracket, holds, limit_words
from ticket.job.entry import Draft, Remark
from ticket.job.kinds import Found, Proof
from ticket.notes.read import read
from ticket.readings.limits_book import Asked, Fit, LimitRow, Shelf
from ticket.readings.measured_groups import Group, groups


def with_limits_offered(draft: Draft, shelf: Shelf, vehicle: str, law: str) -> Draft:
    """A draft with a remark for each reading without limits that the book knows limits for.

    A remark stands at the end of the line; its answers are what may be added there, the likeliest first. A row whose
    limits would be read otherwise there is named in the words of the remark alone. While the line holds something
    unread or asked about nothing is offered: that comes first.

    Args:
        draft: what a line was understood as.
        shelf: the books.
        vehicle: the vehicle's name.
        law: where the law of the shop's rules holds; empty where nothing says so.
    """
    fact = draft.fact
    if not isinstance(fact, Found | Proof) or any(remark.state != "remark" for remark in draft.remarks):
        return draft
    if isinstance(fact, Proof) and fact.of is not None:
        return draft  # it takes name and limits from the entry it measures again
    offered = tuple(
        remark
        for i, group in enumerate(groups(fact))
        if group.run.limits is None
        for remark in _offers(draft.line, i, fact, _fits(shelf, group, vehicle, law))
    )
    return replace(draft, remarks=(*draft.remarks, *offered)) if offered else draft


def _fits(shelf: Shelf, group: Group, vehicle: str, law: str) -> Sequence[Fit]:
    labels = tuple(value.label for value in group.run.values)
    return shelf.fitting(Asked(group.what, labels, group.run.unit, vehicle, law))


def _offers(line: str, at: int, fact: Found | Proof, fits: Sequence[Fit]) -> Iterator[Remark]:
    """The remark on one reading: what the book has for it, and what of that may be added to the line."""
    if not fits:
        return
    lead = "" if line.endswith(" ") else " "
    by_words: dict[str, list[str]] = {}
    answers: dict[str, None] = {}
    sure: dict[tuple[object, ...], bool] = {}
    for fit in fits:
        row = fit.row
        by_words.setdefault(limit_words(row), []).append(_source(row))
        answer = lead + bracket(row)
        # Limits of one form, unit and source are read alike, so the line is read once for all of them.
        form = (row.unit, row.source, bool(row.low), bool(row.high))
        if fit.whole and form not in sure:
            sure[form] = _judges(read(line + answer), at, fact, row)
        if fit.whole and sure[form]:
            answers[answer] = None
    found = "; or ".join(f"{words} ({'; '.join(sources)})" for words, sources in by_words.items())
    law = " A stricter limit of the maker goes first." if any(fit.row.source == "law" for fit in fits) else ""
    where = "" if answers else " Write them behind the reading they are for."
    text = f"The limits book has for {fits[0].row.thing}: {found}.{law}{where}"
    yield Remark(text, len(line), len(line), answers=tuple(answers))


def _source(row: LimitRow) -> str:
    """Where a row is from: its citation, the place and vehicle it is for, how sure it is."""
    place = f"for {row.position[0]}" if row.position else ""
    return ", ".join(part for part in (row.citation or "the shop's book", place, row.vehicle, row.standing) if part)


def _judges(drafts: Sequence[Draft], at: int, fact: Found | Proof, row: LimitRow) -> bool:
    """Whether a line with limits added judges one reading by a row, and says all else as it did before."""
    if len(drafts) != 1 or any(remark.state != "remark" for remark in drafts[0].remarks):
        return False
    other = drafts[0].fact
    if not isinstance(other, Found | Proof) or type(other) is not type(fact):
        return False
    was, now = groups(fact), groups(other)
    if len(was) != len(now) or not holds(now[at].run.limits, now[at].run.unit, row):
        return False
    return all(
        (old.what, old.when, old.run.values, old.run.unit) == (new.what, new.when, new.run.values, new.run.unit)
        and (i == at or old.run.limits == new.run.limits)
        for i, (old, new) in enumerate(zip(was, now, strict=True))
    )
