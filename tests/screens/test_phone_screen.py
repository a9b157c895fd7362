"""A call with the customer: what is read aloud, what the local rules leave, one contact written by keys."""

import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest
from rich.cells import cell_len
from textual.pilot import Pilot

from support.clock import BEGIN, Clock
from support.screens_desk import flat, page_text, screen_of
from ticket.assist.phone_call import after, answered, lacks
from ticket.job.kinds import Note, Offer, Told
from ticket.job.ticket import Customer, Header, Vehicle
from ticket.money.offer_tax import offer_tax
from ticket.money.prices import Fee, Place, PriceList, Rate, TaxRate, prices_document
from ticket.screens.app import TicketApp
from ticket.screens.page import Page
from ticket.screens.phone_rows import call_rows, head_rows, if_yes, stranger_words, sum_rows
from ticket.screens.phone_screen import PhoneScreen
from ticket.screens.prompt import Prompt
from ticket.screens.ticket_screen import TicketScreen
from ticket.shop import money
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import call_about, case_of, ticket_of
from ticket.shop.settings import put
from ticket.story.build import build

LINES = """
says: no heat
found: coolant level -14 mm (-3 to 0)
cause: leaking heater hose; from 2
offer: replace heater hose; for 2; do now; est 200.00
told: Ada Fenn by phone 555-0134, yes 4; total 200.00
offer: replace thermostat [/x]; for 2; do soon; est 21.50
later: replace coolant; do soon; because coolant is 6 years old; risk: the radiator may clog; in 6 months; est 120
""".strip()


def started(shop: Shop) -> int:
    number = new_ticket(shop, Header(Vehicle("Corvane Alder"), Customer("Ada Fenn", "555-0134")))
    add_lines(shop, number, LINES)
    return number


def shown(shop: Shop, number: int, answers: dict[int, str], width: int = 76) -> str:
    about = call_about(shop, number)
    fact = Told(who="Ada Fenn", answers=answered(answers))
    would = after(about, fact, BEGIN, money.prices(shop)) if answers else None
    rows = [*call_rows(about, answers, width), *sum_rows(about, answers, would, width), *head_rows(about, width)]
    assert all(cell_len(row.text) <= width for row in rows)
    return flat(" ".join(row.text for row in rows) + (f" If yes: {if_yes(about, answers, would)}" if would else ""))


def test_of_every_entry_an_offer_is_for_one_sentence_is_read(shop: Shop) -> None:
    number = new_ticket(shop, Header(Vehicle("Corvane Alder"), Customer("Ada Fenn", "555-0134")))
    add_lines(
        shop, number,
        "says: brakes squeal\nfound: brake pad LF 2.0 mm (min 3)\nfound: battery rest voltage 11.9 V (min 12.4)\n"
        "found: wiper blade torn\noffer: replace LF brake pad, battery and wiper blade; for 2 3 4; do now; est 300",
    )  # fmt: skip
    (item,) = call_about(shop, number).items
    told = " ".join(item.lines)
    assert [word for word in ("2.0", "11.9", "torn") if word not in told] == []
    assert len(set(item.lines)) == len(item.lines), "and none twice"


def test_work_that_is_offered_is_never_read_as_done(shop: Shop) -> None:
    number = new_ticket(shop, Header(Vehicle("Corvane Alder"), Customer("Ada Fenn", "555-0134")))
    add_lines(shop, number, "says: no heat\noffer: refill coolant and bleed; est 3\noffer: bleed the brakes; est 9")
    told = " ".join(text for item in call_about(shop, number).items for text in item.lines)
    assert "bled" not in told
    assert "Bleed the brakes" in told


@pytest.mark.parametrize("line", ["A found brake pad LF 2 mm", "found: pads 2 mm", "did 1.2 h brake pads"])
async def test_an_entry_typed_into_a_call_becomes_nobodys_name(database: Path, line: str) -> None:
    async with phone(database) as (app, pilot):
        screen = screen_of(app, PhoneScreen)
        before = len(ticket_of(app.shop, screen.number).entries)
        await pilot.press("tab")
        screen.query_one(Prompt).put(line)
        await pilot.press("enter", "enter")
        await pilot.pause()
        assert "begins an entry of its own" in flat(page_text(app, "#understood"))
        assert screen.query_one(Prompt).value == line, "nothing typed is lost"
        assert len(ticket_of(app.shop, screen.number).entries) == before


