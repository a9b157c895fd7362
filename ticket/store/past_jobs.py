"""What is asked of past jobs beside a code, over all of them: rows that were kept, no ticket is read."""

# ruff: noqa: S608 - every name in this SQL is a constant of this module

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from sqlite_utils import Database

from ticket.job.wall import FIRST_DAY, LAST_DAY
from ticket.store.asked import Query
from ticket.store.index import SHIFT
from ticket.store.search import Statement, quoted, statement
from ticket.store.seen_jobs import SeenJobs, Window, bound, seen_beside
from ticket.store.session import Session


class CauseSeen(NamedTuple):
    """A cause on one job beside the code asked for.

    Attributes:
        number: of the job.
        cause: equal for texts that name the same thing; empty where the job states none.
        text: as typed.
        state: ``open``, ``finished`` or ``declined``.
    """

    number: int
    cause: str
    text: str
    state: str


class LabourDone(NamedTuple):
    """Labour of one kind, so many times: hours and cents exactly, each; minutes all together."""

    person: str
    rate: str
    hours: str
    sales: str
    minutes: int | None
    times: int


_DAY = "date((f.id >> 17) * 86400, 'unixepoch')"  # keys count days of the shop (store/additions.py)
_JOB, _CAUSES = "JOIN job AS j ON j.ticket_id = f.id", "JOIN job_cause AS c ON c.ticket_id = f.id"
SPREADS = {
    "code": ("c.code", f"{_CAUSES} AND c.code <> ''"),
    "sub-code": ("c.code || '-' || c.sub", f"{_CAUSES} AND c.sub <> ''"),
    "cause": ("max(c.text)", f"{_CAUSES} AND c.cause <> ''"),
    "did": ("max(c.text)", "JOIN job_fix AS c ON c.ticket_id = f.id"),
    "tech": ("c.name", "JOIN job_tech AS c ON c.ticket_id = f.id"),
    "vehicle": ("j.label", f"{_JOB} AND j.label <> ''"),
    "year": (f"substr({_DAY}, 1, 4)", ""),
    "month": (f"substr({_DAY}, 1, 7)", ""),
    "status": ("t.status", "JOIN ticket AS t ON t.id = f.id"),
    "outcome": ("j.state", _JOB),
    "payer": ("j.pays", _JOB),
}
"""What jobs are counted by: the SQL that names it, and what that needs beside the jobs ``f``."""

_EVER = 2**62  # seconds: before and behind every day
_NEWEST = 200_000  # jobs among which like ones are looked for
_MOST_CAUSES = 200  # that a new one is compared with
_GROUPS = {"cause": "c.cause", "did": "c.fix"}


