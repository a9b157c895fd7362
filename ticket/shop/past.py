"""Past jobs: found as a person types, counted, what a code turned out to be, and a vehicle that has just come in."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from ticket.job.errors import InputError
from ticket.job.kinds import Cause, Code, Did, Later, Says
from ticket.job.ticket import Customer, Ticket, Vehicle
from ticket.job.values import Quantity, Ref
from ticket.job.wall import local_day
from ticket.past.counts import Counts, came_back, count
from ticket.past.query import parse_query
from ticket.shop.code_history import before, call_one, next_for, pairs_to_ask, tell_apart
from ticket.shop.opening import Shop
from ticket.shop.readable import readable
from ticket.store.briefs import Brief
from ticket.store.search import CAP, FoundTickets, Query

__all__ = [
    "Known", "Results", "Visit", "asked_code", "before", "call_one", "find_jobs", "known_vehicle", "next_for",
    "pairs_to_ask", "search", "tell_apart",
]  # fmt: skip

_LETTERS = 3  # a beginning of fewer letters would find everything, slowly


_LOOKED_AT = 20  # earlier visits that are read


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


def find_jobs(shop: Shop, words: str, *, limit: int = 50) -> tuple[FoundTickets, tuple[Ticket, ...]]:
    """Past and open jobs that fit a query, newest first, with their tickets."""
    shop.store.refresh_words()
    found = shop.store.find(parse_query(words, limit=limit))
    return found, tuple(readable(shop, found.numbers))


def asked_code(text: str) -> tuple[str, str]:
    """The one code a text asks for, in any written form. Raises :class:`InputError` where it holds none."""
    codes = parse_query(text).codes
    if not codes:
        raise InputError(f"{text!r} is no fault code: write it as the tool shows it, such as P0562-16.")
    return codes[0]


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
