"""What the jobs of an archive state beside a code: counted by its engine, since there may be hundreds of thousands."""

# ruff: noqa: S608 - the SQL is made of constants of this room; what was typed is bound

from collections import Counter, defaultdict
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from ticket.archive.engine import Engine, Rows
from ticket.archive.engines import engine_of
from ticket.archive.search_file import as_asked
from ticket.past.job_tallies import PARTS, ComeBack, Counted, LookedUp, Tally
from ticket.store.seen_jobs import FOLLOWED, Window

_THERE = {
    "back": "b.job", "days": "b.back_days", "closed": "c.closed",
    "since": "CAST(floor((:now - c.closed) / 86400.0) AS BIGINT)",
}  # fmt: skip
_DONE = (
    f"SELECT c.job AS job, c.sub AS sub, c.i AS i, c.cause AS said, c.text AS text, c.hours AS hours, c.part AS part,"
    f" {FOLLOWED.format(**_THERE).replace('$', ':')} AS followed, b.back_days AS back_days FROM causes AS c"
    " LEFT JOIN came AS b ON b.job = c.job AND b.code = c.code AND b.sub = c.sub WHERE c.code = :code"
)
_FINISHED = " AND c.state = 'finished'"
_OF_SUB = (
    f"WITH done AS (SELECT job, said, text, hours, part, followed, back_days, CASE WHEN i = 0 THEN 1 ELSE 0 END AS lead"
    f" FROM ({_DONE} AND c.sub = :sub{_FINISHED}) AS r)"
)
_OF_ANY = (
    "WITH done AS (SELECT job, said, text, hours, part, followed, back_days, lead FROM (SELECT job, said, text,"
    " first_value(hours) OVER first AS hours, first_value(part) OVER first AS part,"
    " first_value(followed) OVER first AS followed, first_value(back_days) OVER first AS back_days,"
    " CASE WHEN row_number() OVER first = 1 THEN 1 ELSE 0 END AS lead,"
    " row_number() OVER (PARTITION BY job, said ORDER BY sub) AS place"
    f" FROM ({_DONE}{_FINISHED}) AS r WINDOW first AS (PARTITION BY job ORDER BY sub, i)) AS q WHERE place = 1)"
)
"""Finished jobs once for each thing they state; of a job that several sub-codes name the first one tells the rest."""
_WORKED = (
    "worked AS (SELECT job, said, min(text) AS text, min(hours) AS hours, min(part) AS part, min(followed) AS followed,"
    " min(back_days) AS back_days FROM (SELECT d.job, f.fix AS said, f.text, d.hours, d.part, d.followed, d.back_days"
    " FROM fixes AS f JOIN done AS d ON d.job = f.job WHERE f.code = :code{} AND f.state = 'finished'"
    " AND d.lead = 1) AS w GROUP BY job, said)"
)


