"""Past jobs found as a person types, with what a list of them shows beside."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from ticket.job.errors import InputError
from ticket.job.wall import local_day
from ticket.past.counts import Counts, came_back, count
from ticket.past.query import parse_query
from ticket.shop.shop import Shop
from ticket.store.briefs import Brief
from ticket.store.search import CAP, Query

_LETTERS = 3  # a beginning of fewer letters would find everything, slowly


@dataclass(frozen=True, slots=True)
class Results:
    """What a search found.

    Attributes:
        total: how many jobs; :data:`ticket.store.search.CAP` means more than a thousand.
        jobs: newest first.
        counts: how they spread.
        came_back: the job each of them came back as.
        words: what was looked for as words, to stress where it stands.
        problem: why nothing could be looked for; empty otherwise.
    """

    total: int = 0
    jobs: tuple[Brief, ...] = ()
    counts: Counts = Counts()
    came_back: Mapping[int, int] = field(default_factory=dict)
    words: tuple[str, ...] = ()
    problem: str = ""


def live_query(text: str) -> Query:
    """What text that is still being typed looks for; its last word may be a beginning. Nothing typed: every job.

    Raises:
        InputError: a date that is none.
    """
    if not text.strip():
        return Query(limit=CAP)
    query = parse_query(text, limit=CAP)
    if query.words and text.endswith(query.words[-1]) and len(query.words[-1]) >= _LETTERS:
        query = replace(query, words=(*query.words[:-1], f"{query.words[-1]}*"))
    return query


def search(text: str, shop: Shop, *, but: int = 0) -> Results:
    """Past and open jobs that fit a typed query, newest first, with their counts and come-backs.

    Args:
        text: the query as far as it is typed.
        shop: the open shop.
        but: the ticket in hand, which is no past job of itself.
    """
    try:
        query = live_query(text)
    except InputError as error:
        return Results(problem=str(error))
    found = shop.store.find(query)
    numbers = [number for number in found.numbers if number != but]
    jobs = shop.store.briefs(numbers)
    others = shop.store.of_vehicles(job.number for job in jobs if job.codes and job.work)
    visits = [*jobs, *shop.store.briefs(others - set(numbers))]
    return Results(
        total=found.total - (len(found.numbers) - len(numbers)),
        jobs=tuple(jobs),
        counts=count(jobs, [local_day(job.opened) for job in jobs]),
        came_back=came_back(jobs, visits, shop.settings.comeback_days),
        words=tuple(word.rstrip("*") for word in query.words),
    )
