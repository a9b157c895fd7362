"""What is kept of a vehicle is worked out of any tickets: an action never fails for it."""

import json
from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import settings as examples

from support.tickets import tickets
from ticket.followups.explained import thread_lines
from ticket.followups.threads import threads
from ticket.job.ticket import Header, Ticket, Vehicle
from ticket.job.values import Quantity
from ticket.shop.changing import new_ticket, set_header
from ticket.shop.opening import Shop
from ticket.shop.vehicle_rows import vehicle_rows


@pytest.mark.slow
@examples(max_examples=40, deadline=None)
@given(tickets(), tickets(), tickets())
def test_any_tickets(one: Ticket, two: Ticket, three: Ticket) -> None:
    visits = [
        replace(ticket, number=number, opened=ticket.opened + timedelta(days=90 * number))
        for number, ticket in ((7, one), (8, two), (9, three))
    ]
    rows = vehicle_rows(visits, {}, "")
    assert all(json.loads(row.looks) for row in rows.threads)
    for thread in threads(visits):
        assert list(thread_lines(thread, visits, explain=True))


def test_figures_beyond_any_instrument() -> None:
    huge = Quantity("9" * 400, "mi")
    for number, reading in enumerate(
        (huge, Quantity("-5", "mi"), Quantity("0", "mi"), Quantity("x", "mi"), Quantity("5", "psi"))
    ):
        ticket = replace(_ticket(), number=number + 1)
        made = replace(ticket, header=replace(ticket.header, odometer_in=reading))
        assert vehicle_rows([made, replace(made, number=99)], {}, "").habit is not None


def _ticket() -> Ticket:
    from support.tickets import ticket_of

    return ticket_of(["later: pads; in " + "9" * 400 + " mi", "later: oil; in 5 mi", "later: x; in 3 weeks"])


def test_a_ticket_that_is_given_its_vehicle_later_leaves_nothing_behind(shop: Shop) -> None:
    number = new_ticket(shop)
    set_header(shop, number, Header(vehicle=Vehicle("Corvane Alder", plate="FEN-204")))
    set_header(shop, number, Header(vehicle=Vehicle("Corvane Alder", plate="FEN-205")))
    assert shop.store.audit(deep=True).ok
