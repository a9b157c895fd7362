"""Deferred work that still waits as it is shown: the day it falls due, an honest interval, whose it is and why."""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from ticket.followups.forecast import DATE, Forecast
from ticket.followups.spoken import basis_of, when
from ticket.followups.threads import merged
from ticket.job.follow import FollowUp
from ticket.job.kinds import Later
from ticket.job.numbers import exact
from ticket.job.ticket import Ticket
from ticket.job.values import Quantity, Ref
from ticket.job.wall import local_day
from ticket.shop.due_board import Line, board_of, forecast_of, habit_of, within
from ticket.shop.masking import Mask
from ticket.shop.opening import Shop
from ticket.shop.readable import readable_slim
from ticket.store.deferred_rows import Owner, ShownRow
from ticket.store.erasable import MASK
from ticket.store.partial_tickets import ALL


@dataclass(frozen=True, slots=True)
class DueItem:
    """One deferred piece of work.

    Attributes:
        ticket: where it began, with ``entry``.
        text: what waits, in its newest words; so with the other words.
        day: the calendar limit, or the day the distance is probably driven, whichever comes first.
        odometer: reading at which it is due, in the instrument's own unit.
        basis: what a forecast rests on, in words; empty where the day is a plain date.
        followed: the newest follow-up in words; empty while nobody followed it up.
        free: the estimate is nothing at all.
        state: where its thread stands, such as ``open`` or ``looked at again``.
        forecast: the day as it may be told, between two weeks; empty where the day is a plain date.
        earliest: 5 of 100 such vehicles are there before.
        latest: 5 of 100 are later; ``None`` for a vehicle that stands.
        call: the day to call.
        hours: running hours after which it is due.
        looks: the visits it was seen at, as they are printed.
        no_news: the late end has passed and nobody has seen the vehicle: ask whether it is still driven.
        widen: the shop's own factor that the interval was made with.
        plate: of the vehicle, as typed; empty where nobody said.
    """

    ticket: int
    entry: int
    text: str
    judgement: str
    because: str
    risk: str
    estimate: str
    vehicle: str
    customer: str
    phone: str
    day: date | None
    odometer: Quantity | None
    basis: str
    followed: str = ""
    free: bool = False
    state: str = "open"
    forecast: str = ""
    earliest: date | None = None
    latest: date | None = None
    call: date | None = None
    hours: str = ""
    looks: tuple[Mapping[str, Any], ...] = ()
    no_news: bool = False
    widen: float = 1.0
    watch: str = ""
    plate: str = ""

    @property
    def cost(self) -> str:
        """What it will cost in words; empty where nothing was estimated."""
        if self.free:
            return "free of charge"
        return f"about {self.estimate}" if self.estimate else ""

    @property
    def name(self) -> str:
        """Ticket and entry, as they are typed."""
        return f"{self.ticket}/{self.entry}"

    def as_json(self, today: date) -> dict[str, Any]:
        """The item as the command prints it; see ``schemas/due.json``."""
        return {
            "ticket": self.ticket,
            "entry": self.entry,
            "text": self.text,
            "judgement": self.judgement,
            "because": self.because,
            "risk": self.risk,
            "estimate": self.estimate,
            "vehicle": self.vehicle,
            "customer": self.customer,
            "phone": self.phone,
            "date": _iso(self.day),
            "odometer": str(self.odometer) if self.odometer else None,
            "overdue": self.day is not None and self.day < today,
            "basis": self.basis,
            "followed": self.followed,
            "forecast": self.forecast,
            "earliest": _iso(self.earliest),
            "latest": _iso(self.latest),
            "call": _iso(self.call),
            "hours": self.hours or None,
            "state": self.state,
            "no_news": self.no_news,
            "widen": round(self.widen, 4),
            "thread": [dict(look) for look in self.looks],
        }


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None


def due_items(
    shop: Shop, until: date | None = None, most: int | None = None, *, to_call: bool = False
) -> list[DueItem]:
    """Deferred work that nothing has settled, earliest first; items without a day come last.

    Args:
        shop: the open shop.
        until: only what falls due by this day.
        most: the first so many.
        to_call: also what should be called about by then.
    """
    board = board_of(shop)
    found = _items(shop, within(board, until, to_call=to_call)[:most], board.widen)
    return [_seen(shop, item) for item in found]


def _seen(shop: Shop, item: DueItem) -> DueItem:
    """An item as whoever opened the shop may see it."""
    if not shop.hidden:
        return item
    told = Mask(shop.store.ticket(item.ticket)).part(item)
    return replace(told, customer=MASK if item.customer else "", phone=MASK if item.phone else "")


def due_within(shop: Shop, until: date | None, most: int | None = None) -> list[DueItem]:
    """Deferred work that falls due, or is to be called about, by a day: one list for ``--within`` and the screens."""
    return due_items(shop, until, most, to_call=True)


