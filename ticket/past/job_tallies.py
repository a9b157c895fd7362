"""Finished jobs counted by what they state: job by job where a shop is asked, else as an engine counted them. Pure."""

from collections import Counter
from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import chain
from operator import itemgetter
from typing import Any, Generic, TypeVar, overload

from ticket.job.values import Quantity
from ticket.past.alike import Alike
from ticket.store.seen_jobs import Back, Finished, SeenJobs, Window, Worded

PARTS = 3  # part numbers that are told of a cause
Item = TypeVar("Item")


class LookedUp(Sequence[Item], Generic[Item]):
    """Things of which it is known how many they are; which ones is looked up once somebody wants to know."""

    def __init__(self, count: int, look_up: Callable[[], Sequence[Item]]) -> None:
        self._count, self._look_up = count, look_up
        self._held: tuple[Item, ...] | None = None

    def __len__(self) -> int:
        return self._count

    def _all(self) -> tuple[Item, ...]:
        if self._held is None:
            self._held = tuple(self._look_up()) if self._count else ()
        return self._held

    @overload
    def __getitem__(self, place: int) -> Item: ...

    @overload
    def __getitem__(self, place: slice) -> Sequence[Item]: ...

    def __getitem__(self, place: int | slice) -> Item | Sequence[Item]:
        return self._all()[place]

    def __iter__(self) -> Iterator[Item]:
        return iter(self._all())

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and self._all() == tuple(other)

    def __hash__(self) -> int:
        return hash(self._all())


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
class Tally:
    """Finished jobs that state one thing.

    Attributes:
        text: as most of them word it.
        jobs: their numbers, newest first.
        age: of the newest one: the less, the newer.
        back: those of them that came back.
        followed: how many were followed so long, as :data:`ticket.store.seen_jobs.FOLLOWED` has it.
        driven: how many were followed so far, likewise; none where no distance is known.
        hours: how many so many hours were billed for.
        parts: numbers of the parts used most often.
    """

    text: str
    jobs: Sequence[int]
    age: int
    back: Sequence[int] = ()
    followed: Mapping[int, int] = field(default_factory=dict)
    driven: Mapping[int, int] = field(default_factory=dict)
    hours: Mapping[float, int] = field(default_factory=dict)
    parts: Sequence[str] = ()


@dataclass(frozen=True, slots=True)
class Counted:
    """What the jobs beside a code state; jobs by their numbers, newest first.

    Attributes:
        whole: all finished ones.
        causes: those that state one cause, each.
        fixes: those that were put right by one kind of work, each.
        unknown: those that state no cause.
        came_back: those that came back.
        declined: signed jobs apart.
        still_open: jobs not signed.
    """

    whole: Tally
    causes: Sequence[Tally] = ()
    fixes: Sequence[Tally] = ()
    unknown: Sequence[int] = ()
    came_back: Sequence[ComeBack] = ()
    declined: Sequence[int] = ()
    still_open: Sequence[int] = ()

    @property
    def empty(self) -> bool:
        """No job holds the code."""
        return not (self.whole.jobs or self.declined or self.still_open)


def count_jobs(seen: SeenJobs, window: Window, alike: Alike) -> Counted:
    """Count jobs one by one.

    Args:
        seen: what they state.
        window: when a job counts as having come back.
        alike: what the shop calls one cause.
    """
    made = _Columns.over(seen, alike)
    apart: dict[str, dict[int, None]] = {"declined": {}, "open": {}}
    for state, number in seen.apart:
        apart[state][number] = None
    stated = set(chain.from_iterable(one.jobs for one in seen.causes))
    return Counted(
        Tally("", made.numbers, 0, (), Counter(made.followed), Counter(made.driven)),
        made.of(seen.causes), made.of(seen.fixes), _without(made.numbers, stated),
        tuple(ComeBack(one.number, one.by, one.days, window.told(one.metres)) for one in made.back.values()),
        _without(apart["declined"], made.places), tuple(apart["open"]),
    )  # fmt: skip


def _without(numbers: Iterable[int], others: Container[int]) -> tuple[int, ...]:
    return tuple([number for number in numbers if number not in others])


@dataclass(frozen=True, slots=True)
class _Columns:
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
    alike: Alike

    @classmethod
    def over(cls, seen: SeenJobs, alike: Alike) -> "_Columns":
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
        return cls(numbers, followed, driven, hours, parts, places, back, alike)

    def of(self, worded: Iterable[Worded]) -> list[Tally]:
        """The jobs by what they state, in whatever words."""
        groups: dict[str, list[Worded]] = {}
        for one in worded:
            groups.setdefault(self.alike.key(one.key), []).append(one)
        return [self._tally(group) for group in groups.values()]

    def _tally(self, group: Sequence[Worded]) -> Tally:
        """The jobs that state one thing in any words, each once."""
        found = [self.places[number] for one in group for number in one.jobs]
        jobs = sorted(found if len(group) == 1 else dict.fromkeys(found))
        numbers = tuple(map(self.numbers.__getitem__, jobs))
        parts = Counter(filter(None, map(self.parts.__getitem__, jobs)))
        return Tally(
            max(group, key=lambda one: len(one.jobs)).text,
            numbers,
            jobs[0],
            tuple([number for number in numbers if number in self.back]) if self.back else (),
            Counter(map(self.followed.__getitem__, jobs)),
            Counter(map(self.driven.__getitem__, jobs)),
            Counter(filter(None, map(self.hours.__getitem__, jobs))),
            tuple([part for part, _ in sorted(parts.items(), key=itemgetter(1), reverse=True)[:PARTS]]),
        )