class _Asked:
    """The questions about one code, put to an engine that is open; jobs that are to be named, to one opened then."""

    def __init__(self, archive: str | Path, engine: Engine, code: str, sub: str, window: Window) -> None:
        self._archive, self._engine = archive, engine
        self._given = {**window.given, "code": as_asked(code), "sub": as_asked(sub)}
        self._sub = sub
        worked = _WORKED.format(" AND f.sub = :sub" if sub else "")
        self._tables = f"{_OF_SUB if sub else _OF_ANY}, {worked} "

    def rows(self, sql: str) -> Rows:
        return self._engine.ask(self._tables + sql, self._given)

    def later(self, sql: str, **more: object) -> Callable[[], Sequence[int]]:
        """The jobs of a question, newest first, once somebody wants to know them."""

        def look_up() -> Sequence[int]:
            with engine_of(self._archive) as engine:
                rows = engine.ask(f"{self._tables}SELECT DISTINCT job FROM {sql} ORDER BY job DESC", self._given | more)
            return [job for (job,) in rows]

        return look_up

    def jobs(self, count: int, sql: str, **more: object) -> LookedUp[int]:
        return LookedUp(count, self.later(sql, **more))

    def apart(self, state: str) -> LookedUp[int]:
        held = f"causes AS c WHERE c.code = :code AND c.state = '{state}'"
        if self._sub:
            held += " AND c.sub = :sub"
        elif state == "declined":
            held += " AND NOT EXISTS (SELECT 1 FROM done AS d WHERE d.job = c.job)"
        ((count,),) = self.rows(f"SELECT count(DISTINCT c.job) FROM {held}")
        return self.jobs(count, f"(SELECT c.job AS job FROM {held}) AS e")

    def come_backs(self, count: int) -> LookedUp[ComeBack]:
        def look_up() -> Sequence[ComeBack]:
            with engine_of(self._archive) as engine:
                sql = "SELECT DISTINCT job, back_days FROM done WHERE back_days <= :most ORDER BY job DESC"
                rows = engine.ask(self._tables + sql, self._given)
            return [ComeBack(job, 0, days) for job, days in rows]

        return LookedUp(count, look_up)

    def tallies(self, table: str) -> list[Tally]:
        """Those that state one thing, each."""
        stated = f"FROM {table} WHERE said <> ''"
        texts: dict[str, dict[str, tuple[int, int]]] = defaultdict(dict)
        followed: dict[str, Counter[int]] = defaultdict(Counter)
        hours: dict[str, Counter[float]] = defaultdict(Counter)
        for said, text, days, billed, count, job in self.rows(
            f"SELECT said, text, followed, hours, count(*), max(job) {stated} GROUP BY said, text, followed, hours"
        ):
            often, newest = texts[said].get(text, (0, 0))
            texts[said][text] = often + count, max(newest, job)
            followed[said][days] += count
            if billed:
                hours[said][billed] += count
        parts: dict[str, list[str]] = defaultdict(list)
        for said, part in self.rows(
            "SELECT said, part FROM (SELECT said, part, row_number() OVER (PARTITION BY said ORDER BY often DESC,"
            f" newest DESC) AS place FROM (SELECT said, part, count(*) AS often, max(job) AS newest {stated}"
            f" AND part <> '' GROUP BY said, part) AS g) AS p WHERE place <= {PARTS} ORDER BY said, place"
        ):
            parts[said].append(part)
        return [
            Tally(
                max(worded, key=worded.__getitem__),
                self.jobs(followed[said].total(), f"{table} WHERE said = :said", said=said),
                -max(newest for _, newest in worded.values()),
                self.jobs(_back(followed[said]), f"{table} WHERE said = :said AND back_days <= :most", said=said),
                followed[said],
                {},
                hours[said],
                tuple(parts[said]),
            )
            for said, worded in sorted(texts.items())  # engines do not agree on the order of equals
        ]


_UNSTATED = "SELECT count(*) FROM done WHERE said = ''"  # the one row of a job that states no cause


def _back(followed: Mapping[int, int]) -> int:
    return sum(count for twice, count in followed.items() if twice & 1)


def count_archived(archive: str | Path, code: str, sub: str, window: Window, *, fixes: bool = True) -> Counted:
    """What jobs of an archive state beside a code, as :func:`ticket.past.job_tallies.count_jobs` has it of a shop.

    A number may stand in several shops, so each job is named by its key in the archive. Of distances it holds none.

    Args:
        archive: its folder, or the address of a server that holds it.
        code: in the notation searches use.
        sub: its sub-code; empty for any.
        window: when a job counts as having come back.
        fixes: count what put them right too.
    """
    with engine_of(archive) as engine:
        asked = _Asked(archive, engine, code, sub, window)
        followed: dict[int, int] = dict(
            asked.rows("SELECT followed, count(*) FROM done WHERE lead = 1 GROUP BY followed")
        )
        whole = sum(followed.values())
        unknown = "done WHERE job NOT IN (SELECT job FROM done WHERE said <> '')"
        ((unstated,),) = asked.rows(f"SELECT count(DISTINCT job) FROM {unknown}" if not sub else _UNSTATED)
        return Counted(
            Tally("", asked.jobs(whole, "done"), 0, (), followed),
            asked.tallies("done"),
            asked.tallies("worked") if fixes else (),
            asked.jobs(unstated, unknown),
            asked.come_backs(_back(followed)),
            asked.apart("declined"),
            asked.apart("open"),
        )
