"""Signed papers keep their bytes whatever the shop changes behind them: random tickets, random changes, every form.

The long run takes 50 changes and PDF for ten of the tickets: of 200 tickets with ``TICKET_FULL=1``, else of 40.
The daily one is small.
"""

import dataclasses
import json
import os
import random
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from ticket.data import data_folder
from ticket.job.ticket import Customer, Header, Person, Vehicle
from ticket.job.ticket_document import from_document, to_document
from ticket.notes.file import write_file
from ticket.shop import money
from ticket.shop.changing import (
    add_lines,
    amend_ticket,
    correct_header,
    load_documents,
    new_ticket,
    set_header,
    sign_ticket,
)
from ticket.shop.opening import Shop, add_person, set_setting
from ticket.shop.papers import paper
from ticket.shop.reading import ticket_of, unanswered
from ticket.shop.settings import import_codes, put, set_limits
from ticket.shop.wordings import take_back, teach

TICKETS = 200 if os.environ.get("TICKET_FULL") else 40

READERS, FORMS = ("customer", "shop"), ("text", "markdown", "html")
NAMES = ("Ada Fenn", "Ivo Tammel", "Kaia Rothmere", "Dov Ashgrave", "Petra Quill")


class Days:
    """A clock that can be put on another day."""

    def __init__(self) -> None:
        self.at = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.at += timedelta(seconds=20)
        return self.at


def demo_lines() -> list[str]:
    """Every line of the demo jobs that holds a fact."""
    found: list[str] = []
    for path in sorted(data_folder("demo_jobs").glob("1*.json")):
        ticket = from_document(json.loads(path.read_text(encoding="utf-8")))
        bare = dataclasses.replace(ticket, header=Header())
        found += [line for line in write_file(bare).splitlines() if ":" in line and not line.startswith("photo")]
    return found


def random_ticket(shop: Shop, dice: random.Random, lines: list[str], plates: list[str]) -> int:
    """A signed ticket of some of these lines, of one of a few vehicles."""
    plate = dice.choice(plates)
    header = Header(vehicle=Vehicle("Corvane Alder", plate=plate), customer=Customer(dice.choice(NAMES), "555-0134"))
    number = new_ticket(shop, header)
    add_lines(shop, number, "\n".join(dice.sample(lines, dice.randint(3, 14))), accept=True)
    reasons = {gap.id: dice.choice(("walked in", "looked at already")) for gap in unanswered(shop, number)}
    sign_ticket(shop, number, overruled=reasons)
    return number


# -- what a shop may change ----------------------------------------------------------------------------------------

Change = Callable[[Shop, random.Random], None]


def setting(key: str, *values: object) -> Change:
    """One setting, to one of some values that it does not have."""

    def change(shop: Shop, dice: random.Random) -> None:
        set_setting(shop, key, dice.choice([value for value in values if value != getattr(shop.settings, key)]))

    return change


def new_prices(shop: Shop, dice: random.Random) -> None:
    made = json.loads((data_folder("demo_jobs") / "shop.json").read_text(encoding="utf-8"))["prices"]
    for rate in made["rates"]:
        rate["price"] = f"{dice.randint(60, 300)}.00"
    money.set_prices(shop, json.dumps(made))


def glossary(shop: Shop, dice: random.Random) -> None:
    put(shop, "term/+", f"{dice.choice(('VGT', 'EGR', 'ABS'))} = {dice.choice(('a valve', 'a turbo', 'a pump'))}")


def codes(shop: Shop, dice: random.Random) -> None:
    code, plain = dice.choice(("P0562", "P1A30", "P0480")), dice.choice(("low voltage", "weak fan"))
    import_codes(shop, f"code,plain,trade,area,source\n{code},{plain},x,body,maker\n", [code])


def limits(shop: Shop, dice: random.Random) -> None:
    row = {"thing": "brake pad", "low": f"{dice.randint(1, 9)}", "unit": "mm", "source": "shop"}
    set_limits(shop, json.dumps({"format": "limits-book-1", "limits": [row]}))


def phrase(shop: Shop, dice: random.Random) -> None:
    word = dice.choice(("eyelet", "stud", "flange", "grommet", "shroud"))
    told = next((one for one in shop.book.told if one.typed == word), None)
    if told is not None:
        take_back(shop, told.no)
    else:
        teach(shop, word, "thing", told=dice.choice((word, f"{word} piece")))


def person(shop: Shop, dice: random.Random) -> None:
    add_person(shop, Person(dice.choice(("K. Orlo", "Nell Ivarsen")), dice.choice(("writer", "technician"))))


def other_zone(_: Shop, dice: random.Random) -> None:
    os.environ["TZ"] = dice.choice(("Asia/Tokyo", "America/Chicago", "Europe/Berlin", "UTC"))
    time.tzset()


