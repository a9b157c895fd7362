"""Forms: what is typed goes where it belongs, choices are chosen, and nothing half typed is lost."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.screen import screen_text
from support.screens_desk import demo_desk, flat, screen_of, until
from ticket.assist.field_fit import DISTANCE, E_MAIL, PHONE, VEHICLE_NUMBER, misfit, sort_of
from ticket.assist.typed_header import changed_header, odometer
from ticket.job.errors import InputError
from ticket.job.header_fields import HEADER_FIELDS
from ticket.job.ticket import Header
from ticket.screens.header_screen import HeaderScreen
from ticket.screens.jobs_new import NewScreen
from ticket.screens.jobs_screen import JobsScreen
from ticket.screens.prompt import Field
from ticket.screens.ticket_screen import TicketScreen
from ticket.screens.typing_history import TypingHistory
from ticket.shop.changing import new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of


# 11111111111111111 passes the check of 49 CFR 565.15 but has no letter; 1M8GDM9AXKP042788 is its worked example.
@pytest.mark.parametrize(
    ("typed", "sort"),
    [
        ("112,480", DISTANCE), ("187k", DISTANCE), ("100214 mi", DISTANCE), ("5,120 h", DISTANCE),
        ("161000km", DISTANCE),
        ("ada@fenn.example", E_MAIL), ("555-0134", PHONE),
        ("+44 20 7946 0000", PHONE), ("(555) 010-0134", PHONE),
        ("1M8GDM9AXKP042788", VEHICLE_NUMBER), ("1m8gdm9axkp042788", VEHICLE_NUMBER),
        ("KDE 4471", ""), ("Ada Fenn", ""), ("Friday noon", ""), ("2019 Corvane Alder 2.0", ""), ("16:00", ""),
        ("2018 Brindle Marrow", ""),
        ("", ""),
    ],
)  # fmt: skip
def test_what_a_value_can_hardly_help_being(typed: str, sort: str) -> None:
    assert sort_of(typed) == sort


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("email", "112,480"), ("email", "Ada Fenn"), ("vehicle", "112,480 km"), ("customer", "ada@fenn.example"),
        ("phone", "1M8GDM9AXKP042788"), ("vin", "187k"), ("plate", "ada@fenn.example"),
        ("odometer", "ada@fenn.example"),
        ("ready-by", "100214 mi"),
    ],
)  # fmt: skip
def test_a_field_refuses_what_another_one_holds(name: str, typed: str) -> None:
    flaw = misfit(name, typed)
    assert flaw is not None
    assert name not in flaw.belongs


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("plate", "555 0134"), ("plate", "112480"), ("odometer", "112,480"), ("odometer", "187k"), ("vin", "04278812"),
        ("phone", "555-0134"), ("phone", "112480"), ("email", "ada@fenn.example"), ("ready-by", "Friday noon"),
        ("vehicle", "Dunmarrow 28 coach, 7.0 diesel"), ("customer", "Sandmere Coaches"), ("address", "4 Halm Lane"),
    ],
)  # fmt: skip
def test_what_belongs_in_a_field_is_taken(name: str, typed: str) -> None:
    assert misfit(name, typed) is None


@given(st.integers(1, 999_999), st.sampled_from(["mi", "km", "h"]))
def test_every_reading_with_a_unit_fits_the_odometer_and_no_other_field(number: int, unit: str) -> None:
    typed = f"{number:,} {unit}"
    assert odometer(typed, "km") is not None
    assert misfit("odometer", typed) is None
    assert all(misfit(name, typed) for name in ("plate", "vehicle", "vin", "customer", "phone", "email"))


@given(st.text(max_size=40), st.sampled_from(sorted(HEADER_FIELDS)))
def test_any_text_is_judged(text: str, name: str) -> None:
    flaw = misfit(name, text)
    assert flaw is None or flaw.why


@given(st.lists(st.text(max_size=12), max_size=12))
def test_typing_can_be_taken_back_to_the_empty_line_and_done_again(texts: list[str]) -> None:
    history, now = TypingHistory(), ""
    for text in texts:
        if text != now:
            history.changed(now, text)
            now = text
    end = now
    while (before := history.back(now)) is not None:
        now = before
    assert now == ""
    while (behind := history.again(now)) is not None:
        now = behind
    assert now == end


async def test_a_distance_in_the_e_mail_is_refused_by_name_and_moved_by_one_key(database: Path) -> None:
    async with demo_desk(database) as (app, pilot):
        await pilot.press("ctrl+n")
        await pilot.pause()
        form = screen_of(app, NewScreen)
        form.control("email").put("ada@fenn.example")
        form.set_focus(form.control("email"))
        await pilot.press(*"112,480")
        await pilot.pause()
        assert "a distance, not an e-mail" in screen_text(app)
        assert "Right" not in screen_text(app)
        assert "→ moves it to odometer in" in flat(screen_text(app))
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert screen_of(app, NewScreen) is form, "nothing is written while a value stands where it cannot belong"
        assert app.shop.store.numbers() == []
        await pilot.press("right")
        await pilot.pause()
        assert (form.typed("email"), form.typed("odometer")) == ("ada@fenn.example", "112,480"), "nothing is lost"
        assert "112,480 stands in odometer in now" in form.answered
        assert "112,480 mi" in flat(screen_text(app)), "what was read stands beside the field"
        await pilot.press("ctrl+s")
        await pilot.pause()
        header = ticket_of(app.shop, screen_of(app, TicketScreen).number).header
        assert (header.customer.email, str(header.odometer_in)) == ("ada@fenn.example", "112,480 mi")


async def test_a_choice_takes_no_text_and_shows_all_its_values(database: Path, shop: Shop) -> None:
    number = new_ticket(shop)
    async with demo_desk(database) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        await pilot.press("ctrl+l")
        await pilot.pause()
        form = screen_of(app, HeaderScreen)
        form.set_focus(form.control("status"))
        await until(pilot, lambda: "(●) nobody ( ) approval ( ) parts ( ) pick-up" in flat(screen_text(app)))
        await pilot.press(*"xyz", "space", "space")
        assert form.typed("status") == "waiting for parts"
        await pilot.press("a")
        assert form.typed("status") == "waiting for approval", "a first letter chooses"
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert ticket_of(app.shop, number).status == "waiting for approval"


async def test_half_a_form_is_offered_again_and_can_be_thrown_away(database: Path) -> None:
    async with demo_desk(database) as (app, pilot):
        await pilot.press("ctrl+n")
        await pilot.press(*"KDE 4102", "enter", *"Corvane Alder", "escape")
        await pilot.pause()
        screen_of(app, JobsScreen)
        await pilot.press("ctrl+n")
        await pilot.pause()
        form = screen_of(app, NewScreen)
        assert (form.typed("plate"), form.typed("vehicle")) == ("KDE 4102", "Corvane Alder")
        await pilot.press("alt+x", "escape")
        await pilot.pause()
        await pilot.press("ctrl+n")
        await pilot.pause()
        assert not any(screen_of(app, NewScreen).typed(name) for name in ("plate", "vehicle"))


async def test_the_end_of_the_program_keeps_half_a_form(database: Path) -> None:
    async with demo_desk(database) as (app, pilot):
        await pilot.press("ctrl+n")
        await pilot.press(*"KDE 4102")
        app._leave_with(143)  # as a signal does
        await pilot.pause()
    async with demo_desk(database) as (app, pilot):
        await pilot.press("ctrl+n")
        await pilot.pause()
        assert screen_of(app, NewScreen).typed("plate") == "KDE 4102"


async def test_typing_is_taken_back_by_words_and_then_the_last_deed(database: Path, shop: Shop) -> None:
    number = new_ticket(shop)
    async with demo_desk(database) as (app, pilot):
        app.open_ticket(number)
        await pilot.pause()
        line = screen_of(app, TicketScreen).prompt()
        await pilot.press(*"found: belt dry", "enter", *"found: hose wet")
        assert isinstance(line, Field)
        await pilot.press("ctrl+z")
        assert line.value == "found: hose "
        await pilot.press("ctrl+y")
        assert line.value == "found: hose wet"
        await pilot.press("ctrl+z", "ctrl+z", "ctrl+z")
        assert (line.value, ticket_of(app.shop, number).entries[0].struck) == ("", False)
        await pilot.press("ctrl+z")
        await pilot.pause()
        assert ticket_of(app.shop, number).entries[0].struck, "behind the typing comes the deed"


async def test_keys_of_lists_move_among_the_fields_of_a_form(demo: Path) -> None:
    async with demo_desk(demo) as (app, pilot):
        await pilot.press("ctrl+n")
        await pilot.pause()
        form = screen_of(app, NewScreen)
        for action in ("last", "page_up", "page_down", "first"):
            await form.run_action(action)
        assert form.focused is form.controls()[0]
        await form.run_action("last")
        assert form.focused is form.controls()[-1]


def test_the_beginning_of_a_lawful_reason_will_do_and_any_other_word_is_refused() -> None:
    """49 CFR 580 (from memory): beyond the mechanical limits, or not actual; a repaired instrument may start anew."""

    def said(word: str) -> str:
        return changed_header(Header(), {"odometer-reason": word}, "mi").odometer_reason

    assert list(map(said, ("", "replaced", "Rolled  over", "not"))) == [
        "", "replaced instrument", "rolled over", "not actual",
    ]  # fmt: skip
    for other in ("replaced cluster", "hours", "actual"):
        with pytest.raises(InputError, match="one of replaced instrument"):
            said(other)


def test_how_sums_are_told_and_who_pays_are_one_of_some_words() -> None:
    header = changed_header(Header(), {"sums-told": "before", "pays": "warr"}, "mi")
    assert (header.sums_told, header.pays) == ("before tax", "warranty")
    assert changed_header(header, {"sums-told": "", "pays": ""}, "mi") == Header(), "an empty field is the usual again"
    with pytest.raises(InputError, match="one of with tax, before tax"):
        changed_header(header, {"sums-told": "gross"}, "mi")
    with pytest.raises(InputError, match="one of customer, warranty"):
        changed_header(header, {"pays": "Oakline Cover"}, "mi")
