"""What earlier jobs with a code turned out to be: the one place where such counts are made. Pure.

Only what the tickets say is counted. What hardly any job says is told as a fraction, what was not followed long enough
is told as that, and causes are never merged but where the shop said that they are one.
"""

from collections import Counter
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from statistics import median

from ticket.job.ticket import METRES
from ticket.job.values import Quantity
from ticket.past.alike import Alike
from ticket.past.intervals import FEW, Interval, Prior, fitted, wilson
from ticket.past.survival import Step, last_step
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

    def watch(self, seen: Iterable[CauseSeen]) -> "Watched":
        """What became of some jobs, newest first; of each job the first row tells.

        A job is named as one that came back where it did so within the days, or somebody says that it did; it counts
        as one within them alone, whoever says what. How long it was followed is told by the clock, how far by the last
        reading of any visit: a job that was not seen again was not followed at all, nor one that came back nobody knows
        how far on. Neither is told beyond what is asked for.
        """
        now, most = int(self.now), self.days
        far = self._driven
        found = Watched()
        finished, followed, driven = found.finished, found.followed, found.driven
        for row in seen:
            number, _, _, state, closed, _, _, back, back_days, back_metres, told, moved = row
            if state != "finished":
                (found.declined if state == "declined" else found.still_open).setdefault(number, row)
            elif number not in finished:
                finished[number] = row
                days = back_days or 0
                if back is not None and (told or days <= most):
                    found.back[number] = row
                if back is None:
                    days = max(now - (closed or now), 0) // DAY
                followed[number] = 2 * min(days, most) + (back is not None and days <= most)
                driven[number] = far(back is not None, back_metres, moved)
        return found

    def _driven(self, is_back: bool, back_metres: int | None, moved: int | None) -> int:
        """How far a job was followed, as :class:`Watched` has it."""
        metres = METRES[self.unit]
        if back_metres is not None and back_metres <= self.far * metres:
            return 2 * round(back_metres / metres) + 1
        if not moved or moved < 0 or (is_back and back_metres is None):
            return 0
        return 2 * min(round(moved / metres), self.far)


@dataclass(frozen=True, slots=True)
class Watched:
    """What became of some jobs, by their numbers, newest first.

    Attributes:
        finished: those that count, each with its first row.
        declined: signed, and the customer said no.
        still_open: not signed.
        back: those of the finished that came back.
        followed: how many days each finished job was followed, twice, and one more where it came back then: one number
            is counted much faster than two.
        driven: how far it was followed, likewise.
    """

    finished: dict[int, CauseSeen] = field(default_factory=dict)
    declined: dict[int, CauseSeen] = field(default_factory=dict)
    still_open: dict[int, CauseSeen] = field(default_factory=dict)
    back: dict[int, CauseSeen] = field(default_factory=dict)
    followed: dict[int, int] = field(default_factory=dict)
    driven: dict[int, int] = field(default_factory=dict)


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
    watched = window.watch(seen)
    finished = watched.finished
    made = _Outcomes(watched, window, alike or Alike())
    causes = made.of((number, cause, text) for number, cause, text, *_ in seen)
    works = made.of((number, fix, text) for number, fix, text, _ in fixes)
    together = held(watched.followed.values(), window.days)
    ranked = together.watched >= FEW  # fewer tell nothing of what holds
    return TurnedOut(
        code, sub, exact, tuple(finished), causes, tuple(sorted(works, key=lambda one: -one.rank)) if ranked else works,
        _without(finished, {one.number for one in seen if one.cause}),
        tuple(_came_back(one, numbers or {}, window) for one in watched.back.values()),
        _without(watched.declined, finished), tuple(watched.still_open),
        together, made.far(finished), window.days, window.distance, ranked,
    )  # fmt: skip


def _without(numbers: Iterable[int], others: Container[int]) -> tuple[int, ...]:
    return tuple(number for number in numbers if number not in others)


def held(jobs: Iterable[int], limit: int) -> Held:
    """How some jobs held, each followed as :class:`Watched` has it, no more than the limit."""
    followed = {(float(twice >> 1), bool(twice & 1)): count for twice, count in Counter(jobs).items()}
    back = sum(count for (_, is_back), count in followed.items() if is_back)
    short = sum(count for (reach, is_back), count in followed.items() if not is_back and reach < limit)
    watched = sum(followed.values()) - short
    return Held(back, watched, short, last_step(followed), wilson(back, watched)[1])


@dataclass(frozen=True, slots=True)
class _Outcomes:
    watched: Watched
    window: Window
    alike: Alike

    def of(self, stated: Iterable[tuple[int, str, str]]) -> tuple[Outcome, ...]:
        groups: dict[str, dict[int, str]] = {}
        keys: dict[str, str] = {}
        finished = self.watched.finished
        for number, stated_key, text in stated:
            if stated_key and number in finished:
                key = keys.get(stated_key) or keys.setdefault(stated_key, self.alike.key(stated_key))
                if (group := groups.get(key)) is None:
                    groups[key] = {number: text}
                elif number not in group:
                    group[number] = text
        followed = self.watched.followed.__getitem__
        kept = {key: held(map(followed, group), self.window.days) for key, group in groups.items()}
        prior = fitted([(one.watched - one.back, one.watched) for one in kept.values()])
        made = [self._outcome(group, kept[key], prior) for key, group in groups.items()]
        return tuple(sorted(made, key=lambda outcome: -len(outcome.jobs)))

    def far(self, jobs: Iterable[int]) -> Held | None:
        """How some jobs held over the distance; ``None`` where no reading tells of any of them."""
        driven = list(map(self.watched.driven.__getitem__, jobs))
        return held(driven, self.window.far) if any(driven) else None

    def _outcome(self, group: Mapping[int, str], kept: Held, prior: Prior) -> Outcome:
        jobs = list(map(self.watched.finished.__getitem__, group))
        hours = [job.hours for job in jobs if job.hours]
        parts = Counter([job.part for job in jobs if job.part])
        texts = Counter(group.values())
        back = self.watched.back
        return Outcome(
            text=max(texts, key=texts.__getitem__),
            jobs=tuple(group),
            came_back=tuple([number for number in group if number in back]),
            share=wilson(len(group), len(self.watched.finished)),
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