@pytest.mark.parametrize("width", [48, 80, 120])
def test_each_open_item_is_read_with_one_figure_its_risk_and_its_price(shop: Shop, width: int) -> None:
    number = started(shop)
    text = shown(shop, number, {}, width)
    aloud = flat(" ".join(row.text[: width - 14] for row in call_rows(call_about(shop, number), {}, width)))
    assert "Replace thermostat [/x]" in aloud
    assert "14 mm below its mark" in aloud
    assert " 21.50" in text
    assert "no tax" in text, "the head of the sums says what they are: this shop charges none"
    assert "Risk: The radiator may clog." in aloud
    assert "most urgent" not in text, "what is said of the whole list is not read with each item"
    assert "4 We offer" not in text, "what has its yes is not asked about again"
    assert "not heard from you" not in text
    story = build(replace(case_of(shop, number), on_call=True))
    told = {sentence.text for section in story.sections for sentence in section.sentences}
    for item in call_about(shop, number).items:
        assert set(item.lines) <= told, "nothing is said that the customer's own story does not tell"


# Fla. Stat. 559.909(1)(b): above $100 and up to $500 more than 10 per cent over the estimate needs consent again;
# N.Y. Veh. & Traf. Law 398-d(2): nothing above the estimate without it.
@pytest.mark.parametrize(("rules", "room"), [("US-FL", "220.00"), ("US-NY", "200.00")])
def test_the_room_left_is_the_one_of_the_local_rule_with_its_citation(shop: Shop, rules: str, room: str) -> None:
    number = started(shop)
    put(shop, "setting/rules", rules)
    text = shown(shop, number, {})
    assert "may be added unasked" in text
    assert f" {room} " in text
    assert ("559.909" if rules == "US-FL" else "398-d") in text
    assert "Not legal advice" in text


def test_a_yes_shows_the_new_total_and_a_price_that_is_missing_is_asked_for(shop: Shop) -> None:
    number = started(shop)
    assert "If yes: $221.50; our price list names no tax" in shown(shop, number, {6: "yes"})
    assert "If yes: $341.50; our price list names no tax" in shown(shop, number, {6: "yes", 7: "yes"})
    add_lines(shop, number, "offer: clean air intake")
    assert "must be named: entry 8 has no price" in shown(shop, number, {8: "yes"})


def test_the_tax_of_an_offer_is_told_apart_only_where_its_parts_make_its_price(shop: Shop) -> None:
    # Rule of three: 100.00 of parts at 7 per cent are 7.00; labour is not taxed here, so 80.00 + 107.00 = 187.00.
    place = Place(name="Sandmere", taxes=(TaxRate(name="sales tax", percent="7", on=("part",)),))
    prices = PriceList(rates=(Rate(name="bay", price="80"),), places=(place,), place="Sandmere")
    ticket = ticket_of(shop, started(shop))
    offer = Offer(text="replace hose", hours="1", parts="100.00", estimate="187.00")
    assert offer_tax(offer, 18700, ticket, prices) == 700
    assert offer_tax(offer, 19000, ticket, prices) is None
    assert offer_tax(replace(offer, hours="", parts=""), 18700, ticket, prices) is None
    assert offer_tax(offer, 18000, ticket, replace(prices, quotes="before tax")) == 700
    assert offer_tax(offer, 18700, ticket, PriceList()) == 0


