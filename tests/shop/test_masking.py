"""What an auditor is shown: everything but who the customer is, unless it is asked for, which is journaled."""

import io
import json
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.clock import BEGIN, Clock
from support.tickets import ticket_of as ticket_made_of
from ticket.cli import ask_pin
from ticket.cli.main import main
from ticket.job.errors import InputError
from ticket.job.phone_numbers import phone_numbers
from ticket.job.ticket import Customer, Header, Person, Ticket, Vehicle
from ticket.screens.app import TicketApp
from ticket.screens.page import Page
from ticket.shop.changing import (
    add_lines,
    correct_header,
    edit_entry,
    new_ticket,
    set_header,
    sign_ticket,
    strike_entry,
)
from ticket.shop.masking import Mask, masked
from ticket.shop.opening import Shop, add_person, set_setting
from ticket.shop.papers import paper
from ticket.shop.reading import open_gaps, ticket_of, unanswered

CUSTOMER = Customer("Ada Fenn-Morrow", "555-0134", "ada@example.org", "4 Mill Lane, Wrenfold")
GIVEN_AWAY = ("Ada", "Fenn", "Morrow", "555-0134", "5550134", "ada@example.org", "Mill Lane", "Bo Tarn")
LINES = """says: Mrs. Morrow hears a squeak at the front
found: horn fuse good, ADA will look herself
ruled: worn pads; Fenn-Morrow had them done in May
told: Bo Tarn by phone 555-0199, yes; total 12.00
# call back 555-0134 or 555 0134 before five
code: P0562, stored
cause: horn relay that Ada Fenn-Morrow wired herself
did: 0.2 h looked at the horn"""


@pytest.fixture(scope="module")
def shop_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop with an auditor and two tickets of one customer, one of them signed; copied, never opened."""
    database = tmp_path_factory.mktemp("masked") / "shop.db"
    with Shop.open(database, "K. Orlo", now=Clock()) as shop:
        add_person(shop, Person("Petra Quill", "auditor"))
        for signed in (False, True):
            header = Header(
                vehicle=Vehicle("Corvane Alder", plate="FEN-204"), customer=CUSTOMER,
                ready_by="2026-03-02 12:00, ring Ada",
            )  # fmt: skip
            number = new_ticket(shop, header)
            add_lines(shop, number, LINES)
            if signed:
                sign_ticket(shop, number, overruled={gap.id: "walked in" for gap in unanswered(shop, number)})
    return database


@pytest.fixture
def filled(shop_file: Path, database: Path) -> Path:
    database.touch(mode=0o600)
    database.write_bytes(shop_file.read_bytes())
    return database


class Done(NamedTuple):
    """How a command ended."""

    returncode: int
    stdout: str
    stderr: str


Command = Callable[..., Done]


@pytest.fixture
def run(filled: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Command:
    """A command of the auditor's, in this process."""
    monkeypatch.setattr(ask_pin, "has_terminal", lambda: False)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TICKET_DB", str(filled))
    monkeypatch.setenv("TICKET_PERSON", "Petra Quill")

    def ran(*words: str) -> Done:
        code = main(words)
        return Done(code, *capsys.readouterr())

    return ran


SHOWING = (
    ("list", "--all"), ("list", "--json", "--all"), ("show", "1"), ("show", "2"), ("show", "2", "--json"),
    ("story", "1"), ("story", "1", "--json"), ("story", "2", "--for", "shop", "--as", "html"),
    ("paper", "1"), ("paper", "2"), ("paper", "2", "--for", "shop"), ("paper", "2", "--as", "html"),
    ("paper", "2", "--json"), ("paper", "1", "--as", "markdown"), ("dump",), ("dump", "2", "--as", "lines"),
    ("past", "horn"), ("past", "horn", "--json"), ("gaps", "1"), ("gaps", "1", "--json"), ("bill", "1"),
    ("bill", "2", "--json"), ("estimate", "1"), ("estimate", "1", "--json"), ("before", "P0562"),
    ("before", "P0562", "--json"), ("before", "P0562", "--next"), ("promised", "2026-03-02"), ("totals", "2026-03-02"),
    ("totals", "2026-03-02", "--json"), ("phrases", "1"), ("phrases", "1", "--json"), ("sample", "horn"),
    ("past", "horn", "--count", "cause"), ("set", "1"), ("past", "--like", "1", "--json"),
)  # fmt: skip


