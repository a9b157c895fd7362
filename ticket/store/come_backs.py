"""As what jobs came back, worked out for all visits of their vehicles at once.

A job came back as the first later visit of its vehicle that reads one of its codes again, once work was done for it,
or that says itself which ticket it came back from. Every visit is put where it is looked for once, so that a vehicle
of four hundred visits costs a hundred times what one of four costs, not ten thousand times.
"""

import json
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from sqlite_utils import Database

_AT_ONCE = 2000  # jobs in memory, with all visits of their vehicles


class Visit(NamedTuple):
    """A job as its vehicle's other jobs ask for it: moments in seconds, the instrument in metres."""

    opened: int
    key: int
    number: int
    vin: str
    plate: str
    closed: int | None
    worked: bool
    metres_in: int | None
    metres_out: int | None
    back_from: int | None

    @property
    def left(self) -> int:
        """When the vehicle was given back, as far as that is known."""
        return self.opened if self.closed is None else self.closed

    @property
    def metres(self) -> int | None:
        """What the instrument showed when it was given back."""
        return self.metres_in if self.metres_out is None else self.metres_out


class ComeBack(NamedTuple):
    """What the later visits say of one job and code: all empty where nothing is known.

    Attributes:
        back: the key of the ticket it came back as.
        days: whole days until then.
        metres: driven until then.
        told: that ticket says so itself.
        driven: metres to the highest reading of a later visit.
    """

    back: int | None = None
    days: int | None = None
    metres: int | None = None
    told: int | None = None
    driven: int | None = None


Cause = tuple[str, str, int, int]
"""The key of a row of ``job_cause``: code, system, ticket and its place."""


def changed(db: Database, keys: Collection[int] | None = None) -> Iterator[tuple[Cause, ComeBack]]:
    """The causes of some jobs, or of all, of which the tables say something else than the visits do."""
    if keys is None:
        keys = [key for (key,) in db.execute("SELECT DISTINCT ticket_id FROM job_cause").fetchall()]
    ordered = sorted(keys)
    for start in range(0, len(ordered), _AT_ONCE):
        yield from _changed(db, ordered[start : start + _AT_ONCE])


def _changed(db: Database, keys: list[int]) -> Iterator[tuple[Cause, ComeBack]]:
    causes = db.execute(
        "SELECT code, sub, ticket_id, i, back, back_days, back_metres, back_told, driven FROM job_cause"
        " WHERE ticket_id IN (SELECT value FROM json_each(?))",
        [json.dumps(keys)],
    ).fetchall()
    if not causes:
        return
    shelf = _Shelf()
    visits = {visit.key: visit for visit in _around(db, keys)}
    codes = _codes(db, visits, {code for code, *_ in causes})
    for visit in sorted(visits.values()):
        shelf.put(visit, codes.get(visit.key, ()))
    for code, sub, key, i, *held in causes:
        found = shelf.come_back(visits[key], code) if key in visits else ComeBack()
        if found != tuple(held):
            yield (code, sub, key, i), found


def _around(db: Database, keys: list[int]) -> Iterator[Visit]:
    """Some jobs and every other one that bears the number or the plate of one of them."""
    marked = json.dumps(keys)
    mine = "SELECT {0} FROM job WHERE ticket_id IN (SELECT value FROM json_each(?1)) AND {0} <> ''"
    rows = db.execute(
        "SELECT opened, ticket_id, (SELECT number FROM ticket WHERE id = ticket_id), vin, plate, closed, worked,"  # noqa: S608 - two names of columns
        " metres_in, metres_out, back_from FROM job WHERE ticket_id IN (SELECT value FROM json_each(?1))"
        f" OR (vin <> '' AND vin IN ({mine.format('vin')}))"
        f" OR (plate <> '' AND plate IN ({mine.format('plate')}))",
        [marked],
    )
    return (Visit(*row) for row in rows.fetchall())


def _codes(db: Database, keys: Iterable[int], wanted: Collection[str]) -> dict[int, list[str]]:
    rows = db.execute(
        "SELECT DISTINCT ticket_id, code FROM entry_code WHERE ticket_id IN (SELECT value FROM json_each(?))",
        [json.dumps(list(keys))],
    )
    found: dict[int, list[str]] = defaultdict(list)
    for key, code in rows.fetchall():
        if code in wanted:
            found[key].append(code)
    return found


@dataclass(slots=True)
class _Row:
    """Visits that are asked for together, oldest first, and the highest reading from each of them on."""

    visits: list[Visit] = field(default_factory=list)
    highest: list[int | None] = field(default_factory=list)

    def first(self, since: int) -> Visit | None:
        """The first one opened at a moment or later."""
        at = self._at(since)
        return self.visits[at] if at < len(self.visits) else None

    def reading(self, since: int) -> int | None:
        """The highest reading of those opened at a moment or later."""
        if not self.highest:
            top: int | None = None
            for visit in reversed(self.visits):
                top = max((one for one in (top, visit.metres_in) if one is not None), default=None)
                self.highest.append(top)
            self.highest.reverse()
        at = self._at(since)
        return self.highest[at] if at < len(self.highest) else None

    def _at(self, since: int) -> int:
        return bisect_left(self.visits, since, key=lambda visit: visit.opened)


class _Shelf:
    """Visits by what they are looked for by; one job is of one vehicle with those of its :meth:`_places`."""

    def __init__(self) -> None:
        self._rows: dict[tuple[str, ...], _Row] = defaultdict(_Row)
        self._sent: dict[int, list[Visit]] = defaultdict(list)

    def put(self, visit: Visit, codes: Iterable[str]) -> None:
        """Take one in, oldest first."""
        places = [("vin", visit.vin)] if visit.vin else []
        if visit.plate:
            places += [("plate", visit.plate)] + ([] if visit.vin else [("unnamed", visit.plate)])
        for code in ("", *codes):
            for place in places:
                self._rows[*place, code].visits.append(visit)
        if visit.back_from is not None:
            self._sent[visit.back_from].append(visit)

    def come_back(self, job: Visit, code: str) -> ComeBack:
        """What the later visits say of one job and code."""
        since = job.opened + 1
        places = self._places(job)
        found = [visit for visit in self._sent[job.number] if visit.opened >= since and _same(job, visit)]
        if job.worked and code:
            again = (self._rows[*place, code].first(max(job.left, since)) for place in places)
            found += [visit for visit in again if visit is not None]
        readings = (self._rows[*place, ""].reading(since) for place in places)
        highest = max((one for one in readings if one is not None), default=None)
        driven = None if highest is None or job.metres is None else highest - job.metres
        return _told(job, min(found), driven) if found else ComeBack(driven=driven)

    def _places(self, job: Visit) -> list[tuple[str, str]]:
        """The same number; the same plate where one of two has no number (:mod:`ticket.store.same_vehicle`)."""
        found = [("vin", job.vin)] if job.vin else []
        return [*found, ("unnamed" if job.vin else "plate", job.plate)] if job.plate else found


def _told(job: Visit, back: Visit, driven: int | None) -> ComeBack:
    further = None if back.metres_in is None or job.metres is None else back.metres_in - job.metres
    return ComeBack(
        back.key,
        max((back.opened - job.left) // 86400, 0),
        further if further is not None and further >= 0 else None,
        int(back.back_from == job.number),
        driven,
    )


def _same(one: Visit, other: Visit) -> bool:
    if one.vin and one.vin == other.vin:
        return True
    return bool(one.plate) and one.plate == other.plate and not (one.vin and other.vin)
