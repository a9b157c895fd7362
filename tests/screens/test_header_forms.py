"""The two forms of a ticket's header: one order, the same names, Enter never writes, one key saves."""

from pathlib import Path

from textual.pilot import Pilot

from support.screen import screen_text
from support.screens_desk import demo_desk, flat, screen_of
from ticket.job.header_fields import CORRECTABLE, HEADER_FIELDS
from ticket.job.ticket import Customer, Header, Vehicle
from ticket.screens.app import TicketApp
from ticket.screens.form import FieldRow
from ticket.screens.header_screen import HeaderScreen
from ticket.screens.jobs_new import NewScreen
from ticket.screens.ticket_screen import TicketScreen
from ticket.shop.changing import new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of


def names(app: TicketApp) -> list[tuple[str, str]]:
    """The fields of the form on the screen: the name it is shown under, and the one it is kept under."""
    return [(row.field.title, row.field.name) for row in app.screen.query(FieldRow)]


async def opened(app: TicketApp, pilot: Pilot[int], key: str) -> list[tuple[str, str]]:
    await pilot.press(key)
    await pilot.pause()
    return names(app)


async def test_both_forms_have_one_order_and_the_same_names(database: Path, shop: Shop) -> None:
    number = new_ticket(shop)
    async with demo_desk(database, (120, 40)) as (app, pilot):
        new = await opened(app, pilot, "ctrl+n")
        await pilot.press("escape")
        app.open_ticket(number)
        await pilot.pause()
        whole = await opened(app, pilot, "ctrl+l")
        assert [field for field in whole if field in new] == new, "in the same order by the same names"
        assert [kept for _, kept in whole if kept != "status"] == list(HEADER_FIELDS)
        assert all(shown == HEADER_FIELDS[kept].title for shown, kept in whole if kept != "status")
        assert ("waits for", "status") in new


async def test_what_was_signed_wrong_is_corrected_in_the_same_form_with_a_reason(database: Path, shop: Shop) -> None:
    number = new_ticket(shop, Header(vehicle=Vehicle(plate="RKM 381"), customer=Customer("Ada Fenn")))
    shop.store.sign(number, shop.store.ticket(number).rev, shop.person)
    async with demo_desk(database, (120, 40)) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        await opened(app, pilot, "ctrl+l")
        form = screen_of(app, HeaderScreen)
        fields = [row.field.name for row in app.screen.query(FieldRow)]
        assert [name for name in fields if not form.control(name).disabled] == [*CORRECTABLE, "why"]
        await pilot.press("ctrl+s")
        assert "What was signed wrong?" in flat(screen_text(app))
        form.control("plate").put("rkm 318")
        await pilot.press("ctrl+s")
        assert "Why must it change" in flat(screen_text(app))
        await pilot.press(*"misread", "ctrl+s")
        await pilot.pause()
        ticket = ticket_of(app.shop, number)
        assert ticket.header.vehicle.plate == "RKM 318"
        assert ticket.corrections[0].reason == "misread"
        assert ", corrected" in flat(screen_text(app))
        assert app.shop.store.audit().ok


async def test_enter_never_opens_a_ticket_and_what_is_typed_behind_it_stays_in_the_form(database: Path) -> None:
    async with demo_desk(database) as (app, pilot):
        await opened(app, pilot, "ctrl+n")
        await pilot.press(*"KDE 4102", "enter", *"Corvane Alder", *["enter"] * 3, *"Ada Fenn", *["enter"] * 9)
        await pilot.pause()
        form = screen_of(app, NewScreen)
        assert app.shop.store.numbers() == []
        assert [form.typed(name) for name in ("plate", "vin", "vehicle", "customer")] == [
            "KDE 4102", "", "Corvane Alder", "Ada Fenn",
        ]  # fmt: skip
        await pilot.press("ctrl+s")
        await pilot.pause()
        ticket = ticket_of(app.shop, screen_of(app, TicketScreen).number)
        assert (ticket.header.vehicle.plate, ticket.header.vehicle.label) == ("KDE 4102", "Corvane Alder")
        assert ticket.header.customer.name == "Ada Fenn"
        assert ticket.entries == (), "no field became a finding"


async def test_enter_in_the_whole_form_goes_on_and_one_key_keeps_it(database: Path, shop: Shop) -> None:
    number = new_ticket(shop)
    async with demo_desk(database) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        await opened(app, pilot, "ctrl+l")
        await pilot.press(*"KDE 4102", "enter", *"Corvane Alder", "enter")
        await pilot.pause()
        screen_of(app, HeaderScreen)
        assert ticket_of(app.shop, number).header.vehicle.plate == "", "nothing is written yet"
        await pilot.press("ctrl+s")
        await pilot.pause()
        screen_of(app, TicketScreen)
        header = ticket_of(app.shop, number).header
        assert (header.vehicle.plate, header.vehicle.vin, header.vehicle.label) == ("KDE 4102", "", "Corvane Alder")


async def test_a_value_that_belongs_elsewhere_holds_enter_once_and_what_was_typed_is_gone_on_with(
    database: Path,
) -> None:
    async with demo_desk(database) as (app, pilot):
        await opened(app, pilot, "ctrl+n")
        form = screen_of(app, NewScreen)
        await pilot.press("down", *"112,480 km", "enter")
        assert app.focused is form.control("vehicle"), "the key that moves it works here"
        assert "Enter once more goes on" in form.answered
        await pilot.press("right")
        assert (form.typed("vehicle"), form.typed("odometer")) == ("", "112,480 km")
        await pilot.press(*"Corvane", "enter", "up", *" Alder", "enter")
        assert form.typed("vehicle") == "Corvane Alder", "coming back throws nothing away"
        await pilot.press("up", *" 20 mi", "ctrl+u", *"90,000 km", "enter", "enter")
        assert app.focused is not form.control("vehicle"), "who insists goes on"


async def test_a_number_scanned_on_the_list_with_a_second_enter_opens_nothing(database: Path) -> None:
    async with demo_desk(database) as (app, pilot):
        await pilot.press(*"Z6XCA20D4NA001482", "enter")
        await pilot.pause(0.2)
        assert screen_of(app, NewScreen).typed("vin") == "Z6XCA20D4NA001482"
        await pilot.press("enter", "enter")
        await pilot.pause()
        screen_of(app, NewScreen)
        assert app.shop.store.numbers() == []
