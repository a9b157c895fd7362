"""The second pane of a ticket: what jobs with its code turned out to be, on one scale, and the pointed picture."""

from datetime import date
from io import BytesIO
from pathlib import Path

from PIL import Image
from test_whole_job import desk

from support.clock import BEGIN
from support.screens_desk import page_text, screen_of, until
from ticket.grid.range_chart import range_chart, scale
from ticket.job.case import Case, Settings
from ticket.job.ticket import Header, Ticket
from ticket.machine.picture_shades import shades
from ticket.past.job_tallies import ComeBack
from ticket.past.turned_out import Outcome, TurnedOut
from ticket.screens.page import Page
from ticket.screens.ticket_pane import pane_rows
from ticket.screens.ticket_screen import TicketScreen
from ticket.screens.ticket_view import TicketView
from ticket.shop.changing import add_lines, new_ticket


def drawn(low: float, best: float, high: float, width: int) -> str:
    return "".join(span.text for span in range_chart(low, best, high, width))


def test_a_range_stands_on_one_scale_with_its_best_value_in_it() -> None:
    assert drawn(0.25, 0.5, 0.75, 13) == "···├──●──┤···"
    assert drawn(0, 0, 0.3, 11) == "●──┤·······"
    assert drawn(0, 1, 1, 11) == "├─────────●"
    assert drawn(1, 1, 1, 5) == "····●"
    for low, best, high in ((0.1, 0.2, 0.9), (0.64, 0.64, 0.65), (0, 0.01, 1)):
        line = drawn(low, best, high, 24)
        assert len(line) == 24
        assert line.count("●") == 1
    assert len(scale(24)) == 24


def test_the_widest_dark_square_is_dark_and_the_light_one_light() -> None:
    image = Image.new("L", (40, 40), 0)
    image.paste(255, (0, 0, 20, 40))
    data = BytesIO()
    image.save(data, "PNG")
    lines = shades(data.getvalue(), 20, 20)
    assert {len(line) for line in lines} == {20}
    assert len(lines) == 10, "a cell is twice as high as wide"
    assert lines[3][2] == "█", "light is ink on a dark ground"
    assert lines[3][17] == " "
    assert shades(data.getvalue(), 20, 20, light=True)[3][2] == " "


def view(found: TurnedOut) -> TicketView:
    case = Case(Ticket(7, BEGIN, header=Header()), Settings(), date(2026, 3, 2))
    return TicketView(case, (), (), (found,))


def test_few_jobs_are_a_fraction_and_more_a_range() -> None:
    seal, valve = (
        Outcome("shaft seal passes", tuple(range(9)), share=(0.39, 0.84)),
        Outcome("control valve sticks in the cold", (10, 11, 12)),
    )
    back = (ComeBack(1, 20, 30),)
    found = TurnedOut("P1A30", "7B", True, tuple(range(14)), (seal, valve), came_back=back)
    text = [row.text.rstrip() for row in pane_rows(view(found), 44, 20)]
    assert text[0] == "P1A30-7B before  14 finished jobs"
    assert text[1].startswith("shaft seal passes      9  ·")
    assert "●" in text[1]
    assert text[2].startswith("control valve stick…   3  ")
    assert "1 came back" in text[3]
    few = TurnedOut("P1A30", "7B", True, (1, 2, 3), (Outcome("shaft seal passes", (1, 2)),))
    text = [row.text.rstrip() for row in pane_rows(view(few), 44, 20)]
    assert text[1] == "shaft seal passes  2 of 3"


async def test_the_picture_of_the_pointed_entry_stands_in_the_pane(database: Path, tmp_path: Path) -> None:
    file = tmp_path / "wet.png"
    image = Image.new("RGB", (60, 40), "black")
    image.paste((255, 255, 255), (0, 0, 30, 40))
    image.save(file)
    async with desk(database, (120, 40)) as (app, pilot):
        number = new_ticket(app.shop)
        add_lines(app.shop, number, f"says: fan roars\nfound: hub wet\nphoto: {file}; wet hub; for 2; before")
        app.open_ticket(number)
        await pilot.pause()
        screen = screen_of(app, TicketScreen)
        page = screen.query_one("#page", Page)
        page.choose(1)
        await pilot.pause()
        assert "Picture" not in page_text(app, "#story")
        page.choose(2)
        await until(pilot, lambda: "█" in page_text(app, "#story"))
        assert "Picture" in page_text(app, "#story"), "a picture for an entry stands beside it too"
