"""What is kept of the jobs beside a code, as counts of it need them: told by a few plain statements, no ticket is read.

The rules of how long and how far a job was followed stand here alone, as SQL that the database of a shop and the search
file of an archive both take.
"""

# ruff: noqa: S608 - every name in this SQL is a constant of this module

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from sqlite_utils import Database

from ticket.job.ticket import METRES
from ticket.job.values import Quantity

FOLLOWED = (
    "CASE WHEN {back} IS NOT NULL AND coalesce({days}, 0) <= $most THEN 1 + 2 * coalesce({days}, 0)"
    " WHEN {back} IS NOT NULL THEN 2 * $most"
    " WHEN {closed} IS NULL OR {closed} > $now THEN 0"
    " WHEN {since} < $most THEN 2 * {since} ELSE 2 * $most END"
)
"""How many days a job was followed, twice, and one more where it came back then: one number is counted much faster than
two. It came back then within the days alone, whoever says that it did; how long it was followed else is told by the
clock."""
DRIVEN = (
    "CASE WHEN back_metres <= $far * $metres THEN 1 + 2 * CAST(round(back_metres / $metres) AS INTEGER)"
    " WHEN coalesce(driven, 0) <= 0 OR (back IS NOT NULL AND back_metres IS NULL) THEN 0"
    " WHEN round(driven / $metres) < $far THEN 2 * CAST(round(driven / $metres) AS INTEGER) ELSE 2 * $far END"
)
"""How far, likewise, by the last reading of any visit: a job that was not seen again was not followed at all, nor one
that came back nobody knows how far on."""
_HERE = {
    "back": "c.back", "days": "c.back_days", "closed": "c.closed", "since": "(($now - c.closed) / 86400)",
}  # fmt: skip


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

    def told(self, metres: int | None) -> Quantity | None:
        """A distance in the unit they are told in."""
        return None if metres is None else Quantity(f"{round(metres / METRES[self.unit]):,}", self.unit)

    @property
    def given(self) -> dict[str, float]:
        """What the rules ask for by name."""
        return {"most": self.days, "now": int(self.now), "far": self.far, "metres": float(METRES[self.unit])}


Finished = tuple[int, int, int, float, str]
"""A finished job: its number, how long and how far it was followed, hours billed, first part. There are thousands, and
a plain row costs least."""


class Worded(NamedTuple):
    """Finished jobs that state one thing in the same words; ``key`` is equal for texts that name the same thing."""

    key: str
    text: str
    jobs: Sequence[int]


class Back(NamedTuple):
    """A finished job that came back: as which ticket, after how many days and metres."""

    number: int
    by: int
    days: int
    metres: int | None


@dataclass(frozen=True, slots=True)
class SeenJobs:
    """What the jobs beside a code state; jobs by their numbers, newest first.

    Attributes:
        finished: signed, and not declined; more than once where several sub-codes were asked for.
        causes: what they state as the cause.
        fixes: what put them right.
        back: those of them that came back within the days, and later ones of which somebody says that they did.
        apart: the others, each behind its state: ``open`` or ``declined``.
    """

    finished: Sequence[Finished]
    causes: Sequence[Worded] = ()
    fixes: Sequence[Worded] = ()
    back: Sequence[Back] = ()
    apart: Sequence[tuple[str, int]] = ()

    @property
    def empty(self) -> bool:
        """No job holds the code."""
        return not (self.finished or self.apart)


def seen_beside(db: Database, code: str, sub: str, window: Window, but: Iterable[int] = ()) -> SeenJobs:
    """What the jobs of a shop beside a code state; with its very sub-code where one is given.

    Args:
        db: the database.
        code: in the notation searches use.
        sub: its sub-code; empty for any.
        window: when a job counts as having come back.
        but: numbers of tickets not to be counted.
    """
    given: dict[str, object] = {**window.given, "code": bound(code), "but": json.dumps(sorted(but))}
    subs = sorted({bound(one) for one in (sub, sub.upper(), sub.lower())} if sub else ())
    given |= {f"sub{i}": one for i, one in enumerate(subs)}
    where = "c.code = $code" + (f" AND c.sub IN ({', '.join(f'$sub{i}' for i in range(len(subs)))})" if subs else "")
    where += " AND c.number NOT IN (SELECT value FROM json_each($but))" if given["but"] != "[]" else ""
    followed, done = FOLLOWED.format(**_HERE), "c.state = 'finished'"

    def asked(sql: str) -> list[Any]:
        return db.conn.execute(sql, {name: value for name, value in given.items() if f"${name}" in sql}).fetchall()

    first = f"{where} AND c.i = 0"
    finished = asked(
        f"SELECT c.number, {followed}, {DRIVEN}, c.hours, c.part FROM job_cause AS c WHERE {first} AND {done}"
        " ORDER BY c.ticket_id DESC"
    )
    back = asked(
        "SELECT c.number, coalesce(t.number, 0), coalesce(c.back_days, 0), c.back_metres FROM job_cause AS c"
        f" LEFT JOIN ticket AS t ON t.id = c.back WHERE {first} AND {done} AND c.back IS NOT NULL"
        " AND (c.back_told = 1 OR coalesce(c.back_days, 0) <= $most) ORDER BY c.ticket_id DESC"
    )
    apart = asked(
        f"SELECT c.state, c.number FROM job_cause AS c WHERE {first} AND NOT {done} ORDER BY c.ticket_id DESC"
    )

    def worded(table: str, key: str) -> list[Worded]:
        rows = asked(
            f"SELECT c.{key}, c.text, json_group_array(c.number) FROM {table} AS c WHERE {where} AND {done}"
            f" AND c.{key} <> '' GROUP BY c.{key}, c.text ORDER BY max(c.ticket_id) DESC"
        )
        return [Worded(str(key), str(text), json.loads(str(jobs))) for key, text, jobs in rows]

    return SeenJobs(
        finished, worded("job_cause", "cause"), worded("job_fix", "fix"),
        list(map(Back._make, back)), apart,
    )  # fmt: skip


def bound(text: str) -> str:
    """Text the driver can bind."""
    return text.encode("utf-8", "replace").decode()
