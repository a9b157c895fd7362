"""Questions to an archive: the same searches and counts as of one shop, as plain SQL over its search file."""

# ruff: noqa: S608 - the SQL is made of constants of this room; what was typed is bound

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from ticket.archive.engine import asked, opened
from ticket.archive.search_file import DAY_SHIFT, current, words
from ticket.job.errors import InputError
from ticket.job.text import fold
from ticket.store.asked import WORD_FIELDS, Clause, Query, Term
from ticket.store.seen_jobs import FOLLOWED, Back, SeenJobs, Window, Worded

_EPOCH = date(1970, 1, 1)
_SHOWN = "shop, number, opened, label, state, total, over, hours, codes, causes, work, techs"


@dataclass(frozen=True, slots=True)
class ArchivedJob:
    """A job of the archive in a few words; fields as the columns of its search file."""

    shop: int
    number: int
    opened: int
    label: str
    state: str
    total: int | None
    over: bool
    hours: float
    codes: str
    causes: str
    work: str
    techs: str


def find(archive: Path, query: Query) -> tuple[int, list[ArchivedJob]]:
    """How many jobs of an archive fit, and some of them, newest first.

    Raises:
        InputError: the query asks what the archive does not hold, such as a plate.
    """
    where, given = _where(query)
    with opened(current(archive)) as db:
        (total,) = asked(db, f"SELECT count(*) FROM jobs AS j WHERE {where}", given)[0]
        rows = asked(
            db,
            f"SELECT {_SHOWN} FROM jobs AS j WHERE {where} ORDER BY j.job DESC LIMIT $most OFFSET $skipped",
            given | {"most": max(query.limit, 0), "skipped": max(query.offset, 0)},
        )
    return total, [ArchivedJob(*row) for row in rows]


@dataclass(frozen=True, slots=True)
class DrawnJob:
    """A job of the archive as a sample tells it; sums in cents, ``None`` where its shop had no price list."""

    shop: int
    number: int
    opened: int
    label: str
    state: str
    total: int | None
    agreed: int | None
    over: bool


def keys(archive: Path, query: Query) -> list[int]:
    """The keys of all jobs of an archive that fit. Raises :class:`InputError` as :func:`find` does."""
    where, given = _where(query)
    with opened(current(archive)) as db:
        return [key for (key,) in asked(db, f"SELECT j.job FROM jobs AS j WHERE {where}", given)]


def drawn(archive: Path, chosen: Iterable[int]) -> list[DrawnJob]:
    """Some jobs of an archive by their keys, oldest first."""
    columns = "shop, number, opened, label, state, total, agreed, over"
    with opened(current(archive)) as db:
        rows = asked(
            db,
            f"SELECT {columns} FROM jobs WHERE job IN (SELECT unnest($wanted)) ORDER BY job",
            {"wanted": list(chosen)},
        )
    return [DrawnJob(*row) for row in rows]


_THERE = {"back": "b.job", "told": "false", "days": "b.back_days", "closed": "c.closed", "per": "//"}
_CAME = "LEFT JOIN came AS b ON b.job = c.job AND b.code = c.code AND b.sub = c.sub"


def seen_jobs(archive: Path, code: str, sub: str, window: Window) -> SeenJobs:
    """What jobs of an archive state beside a code, as :func:`ticket.store.seen_jobs.seen_beside` has it of a shop.

    A number may stand in several shops, so each job is counted by its key in the archive. Of distances it holds none.
    """
    given = {**window.given, "code": code, "sub": sub}
    beside = f"c.code = $code{' AND lower(c.sub) = lower($sub)' if sub else ''}"
    done, followed = f"{beside} AND c.state = 'finished'", FOLLOWED.format(**_THERE)
    with opened(current(archive)) as db:
        finished = asked(
            db,
            f"SELECT c.job, {followed}, 0, c.hours, c.part FROM causes AS c {_CAME} WHERE {done} ORDER BY c.job DESC",
            given,
        )
        back = asked(
            db,
            f"SELECT DISTINCT c.job, 0, b.back_days, NULL FROM causes AS c {_CAME} WHERE {done} AND b.job IS NOT NULL"
            " AND b.back_days <= $most ORDER BY c.job DESC",
            given,
        )
        apart = asked(
            db,
            f"SELECT DISTINCT c.state, c.job FROM causes AS c WHERE {beside} AND c.state <> 'finished'"
            " ORDER BY c.job DESC",
            given,
        )
        causes, fixes = (
            asked(
                db,
                f"SELECT c.{key}, c.text, list(DISTINCT c.job) FROM {table} AS c WHERE {done} AND c.{key} <> ''"
                f" GROUP BY c.{key}, c.text ORDER BY max(c.job) DESC",
                given,
            )
            for table, key in (("causes", "cause"), ("fixes", "fix"))
        )
    return SeenJobs(
        finished, list(map(Worded._make, causes)), list(map(Worded._make, fixes)),
        list(map(Back._make, back)), [(state, job) for state, job in apart],
    )  # fmt: skip


