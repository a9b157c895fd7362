"""Past jobs as rows in columns, the pointed one whole, and how all of them spread. Pure."""

import re
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from typing import Any

from ticket.grid.list_grid import ListColumn, laid, told_lines
from ticket.grid.range_chart import FEWEST, range_chart, scale
from ticket.grid.rows import Row, Span, cut, row, wrap
from ticket.grid.signs import BACK, RULE, UNSAFE
from ticket.job.wall import local_day
from ticket.job.width import cells
from ticket.money.amount import grouped
from ticket.past.counts import Count
from ticket.past.turned_out import Outcome
from ticket.shop.past import Results
from ticket.store.briefs import Brief

ROWS = 4
"""Rows that the pointed job takes below the list, its rule included."""
_CAUSE, _BAR, _BACK, _BROAD = 26, 24, 9, 72
"""Cells of a cause's name, of the scale, of what came back; columns below which none of it is drawn."""
_NAMED = 6  # of each sort; the rest is only counted


@lru_cache(maxsize=64)
def columns_for(width: int) -> tuple[ListColumn, ...]:
    """The columns at a width; what is left over goes to the cause and to what was done."""
    if width < 72:
        return (
            ListColumn("date", "date", 2, 10), ListColumn("cause", "cause", 12, max(width - 13, 20)),
            ListColumn("back", "came back", max(width - 11, 22), max(width - 3, 30)),
        )  # fmt: skip
    wide = 8 if width >= 110 else 0  # of the vehicle: where there is room its name stands whole
    more = width - 78 if width < 100 else 20 - wide
    rest = max(width - 78 - more - wide, 0)
    columns = [
        ListColumn("no", "no  ", 2, 6, right=True), ListColumn("date", "date", 8, 16),
        ListColumn("vehicle", "vehicle", 18, 33 + wide),
        ListColumn("odometer", "odometer", 35 + wide, 45 + wide, right=True),
        ListColumn("cause", "cause", 47 + wide, 66 + wide + more),
    ]  # fmt: skip
    more += wide
    if rest > 12:
        columns.append(ListColumn("done", "what was done", 68 + more, 66 + more + rest))
    at = columns[-1].end + 2
    return (*columns, ListColumn("back", "came back", at, at + 9))


def job_row(job: Brief, results: Results, width: int) -> Row:
    """One line a job: when, which vehicle, what it was, what was done, whether it came back."""
    back = results.came_back.get(job.number)
    state = f"{BACK} {back}" if back else "none yet" if job.status == "signed" else job.status
    cause = "; ".join(job.causes) or ("not found" if job.status == "signed" else "open")
    told: dict[str, Sequence[Span]] = {
        "no": (Span(str(job.number)),),
        "date": (Span(f"{local_day(job.opened):%d %b %y}", "quiet"),),
        "vehicle": stressed(job.vehicle or "not named", results.words),
        "odometer": (Span(job.odometer, "quiet"),),
        "cause": (*_above(job), *stressed(cause, results.words)),
        "done": stressed("; ".join(job.work), results.words),
        "back": (Span(state, "strong" if back else "quiet"),),
    }
    columns = columns_for(width)
    return Row(laid(columns, told), job.number, laid(columns, {**told, "no": (Span(str(job.number), "strong"),)}))


def _above(job: Brief) -> tuple[Span, ...]:
    """The sign of a job that was billed above what was agreed."""
    return (Span(f"{UNSAFE} ", "bad"),) if job.over else ()


def _sums(job: Brief) -> str:
    """What the customer was billed, what they had agreed to, on one base; empty where the shop has no price list."""
    if job.billed is None:
        return ""
    above = f", {grouped(job.difference or 0)} above what was agreed" if job.over else ""
    agreed = "" if job.agreed is None else f" of {grouped(job.agreed)} agreed"
    return f"{grouped(job.billed)}{agreed} ({job.base}){above}"


def preview_rows(job: Brief | None, results: Results, width: int) -> list[Row]:
    """The job under the pointer whole: what the list had no room for. Always the same number of rows."""
    if job is None:
        return [Row((Span(RULE * width, "rule"),)), *[Row()] * (ROWS - 1)]
    codes = ", ".join(f"{code}-{sub}" if sub else code for code, sub in job.codes)
    named = " · ".join(part for part in (_sums(job), job.vehicle, codes) if part)
    tail = f" {cut(named, max(width - 20, 8))} "
    head = (Span(RULE * 2, "rule"), Span(f" {job.number} ", "strong"), Span(RULE, "rule"), Span(tail, "quiet"))
    rows = [Row((*head, Span(RULE * max(width - sum(cells(span.text) for span in head), 0), "rule")))]
    told = (("said", job.said), ("cause", "; ".join(job.causes)), ("done", "; ".join(job.work)))
    return [*rows, *told_lines(told, ROWS - 1, width, 6, lambda text: stressed(text, results.words))]


