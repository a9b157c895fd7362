"""Signing in spite of an open question: the reason is typed, journaled, and visible afterwards."""

from functools import partial
from pathlib import Path

import pytest
from textual.widgets import Input

from support.clock import Clock
from ticket.job.errors import ConflictError
from ticket.screens.app import TicketApp
from ticket.screens.page import Page
from ticket.screens.sign_screen import SignScreen
from ticket.screens.ticket_screen import TicketScreen
from ticket.shop.changing import add_lines, new_ticket, sign_ticket
from ticket.shop.opening import Shop
from ticket.shop.papers import paper
from ticket.shop.reading import open_gaps, ticket_of, unanswered

REASON = "walked in, [/x] no papers"


async def test_a_reason_for_each_open_question_signs_it_and_stays_visible(database: Path) -> None:
    with Shop.open(database, "K. Orlo", now=Clock()) as shop:
        number = new_ticket(shop)
        add_lines(shop, number, "says: horn is silent\nfound: horn fuse good")
        blocking = {gap.id: gap for gap in open_gaps(shop, number) if gap.level == "blocking"}
        assert blocking, "a ticket without a vehicle is asked about"
    app = TicketApp(database, partial(Shop.open, database, "K. Orlo", now=Clock()))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause(0.3)
        app.open_ticket(number)
        await pilot.pause()
        await pilot.press("f12")
        await pilot.pause()
        assert isinstance(app.screen, TicketScreen), "the first time it only says what stands in the way"
        await pilot.press("f12")
        await pilot.pause()
        assert isinstance(app.screen, SignScreen)
        assert {field.id for field in app.screen.query(Input)} == {f"why-{gap_id}" for gap_id in blocking}
        await pilot.press("f12")
        await pilot.pause()
        assert not ticket_of(app.shop, number).seal, "without a reason nothing is signed"
        for field in app.screen.query(Input):
            field.value = REASON
        await pilot.press("f12")
        await pilot.pause()
        assert ticket_of(app.shop, number).seal
        assert {item.gap: (item.reason, item.by) for item in app.shop.store.overruled(number)} == dict.fromkeys(
            blocking, (REASON, "K. Orlo")
        )
        shown: object = app.screen
        assert isinstance(shown, TicketScreen)
        text = " ".join(" ".join(row.text for row in shown.query_one("#page", Page).rows).split())
        assert f"Signed in spite of it: {REASON} (K. Orlo)." in text
        copy = paper(app.shop, number, "shop", "text")
        assert isinstance(copy, str)
        assert f"Signed in spite of it: {REASON} (K. Orlo)." in " ".join(copy.split())
        assert app.shop.store.audit(deep=True).ok
        app.close_shop()


async def test_a_running_clock_is_asked_about_before_signing_and_a_signed_ticket_is_not_signed_again(
    database: Path,
) -> None:
    with Shop.open(database, "K. Orlo", now=Clock()) as shop:
        number = new_ticket(shop)
        add_lines(shop, number, "says: horn is silent\ndid: 0.4 h clean horn plug; clock 8:40-8:40")
        assert "clock-backwards" not in {gap.id for gap in open_gaps(shop, number)}, "no mistake while the work goes on"
        assert "clock-backwards" in {gap.id for gap in unanswered(shop, number)}
        with pytest.raises(ConflictError, match="clock of 8:40 still runs"):
            sign_ticket(shop, number, overruled={gap.id: REASON for gap in open_gaps(shop, number)})
        reasons = {gap.id: REASON for gap in unanswered(shop, number)}
        sign_ticket(shop, number, overruled=reasons)
    app = TicketApp(database, partial(Shop.open, database, "K. Orlo", now=Clock()))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await pilot.pause(0.3)
        app.open_ticket(number)
        await pilot.pause()
        await pilot.press("f12", "f12")
        await pilot.pause()
        assert isinstance(app.screen, TicketScreen), "what is signed is not read once more for signing"
        app.close_shop()
