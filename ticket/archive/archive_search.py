"""Questions to an archive: the same searches and counts as of one shop, as plain SQL over its search file."""

# ruff: noqa: S608 - the SQL is made of constants of this room; what was typed is bound

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from ticket.archive.engines import engine_of
from ticket.archive.search_file import DAY_SHIFT, as_asked, words
from ticket.job.errors import InputError
from ticket.job.text import fold
from ticket.store.asked import WORD_FIELDS, Clause, Query, Term

Given = dict[str, object]
_EPOCH = date(1970, 1, 1)
_LAST = "\U0010ffff"  # sorts behind every sign of a word, by bytes as by signs
_SHOWN = ", ".join(
    f"j.{name}" for name in "shop number opened label state total over hours codes causes work techs".split()
)


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


def find(archive: str | Path, query: Query) -> tuple[int, list[ArchivedJob]]:
    """How many jobs of an archive fit, and some of them, newest first.

    Raises:
        InputError: the query asks what the archive does not hold, such as a plate.
    """
    held, given = _held(query)
    page = "(SELECT f.job FROM f ORDER BY f.job DESC LIMIT :most OFFSET :skipped) AS k JOIN jobs AS j ON j.job = k.job"
    found, all_of_them = f"WITH f AS ({held})", "SELECT count(*) FROM f"
    # What is looked up beside the jobs is looked up once for both; a table alone is counted faster than it is kept.
    total = f"({all_of_them})" if "EXISTS" in held else "-1"
    with engine_of(archive) as engine:
        rows = engine.ask(
            f"{found} SELECT {total}, {_SHOWN} FROM {page} ORDER BY j.job DESC",
            given | {"most": max(query.limit, 0), "skipped": max(query.offset, 0)},
        )
        counted = rows[0][0] if rows else -1
        if counted < 0:
            ((counted,),) = engine.ask(f"{found} {all_of_them}", given)
    return counted, [ArchivedJob(*row[1:]) for row in rows]


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


def keys(archive: str | Path, query: Query) -> list[int]:
    """The keys of all jobs of an archive that fit. Raises :class:`InputError` as :func:`find` does."""
    held, given = _held(query)
    with engine_of(archive) as engine:
        return [key for (key,) in engine.ask(held, given)]


def drawn(archive: str | Path, chosen: Iterable[int]) -> list[DrawnJob]:
    """Some jobs of an archive by their keys, oldest first."""
    columns = "shop, number, opened, label, state, total, agreed, over"
    with engine_of(archive) as engine:
        rows = engine.ask(f"SELECT {columns} FROM jobs WHERE job IN ({_listed(chosen)}) ORDER BY job", {})
    return [DrawnJob(*row) for row in rows]


def names(archive: str | Path, jobs: Iterable[int]) -> dict[int, str]:
    """Keys of jobs as shop and number, such as ``3/2107``."""
    with engine_of(archive) as engine:
        rows = engine.ask(f"SELECT job, shop, number FROM jobs WHERE job IN ({_listed(jobs)})", {})
    return {job: f"{shop}/{number}" for job, shop, number in rows}


def _listed(jobs: Iterable[int]) -> str:
    """Keys as a list of SQL; no engine has one form of a bound list, and a number needs none."""
    return ", ".join(str(int(job)) for job in jobs) or "-1"


def _held(query: Query) -> tuple[str, Given]:
    """The keys of the jobs that fit, each once, in any order.

    A table sorted by what is asked for leads; what else must hold is looked up by the keys it gives, and the days are
    a range of them.
    """
    given: Given = {}
    sure = [clause[0] for clause in query.clauses if len(clause) == 1 and not clause[0].without]
    leading = next((term for field in _LEADS for term in sure if term.field == field and _may_lead(term)), None)
    source, held = _LEADS[leading.field](leading, given) if leading is not None else ("j.job FROM jobs AS j", "true")
    conditions = [_clause(clause, given) for clause in query.clauses if clause != (leading,)]
    if leading is not None:
        own = " JOIN jobs AS j ON j.job = k.job" if any("j." in one.replace("j.job", "") for one in conditions) else ""
        source = f"{source}{own}"
        conditions = [one.replace("j.job", "k.job") for one in conditions]
    return f"SELECT {source} WHERE {' AND '.join([held, *conditions])}", given


def _may_lead(term: Term) -> bool:
    return not term.text.endswith("*") and (term.whole if term.field == "tech" else bool(term.text))


def _by_code(term: Term, given: Given) -> tuple[str, str]:
    return "k.job FROM codes AS k", _code_is(
        term, given, "k"
    ) if term.sub else f"{_code_is(term, given, 'k')} AND k.first"


def _code_is(term: Term, given: Given, table: str) -> str:
    sub = f" AND {table}.sub = {_bind(given, as_asked(term.sub))}" if term.sub else ""
    return f"{table}.code = {_bind(given, as_asked(term.text))}{sub}"