@pytest.mark.parametrize("words", SHOWING, ids=" ".join)
def test_no_command_that_shows_tickets_names_a_customer_to_an_auditor(run: Command, words: tuple[str, ...]) -> None:
    done = run(*words)
    assert done.returncode in (0, words[0] in ("gaps", "bill", "estimate", "sample")), done.stderr
    assert done.stdout.strip()
    plain = done.stdout.encode().decode("unicode-escape", "ignore") if "--json" in words else done.stdout
    plain = re.sub(r"\b[0-9a-f]{16,64}\b", "", plain)  # a record may hold the letters of a name
    assert not [one for one in GIVEN_AWAY if one.lower() in plain.lower()]
    writer = run(*words, "--by", "K. Orlo")
    unnamed = (words[0] in ("past", "sample") and "--count" not in words) or (
        words[0] in ("bill", "estimate") and "--json" in words
    )
    assert [one for one in GIVEN_AWAY if one.lower() in writer.stdout.lower()] or unnamed


def test_talk_shows_an_auditor_no_customer_and_takes_no_line(run: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(b".show\nfound: x\n.open\n.story\n")))
    done = run("talk", "1")
    assert "horn fuse good" in done.stdout
    assert "Nothing was written: an auditor looks" in done.stdout
    assert not [one for one in GIVEN_AWAY if one.lower() in done.stdout.lower()]


def test_names_that_were_asked_for_are_shown_and_journaled(run: Command, filled: Path) -> None:
    assert "Ada Fenn-Morrow" in run("show", "1", "--names").stdout
    assert "Ada Fenn-Morrow" in run("list", "--names").stdout
    with Shop.open(filled, "K. Orlo", now=Clock()) as shop:
        looks = [event for event in shop.store.history() if event.verb == "look"]
        assert [(event.person, event.summary) for event in looks] == [("Petra Quill", "looked at customer data")] * 2
    assert run("show", "1").returncode == 0
    with Shop.open(filled, "K. Orlo", now=Clock()) as shop:
        assert len([event for event in shop.store.history() if event.verb == "look"]) == 2
    assert run("audit").returncode == 0


def test_whom_to_call_is_told_to_an_auditor_who_asks(run: Command) -> None:
    done = run("due")
    assert (done.returncode, "add --names" in done.stderr) == (2, True)
    assert run("due", "--names").returncode == 0


def test_facts_stay(filled: Path) -> None:
    with Shop.open(filled, "K. Orlo", now=Clock()) as shop:
        ticket = ticket_of(shop, 1)
        shown = masked(ticket)
        assert [entry.kind for entry in shown.entries] == [entry.kind for entry in ticket.entries]
        assert shown.header.vehicle == ticket.header.vehicle
        assert "horn fuse good" in json.dumps([str(entry.fact) for entry in shown.entries])
        before = paper(shop, 2, "customer", "text")
        shop.hidden = True
        assert "For an auditor" in str(paper(shop, 2, "customer", "text"))
        shop.hidden = False
        assert paper(shop, 2, "customer", "text") == before


def test_a_make_stays_where_the_payer_is_called_like_it_and_a_customer_does_not() -> None:
    lines = ["told: Tessaly by phone, yes; total 90.00", "told: Tessaly Warranty by phone, yes; total 90.00"]
    car = Vehicle("Tessaly Marl 1.6 petrol")
    ticket = ticket_made_of(lines, number=1, opened=BEGIN, vehicle=car, customer=Customer("Ada Marl"))
    mask = Mask(ticket)
    assert mask.text("Tessaly pays for the hose") == "Tessaly pays for the hose"
    assert "Warranty" not in mask.text("rang Tessaly Warranty twice")
    assert "Marl" not in mask.text(car.label), "a customer called like a model stays hidden"


@given(st.text(max_size=40), st.text(max_size=40))
def test_a_mask_leaves_no_name_whatever_stands_around_it(before: str, after: str) -> None:
    shown = Mask(Ticket(1, BEGIN, header=Header(customer=CUSTOMER))).text(f"{before} Ada Fenn-Morrow, 555-0134 {after}")
    assert "Fenn" not in shown
    assert "555-0134" not in shown