def names(archive: Path, jobs: Iterable[int]) -> dict[int, str]:
    """Keys of jobs as shop and number, such as ``3/2107``."""
    wanted = list(jobs)
    with opened(current(archive)) as db:
        rows = asked(db, "SELECT job, shop, number FROM jobs WHERE job IN (SELECT unnest($wanted))", {"wanted": wanted})
    return {job: f"{shop}/{number}" for job, shop, number in rows}


def _where(query: Query) -> tuple[str, dict[str, object]]:
    given: dict[str, object] = {}
    conditions = [_clause(clause, given) for clause in query.clauses]
    return " AND ".join(conditions) or "true", given


def _clause(clause: Clause, given: dict[str, object]) -> str:
    return "(" + " OR ".join(_term(term, given) for term in clause) + ")"


def _bind(given: dict[str, object], value: object) -> str:
    name = f"p{len(given)}x"
    given[name] = value
    return f"${name}"


def _term(term: Term, given: dict[str, object]) -> str:
    sql = _condition(term, given)
    return f"NOT coalesce({sql}, false)" if term.without else sql


def _condition(term: Term, given: dict[str, object]) -> str:
    if term.field in WORD_FIELDS:
        return _words(term, given)
    if term.field not in _CONDITIONS:
        raise InputError(
            f"The archive does not hold what {term.field}: asks; it keeps no customers, plates or numbers."
        )
    return _CONDITIONS[term.field](term, given)


Given = dict[str, object]


def _since(term: Term, given: Given) -> str:
    return f"j.job >= {_bind(given, ((term.day or _EPOCH) - _EPOCH).days << DAY_SHIFT)}"


def _until(term: Term, given: Given) -> str:
    return f"j.job < {_bind(given, (((term.day or _EPOCH) - _EPOCH).days + 1) << DAY_SHIFT)}"


def _code(term: Term, given: Given) -> str:
    held = f"lower(c.code) = lower({_bind(given, term.text)})"
    held += f" AND lower(c.sub) = lower({_bind(given, term.sub)})" if term.sub else ""
    return f"EXISTS (SELECT 1 FROM codes AS c WHERE c.job = j.job AND {held})"


def _part(term: Term, given: Given) -> str:
    plain = _bind(given, "".join(filter(str.isalnum, term.text.upper())))
    held = f"p.part = {plain}" if term.whole else f"contains(p.part, {plain})"
    return f"EXISTS (SELECT 1 FROM parts AS p WHERE p.job = j.job AND {held})"


def _tech(term: Term, given: Given) -> str:
    held = f"contains(x.tech, {_bind(given, fold(term.text))})"
    return f"EXISTS (SELECT 1 FROM techs AS x WHERE x.job = j.job AND {held})"


def _between(term: Term, given: Given) -> str:
    ends = [(f"j.{term.field} {sign} ", end) for sign, end in ((">=", term.low), ("<=", term.high))]
    return " AND ".join(f"{left}{_bind(given, round(end))}" for left, end in ends if end is not None) or "true"


def _came_back(term: Term, given: Given) -> str:
    held = f"b.back_days <= {_bind(given, round(term.high or 0))}"
    return f"EXISTS (SELECT 1 FROM came AS b WHERE b.job = j.job AND {held})"


_CONDITIONS: Mapping[str, Callable[[Term, Given], str]] = {
    "since": _since, "until": _until, "code": _code, "part": _part, "tech": _tech, "distance": _between,
    "total": _between, "comeback": _came_back, "over": lambda _term, _given: "j.over",
    "state": lambda term, given: f"j.state = {_bind(given, term.text)}",
    "pays": lambda term, given: f"contains(j.pays, {_bind(given, term.text)})",
}  # fmt: skip


def _words(term: Term, given: dict[str, object]) -> str:
    """Every word of the text; whether they stand behind each other the archive does not know."""
    begins = term.text.endswith("*")
    found = []
    for word in words(term.text):
        held = f"starts_with(w.word, {_bind(given, word)})" if begins else f"w.word = {_bind(given, word)}"
        found.append(f"EXISTS (SELECT 1 FROM words AS w WHERE w.job = j.job AND {held})")
    return "(" + " AND ".join(found) + ")" if found else "false"
