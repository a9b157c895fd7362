"""A customer is forgotten while another terminal has the ticket, or its header, on the screen."""

from pathlib import Path

from textual.widgets import Input

from support.clock import Clock
from ticket.job.ticket import Customer, Header, Vehicle
from ticket.screens.app import TicketApp
from ticket.screens.page import Page
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of


async def test_no_form_and_no_line_writes_the_name_again(database: Path) -> None:
    with Shop.open(database, "K. Orlo", now=Clock()) as shop:
        number = new_ticket(shop, Header(Vehicle("Corvane Petrel", "", "GRN 04"), Customer("Zelda Quimby", "555-0112")))
        add_lines(shop, number, "says: horn is silent\ntold: Zelda Quimby by phone, thinks about it")
    app = TicketApp(database, lambda: Shop.open(database, "K. Orlo", now=Clock()))
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause(0.5)
        app.open_ticket(number)
        await pilot.pause(0.2)
        await pilot.press("f3")
        await pilot.pause(0.2)
        fields = {field.id: field for field in app.screen.query(Input)}
        assert any("Zelda Quimby" in field.value for field in fields.values())
        with Shop.open(database, "Nell Ivarsen", now=Clock()) as other:
            erasing = other.store.proofs.erasing
            erasing.carry_out(erasing.plan(customer="Zelda Quimby"), "asked for", "Nell Ivarsen", set(), open_too=True)
        app.look()
        await pilot.pause(0.3)
        fields["field-odometer"].value = "58,214 mi"
        await pilot.press("ctrl+s")
        await pilot.pause(0.3)
        found = ticket_of(app.shop, number)
        assert str(found.header.odometer_in) == "58,214 mi"
        assert "Quimby" not in str(found)
        await pilot.press("escape")
        await pilot.pause(0.3)
        shown = "\n".join(row.text for page in app.screen.query(Page) for row in page.rows)
        assert "Quimby" not in shown
        assert app.fault is None
        app.close_shop()
    left = b"".join(path.read_bytes() for path in database.parent.iterdir() if path.is_file())
    assert b"Quimby" not in left
