"""Past jobs: found as a person types, counted, what a code turned out to be, and a vehicle that has just come in."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import TYPE_CHECKING

from ticket.faults.written import leading
from ticket.job.errors import InputError
from ticket.job.kinds import Cause, Code, Did, Found, Later, Says
from ticket.job.likeness import content_words
from ticket.job.text import fold
from ticket.job.ticket import Customer, Ticket, Vehicle
from ticket.job.values import Quantity, Ref
from ticket.job.wall import local_day
from ticket.past.alike import Alike
from ticket.past.counts import Counts, count
from ticket.past.job_facts import codes_of
from ticket.past.query import Here, QueryFault, parse_query
from ticket.past.similar import Near, Told, nearest
from ticket.past.word_forms import forms
from ticket.shop.code_history import (
    Within,
    alike,
    asked,
    before,
    call_one,
    here,
    next_for,
    pairs_to_ask,
    refuse_names,
    said_before,
    tell_apart,
    what_it_was,
)
from ticket.shop.found_nothing import search_remarks
from ticket.shop.kept_settings import SYNONYMS
from ticket.shop.masking import Mask
from ticket.shop.opening import Shop
from ticket.shop.readable import readable
from ticket.store.asked import WORD_FIELDS, Query
from ticket.store.briefs import Brief
from ticket.store.erasable import MASK
from ticket.store.search import FoundTickets

if TYPE_CHECKING:
    from ticket.papers.sheet import Sheet
    from ticket.past.drawn_sample import Sample
    from ticket.store.index import EntryRows
    from ticket.store.index_rows import JobRow

__all__ = [
    "Known",
    "Results",
    "Visit",
    "Within",
    "asked_code",
    "audit_sample",
    "before",
    "call_one",
    "find_jobs",
    "kept_of",
    "known_vehicle",
    "next_for",
    "pairs_to_ask",
    "said_before",
    "sample_paper",
    "search",
    "search_remarks",
    "similar_to",
    "spread",
    "tell_apart",
    "what_it_was",
    "without_customers",
]  # fmt: skip

LIVE = Here(limit=1000)
"""What is shown while somebody types."""
_LETTERS = 3  # a beginning of fewer letters would find everything, slowly


_CANDIDATES = 200  # jobs whose words are compared letter by letter
_LOOKED_AT = 20  # earlier visits that are read


@dataclass(frozen=True, slots=True)
class Results:
    """What a search found.

    Attributes:
        total: how many jobs fit, also where fewer are given.
        jobs: newest first.
        counts: how they spread.
        came_back: the job each of them came back as.
        words: what was looked for as words, to stress where it stands.
        problem: why nothing could be looked for; empty otherwise.
        why: why nothing was found, as far as that can be said.
    """

    total: int = 0
    jobs: tuple[Brief, ...] = ()
    counts: Counts = Counts()
    came_back: Mapping[int, int] = field(default_factory=dict)
    words: tuple[str, ...] = ()
    problem: str = ""
    why: tuple[str, ...] = ()


def live_query(text: str, by: Here = LIVE) -> Query:
    """What text that is still being typed looks for; its last word may be a beginning. Nothing typed: every job.

    Raises:
        QueryFault: what is wrong, and where.
    """
    if not text.strip():
        return Query(limit=by.limit, counted=True)
    query = replace(parse_query(text, by), counted=True)
    *clauses, last = query.clauses
    word = last[0]
    if word.field == "word" and text.endswith(word.text) and len(word.text) >= _LETTERS:
        query = replace(query, clauses=(*clauses, (*last, replace(word, text=f"{word.text}*"))))
    return query


def search(text: str, shop: Shop, *, but: int = 0) -> Results:
    """Past and open jobs that fit a typed query, newest first, with their counts and come-backs.

    Args:
        text: the query as far as it is typed.
        shop: the open shop.
        but: the ticket in hand, which is no past job of itself.
    """
    try:
        query = live_query(text, here(shop, text, LIVE.limit))
        refuse_names(shop, query, text)
    except QueryFault as fault:
        return Results(problem=str(fault))
    found = shop.store.find(query)
    numbers = [number for number in found.numbers if number != but]
    jobs = _as_seen(shop, shop.store.briefs(numbers, shop.settings.comeback_days))
    return Results(
        total=found.total - (len(found.numbers) - len(numbers)),
        jobs=tuple(jobs),
        counts=count(jobs, [local_day(job.opened) for job in jobs], alike(shop)),
        came_back={job.number: job.back for job in jobs if job.back},
        words=words_of(query),
        why=() if found.total else search_remarks(shop, text, 0),
    )


def words_of(query: Query) -> tuple[str, ...]:
    """What a query looks for as words, to stress where it stands."""
    terms = query.terms(*WORD_FIELDS)
    return tuple(dict.fromkeys(term.text.rstrip("*") for term in terms if not term.without))


def find_jobs(
    shop: Shop, typed: str, *, limit: int | None = 50, offset: int = 0, best: bool = False
) -> tuple[FoundTickets, tuple[Brief, ...]]:  # fmt: skip
    """Past and open jobs that fit a query, newest or best first.

    Args:
        shop: the open shop.
        typed: the query.
        limit: how many jobs; ``None`` for all that fit.
        offset: how many to leave out before them.
        best: those whose words fit best first.

    Raises:
        QueryFault: what is wrong with it, and where.
    """
    query = replace(asked(shop, typed), offset=offset, best=best, counted=True)
    query = query.without_limit() if limit is None else replace(query, limit=limit)
    found = shop.store.find(query)
    jobs = {job.number: job for job in _as_seen(shop, shop.store.briefs(found.numbers, shop.settings.comeback_days))}
    if left := [number for number in found.numbers if number not in jobs]:
        tuple(readable(shop, left))  # notes which cannot be read
    return found, tuple(jobs[number] for number in found.numbers if number in jobs)


def spread(shop: Shop, typed: str, by: str) -> list[tuple[str, int]]:
    """How the jobs that fit a query spread, most frequent first; raises as :func:`find_jobs` does."""
    shop.store.catch_up()
    query = asked(shop, typed)
    same = alike(shop)
    found = shop.store.jobs.spread(query, by, same.key if same != Alike() else None)
    if not shop.hidden or not found:
        return found
    fit = shop.store.find(query.without_limit()).numbers
    mask = Mask(*readable(replace(shop, hidden=False), fit))
    return [(mask.text(name), jobs) for name, jobs in found]


def similar_to(shop: Shop, number: int, *, most: int = 5) -> tuple[tuple[Near, ...], tuple[Brief, ...]]:
    """Past jobs that are told like a ticket, most alike first, with what they turned out to be.

    Args:
        shop: the open shop.
        number: of the ticket in hand; its complaints and findings are compared.
        most: how many.

    Raises:
        NotFoundError: there is no such ticket.
    """
    ticket = shop.store.ticket(number)
    synonyms = dict(shop.kept.pairs[SYNONYMS])
    text = " ".join(
        entry.fact.text if isinstance(entry.fact, Says) else entry.fact.what
        for entry in ticket.living
        if isinstance(entry.fact, Says | Found)
    )
    hand = Told(number, text, frozenset(codes_of(ticket)), fold(ticket.header.vehicle.label))
    words = [form for word in content_words(text) for form in (*forms(word), synonyms.get(word, ""))]
    words += [
        one for word in content_words(text) for one, other in synonyms.items() if other == synonyms.get(word, word)
    ]
    shop.store.catch_up()
    numbers = shop.store.jobs.told_alike([*words, *(code for code, _ in hand.codes)], _CANDIDATES)
    briefs = {job.number: job for job in shop.store.briefs(numbers, shop.settings.comeback_days)}
    told = [
        Told(one, said, frozenset(briefs[one].codes), model)
        for one, model, said in shop.store.jobs.told(numbers)
        if one in briefs
    ]
    near = nearest(hand, told, synonyms=synonyms, most=most)
    near = _without_names(shop, ticket, near) if shop.hidden else near
    return near, _as_seen(shop, [briefs[one.number] for one in near])


def _without_names(shop: Shop, ticket: Ticket, near: tuple[Near, ...]) -> tuple[Near, ...]:
    """Like jobs without the words they share only because customers are called alike."""
    mask = Mask(ticket, *readable(replace(shop, hidden=False), [one.number for one in near]))
    return tuple(replace(one, words=tuple(word for word in one.words if mask.text(word) == word)) for one in near)


def audit_sample(shop: Shop, typed: str, count: int, seed: str) -> "Sample":
    """Draw some of the jobs that fit a query, and look at each, as :func:`ticket.shop.sampling.sample` does."""
    from ticket.shop.sampling import sample

    return sample(shop, typed, count, seed)


def sample_paper(shop: Shop, drawn: "Sample") -> "Sheet":
    """A sample as a paper."""
    from ticket.shop.sampling import sample_sheet

    return sample_sheet(shop, drawn)


def kept_of(ticket: Ticket) -> "tuple[JobRow, EntryRows]":
    """What a shop keeps of a ticket to find and count it, but for its sums, which hang on the price list."""
    from ticket.shop.indexer import index_rows
    from ticket.shop.job_row import job_row
    from ticket.store.index import entry_rows

    return job_row(ticket, None, ""), entry_rows(ticket, index_rows)


def asked_code(text: str) -> tuple[str, str]:
    """The one code a text asks for, in any written form. Raises :class:`InputError` where it holds none, or more."""
    text = text.strip()
    code = leading(text)
    if code is None:
        raise InputError(f"{text!r} is no fault code: write it as the tool shows it, such as P0562-16.")
    name, sub, end = code
    if rest := text[end:].strip(" ,;"):
        what = "ask for one code at a time" if leading(rest) else "only a code can be asked for"
        raise InputError(f"{rest[:40]!r} behind {text[:end].strip()}: {what}; nothing was looked up.")
    return name, sub


@dataclass(frozen=True, slots=True)
class Visit:
    """One earlier visit in a few words."""

    number: int
    day: date
    odometer: Quantity | None
    words: str


@dataclass(frozen=True, slots=True)
class Known:
    """A vehicle the shop has seen.

    Attributes:
        vehicle: as written on its newest ticket.
        customer: the one of its newest ticket.
        visits: newest first.
        waiting: deferred work nothing has answered, as (ticket/entry, text).
        total: how many visits there were.
        open: number of a ticket of it that is not signed yet; 0 where there is none.
    """

    vehicle: Vehicle
    customer: Customer
    visits: tuple[Visit, ...]
    waiting: tuple[tuple[str, str], ...]
    total: int
    open: int = 0

    @property
    def last_reading(self) -> tuple[Quantity, date] | None:
        """The newest odometer reading and its day."""
        return next(((visit.odometer, visit.day) for visit in self.visits if visit.odometer), None)


def known_vehicle(shop: Shop, vin: str = "", plate: str = "") -> Known | None:
    """The vehicle with that identification number (whole, or its last 8 or 6) or plate; ``None`` for a stranger."""
    numbers = shop.store.visits(vin, plate)
    if not numbers:
        return None
    tickets = tuple(readable(shop, numbers[:_LOOKED_AT]))
    if not tickets:
        return None
    newest = tickets[0]
    header = newest.header
    vehicle = Vehicle(
        _first(ticket.header.vehicle.label for ticket in tickets),
        _first(ticket.header.vehicle.vin for ticket in tickets),
        header.vehicle.plate,
    )
    due = {(row.number, row.no) for row in shop.store.waiting.rows(numbers)}
    waiting = [
        (str(Ref(entry.no, ticket.number)), entry.fact.text)
        for ticket in tickets
        for entry in ticket.living
        if isinstance(entry.fact, Later) and (ticket.number, entry.no) in due
    ]
    still = next((ticket.number for ticket in tickets if ticket.status != "signed"), 0)
    return Known(
        vehicle, header.customer, tuple(map(_visit, tickets)), tuple(waiting), len(numbers), still
    )  # fmt: skip


def _first(texts: Iterable[str]) -> str:
    return next((text for text in texts if text), "")


def _told(ticket: Ticket) -> list[str]:
    """What a visit was about: its causes, else what was done first, else the first complaint."""
    for kind, most in ((Cause, None), (Did, 2), (Says, 1)):
        if told := [getattr(entry.fact, "text", "") for entry in ticket.of_kind(kind)][:most]:
            return told
    return []


def _visit(ticket: Ticket) -> Visit:
    facts = [entry.fact for entry in ticket.living]
    codes = dict.fromkeys(
        f"{fact.code}-{fact.sub}" if fact.sub else fact.code
        for fact in facts
        if isinstance(fact, Code) and fact.code != "none"
    )
    header = ticket.header
    words = "; ".join((*codes, *_told(ticket))) or "nothing recorded"
    return Visit(ticket.number, local_day(ticket.opened), header.odometer_out or header.odometer_in, words)


def _as_seen(shop: Shop, jobs: Iterable[Brief]) -> tuple[Brief, ...]:
    """Jobs as whoever opened the shop may see them."""
    return without_customers(shop, jobs) if shop.hidden else tuple(jobs)


def without_customers(shop: Shop, jobs: Iterable[Brief]) -> tuple[Brief, ...]:
    """Jobs as an auditor sees them; of one that cannot be read nothing is shown but its number and day."""
    jobs = tuple(jobs)
    tickets = {one.number: one for one in shop.store.tickets([job.number for job in jobs], [])}
    return tuple(
        Mask(tickets[job.number]).part(job) if job.number in tickets
        else Brief(job.number, job.status, job.opened, MASK, MASK, "")
        for job in jobs
    )  # fmt: skip
