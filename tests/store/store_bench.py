"""What the store's tests share: a small indexer, a clock that ticks, filled stores, and plain SQL on the side."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Did, Fact, Found, Later, Note, Offer, Proof, Says, Told, Used
from ticket.job.ticket import Customer, Header, Ticket, Vehicle
from ticket.job.values import Answer, Limits, Quantity, Ref, Run, Value
from ticket.store import driver
from ticket.store.store import IndexRows, NewEntry, Phrase, Store

KIM, MO = "Kim Arden", "Mo Vale"
MORNING = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
COLUMNS = {
    "says": "complaint", "found": "findings", "ruled": "findings", "proof": "findings", "cause": "cause",
    "did": "correction", "used": "parts",
}  # fmt: skip


def indexer(ticket: Ticket, entry: Entry) -> IndexRows:
    """Every side table gets rows, from plain rules."""
    fact = entry.fact
    column = COLUMNS.get(entry.kind)
    texts = [getattr(fact, name, "") for name in ("what", "text", "seen")]
    words = {column: " ".join(texts)} if column else {}
    if isinstance(fact, Code):
        return IndexRows(codes=((fact.code, fact.sub),))
    if isinstance(fact, Used):
        phrase = Phrase("used", fact.text, f"{fact.amount} {fact.unit}", fact.part, f" @ {fact.price}")
        return IndexRows(parts=(fact.part,) if fact.part else (), words=words, phrases=(phrase,))
    if isinstance(fact, Found | Proof) and fact.run:
        readings = tuple(
            (
                fact.what,
                value.label,
                fact.run.unit,
                float(exact) if (exact := Quantity(value.number, "").value) else None,
            )
            for value in fact.run.values
        )
        return IndexRows(readings=readings, words=words)
    return IndexRows(words=words)


class Ticking:
    """A clock that moves on by one second at each look."""

    def __init__(self, at: datetime = MORNING) -> None:
        self.at = at

    def __call__(self) -> datetime:
        self.at += timedelta(seconds=1)
        return self.at


class Counting:
    """Bytes that look random and are the same in every run."""

    def __init__(self, seed: int = 0) -> None:
        self.number = seed * 1_000_000

    def __call__(self, size: int) -> bytes:
        self.number += 1
        return self.number.to_bytes(8, "big").rjust(size, b"\x5a")[-size:]


def open_store(path: Path, seed: int = 0, **more: Any) -> Store:
    """A store with the clock and the bytes of these tests."""
    return Store.open(path, indexer=indexer, now=Ticking(), token_bytes=Counting(seed), **more)


HEADER = Header(
    vehicle=Vehicle("2019 Corvane Petrel", "1CV PT1-8X9K2004417", "GRN 04"),
    customer=Customer("Ada Fenn", "555-0134", "ada@example.org", "4 Mill Lane"),
    odometer_in=Quantity("48,210", "mi"),
    ready_by="Friday noon",
)
FACTS: tuple[Fact, ...] = (
    Says(text="fan roars all the time"),
    Code(code="P1A30", sub="7B", unit="fan control", status="stored"),
    Found(what="reservoir level", run=Run((Value("-14"),), "mm", Limits("-3", "0", source="maker")), seen="dark"),
    Cause(text="fluid passes the shaft seal", sure="likely", refs=(Ref(3),)),
    Offer(text="change oil and refill", refs=(Ref(3), Ref(4)), estimate="228.40"),
    Told(who="Ada Fenn", way="phone", address="555-0134", answers=(Answer("yes", (Ref(5),)),), total="228.40"),
    Did(hours="1.2", text="changed oil, refilled", refs=(Ref(5),)),
    Used(amount="1", unit="x", part="4410-77", text="drain washer", condition="new", price="1.85"),
    Proof(of=Ref(3), what="reservoir level", run=Run((Value("-1"),), "mm"), result="passed"),
    Later(text="replace shaft seal", judgement="may wait", risk="fan may stop", date="2026-06-30", refs=(Ref(3),)),
    Note(text="seal kit takes two days"),
)


def fill(store: Store, header: Header = HEADER) -> int:
    """A whole job; its entry numbers are those the facts refer to."""
    number = store.open_ticket(header, KIM)
    store.add(
        number, [NewEntry(fact, raw=f"line {i}", shop_only=fact.kind == "note") for i, fact in enumerate(FACTS)], KIM
    )
    return number


@contextmanager
def plain(path: Path | str, *, recursive: bool = False) -> Iterator[driver.Connection]:
    """The file as any other program opens it: no guard but those inside it."""
    connection = driver.sqlite3.connect(str(path), isolation_level=None)
    connection.execute(f"PRAGMA recursive_triggers={'ON' if recursive else 'OFF'}")
    try:
        yield connection
    finally:
        connection.close()


def kept(store: Store) -> dict[str, list[tuple[Any, ...]]]:
    """Everything in the file that matters, to compare before with after."""
    tables = ("journal", "ticket", "entry", "follow", "person", "shop", "identity")
    with plain(store.path) as connection:
        return {name: connection.execute(f"SELECT * FROM {name} ORDER BY 1, 2").fetchall() for name in tables}


def living(ticket: Ticket) -> list[Entry]:
    """What counts on a ticket."""
    return list(ticket.living)