SETTINGS: dict[str, Change] = {
    "name": setting("shop", "Wrenfold Garage", "Another Garage", "Ünder the bridge"),
    "currency": setting("currency", "$", "€", "£"),
    "distance": setting("distance", "mi", "km"),
    "dates": setting("dates", "March 2, 2026", "2 March 2026"),
    "paper": setting("paper", "Letter", "A4"),
    "units": setting("units", "as typed", "metric", "US"),
    "come-backs": setting("comeback_days", 1, 30, 400),
    "rules": setting("rules", "neutral", "US-FL", "US-CA"),
    "language": setting("language", "en", "es"),
    "zone": setting("zone", "", "America/Chicago", "Asia/Tokyo"),
    "prices": new_prices, "glossary": glossary, "codes": codes, "limits": limits, "phrase": phrase, "person": person,
    "machine's zone": other_zone,
}  # fmt: skip


def changes(numbers: list[int], lines: list[str], plates: list[str], clock: Days) -> dict[str, Change]:
    """Everything signed papers rest on, by its name; each may be changed again and again."""

    def vehicle(dice: random.Random) -> Header:
        return Header(vehicle=Vehicle("Corvane Alder", plate=dice.choice(plates)))

    def older_visit(shop: Shop, dice: random.Random) -> None:
        number = new_ticket(shop, vehicle(dice))
        add_lines(shop, number, "\n".join(dice.sample(lines, 4)))
        document = to_document(ticket_of(shop, number))
        document["number"], document["opened"] = number + 100_000, "2025-01-05T09:00:00.000Z"
        load_documents(shop, [("older.json", json.dumps(document))])

    def amended(shop: Shop, dice: random.Random) -> None:
        amend_ticket(shop, numbers[-1], f"found: looked again, pad {dice.randint(3, 9)} mm", "typed the wrong side")

    def corrected(shop: Shop, dice: random.Random) -> None:
        header = ticket_of(shop, numbers[-1]).header
        plate = dice.choice([plate for plate in (*plates, "") if plate != header.vehicle.plate])
        correct_header(shop, numbers[-1], replace(header, vehicle=replace(header.vehicle, plate=plate)), "misread")

    def other_day(_: Shop, dice: random.Random) -> None:
        clock.at += timedelta(days=dice.randint(1, 400))

    def another(shop: Shop, dice: random.Random) -> None:
        set_header(shop, new_ticket(shop), vehicle(dice))

    mine = {"older visit": older_visit, "amended": amended, "corrected": corrected}
    return SETTINGS | mine | {"day": other_day, "another ticket": another}


def printed(
    shop: Shop, numbers: list[int], forms: tuple[str, ...], *, today: bool = False
) -> dict[tuple[int, str, str], str | bytes]:
    """Every paper in every form, in the language it was signed in; or what today's settings would make of it."""
    return {
        (number, reader, form): paper(shop, number, reader, form, today=today)
        for number in numbers
        for reader in READERS
        for form in forms
    }


def hold(path: Path, tickets: int, rounds: int, pdfs: int, seed: int, *, bite: bool = False) -> set[str]:
    """Sign, change, print; every change is made before any comes again.

    Gives the names of the changes; with ``bite`` of those alone that changed what today's settings make of a ticket.
    """
    dice = random.Random(seed)
    clock, lines = Days(), demo_lines()
    plates = [f"FEN-{number}" for number in range(max(tickets // 6, 2))]
    with Shop.open(path, "K. Orlo", now=clock) as shop:
        set_setting(shop, "zone", "America/Chicago")
        numbers = [random_ticket(shop, dice, lines, plates) for _ in range(tickets)]
        last = random_ticket(shop, dice, lines, plates)
        known = changes([*numbers, last], lines, plates, clock)
        before = printed(shop, numbers, FORMS)
        before_pdf = printed(shop, numbers[:pdfs], ("pdf",))
        order, bit = list(known), set()
        dice.shuffle(order)
        order += dice.choices(list(known), k=max(rounds - len(order), 0))
        for name in order[:rounds]:
            live = printed(shop, numbers, FORMS[:1], today=True) if bite else {}
            known[name](shop, dice)
            if bite and printed(shop, numbers, FORMS[:1], today=True) != live:
                bit.add(name)
            after = printed(shop, numbers, FORMS)
            assert [key for key in before if before[key] != after[key]] == [], name
            after_pdf = printed(shop, numbers[:pdfs], ("pdf",))
            assert [key for key in before_pdf if before_pdf[key] != after_pdf[key]] == [], name
        assert shop.store.audit().ok
    return bit if bite else set(order[:rounds])


@pytest.mark.slow
def test_signed_papers_keep_their_bytes(tmp_path: Path) -> None:
    assert len(hold(tmp_path / "shop.db", tickets=2, rounds=22, pdfs=0, seed=5)) == 22


@pytest.mark.slow
def test_the_changes_are_real_ones(tmp_path: Path) -> None:
    """What today's settings make of a ticket is another paper behind most of them: else nothing was shown above."""
    bit = hold(tmp_path / "shop.db", tickets=4, rounds=22, pdfs=0, seed=5, bite=True)
    assert {"name", "currency", "language"} <= bit
    assert len(bit) >= 8


@pytest.mark.slow
def test_many_signed_tickets_keep_their_bytes_through_fifty_changes(tmp_path: Path) -> None:
    assert len(hold(tmp_path / "shop.db", tickets=TICKETS, rounds=50, pdfs=10, seed=16)) == 22