# -- telephone numbers in running text -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("call 555-0134 first", ["555-0134"]),
        ("(212) 555-0134 is hers", ["(212) 555-0134"]),
        ("ring her at 212-555-0134.", ["212-555-0134"]),
        ("+44 20 7946 0958", ["+44 20 7946 0958"]),  # Ofcom's range for drama, from memory
        ("+1 212 555 0134", ["+1 212 555 0134"]),
        ("1-800-555-0199", ["1-800-555-0199"]),
        ("drain washer 4410-77, new", []),
        ("part 441-7712 in the rack", []),
        ("4410-77-1203 gasket", []),
        ("LF 12.1 RF 11.9 mm, 160,000 km", []),
        ("14.2 V at 2000 rpm, 12.6 V off", []),
        ("2026-03-02 to 2026-05-03", []),
        ("P0562-16 and U0100-87", []),
        ("pins 212 555 0134x", []),
        ("1.5/1.6/1.7 mm", []),
        ("VIN 1HG BH4 1JX MN1 09186", []),
    ],
)
def test_telephone_numbers_are_told_from_part_numbers_and_readings(text: str, found: list[str]) -> None:
    assert phone_numbers(text) == found


def test_what_was_corrected_gives_nobody_away(run: Command, filled: Path) -> None:
    """The name that stood there before names somebody too, in the fields and in texts."""
    with Shop.open(filled, "K. Orlo", now=Clock()) as shop:
        header = ticket_of(shop, 2).header
        right = replace(
            header, customer=Customer("Ruza Tolm", "555-0177"), vehicle=Vehicle("Corvane Alder", plate="B 1")
        )
        correct_header(shop, 2, right, "Mrs. Morrow is her sister, ring Tolm", clock="it stood")
    for words in (("show", "2"), ("show", "2", "--json"), ("dump", "2"), ("paper", "2", "--for", "shop")):
        done = run(*words)
        assert [name for name in (*GIVEN_AWAY, "Ruza", "Tolm", "555-0177") if name in done.stdout] == [], words
        assert "B 1" in done.stdout


def test_a_number_or_the_name_in_a_finding_is_asked_about_and_never_refused(filled: Path) -> None:
    with Shop.open(filled, "K. Orlo", now=Clock()) as shop:
        number = new_ticket(shop, Header(vehicle=Vehicle("Corvane Alder"), customer=Customer("Ivo Tammel")))
        add_lines(
            shop,
            number,
            "says: squeak\nfound: belt glazed, call 555-0134\nfound: Ivo Tammel had it replaced\nfound: pad 4 mm",
        )
        asked = {gap.entry: gap.question for gap in open_gaps(shop, number) if gap.id == "customer-in-text"}
        assert sorted(asked, key=lambda no: no or 0) == [2, 3]
        assert "a telephone number" in asked[2]
        assert "the customer's name" in asked[3]


WRITING = (
    ("add", "1", "note: x"), ("set", "1", "--plate", "KDE 1"), ("edit", "1", "2", "note: x"), ("strike", "1", "2"),
    ("sign", "1", "--overrule", "cause-unproved=x"), ("amend", "2", "--reason", "x", "note: x"),
    ("new", "--plate", "KDE 1"), ("shop", "shop", "Ours"), ("shop", "person", "Una Audit", "owner"),
    ("index", "--rebuild"), ("before", "P0562", "--same", "worn belt", "belt worn out"),
)  # fmt: skip


@pytest.mark.parametrize("words", WRITING, ids=" ".join)
def test_no_command_of_an_auditor_writes_anything(run: Command, filled: Path, words: tuple[str, ...]) -> None:
    """Also in a shop without a single PIN: what is audited is changed by no slip."""
    with Shop.open(filled, "K. Orlo", now=Clock()) as shop:
        rows = shop.store.audit().rows
    done = run(*words)
    assert (done.returncode, done.stdout) == (2, ""), done
    assert "Nothing was written: an auditor looks" in done.stderr, done
    with Shop.open(filled, "K. Orlo", now=Clock()) as shop:
        assert shop.store.audit().rows == rows


def test_all_that_is_kept_of_a_customer_is_told_to_an_auditor_who_asks(run: Command, filled: Path) -> None:
    done = run("dump", "--customer", "Ada Fenn-Morrow")
    assert (done.returncode, done.stdout) == (2, "")
    assert "add --names" in done.stderr
    assert "Ada Fenn-Morrow" in run("dump", "--customer", "Ada Fenn-Morrow", "--names").stdout
    with Shop.open(filled, "K. Orlo", now=Clock()) as shop:
        assert len([event for event in shop.store.history() if event.verb == "look"]) == 1