def was_rows(jobs: int, causes: Sequence[Outcome], width: int, height: int) -> list[Row]:
    """What the jobs turned out to be, most frequent first, each on one scale; nothing where there is no room or need.

    Args:
        jobs: how many finished jobs were counted.
        causes: theirs, most frequent first.
        width: in cells.
        height: rows that may be taken at most.
    """
    shown = causes[: max(height - 3, 0)]
    if width < _BROAD or not shown:
        return []
    many = jobs >= FEWEST
    bar, back_at = _BAR if many else 0, width - _BACK - 1
    room = _CAUSE if many else back_at - 19  # without a scale the names have its cells
    counted = f"of {jobs}"
    heads = f"   {'What it was':<{room}}  {counted:>8}"
    range_head = "95 % range of the share" if many else ""
    lines = [Row((Span(_to(f"{heads}    {range_head}", back_at) + "came back", "strong"),))]
    for outcome in shown:
        part = len(outcome.jobs)
        name = cut(outcome.text, room)
        low, high = outcome.share
        chart = range_chart(low, part / jobs, high, bar) if many else ()
        lead = (Span(f"   {name}{' ' * (room - cells(name))}  "), Span(f"{part:>8}", "value"), Span("    "))
        spans = (*lead, *chart)
        blank = max(back_at - sum(cells(span.text) for span in spans), 1)
        back = _held_words(outcome)
        lines.append(Row((*spans, Span(" " * blank), Span(back, "strong" if outcome.came_back else "quiet"))))
    if many:
        lines.append(Row((Span(f"{' ' * (len(heads) + 4)}{scale(bar)}", "quiet"),)))
    return [Row(), *lines]


def _held_words(outcome: Outcome) -> str:
    """How many came back of those that were followed for the shop's days; a job signed today tells nothing yet."""
    held = outcome.held
    if held is None:
        return f"{len(outcome.came_back)} of {len(outcome.jobs)}"
    return f"{held.back} of {held.watched}" if held.watched else "too soon"


def _to(text: str, cell: int) -> str:
    return text + " " * max(cell - cells(text), 1)


SORTS = ("date", "vehicle", "cause", "back")
"""The columns past jobs are sorted by, one behind the other."""


def in_order(jobs: Sequence[Brief], sort: str, came_back: Mapping[int, int]) -> list[Brief]:
    """The jobs found, newest first unless another column was chosen; what has none of it comes last."""
    keys: dict[str, Callable[[Brief], Any]] = {
        "date": lambda job: 0,
        "vehicle": lambda job: (not job.vehicle, job.vehicle.casefold()),
        "cause": lambda job: (not job.causes, "; ".join(job.causes).casefold()),
        "back": lambda job: job.number not in came_back,
    }
    return sorted(jobs, key=keys[sort])


def stressed(text: str, words: Sequence[str]) -> list[Span]:
    """Text with the words that were looked for stressed where they stand."""
    wanted = [re.escape(word) for word in words if word.strip()]
    if not wanted:
        return [Span(text)]
    parts = re.split(f"({'|'.join(sorted(wanted, key=len, reverse=True))})", text, flags=re.I)
    return [Span(part, "strong" if i % 2 else "ink") for i, part in enumerate(parts) if part]


def empty_rows(typed: str, results: Results, width: int) -> list[Row]:
    """What stands where no job does; that nothing is there is an answer too."""
    if results.problem:
        return wrap([Span(results.problem)], width)
    if not typed.strip():
        return [row("No job was done here yet.", "quiet")]
    hint = " ".join(results.why) or "Fewer words find more; a code finds every job that had it."
    text = f"No job here fits “{typed.strip()}”. {hint}"
    return wrap([Span(text)], width)


def total_words(results: Results) -> str:
    """How many jobs were found."""
    if results.total > len(results.jobs):
        return f"{results.total:,} jobs, the newest {len(results.jobs):,} here"
    return "1 job" if results.total == 1 else f"{results.total:,} jobs"


def count_rows(results: Results, width: int) -> list[Row]:
    """How the jobs spread, a sentence each; silence where there is nothing to tell."""
    counts = results.counts
    if not counts.jobs:
        return []
    rows = wrap([Span("Of these ", "quiet"), Span(total_words(results)), Span(":", "quiet")], width - 2)
    causes = (*counts.causes[:_NAMED], *((("no cause stated", counts.without_cause),) if counts.without_cause else ()))
    more = max(0, len(counts.causes) - _NAMED)
    for title, found, rest in (
        ("Turned out to be: ", causes, more),
        ("Codes: ", *_some(counts.codes)),
        ("With sub-code: ", *_some(counts.sub_codes)),
        ("Vehicles: ", *_some(counts.vehicles)),
        ("Years: ", *_some(counts.years)),
    ):
        if found:
            named = ", ".join(f"{name} {number}" for name, number in found)
            text = f"{named}, {rest} others" if rest else named
            rows += [Row(), *wrap([Span(title, "strong"), Span(text)], width - 2, rest="  ")]
    return [Row((Span("  "), *row.spans)) for row in rows]


def _some(found: tuple[Count, ...]) -> tuple[tuple[Count, ...], int]:
    return found[:_NAMED], max(0, len(found) - _NAMED)