_LEADS: Mapping[str, Callable[[Term, Given], tuple[str, str]]] = {
    "code": _by_code,
    "part": lambda term, given: ("DISTINCT k.job FROM parts AS k", _part_is(term, given, "k")),
    "tech": lambda term, given: ("k.job FROM techs AS k", f"k.tech = {_bind(given, fold(term.text))}"),
}


def _clause(clause: Clause, given: Given) -> str:
    """Any of some terms; plain words that may stand for each other are looked up in one go."""
    plain = [term for term in clause if _is_plain(term)]
    rest = [_term(term, given) for term in clause if term not in plain]
    if plain:
        listed = ", ".join(_bind(given, word) for word in dict.fromkeys(words(term.text)[0] for term in plain))
        rest.append(f"EXISTS (SELECT 1 FROM words AS w WHERE w.job = j.job AND w.word IN ({listed}))")
    return "(" + " OR ".join(rest) + ")"


def _is_plain(term: Term) -> bool:
    """A word alone, whole."""
    return term.field in WORD_FIELDS and not (term.without or term.text.endswith("*")) and len(words(term.text)) == 1


def _bind(given: Given, value: object) -> str:
    name = f"p{len(given)}x"
    given[name] = value
    return f":{name}"


def _term(term: Term, given: Given) -> str:
    sql = _condition(term, given)
    return f"NOT coalesce({sql}, false)" if term.without else sql


def _condition(term: Term, given: Given) -> str:
    if term.field in WORD_FIELDS:
        return _words(term, given)
    if term.field not in _CONDITIONS:
        raise InputError(
            f"The archive does not hold what {term.field}: asks; it keeps no customers, plates or numbers."
        )
    return _CONDITIONS[term.field](term, given)


def _since(term: Term, given: Given) -> str:
    return f"j.job >= {_bind(given, ((term.day or _EPOCH) - _EPOCH).days << DAY_SHIFT)}"


def _until(term: Term, given: Given) -> str:
    return f"j.job < {_bind(given, (((term.day or _EPOCH) - _EPOCH).days + 1) << DAY_SHIFT)}"


def _code(term: Term, given: Given) -> str:
    return f"EXISTS (SELECT 1 FROM codes AS c WHERE c.job = j.job AND {_code_is(term, given, 'c')})"


def _part(term: Term, given: Given) -> str:
    return f"EXISTS (SELECT 1 FROM parts AS p WHERE p.job = j.job AND {_part_is(term, given, 'p')})"


def _part_is(term: Term, given: Given, table: str) -> str:
    """A whole number, or one of those that hold a piece: they are few beside the parts fitted."""
    plain = _bind(given, "".join(filter(str.isalnum, term.text.upper())))
    if term.whole:
        return f"{table}.part = {plain}"
    return f"{table}.part IN (SELECT n.part FROM part_names AS n WHERE position({plain} IN n.part) > 0)"


def _tech(term: Term, given: Given) -> str:
    name = _bind(given, fold(term.text))
    held = f"x.tech = {name}" if term.whole else f"position({name} IN x.tech) > 0"
    return f"EXISTS (SELECT 1 FROM techs AS x WHERE x.job = j.job AND {held})"


def _between(term: Term, given: Given) -> str:
    ends = [(f"j.{term.field} {sign} ", end) for sign, end in ((">=", term.low), ("<=", term.high))]
    return " AND ".join(f"{left}{_bind(given, round(end))}" for left, end in ends if end is not None) or "true"


def _came_back(term: Term, given: Given) -> str:
    held = f"b.back_days <= {_bind(given, round(term.high or 0))}"
    return f"EXISTS (SELECT 1 FROM came AS b WHERE b.job = j.job AND {held})"


_CONDITIONS: Mapping[str, Callable[[Term, Given], str]] = {
    "since": _since, "until": _until, "code": _code, "part": _part, "tech": _tech, "distance": _between,
    "number": lambda term, given: f"j.number = {_bind(given, int(term.low or 0))}",
    "total": _between, "comeback": _came_back, "over": lambda _term, _given: "j.over",
    "state": lambda term, given: f"j.state = {_bind(given, term.text)}",
    "pays": lambda term, given: f"position({_bind(given, term.text)} IN j.pays) > 0",
}  # fmt: skip


def _words(term: Term, given: Given) -> str:
    """Every word of the text; whether they stand behind each other the archive does not know."""
    begins = term.text.endswith("*")
    found = []
    for word in words(term.text):
        held = f"w.word = {_bind(given, word)}"
        if begins:  # a range, which an index can answer on every engine
            held = f"w.word >= {_bind(given, word)} AND w.word < {_bind(given, word + _LAST)}"
        found.append(f"EXISTS (SELECT 1 FROM words AS w WHERE w.job = j.job AND {held})")
    return "(" + " AND ".join(found) + ")" if found else "false"