class PastJobs:
    """The questions, put to one open database."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def causes(self, code: str, sub: str = "", label: str = "") -> list[CauseSeen]:
        """Every cause beside a code, newest job first; with its very sub-code where one is given.

        Args:
            code: in the notation searches use.
            sub: its sub-code; empty for any.
            label: only of vehicles called so, folded; empty for all.
        """
        where, values = _beside(code, sub)
        if label:
            where += " AND ticket_id IN (SELECT ticket_id FROM job WHERE label = ?)"
            values.append(bound(label))
        with self._session.reading() as db:
            rows = db.execute(
                f"SELECT number, cause, text, state FROM job_cause WHERE {where} ORDER BY ticket_id DESC, i", values
            )
            return list(map(CauseSeen._make, rows.fetchall()))

    def cause_texts(self, code: str, but: int) -> list[tuple[str, str, int]]:
        """The causes beside a code on other jobs than one: key, one wording and how many jobs, most frequent first."""
        with self._session.reading() as db:
            rows = db.execute(
                "SELECT cause, max(text), count(DISTINCT ticket_id) AS jobs FROM job_cause"
                " WHERE code = ? AND cause <> '' AND number <> ? GROUP BY cause ORDER BY jobs DESC, cause LIMIT ?",
                [bound(code), but, _MOST_CAUSES],
            )
            return [(row[0], row[1], row[2]) for row in rows.fetchall()]

    def seen(self, code: str, sub: str, window: Window, but: Iterable[int] = ()) -> SeenJobs:
        """What the jobs beside a code state; arguments as for :func:`ticket.store.seen_jobs.seen_beside`."""
        with self._session.reading() as db:
            return seen_beside(db, code, sub, window, but)

    def told_alike(self, words: Sequence[str], most: int) -> list[int]:
        """Numbers of the jobs whose words fit best, best first, among the newest that hold any of them.

        Args:
            words: any of them may stand in a job.
            most: how many.
        """
        match = " OR ".join(filter(None, map(quoted, words)))
        if not match:
            return []
        with self._session.reading() as db:
            rows = db.execute(
                "SELECT t.number FROM ticket_fts AS f JOIN ticket AS t ON t.id = ? - f.rowid WHERE f.ticket_fts MATCH ?"
                " AND f.rowid <= coalesce((SELECT ? - id FROM ticket ORDER BY id DESC LIMIT 1 OFFSET ?), ?)"
                " ORDER BY bm25(ticket_fts) LIMIT ?",
                [SHIFT, match, SHIFT, _NEWEST, SHIFT, most],
            )
            return [row[0] for row in rows.fetchall()]

    def told(self, numbers: Iterable[int]) -> list[tuple[int, str, str]]:
        """What jobs say of themselves: number, model of the vehicle, and their complaints, findings and causes."""
        with self._session.reading() as db:
            rows = db.execute(
                "SELECT t.number, coalesce(j.label, ''), group_concat(coalesce(json_extract(e.data, '$.text'),"
                " json_extract(e.data, '$.what'), ''), ' ') FROM ticket AS t JOIN entry AS e ON e.ticket_id = t.id"
                " LEFT JOIN job AS j ON j.ticket_id = t.id WHERE t.number IN (SELECT value FROM json_each(?))"
                " AND e.kind IN ('says', 'found', 'cause') AND e.struck = 0 GROUP BY t.id",
                [json.dumps(list(numbers))],
            )
            return [(row[0], row[1], row[2]) for row in rows.fetchall()]

    def techs(self) -> tuple[str, ...]:
        """The folded names of everybody who ever worked here; one look a name, however many jobs."""
        with self._session.reading() as db:
            rows = db.execute(
                "WITH RECURSIVE names(tech) AS (SELECT min(tech) FROM job_tech UNION ALL"
                " SELECT (SELECT min(tech) FROM job_tech WHERE tech > names.tech) FROM names WHERE tech IS NOT NULL)"
                " SELECT tech FROM names WHERE tech IS NOT NULL"
            )
            return tuple(row[0] for row in rows.fetchall())

    def words_like(self, word: str) -> list[str]:
        """The words of all jobs that begin as a word does and are about as long."""
        with self._session.reading() as db:
            db.execute("CREATE VIRTUAL TABLE IF NOT EXISTS temp.job_words USING fts5vocab(main, ticket_fts, row)")
            rows = db.execute(
                "SELECT term FROM temp.job_words WHERE term >= ? AND term < ? AND abs(length(term) - ?) <= 2",
                [bound(word[:1]), bound(word[:1]) + "\U0010ffff", len(word)],
            )
            return [row[0] for row in rows.fetchall()]

    def spread(self, query: Query, by: str, one: Callable[[str], str] | None = None) -> list[tuple[str, int]]:
        """How many of the jobs that fit hold each code, cause and so on, most frequent first.

        Args:
            query: what to look for; its limit does not matter.
            by: one of :data:`SPREADS`.
            one: the key that stands for a cause, where the shop calls several the same.
        """
        name, joined = SPREADS[by]
        asked = statement(query)
        with self._session.reading() as db:
            if by == "cause" and one is not None:
                keys = db.execute(f"SELECT DISTINCT c.cause FROM ({asked.sql}) AS f {joined}", asked.values).fetchall()
                return self._joined(db, asked, {key: one(key) for (key,) in keys})
            rows = db.execute(
                f"SELECT {name}, count(DISTINCT f.id) AS jobs FROM ({asked.sql}) AS f {joined}"
                f" GROUP BY {_GROUPS.get(by, '1')} ORDER BY jobs DESC, 1",
                asked.values,
            )
            return [(str(row[0]), row[1]) for row in rows.fetchall()]

    @staticmethod
    def _joined(db: Database, asked: Statement, same: Mapping[str, str]) -> list[tuple[str, int]]:
        """Causes counted by the key that stands for each; a job that holds two of one counts once."""
        rows = db.execute(
            "SELECT coalesce(max(iif(m.value = c.cause, c.text, NULL)), max(c.text)), count(DISTINCT f.id) AS jobs"
            f" FROM ({asked.sql}) AS f {_CAUSES} JOIN json_each(?) AS m ON m.key = c.cause WHERE c.cause <> ''"
            " GROUP BY m.value ORDER BY jobs DESC, 1",
            [*asked.values, json.dumps(same)],
        )
        return [(str(row[0]), row[1]) for row in rows.fetchall()]

    def labour(self, since: date | None, until: date | None) -> list[LabourDone]:
        """Labour typed on the days of a period, both included; no bound for ``None``."""
        low = _midnight(since) if since and since >= FIRST_DAY else -_EVER
        high = _midnight(until + timedelta(days=1)) if until and until <= LAST_DAY else _EVER
        with self._session.reading() as db:
            rows = db.execute(
                "SELECT person, rate, hours, sales, sum(minutes), count(*) FROM job_labour WHERE at >= ? AND at < ?"
                " GROUP BY person, rate, hours, sales, minutes IS NULL ORDER BY 1, 2",
                [low, high],
            )
            return [LabourDone(*row) for row in rows.fetchall()]


def _midnight(day: date) -> int:
    """The moment a day begins on the wall, in seconds since 1970."""
    return int(datetime.combine(day, time()).astimezone().timestamp())


def _beside(code: str, sub: str) -> tuple[str, list[object]]:
    if not sub:
        return "code = ?", [bound(code)]
    return "code = ? AND sub IN (?, ?, ?)", [bound(code), *(bound(one) for one in (sub, sub.upper(), sub.lower()))]