def test_sums_before_tax_are_told_with_it_too_as_on_the_estimate(shop: Shop) -> None:
    # Rule of three: 7 per cent of 100.00 are 7.00, of 50.00 are 3.50; labour is not taxed here. 180 + 50 = 230.00.
    place = Place(name="Sandmere", taxes=(TaxRate(name="sales tax", percent="7", on=("part",)),))
    fee = Fee(name="rags", charge="supplies", amount="2.00")
    prices = PriceList(rates=(Rate(name="bay", price="80"),), places=(place,), place="Sandmere", fees=(fee,))
    money.set_prices(shop, json.dumps(prices_document(prices)))
    header = Header(Vehicle("Corvane Alder"), Customer("Ada Fenn", "555-0134"), sums_told="before tax")
    number = new_ticket(shop, header)
    add_lines(shop, number, "offer: hose; hours 1; parts 100\ntold: Ada Fenn by phone 555-0134, yes 1; total 180")
    add_lines(shop, number, "offer: plug; parts 50")
    text = shown(shop, number, {3: "yes"})
    assert "agreed with these answers with tax 240.50 230.00" in text
    assert "If yes: $230.00 before tax; $3.50 tax comes on top" in text
    assert "with tax 187.00 180.00" in shown(shop, number, {3: "no"})


def test_the_form_asks_what_the_rule_wants_and_says_what_is_missing(shop: Shop) -> None:
    number = started(shop)
    put(shop, "setting/rules", "US-CA")
    about, prices, pack = call_about(shop, number), money.prices(shop), money.pack(shop)
    # The customer has said yes before, so this is extra work. Bus. & Prof. Code 9884.9(a): date, time, name of the
    # person authorising and the number called, if any.
    assert {"date", "time", "who authorised", "number or address"} <= set(about.asked)
    fact = Told(who="Ada Fenn", way="phone", answers=answered({6: "yes"}))
    assert [fault.missing for fault in lacks(about, fact, BEGIN, prices, pack)] == ["number or address"]
    assert lacks(about, replace(fact, address="555-0134"), BEGIN, prices, pack) == ()
    assert lacks(about, replace(fact, answers=answered({6: "no"})), BEGIN, prices, pack) == ()


@asynccontextmanager
async def phone(database: Path, size: tuple[int, int] = (80, 24)) -> AsyncIterator[tuple[TicketApp, Pilot[int]]]:
    with Shop.open(database, "K. Orlo", now=Clock()) as shop:
        number = started(shop)
    app = TicketApp(database, partial(Shop.open, database, "K. Orlo", now=Clock()))
    async with app.run_test(size=size, notifications=True) as pilot:
        await pilot.pause(0.3)
        app.open_ticket(number)
        await pilot.pause()
        await pilot.press("alt+c")
        await pilot.pause()
        assert isinstance(app.screen, PhoneScreen)
        yield app, pilot
        app.close_shop()


def test_the_first_yes_is_held_against_what_the_form_asks(shop: Shop) -> None:
    number = new_ticket(shop, Header(Vehicle("Corvane Alder"), Customer("Ada Fenn", "555-0134")))
    add_lines(shop, number, "offer: replace thermostat; est 21.50")
    for rules in money.packs(shop):
        put(shop, "setting/rules", rules)
        about, prices, pack = call_about(shop, number), money.prices(shop), money.pack(shop)
        fact = Told(who="Ada Fenn", way="phone", address="555-0134", total="21.50", answers=answered({1: "yes"}))
        missing = {fault.missing for fault in lacks(about, fact, BEGIN, prices, pack)}
        assert not missing & set(about.asked), f"{rules}: all that is asked has a field or stamps itself"


def test_somebody_else_saying_yes_is_told_the_rule(shop: Shop) -> None:
    about = call_about(shop, started(shop))
    assert stranger_words(about, "ada fenn") == ""
    assert "named them in writing" in stranger_words(about, "Zed Quillan")


def line(app: TicketApp) -> str:
    return app.screen.query_one(Prompt).value


