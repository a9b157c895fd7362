"""Past jobs as rows: two lines a job, and how all of them spread. Pure."""

import re
from collections.abc import Sequence

from ticket.grid.rows import Row, Span, cut, row, wrap
from ticket.job.wall import local_day
from ticket.past.counts import Count
from ticket.shop.past import Results
from ticket.store.briefs import Brief
from ticket.store.search import CAP

_NAMED = 6  # of each sort; the rest is only counted


def job_rows(job: Brief, results: Results, width: int) -> list[Row]:
    """Number, day, vehicle, codes and odometer; below it the cause or the work, and whether the job came back."""
    width = max(width, 20)
    codes = ", ".join(f"{code}-{sub}" if sub else code for code, sub in job.codes)
    head = f"{job.number:>5}  {local_day(job.opened):%Y-%m-%d}  "
    told = " · ".join(part for part in (job.vehicle or "vehicle not named", codes, job.odometer) if part)
    first = Row((Span(head, "strong"), *stressed(cut(told, width - len(head)), results.words)), job.number)
    lead = "       "
    back = results.came_back.get(job.number)
    tail = f"; came back as {back}" if back else ""
    if job.status != "signed":
        tail += f"; {job.status}"
    text = cut(_outcome(job), max(width - len(lead) - len(tail), 1))
    spans = (Span(lead), *stressed(text, results.words), Span(tail, "strong" if back else "quiet"))
    return [first, Row(spans, job.number)]


def _outcome(job: Brief) -> str:
    if job.causes:
        fixed = f"; put right: {job.work[0]}" if job.work else ""
        return f"{'; '.join(job.causes)}{fixed}"
    if job.work:
        return f"no cause stated; done: {'; '.join(job.work)}"
    return f"no cause stated; said: {job.said}" if job.said else "nothing recorded"


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
    text = f"No job here fits “{typed.strip()}”. Fewer words find more; a code finds every job that had it."
    return wrap([Span(text)], width)


def total_words(results: Results) -> str:
    """How many jobs were found."""
    if results.total >= CAP:
        return "more than 1,000 jobs, the newest 1,000 here"
    return "1 job" if results.total == 1 else f"{results.total} jobs"


def count_rows(results: Results, width: int) -> list[Row]:
    """How the jobs spread, a sentence each; silence where there is nothing to tell."""
    counts = results.counts
    if not counts.jobs:
        return []
    rows = wrap([Span("Of these ", "quiet"), Span(total_words(results)), Span(":", "quiet")], width)
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
            rows += [Row(), *wrap([Span(title, "strong"), Span(text)], width, rest="  ")]
    return rows


def _some(found: tuple[Count, ...]) -> tuple[tuple[Count, ...], int]:
    return found[:_NAMED], max(0, len(found) - _NAMED)
