"""What earlier jobs with a code turned out to be: the one place where such counts are made. Pure.

Only what the tickets say is counted. What hardly any job says is told as a fraction, what was not followed long enough
is told as that, and causes are never merged but where the shop said that they are one.
"""

from collections import Counter, defaultdict
from collections.abc import Collection, Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from ticket.job.ticket import METRES
from ticket.job.values import Quantity
from ticket.past.alike import Alike
from ticket.past.intervals import FEW, Interval, Prior, fitted, wilson
from ticket.past.survival import Followed, Step, held_until, steps
from ticket.store.past_jobs import CauseSeen, FixSeen

DAY = 86_400
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


@dataclass(frozen=True, slots=True)
class Window:
    """When a job counts as having come back.

    Attributes:
        days: within so many.
        now: seconds since 1970.
        unit: of distances, as they are told.
        far: within so many of that unit.
    """

    days: int
    now: float
    unit: str = "km"
    far: int = 5000

    @property
    def distance(self) -> Quantity:
        """The distance in words."""
        return Quantity(f"{self.far:,}", self.unit)

    def is_back(self, job: CauseSeen) -> bool:
        """Whether a job came back within the days, or somebody says it did."""
        return job.back is not None and bool(job.back_told or (job.back_days or 0) <= self.days)

    def followed(self, job: CauseSeen) -> tuple[float, bool]:
        """How many days a job was followed, no longer than is asked for, and whether it came back then."""
        if self.is_back(job):
            return float(min(job.back_days or 0, self.days)), True
        return min(max(self.now - (job.closed or self.now), 0) // DAY, self.days), False

    def driven(self, job: CauseSeen) -> Followed:
        """How far a job was followed, no further than is asked for, and whether it came back there.

        The last reading of any visit tells how far; a job that was not seen again was not followed at all.
        """
        metres = METRES[self.unit]
        if job.back is not None and job.back_metres is None:
            return 0.0, False  # nobody knows how far that was
        if job.back_metres is not None and job.back_metres <= self.far * metres:
            return float(round(job.back_metres / metres)), True
        return float(min(round(max(job.driven or 0, 0) / metres), self.far)), False


def turned_out(
    code: str, sub: str, seen: Sequence[CauseSeen], fixes: Sequence[FixSeen], window: Window, *,
    alike: Alike | None = None, numbers: Mapping[int, int] | None = None, exact: bool = True,
) -> TurnedOut:  # fmt: skip
    """Count what jobs with a code turned out to be.

    Args:
        code: the code.
        sub: its sub-code; empty for any.
        seen: what each job states, newest first.
        fixes: what put each right.
        window: when a job counts as having come back.
        alike: what the shop calls one cause.
        numbers: numbers of the tickets that jobs came back as, by their keys.
        exact: whether the jobs hold the very sub-code.
    """
    finished, declined, still_open = _by_state(seen)
    followed = {number: window.followed(one) for number, one in finished.items()}
    driven = {number: window.driven(one) for number, one in finished.items()}
    back = {number: one for number, one in finished.items() if window.is_back(one)}
    made = _Outcomes(finished, back, followed, driven, window, alike or Alike())
    causes = made.of((one.number, one.cause, one.text) for one in seen)
    works = made.of((one.number, one.fix, one.text) for one in fixes)
    together = held(followed.values(), window.days)
    ranked = together.watched >= FEW  # fewer tell nothing of what holds
    return TurnedOut(
        code, sub, exact, tuple(finished), causes, tuple(sorted(works, key=lambda one: -one.rank)) if ranked else works,
        _without(finished, {one.number for one in seen if one.cause}),
        tuple(_came_back(one, numbers or {}, window) for one in back.values()),
        _without(declined, finished), tuple(still_open),
        together, made.far(finished), window.days, window.distance, ranked,
    )  # fmt: skip


def _without(numbers: Iterable[int], others: Container[int]) -> tuple[int, ...]:
    return tuple(number for number in numbers if number not in others)


def _by_state(seen: Iterable[CauseSeen]) -> tuple[dict[int, CauseSeen], dict[int, CauseSeen], dict[int, CauseSeen]]:
    """The finished, declined and open jobs by their numbers, newest first, each with its first row."""
    found: dict[str, dict[int, CauseSeen]] = {"finished": {}, "declined": {}, "open": {}}
    for one in seen:
        found[one.state].setdefault(one.number, one)
    return found["finished"], found["declined"], found["open"]


def held(jobs: Iterable[Followed], limit: float) -> Held:
    """How some jobs held, each followed so long or so far, no more than the limit."""
    followed = Counter(jobs)
    back = sum(count for (_, is_back), count in followed.items() if is_back)
    short = sum(count for (reach, is_back), count in followed.items() if not is_back and reach < limit)
    watched = sum(followed.values()) - short
    return Held(back, watched, short, held_until(steps(followed), limit), wilson(back, watched)[1])


@dataclass(frozen=True, slots=True)
class _Outcomes:
    finished: Mapping[int, CauseSeen]
    back: Collection[int]
    followed: Mapping[int, Followed]
    driven: Mapping[int, Followed]
    window: Window
    alike: Alike

    def of(self, stated: Iterable[tuple[int, str, str]]) -> tuple[Outcome, ...]:
        groups: dict[str, dict[int, str]] = defaultdict(dict)
        keys: dict[str, str] = {}
        for number, stated_key, text in stated:
            if stated_key and number in self.finished:
                key = keys.get(stated_key) or keys.setdefault(stated_key, self.alike.key(stated_key))
                groups[key].setdefault(number, text)
        kept = {key: held(map(self.followed.__getitem__, group), self.window.days) for key, group in groups.items()}
        prior = fitted([(one.watched - one.back, one.watched) for one in kept.values()])
        made = [self._outcome(group, kept[key], prior) for key, group in groups.items()]
        return tuple(sorted(made, key=lambda outcome: -len(outcome.jobs)))

    def far(self, jobs: Iterable[int]) -> Held | None:
        """How some jobs held over the distance; ``None`` where no reading tells of any of them."""
        followed = [self.driven[number] for number in jobs]
        return held(followed, self.window.far) if any(reach or back for reach, back in followed) else None

    def _outcome(self, group: Mapping[int, str], kept: Held, prior: Prior) -> Outcome:
        jobs = [self.finished[number] for number in group]
        hours = [job.hours for job in jobs if job.hours]
        parts = Counter(job.part for job in jobs if job.part)
        return Outcome(
            text=Counter(group.values()).most_common(1)[0][0],
            jobs=tuple(group),
            came_back=tuple(number for number in group if number in self.back),
            share=wilson(len(group), len(self.finished)),
            held=kept,
            far=self.far(group),
            hours=median(hours) if hours else None,
            parts=tuple(part for part, _ in parts.most_common(_PARTS)),
            rank=prior.low(kept.watched - kept.back, kept.watched),
        )


def _came_back(job: CauseSeen, numbers: Mapping[int, int], window: Window) -> ComeBack:
    metres = job.back_metres
    distance = None if metres is None else Quantity(f"{round(metres / METRES[window.unit]):,}", window.unit)
    return ComeBack(job.number, numbers.get(job.back or 0, 0), job.back_days or 0, distance)


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
