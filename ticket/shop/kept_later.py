"""Papers of tickets that were signed before papers were kept: made once, from the shop as it stood then, and kept."""

import dataclasses
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime, time

from ticket.job.errors import TicketError
from ticket.job.ticket import Person, Ticket
from ticket.job.wall import local_day
from ticket.machine import environment
from ticket.papers.copy import copy
from ticket.papers.sheet import Paragraph, Said
from ticket.papers.sheet_record import LAYOUT, PLACE, as_record, with_note
from ticket.shop.copy_making import contents_around
from ticket.shop.kept_settings import read_kept_settings
from ticket.shop.money import account_of
from ticket.shop.opening import Shop
from ticket.shop.reading import case_around, earlier_visits
from ticket.shop.signed_papers import about, things_of
from ticket.store.kept_rows import Kept


def keep_later(shop: Shop, number: int) -> None:
    """Keep the papers of a ticket that was signed here before papers were kept; nothing is done for any other.

    From then on they are the same bytes for good. They say when they were kept: a paper that was handed out before may
    be worded otherwise. Where they cannot be kept, as on a full disk, the paper is made as before.
    """
    row = shop.store.proofs.bare_seal(number)
    if row is not None:
        with suppress(TicketError):
            shop.store.proofs.keep_later(number, row, lambda ticket: _kept(shop, ticket, row))


def _kept(shop: Shop, ticket: Ticket, row: int) -> Kept:
    with _as_it_stood(shop, row) as then:
        at = shop.store.proofs.written_at(row)
        others = earlier_visits(shop, ticket.number, [])
        known = shop.store.proofs.opened_before(row, [one.number for one in others])
        case = case_around(
            then, dataclasses.replace(ticket, seal=PLACE), [one for one in others if one.number in known]
        )
        case = dataclasses.replace(case, today=local_day(at))
        language = case.settings.language
        overruled = shop.store.overruled(ticket.number)
        payers = ("payer",) if account_of(then, ticket).terms.covers else ()
        papers = {}
        for reader in ("customer", *payers, "shop"):
            made = contents_around(then, case, reader, overruled, language=language, sources=True)
            day = made.day(datetime.combine(shop.today, time(12), UTC))
            papers[reader, language] = as_record(
                with_note(copy(made), Paragraph((Said(made.label("record.kept", day=day)),)))
            )
        return Kept(about(then, case), things_of(then), papers, LAYOUT)


@contextmanager
def _as_it_stood(shop: Shop, row: int) -> Iterator[Shop]:
    """The shop with the settings, words, rules and people of just before a row of its journal."""
    settings, people = shop.store.proofs.shop_before(row)
    kept = read_kept_settings(settings)
    try:
        environment.use_zone(kept.settings.zone)
        yield dataclasses.replace(shop, _kept=kept, _people=tuple(Person(*one) for one in people))
    finally:
        environment.use_zone(shop.settings.zone)