def _items(shop: Shop, lines: Sequence[Line], widen: float) -> Iterator[DueItem]:
    refs = [Ref(line.no, line.number) for line in lines]
    shown = shop.store.waiting.shown(refs)
    owners = shop.store.waiting.owners({line.row.vehicle for line in lines})
    looks = {ref: tuple(json.loads(row.looks)) for ref, row in shown.items()}
    numbers = {line.number for line in lines} | {look["ticket"] for found in looks.values() for look in found}
    facts = _facts(readable_slim(shop, numbers, {"later": ALL}))
    words = _words(shop, numbers)
    for line, ref in zip(lines, refs, strict=True):
        fact = _standing(ref, looks.get(ref, ()), facts)
        if fact is not None and ref in shown:
            told = max((words[one] for one in _refs(ref, looks[ref]) if one in words), default=None)
            owner = owners.get(line.row.vehicle, Owner("", "", ""))
            yield _item(shop, line, fact, shown[ref], looks[ref], owner, told[1] if told else "", widen)


def _words(shop: Shop, numbers: Iterable[int]) -> dict[Ref, tuple[datetime, str]]:
    """What was recorded last of the deferred work of some tickets, with when, by the entry."""
    follows = shop.store.followed(*numbers)
    mute = [ref for ref, word in follows.items() if not word.note]
    said = shop.store.waiting.said_before(mute) if mute else {}
    return {ref: (word.at, _followed(word, said.get(ref))) for ref, word in follows.items()}


def _refs(ref: Ref, looks: Iterable[Mapping[str, Any]]) -> Iterator[Ref]:
    yield ref
    yield from (Ref(look["entry"], look["ticket"]) for look in looks)


def _facts(tickets: Iterable[Ticket]) -> dict[Ref, tuple[Later, date, Quantity | None]]:
    return {
        Ref(entry.no, ticket.number): (
            entry.fact, local_day(entry.at), ticket.header.odometer_out or ticket.header.odometer_in,
        )
        for ticket in tickets
        for entry in ticket.living
        if isinstance(entry.fact, Later)
    }  # fmt: skip


def _standing(
    ref: Ref, looks: Iterable[Mapping[str, Any]], facts: Mapping[Ref, tuple[Later, date, Quantity | None]]
) -> Later | None:
    """What waits in its newest words: as :mod:`ticket.followups.threads` reads them from whole tickets."""
    begun = facts.get(ref)
    if begun is None:
        return None
    fact = begun[0]
    for one in _refs(ref, looks):
        found = facts.get(one)
        if one != ref and found is not None and found[0].answer:
            fact = merged(fact, *found)
    return fact


def _item(
    shop: Shop, line: Line, fact: Later, row: ShownRow, looks: tuple[Mapping[str, Any], ...], owner: Owner,
    followed: str, widen: float,
) -> DueItem:  # fmt: skip
    found = forecast_of(line.row, widen, line.prior)
    return DueItem(
        ticket=line.number,
        entry=line.no,
        text=fact.text,
        judgement=fact.judgement,
        because=fact.because,
        risk=fact.risk,
        watch=fact.watch,
        estimate=f"{shop.settings.currency}{fact.estimate}" if fact.estimate else "",
        vehicle=owner.vehicle,
        customer=owner.customer,
        phone=owner.phone,
        day=found.due,
        odometer=_quantity(row.due_reading),
        basis=_basis(shop, line, row, found),
        followed=followed,
        free=exact(fact.estimate) == 0,
        state=line.row.state,
        forecast=when(found),
        earliest=found.earliest,
        latest=found.latest,
        call=found.call,
        hours=row.hours,
        looks=looks,
        no_news=found.news_due(shop.today),
        widen=widen,
        plate=owner.plate,
    )


def _basis(shop: Shop, line: Line, row: ShownRow, found: Forecast) -> str:
    known = habit_of(line.row, line.prior, row)
    if known is None or found.by_driving is None or (found.binding == DATE and not line.row.agreed):
        return ""
    prior = line.prior.said if line.prior else line.row.prior
    return basis_of(known, prior, "h" if line.row.unit == "h" else shop.settings.distance)


def _quantity(text: str) -> Quantity | None:
    number, _, unit = text.rpartition(" ")
    return Quantity(number, unit) if number else None


def _followed(word: FollowUp, before: FollowUp | None) -> str:
    """The newest word, and the one before it that said something, where the newest says nothing."""
    if before is not None:
        return f"{_followed(word, None)}; before that {_followed(before, None)}"
    what = {"call": "called", "new date": f"new date {word.date}"}.get(word.what, word.what)
    note = f": {word.note}" if word.note else ""
    return f"{what} ({local_day(word.at).isoformat()} by {word.person}){note}"
