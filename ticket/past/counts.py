"""How jobs that were found spread over codes, sub-codes, causes, vehicles and years. Pure: jobs in a few words in."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from ticket.job.likeness import likeness
from ticket.past.alike import Alike
from ticket.store.briefs import Brief

Count = tuple[str, int]


@dataclass(frozen=True, slots=True)
class Counts:
    """How many of some jobs hold each code, cause, vehicle and year; most frequent first, years newest first.

    Attributes:
        jobs: how many were counted.
        without_cause: how many state no cause.
    """

    jobs: int = 0
    codes: tuple[Count, ...] = ()
    sub_codes: tuple[Count, ...] = ()
    causes: tuple[Count, ...] = ()
    without_cause: int = 0
    vehicles: tuple[Count, ...] = ()
    years: tuple[Count, ...] = ()


def count(briefs: Sequence[Brief], opened: Sequence[date], same: Alike | None = None) -> Counts:
    """Count jobs; each counts once for whatever it holds.

    Args:
        briefs: the jobs.
        opened: the local day on which each was opened.
        same: which causes the shop calls one.
    """
    return Counts(
        jobs=len(briefs),
        codes=_most(code for job in briefs for code in dict.fromkeys(code for code, _ in job.codes)),
        sub_codes=_most(f"{code}-{sub}" for job in briefs for code, sub in job.codes if sub),
        causes=_causes(briefs, same or Alike()),
        without_cause=sum(not job.causes for job in briefs),
        vehicles=_most(job.label for job in briefs if job.label),
        years=tuple(sorted(Counter(str(day.year) for day in opened).items(), reverse=True)),
    )


def _causes(briefs: Sequence[Brief], same: Alike) -> tuple[Count, ...]:
    """Causes that name the same thing as one, as most of the jobs word it."""
    worded: dict[str, Counter[str]] = {}
    for job in briefs:
        for key, text in {same.key(likeness(text)): text for text in reversed(job.causes)}.items():
            worded.setdefault(key, Counter())[text] += 1
    found = [(texts.most_common(1)[0][0], texts.total()) for texts in worded.values()]
    return tuple(sorted(found, key=lambda one: -one[1]))


def _most(names: Iterable[str]) -> tuple[Count, ...]:
    return tuple(Counter(names).most_common())
