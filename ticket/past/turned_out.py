"""What earlier jobs with a code turned out to be: the one place where such counts are made. Pure.

Only what the tickets say is counted. What hardly any job says is told as a fraction, what was not followed long enough
is told as that, and causes are never merged but where the shop said that they are one.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from ticket.job.values import Quantity
from ticket.past.alike import Alike
from ticket.past.intervals import FEW, Interval, fitted, wilson
from ticket.past.job_tallies import ComeBack, Counted, Tally, count_jobs
from ticket.past.survival import Step, last_step
from ticket.store.seen_jobs import SeenJobs, Window

FAR = Quantity("5,000", "km")  # common practice, no source


@dataclass(frozen=True, slots=True)
class Held:
    """How some jobs held, over days or over a distance.

    Attributes:
        back: how many came back within the days, or the distance.
        watched: how many were followed so long or so far, or came back before.
        unwatched: how many were not followed so long or so far yet.
        step: the share that held, with its interval, as far as all of them tell; ``None`` where none came back.
        most: where none came back, so many may all the same, with 95 %.
    """

    back: int
    watched: int
    unwatched: int
    step: Step | None
    most: float


@dataclass(frozen=True, slots=True)
class Outcome:
    """One thing that jobs turned out to be, or that was done about them.

    Attributes:
        text: as most of the jobs word it.
        jobs: their numbers, newest first.
        came_back: those of them that came back.
        share: the interval of its share of all finished jobs.
        held: how they held over the days.
        far: how they held over the distance, as far as readings tell.
        hours: the median of the hours billed; ``None`` where none were.
        parts: numbers of the parts used most often.
        rank: the share that holds is hardly below this, drawn towards what all fixes hold.
    """

    text: str
    jobs: Sequence[int]
    came_back: Sequence[int] = ()
    share: Interval = (0.0, 1.0)
    held: Held | None = None
    far: Held | None = None
    hours: float | None = None
    parts: Sequence[str] = ()
    rank: float = 0.0


@dataclass(frozen=True, slots=True)
class TurnedOut:
    """What jobs with a code turned out to be.

    Only finished jobs are counted: signed ones, without those where the customer said no to all that was offered and
    nothing was put right. The others stand apart.

    Attributes:
        code: the code asked for.
        sub: its sub-code; empty for any.
        exact: the jobs hold that very sub-code; ``False`` where only other sub-codes of the code were found.
        jobs: every job counted, newest first.
        causes: their causes, most frequent first.
        fixes: work of theirs that puts something right; what is surest to hold first, where enough were followed.
        unknown: those of them that state no cause.
        came_back: those of them that came back, newest first.
        declined: signed jobs apart, newest first.
        still_open: jobs not signed, newest first.
        held: how all of them held over the days.
        far: how they held over the distance, as far as readings tell.
        days: the days a come-back is counted for.
        distance: the distance a come-back is counted for.
        ranked: enough jobs were followed to say what is surest to hold; else the most frequent work stands first.
    """

    code: str
    sub: str
    exact: bool
    jobs: Sequence[int]
    causes: tuple[Outcome, ...] = ()
    fixes: tuple[Outcome, ...] = ()
    unknown: Sequence[int] = ()
    came_back: Sequence[ComeBack] = ()
    declined: Sequence[int] = ()
    still_open: Sequence[int] = ()
    held: Held | None = None
    far: Held | None = None
    days: int = 90
    distance: Quantity = FAR
    ranked: bool = False


def turned_out(
    code: str, sub: str, seen: SeenJobs, window: Window, *, alike: Alike | None = None, exact: bool = True
) -> TurnedOut:  # fmt: skip
    """Count what jobs with a code turned out to be.

    Args:
        code: the code.
        sub: its sub-code; empty for any.
        seen: what the jobs state.
        window: when a job counts as having come back.
        alike: what the shop calls one cause.
        exact: whether the jobs hold the very sub-code.
    """
    return told(code, sub, count_jobs(seen, window, alike or Alike()), window, exact=exact)


def told(code: str, sub: str, counted: Counted, window: Window, *, exact: bool = True) -> TurnedOut:
    """The same of jobs that were counted; arguments as for :func:`turned_out`."""
    whole = counted.whole
    together = held(whole.followed, window.days)
    ranked = together.watched >= FEW  # fewer tell nothing of what holds
    causes, works = (_outcomes(one, len(whole.jobs), window) for one in (counted.causes, counted.fixes))
    return TurnedOut(
        code, sub, exact, whole.jobs, causes, tuple(sorted(works, key=lambda one: -one.rank)) if ranked else works,
        counted.unknown, counted.came_back, counted.declined, counted.still_open, together, _far(whole, window),
        window.days, window.distance, ranked,
    )  # fmt: skip


def held(jobs: Iterable[int] | Mapping[int, int], limit: int) -> Held:
    """How some jobs held, each followed as :data:`ticket.store.seen_jobs.FOLLOWED` has it, no more than the limit.

    Args:
        jobs: how long each was followed; or how many were followed so long.
        limit: the days, or the distance.
    """
    counted = Counter(jobs)
    back = short = 0
    for twice, count in counted.items():
        if twice & 1:
            back += count
        elif twice < 2 * limit:
            short += count
    watched = counted.total() - short
    step = last_step(counted) if back else None
    return Held(back, watched, short, step, wilson(back, watched)[1])


def _far(jobs: Tally, window: Window) -> Held | None:
    """How some jobs held over the distance; ``None`` where no reading tells of any of them."""
    return held(jobs.driven, window.far) if any(jobs.driven) else None


def _outcomes(tallies: Iterable[Tally], whole: int, window: Window) -> tuple[Outcome, ...]:
    ordered = sorted(tallies, key=lambda one: (-len(one.jobs), one.age))
    kept = [held(one.followed, window.days) for one in ordered]
    prior = fitted([(one.watched - one.back, one.watched) for one in kept])
    return tuple(
        Outcome(
            text=one.text,
            jobs=one.jobs,
            came_back=one.back,
            share=wilson(len(one.jobs), whole),
            held=so,
            far=_far(one, window),
            hours=_middle(one.hours),
            parts=one.parts,
            rank=prior.low(so.watched - so.back, so.watched),
        )
        for one, so in zip(ordered, kept, strict=True)
    )


def _middle(hours: Mapping[float, int]) -> float | None:
    """The median of hours of which it is known how often each stands; ``None`` where there are none."""
    whole, passed, low = sum(hours.values()), 0, None
    for one in sorted(hours):
        passed += hours[one]
        if low is None and 2 * passed >= whole:
            low = one
        if low is not None and 2 * passed > whole:
            return (low + one) / 2
    return None


def name_of(found: TurnedOut) -> str:
    """The code asked for, with its sub-code."""
    return f"{found.code}-{found.sub}" if found.sub else found.code


def jobs_words(found: TurnedOut) -> str:
    """How many finished jobs were counted."""
    count = len(found.jobs)
    return "no finished job" if not count else "1 finished job" if count == 1 else f"{count:,} finished jobs"


def rest_words(found: TurnedOut, named: int) -> str:
    """What is told behind the causes that are named: others, none stated, come-backs, and jobs that stand apart."""
    more = len(found.causes) - named
    parts = [_others(more)] if more > 0 else []
    parts += [f"no cause stated {len(found.unknown)}"] if found.unknown else []
    parts += [f"{len(found.came_back)} came back"] if found.came_back else []
    apart = [f"{len(found.declined)} declined"] if found.declined else []
    apart += [f"{len(found.still_open)} not finished"] if found.still_open else []
    return "; ".join([*parts, *([f"apart: {', '.join(apart)}"] if apart else [])])


def _others(more: int) -> str:
    return f"{more} other cause{'s' * (more != 1)}"


def in_words(found: TurnedOut) -> str:
    """Such as ``P0562-16 before: 3 finished jobs; corroded cable 2, worn belt 1; 1 came back; apart: 1 declined``."""
    lead = f"{name_of(found)} before: "
    if not (found.jobs or found.declined or found.still_open):
        return f"{lead}no past jobs"
    if not found.exact:
        lead += f"no job; {found.code} with another sub-code: "
    named = [f"{outcome.text} {len(outcome.jobs)}" for outcome in found.causes[:4]]
    named += [_others(len(found.causes) - 4)] if len(found.causes) > 4 else []
    parts = [lead + jobs_words(found), ", ".join(named), rest_words(found, len(found.causes))]
    return "; ".join(part for part in parts if part)
