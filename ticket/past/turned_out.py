"""What earlier jobs with a code turned out to be: the one place where such counts are made. Pure.

Only what the tickets say is counted. What hardly any job says is told as a fraction, what was not followed long enough
is told as that, and causes are never merged but where the shop said that they are one.
"""

from collections import Counter
from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass
from itertools import chain
from operator import itemgetter
from statistics import median
from typing import Any

from ticket.job.values import Quantity
from ticket.past.alike import Alike
from ticket.past.intervals import FEW, Interval, Prior, fitted, wilson
from ticket.past.survival import Step, last_step
from ticket.store.seen_jobs import Back, Finished, SeenJobs, Window, Worded

FAR = Quantity("5,000", "km")  # common practice, no source
_PARTS = 3  # part numbers that are told of a cause


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
    jobs: tuple[int, ...]
    came_back: tuple[int, ...] = ()
    share: Interval = (0.0, 1.0)
    held: Held | None = None
    far: Held | None = None
    hours: float | None = None
    parts: tuple[str, ...] = ()
    rank: float = 0.0


@dataclass(frozen=True, slots=True)
class ComeBack:
    """A job whose vehicle came again with the same code, or with words that say it came back.

    Attributes:
        days: from the end of the first job to the opening of the second.
        distance: driven between the two, where both readings are known.
    """

    job: int
    by: int
    days: int
    distance: Quantity | None = None


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
    jobs: tuple[int, ...]
    causes: tuple[Outcome, ...] = ()
    fixes: tuple[Outcome, ...] = ()
    unknown: tuple[int, ...] = ()
    came_back: tuple[ComeBack, ...] = ()
    declined: tuple[int, ...] = ()
    still_open: tuple[int, ...] = ()
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
    made = _Outcomes.over(seen, window, alike or Alike())
    causes, works = made.of(seen.causes), made.of(seen.fixes)
    together = held(made.followed, window.days)
    ranked = together.watched >= FEW  # fewer tell nothing of what holds
    apart: dict[str, dict[int, None]] = {"declined": {}, "open": {}}
    for state, number in seen.apart:
        apart[state][number] = None
    stated = set(chain.from_iterable(one.jobs for one in seen.causes))
    return TurnedOut(
        code, sub, exact, made.numbers, causes,
        tuple(sorted(works, key=lambda one: -one.rank)) if ranked else works,
        _without(made.numbers, stated),
        tuple(ComeBack(one.number, one.by, one.days, window.told(one.metres)) for one in made.back.values()),
        _without(apart["declined"], made.places), tuple(apart["open"]),
        together, made.far(range(len(made.numbers))), window.days, window.distance, ranked,
    )  # fmt: skip


def _without(numbers: Iterable[int], others: Container[int]) -> tuple[int, ...]:
    return tuple([number for number in numbers if number not in others])


def held(jobs: Iterable[int], limit: int) -> Held:
    """How some jobs held, each followed as :data:`ticket.store.seen_jobs.FOLLOWED` has it, no more than the limit."""
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


@dataclass(frozen=True, slots=True)
class _Outcomes:
    """Finished jobs, newest first, column by column; elsewhere each is named by its place among them.

    Attributes:
        numbers: of the jobs.
        places: of the numbers.
        back: those that came back, by their numbers.
    """

    numbers: tuple[int, ...]
    followed: tuple[int, ...]
    driven: tuple[int, ...]
    hours: tuple[float, ...]
    parts: tuple[str, ...]
    places: dict[int, int]
    back: dict[int, Back]
    window: Window
    alike: Alike

    @classmethod
    def over(cls, seen: SeenJobs, window: Window, alike: Alike) -> "_Outcomes":
        """Of a job that several sub-codes name the first row tells."""
        rows = seen.finished
        columns: list[Any] = list(zip(*rows, strict=True)) or [()] * 5
        places = dict(zip(columns[0], range(len(rows)), strict=True))
        if len(places) < len(rows):
            first: dict[int, Finished] = {}
            for one in rows:
                first.setdefault(one[0], one)
            columns = list(zip(*first.values(), strict=True))
            places = dict(zip(first, range(len(first)), strict=True))
        numbers, followed, driven, hours, parts = columns
        back = {one.number: one for one in seen.back}
        return cls(numbers, followed, driven, hours, parts, places, back, window, alike)

    def of(self, worded: Iterable[Worded]) -> tuple[Outcome, ...]:
        groups: dict[str, list[Worded]] = {}
        for one in worded:
            groups.setdefault(self.alike.key(one.key), []).append(one)
        jobs = [self._jobs(group) for group in groups.values()]
        kept = [self._held(self.followed, mine, self.window.days) for mine in jobs]
        prior = fitted([(one.watched - one.back, one.watched) for one in kept])
        made = [
            (mine[0], self._outcome(max(group, key=lambda one: len(one.jobs)).text, mine, held_so, prior))
            for group, mine, held_so in zip(groups.values(), jobs, kept, strict=True)
        ]
        return tuple([one for _, one in sorted(made, key=lambda pair: (-len(pair[1].jobs), pair[0]))])

    def _jobs(self, group: Sequence[Worded]) -> list[int]:
        """The places of the jobs that state one thing in any words, each once, newest first."""
        found = [self.places[number] for one in group for number in one.jobs]
        return sorted(dict.fromkeys(found))

    @staticmethod
    def _held(followed: Sequence[int], jobs: Iterable[int], limit: int) -> Held:
        return held(map(followed.__getitem__, jobs), limit)

    def far(self, jobs: Sequence[int]) -> Held | None:
        """How some jobs held over the distance; ``None`` where no reading tells of any of them."""
        driven = [self.driven[job] for job in jobs]
        return held(driven, self.window.far) if any(driven) else None

    def _outcome(self, text: str, jobs: list[int], kept: Held, prior: Prior) -> Outcome:
        hours = list(filter(None, map(self.hours.__getitem__, jobs)))
        parts = Counter(filter(None, map(self.parts.__getitem__, jobs)))
        numbers = tuple(map(self.numbers.__getitem__, jobs))
        return Outcome(
            text=text,
            jobs=numbers,
            came_back=tuple([number for number in numbers if number in self.back]) if self.back else (),
            share=wilson(len(jobs), len(self.numbers)),
            held=kept,
            far=self.far(jobs),
            hours=median(hours) if hours else None,
            parts=tuple([part for part, _ in sorted(parts.items(), key=itemgetter(1), reverse=True)[:_PARTS]]),
            rank=prior.low(kept.watched - kept.back, kept.watched),
        )


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