async def test_two_keys_and_one_contact_that_the_line_showed_before(database: Path) -> None:
    async with phone(database) as (app, pilot):
        await pilot.press("y", "down", "t")
        await pilot.pause()
        assert line(app) == "Ada Fenn by phone 555-0134, yes 6; thinks 7; total 221.50"
        assert "agreed with these answers 221.50" in flat(page_text(app, "#sums"))
        assert "✓ yes" in page_text(app), "the answer stands beside what was read"
        before = len(ticket_of(app.shop, 1).entries)
        await pilot.press("enter")
        await pilot.pause()
        left: object = app.screen
        assert isinstance(left, TicketScreen), "the call is over: what is typed next belongs to the ticket"
        entries = ticket_of(app.shop, 1).entries
        assert len(entries) == before + 1
        assert left.query_one("#page", Page).key == entries[-1].no, "the pointer stands on what was written"
        fact = entries[-1].fact
        assert isinstance(fact, Told)
        assert [(one.answer, [ref.no for ref in one.to]) for one in fact.answers] == [("yes", [6]), ("thinks", [7])]
        assert (fact.who, fact.way, fact.address, fact.total) == ("Ada Fenn", "phone", "555-0134", "221.50")
        assert fact.at == f"{entries[-1].at:%H}:{fact.at[3:]}"


async def test_the_line_takes_corrections_and_the_answers_follow_it(database: Path) -> None:
    async with phone(database) as (app, pilot):
        await pilot.press("y", "tab")
        app.screen.query_one(Prompt).put("Ada Fenn by phone, yes 6; total 221.50")
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, PhoneScreen), "the neutral rules want the number that was called"
        assert "number or address" in flat(page_text(app, "#understood"))
        app.screen.query_one(Prompt).put("Zed Fenn by text message 555-0177, yes 6, no 7; calls back [/b]; total 230")
        await pilot.pause()
        assert screen_of(app, PhoneScreen).answers == {6: "yes", 7: "no"}, "what is typed marks the items"
        await pilot.press("tab", "t")
        await pilot.pause()
        assert "thinks 6; no 7" in flat(line(app)), "a key on an item goes into the line, the rest stays as typed"
        assert "Zed Fenn by text message 555-0177" in line(app)
        await pilot.press("y", "enter")
        await pilot.pause()
        fact = ticket_of(app.shop, 1).entries[-1].fact
        assert isinstance(fact, Told)
        assert (fact.who, fact.way, fact.address, fact.total) == ("Zed Fenn", "text message", "555-0177", "230")
        assert "[/b]" in fact.words


async def test_what_has_no_answer_yet_is_said_and_stays_open(database: Path) -> None:
    async with phone(database) as (app, pilot):
        assert "Mark an answer" in page_text(app, "#understood")
        await pilot.press("y")
        await pilot.pause()
        assert "7 has no answer yet. Enter writes the call all the same; 7 stays open." in flat(
            page_text(app, "#understood")
        )
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert "not written yet" in page_text(app, "#hints")


async def test_nobody_reached_is_one_key_and_agrees_to_nothing(database: Path) -> None:
    async with phone(database) as (app, pilot):
        await pilot.press("v")
        await pilot.pause()
        assert line(app) == "Ada Fenn by phone 555-0134, left message 6 7", "no sum is asked where nobody answered"
        await pilot.press("enter")
        await pilot.pause()
        fact = ticket_of(app.shop, 1).entries[-1].fact
        assert isinstance(fact, Told)
        assert [one.answer for one in fact.answers] == ["left message"]
        assert call_about(app.shop, 1).approved == 20000
        await pilot.press(*"note: yes, try again at noon", "enter")
        await pilot.pause()
        assert ticket_of(app.shop, 1).entries[-1].fact == Note(text="yes, try again at noon"), "no letter was an answer"
        assert {item.no for item in call_about(app.shop, 1).items} == {6, 7}


async def test_escape_lets_marks_go_before_it_leaves(database: Path) -> None:
    async with phone(database, (120, 40)) as (app, pilot):
        await pilot.press("y", "y")
        await pilot.pause()
        assert line(app) == "", "the same key takes the mark away"
        await pilot.press("n", "tab", "escape", "escape")
        await pilot.pause()
        assert isinstance(app.screen, PhoneScreen)
        assert line(app) == ""
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, TicketScreen)