@pytest.mark.parametrize("words", [("past",), ("sample",), ("past", "--count", "cause")], ids=" ".join)
def test_no_search_tells_an_auditor_whose_a_job_is(run: Command, words: tuple[str, ...]) -> None:
    command, *flags = words
    done = run(command, "customer:Fenn", *flags)
    assert (done.returncode, done.stdout) == (2, "")
    assert "hidden from an auditor" in done.stderr
    assert run(command, "customer:Fenn", *flags, "--by", "K. Orlo").returncode in (0, 1)


# -- screens and what changes --------------------------------------------------------------------------------------


@pytest.mark.parametrize("words", [
    ("estimate", "1", "--as", "text"), ("invoice", "2"), ("receipt", "1"), ("message", "1"), ("picture", "1", "2"),
    ("forget", "1"), ("forget", "--due"),
], ids=" ".join)  # fmt: skip
def test_an_auditor_hands_nothing_out(run: Command, words: tuple[str, ...]) -> None:
    done = run(*words)
    assert (done.returncode, done.stdout) == (2, "")
    assert "auditor" in done.stderr


def test_nothing_that_was_masked_is_written_back(filled: Path) -> None:
    """Whatever a screen shows an auditor, no verb takes it: an entry, its header, a status, a setting, a signature."""
    with Shop.open(filled, "Petra Quill", now=Clock()) as shop:
        rows = shop.store.audit().rows
        shop.hide_from_auditor()
        assert shop.hidden
        ticket = ticket_of(shop, 1)
        for verb in (
            lambda: add_lines(shop, 1, "note: x"), lambda: set_header(shop, 1, ticket.header),
            lambda: edit_entry(shop, 1, 2, ticket.entries[1].fact), lambda: set_setting(shop, "suggest", False),
            lambda: sign_ticket(shop, 1, overruled={gap.id: "x" for gap in unanswered(shop, 1)}),
            lambda: strike_entry(shop, 1, 2), lambda: new_ticket(shop),
        ):  # fmt: skip
            with pytest.raises(InputError, match="Nothing was written: an auditor looks"):
                verb()
        assert shop.store.audit().rows == rows
        shop.hide(False)
        with pytest.raises(InputError, match="Nothing was written: an auditor looks"):
            add_lines(shop, 1, "note: x")  # names shown or not


async def test_the_screens_mask_too(filled: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """List, preview, ticket, story, past jobs, deferred work, bill: what a screen draws, row by row."""
    monkeypatch.setenv("TICKET_NOW", "2026-03-02T14:10:00+00:00")
    monkeypatch.setenv("TICKET_PERSON", "Petra Quill")

    def opened() -> Shop:
        shop = Shop.open(filled, "Petra Quill", now=Clock())
        shop.hide_from_auditor()
        return shop

    app = TicketApp(filled, opened)
    drawn: list[str] = []
    seen: set[str] = set()
    async with app.run_test(size=(140, 45)) as pilot:
        await pilot.pause(0.5)
        for keys in (
            (), ("enter",), ("f4",), ("escape",), ("f6",), ("escape",), ("f7",), ("escape",), ("ctrl+f", *"horn"),
        ):  # fmt: skip
            await pilot.press(*keys)
            await pilot.pause(0.3)
            seen.add(str(getattr(app.screen, "subject", "")))
            drawn.append("\n".join(row.text for page in app.screen.query(Page) for row in page.rows))
        rows = app.shop.store.audit().rows
        app.open_ticket(1)
        for keys in ((*"found: x", "enter"), ("f2",), ("ctrl+z",), ("f8",), ("f12",), ("escape",), ("delete",)):
            await pilot.press(*keys)
            await pilot.pause(0.1)
        assert app.fault is None
        assert app.shop.store.audit().rows == rows, "whoever sees masks changes nothing"
        app.close_shop()
    text = "\n".join(drawn)
    assert seen >= {"jobs", "ticket", "telling", "followups", "past"}
    assert "horn fuse good" in text
    assert "▮▮▮" in text
    assert not [one for one in GIVEN_AWAY if one.lower() in re.sub(r"\b[0-9a-f]{16,64}\b", "", text).lower()]
