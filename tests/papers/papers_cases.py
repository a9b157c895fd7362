"""Copies for the tests: of random tickets, of the demo jobs, of a long bill, and of one full of hostile text."""

import json
from dataclasses import fields, is_dataclass
from datetime import date, timedelta
from typing import Any

from support.tickets import MORNING, ticket_of
from ticket.data import data_folder
from ticket.job.case import Case, Settings
from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Did, Fact, Found, Later, Note, Offer, Proof, Says, Told, Used
from ticket.job.ticket import Customer, Header, Ticket, Vehicle
from ticket.job.ticket_document import from_document
from ticket.job.values import Answer, Ref
from ticket.money.agreement import agreement
from ticket.money.bill import bill
from ticket.money.prices import Details, Fee, Place, PriceList, Rate, Statement, TaxRate
from ticket.money.terms import Cover, Terms
from ticket.papers.copy import copy
from ticket.papers.copy_contents import CopyContents
from ticket.papers.sheet import Measured, Said, Sheet
from ticket.story.build import build

SHOP = Settings(shop="Wrenfold Vehicle Repair", distance="km")
PRICES = PriceList(
    currency="USD",
    rates=(Rate(name="general", price="140.00"), Rate(name="truck", price="155.00")),
    fees=(Fee(name="shop supplies", charge="supplies", percent="5", of=("part",), cap="40"),),
    places=(Place(name="Sandmere", taxes=(TaxRate(name="sales tax", percent="6.25", on=("part", "fluid")),)),),
    details=Details(
        address="4 Tollgate Yard, Wrenfold",
        phone="555-0100",
        registration="WR-30418",
        statements=(Statement(field="guarantee", words="Our work is guaranteed for 12 months."),),
    ),
)
COVERED = Terms(
    covers=(Cover(payer="warranty", name="Harrow Cover", deductible="100", approval="HC-77812"),),
    deposit="200",
    discount="50",
    discount_reason="regular customer",
)


def contents_for(
    ticket: Ticket,
    reader: str = "customer",
    *,
    settings: Settings = SHOP,
    terms: Terms | None = None,
    language: str = "en",
    **more: Any,
) -> CopyContents:
    """What the copy of a ticket is made of, priced by one price list."""
    terms = terms or Terms()
    case = Case(ticket, settings, date(2026, 11, 25))
    return CopyContents(
        case=case,
        story=build(case, reader, language),
        bill=bill(ticket, PRICES, terms),
        agreements=(agreement(ticket, PRICES, terms, zone=None),),
        terms=terms,
        details=PRICES.details,
        **more,
    )


def sheet_of(ticket: Ticket, reader: str = "customer", **more: Any) -> Sheet:
    """The copy of a ticket."""
    return copy(contents_for(ticket, reader, **more))


def demo(number: int) -> Ticket:
    """One of the demo jobs."""
    (file,) = data_folder("demo_jobs").glob(f"{number}-*.json")
    return from_document(json.loads(file.read_text(encoding="utf-8")))


def demo_tickets() -> list[Ticket]:
    """All demo jobs."""
    return [demo(int(file.name[:4])) for file in sorted(data_folder("demo_jobs").glob("1*.json"))]


def long_job(lines: int = 60) -> Ticket:
    """A job whose bill has so many lines, a third of them labour."""
    typed = [
        "says: whole brake system is worn, asks for a full overhaul",
        "found: pads LF 1.9 RF 2.1 mm (min 3.0 per maker)",
        "cause: pads worn below limit; certain; from 2",
        "offer: overhaul of the brakes; est 2400; for 2",
        "told: Ida Wren, by phone 555-0143, yes 4; total 2400",
    ]
    for i in range(lines // 3):
        pays = "warranty" if i % 4 == 0 else "customer"
        typed += [
            f"did: 0.{i % 9 + 1} h replace wheel part {i + 1}; rate truck; pay {pays}",
            f"used: 1 x PX-{2200 + i} caliper guide pin set, new @ {12 + i}.50; pay {pays}",
            f"used: 0.{i % 5 + 1} L BF-4 brake fluid @ 18.40/L",
        ]
    return ticket_of("\n".join(typed), number=2207, rates=("general", "truck"))


def full_of(text: str) -> Ticket:
    """A ticket with a text in every field that holds prose or a name."""
    facts: list[Fact] = [
        Says(text=text), Code(code="P0300", unit=text, frame=text), Found(what=text, seen=text),
        Cause(text=text, refs=(Ref(3),)), Offer(text=text, estimate="640"), Did(text=text, hours="1", by=text),
        Used(text=text, amount="1", unit="x", part=text, price="12.50"),
        Later(text=text, because=text, risk=text, watch=text),
        Told(who=text, address=text, words=text, answers=(Answer("yes", (Ref(5),)),)), Proof(what=text, seen=text),
        Note(text=text),
    ]  # fmt: skip
    header = Header(Vehicle(text, text, text), Customer(text, text, text, text), ready_by=text)
    entries = tuple(Entry(no, fact, text, MORNING + timedelta(minutes=no)) for no, fact in enumerate(facts, 1))
    return Ticket(7, MORNING, header=header, entries=entries)


def texts_of(block: object) -> list[str]:
    """Every text of a sheet or block a reader gets to see, in order; what names a size or a language is none."""
    if isinstance(block, str):
        return [block] if block else []
    if isinstance(block, tuple):
        return [text for item in block for text in texts_of(item)]
    if isinstance(block, Said):
        return [text for text in (block.label, block.text) if text]
    if isinstance(block, Measured):  # the whole sentence is for papers that have no columns
        return [text for text in (block.name, block.value, block.verdict) if text]
    if is_dataclass(block):
        hidden = ("language", "size", "page", "back", "foot", "sources", "note", "id")
        return [text for f in fields(block) if f.name not in hidden for text in texts_of(getattr(block, f.name))]
    return []
