"""What waits on a vehicle is kept by the action that changes it; a rebuild finds the same."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from math import exp
from pathlib import Path
from random import Random

import pytest

from support.clock import Clock
from ticket.followups import priors
from ticket.job.errors import TicketError
from ticket.job.kinds import Later
from ticket.job.ticket import Customer, Header, Vehicle
from ticket.job.values import Due, Quantity, Ref
from ticket.shop.changing import add_lines, edit_entry, new_ticket, set_header, strike_entry, undo
from ticket.shop.deferred import due_items, follow_up
from ticket.shop.due_board import board_of
from ticket.shop.opening import Shop, set_setting
from ticket.shop.reading import ticket_of

DAY = date(2026, 3, 2)
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
VEHICLE = Vehicle("2019 Corvane Petrel", "", "GRN 04")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    with Shop.open(tmp_path / "shop.db", "Mo Vale", now=Clock(NOON)) as opened:
        yield opened


def visit(shop: Shop, miles: int, *lines: str, vehicle: Vehicle = VEHICLE) -> int:
    number = new_ticket(shop, Header(vehicle, Customer("Ada Fenn", "555-0134"), Quantity(f"{miles}", "mi")))
    for line in lines:
        add_lines(shop, number, line)
    return number


def states(shop: Shop) -> dict[str, str]:
    return {item.name: item.state for item in due_items(shop)}


def test_each_action_keeps_what_it_changes(shop: Shop) -> None:
    first = visit(shop, 90_000, "later: replace shaft seal; may wait; in 1500 mi", "later: read level again; in 500 mi")
    assert states(shop) == {f"{first}/1": "open", f"{first}/2": "open"}
    second = visit(shop, 90_600, f"later: for {first}/2; looked at, still waits")
    assert states(shop)[f"{first}/2"] == "looked at again"
    undo(shop, second)
    assert states(shop)[f"{first}/2"] == "open"
    add_lines(shop, second, f"later: for {first}/1; done here")
    assert f"{first}/1" not in states(shop)
    strike_entry(shop, second, 2)
    assert states(shop)[f"{first}/1"] == "open"
    follow_up(shop, first, 1, "declined")
    assert f"{first}/1" not in states(shop)
    edit_entry(shop, first, 2, Later(text="read level again", due=Due(distance=Quantity("900", "mi"))))
    (item,) = due_items(shop)
    assert (str(item.odometer), item.vehicle, item.customer, item.phone) == (
        "90,900 mi", "2019 Corvane Petrel", "Ada Fenn", "555-0134",
    )  # fmt: skip
    assert shop.store.check_index() == []


def test_a_ticket_that_turns_out_to_be_of_another_vehicle_takes_its_work_along(shop: Shop) -> None:
    first = visit(shop, 90_000, "later: replace shaft seal; in 1500 mi")
    second = visit(shop, 90_600, f"later: for {first}/1; done here", vehicle=Vehicle("", "", "OTHER 1"))
    assert states(shop) == {f"{first}/1": "open"}
    header = ticket_of(shop, second).header
    set_header(shop, second, replace(header, vehicle=VEHICLE))
    assert states(shop) == {}
    undo(shop, second)
    assert states(shop) == {f"{first}/1": "open"}
    assert shop.store.check_index() == []


def test_a_plate_without_a_number_is_of_the_vehicle_that_bears_it(shop: Shop) -> None:
    first = visit(shop, 90_000, "later: replace shaft seal; in 1500 mi")
    visit(shop, 90_600, f"later: for {first}/1; done here", vehicle=replace(VEHICLE, vin="1C9EXAMPLE0000001"))
    assert states(shop) == {}
    assert shop.store.check_index() == []


def test_the_newest_words_of_a_look_are_shown(shop: Shop) -> None:
    first = visit(shop, 90_000, "later: read level again; may wait; risk: fan may stop; in 500 mi")
    visit(shop, 90_600, f"later: read both levels again; do soon; for {first}/1; looked at, still waits; in 700 mi")
    (item,) = due_items(shop)
    assert (item.text, item.judgement, item.risk) == ("read both levels again", "do soon", "fan may stop")
    assert str(item.odometer) == "91,300 mi"
    assert [look["reading"] for look in item.looks] == ["90000 mi", "90600 mi"]


def test_a_new_date_keeps_the_distance_in_sight(shop: Shop) -> None:
    first = visit(shop, 90_000, "later: replace shaft seal; in 1500 mi")
    follow_up(shop, first, 1, "new date", day="2026-05-01")
    (item,) = due_items(shop)
    assert (item.day, str(item.odometer), item.state) == (date(2026, 5, 1), "91,500 mi", "booked")
    assert item.forecast


LINES = (
    "later: replace shaft seal; in 1500 mi", "later: read level again; in 3 weeks", "later: for {}; done here",
    "later: for {}; looked at, still waits", "did: 1 h replace shaft seal; for {}", "told: Ada Fenn by phone, no {}",
    "offer: replace shaft seal; for {}", "found: dry", "later: hose; for {}; by 2026-06-01",
)  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4))
def test_what_is_kept_is_what_a_rebuild_finds_and_what_an_open_list_shows(shop: Shop, seed: int) -> None:
    """Random actions on two vehicles, drawn anew for each number in the name of the test."""
    chance = Random(seed)
    vehicles = (VEHICLE, Vehicle("", "1C9EXAMPLE0000001", "GRN 05"))
    numbers = [visit(shop, 90_000 + i, vehicle=vehicles[i % 2]) for i in range(3)]
    board_of(shop)
    for step in range(25):
        number = chance.choice(numbers)
        try:
            what = chance.randrange(8)
            if what < 5:
                line = chance.choice(LINES)
                add_lines(shop, number, line.format(f"{chance.choice(numbers)}/{chance.randint(1, 4)}"))
            elif what == 5:
                undo(shop, number)
            elif what == 6:
                numbers.append(visit(shop, 90_000 + step * 300, vehicle=chance.choice(vehicles)))
            else:
                follow_up(shop, number, chance.randint(1, 4), chance.choice(("call", "done", "declined")))
        except TicketError:
            continue
        seen = list(board_of(shop).lines)
        with Shop.open(shop.store.path, "Ann Fell", now=Clock(NOON)) as other:
            assert board_of(other).lines == seen
    assert shop.store.check_index() == []


def test_another_zone_counts_other_days(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "UTC")
    visit(shop, 90_000, "later: replace shaft seal; in 1 month")
    set_setting(shop, "zone", "Pacific/Kiritimati")
    assert shop.store.check_index() == []
    monkeypatch.undo()


def test_a_changed_row_is_noticed_and_mended(shop: Shop) -> None:
    first = visit(shop, 90_000, "later: replace shaft seal; in 1500 mi")
    for attack in ("UPDATE thread SET state = 'gone'", "DELETE FROM habit", "UPDATE habit SET mean = 9"):
        shop.store._session.db.execute(attack)
        assert any("GRN04 differs" in line for line in shop.store.check_index()), attack
        shop.store.rebuild()
        assert shop.store.check_index() == []
    assert states(shop) == {f"{first}/1": "open"}


def test_five_mates_tell_what_one_reading_does_not(shop: Shop) -> None:
    """A fleet that drives some 118 a day: two readings each tell its median as 97, far from the average of 25.4."""
    clock = shop.now
    assert isinstance(clock, Clock)
    for i in range(5):
        vehicle = Vehicle(f"Dunmarrow {i}", "", f"FLT {i}")
        for day, miles in ((0, 10_000), (60, 10_000 + 60 * (90 + 14 * i))):
            clock.at = NOON - timedelta(days=100 - day)
            new_ticket(shop, Header(vehicle, Customer("Sandmere Coaches"), Quantity(f"{miles}", "mi")))
    clock.at = NOON
    header = Header(Vehicle("Dunmarrow 9", "", "FLT 9"), Customer("Sandmere Coaches"), Quantity("500", "mi"))
    number = new_ticket(shop, header)
    add_lines(shop, number, "later: read level again; in 3000 mi")
    (item,) = due_items(shop)
    assert "its fleet goes about 97" in item.basis
    assert item.day is not None
    assert 20 < (item.day - DAY).days < 32
    alone = new_ticket(shop, replace(header, customer=Customer("Ada Fenn"), vehicle=Vehicle("", "", "ALONE 1")))
    add_lines(shop, alone, "later: read level again; in 3000 mi")
    assert Ref(1, alone) in {Ref(one.entry, one.ticket) for one in due_items(shop)}
    assert "taken as 25 miles a day" in due_items(shop)[-1].basis


def test_the_vehicles_of_a_shop_tell_what_the_average_does_not(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """Three instead of fifty: those known for ninety days count, the one known for sixty does not."""
    monkeypatch.setattr(priors, "SHOP_LEAST", 3)
    clock = shop.now
    assert isinstance(clock, Clock)
    for i, days in enumerate((100, 100, 100, 60)):
        for ago, miles in ((days, 10_000), (0, 10_000 + days * 60)):
            clock.at = NOON - timedelta(days=ago)
            visit(shop, miles, vehicle=Vehicle("", "", f"KNOWN {i}"))
    (a_day,) = set(shop.store.waiting.rates(90, 500))
    assert len(shop.store.waiting.rates(90, 500)) == 3
    assert len(shop.store.waiting.rates(30, 500)) == 4
    clock.at = NOON
    visit(shop, 500, "later: read level again; in 3000 mi", vehicle=Vehicle("", "", "NEW 1"))
    (item,) = due_items(shop)
    assert f"the vehicles of this shop go about {exp(a_day):.0f} miles a day" in item.basis
    assert item.day == DAY + timedelta(days=int(3000 / exp(a_day)))
