"""A new shop out of what a damaged one still holds: its journal, which is enough to lead to everything else."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from ticket.job.errors import InputError, StoreError, TicketError
from ticket.job.picture import Picture, picture_fields
from ticket.job.read_json import read_json
from ticket.job.ticket import Person, Ticket
from ticket.store import state
from ticket.store.erasable import MASK, held_texts, join
from ticket.store.index_rows import Indexer, JobIndexer, VehicleIndexer, no_job
from ticket.store.journal import Record
from ticket.store.proof.finding import runs
from ticket.store.proof.salvaged_rows import Row, Salvaged, salvage
from ticket.store.replay import Replay
from ticket.store.store import Store
from ticket.store.stored_values import identities

_FAULTS = (TicketError, KeyError, ValueError, TypeError, AttributeError, IndexError)


@dataclass(frozen=True, slots=True)
class Rescued:
    """What came over.

    Attributes:
        tickets: numbers of the tickets that are in the new shop.
        doubtful: those among them of which a row is missing or does not prove itself, so that they may lack something.
        lost: numbers of tickets that could not be made out of their rows.
        rows: of the old journal that proved themselves.
        missing: sequences of rows that were not found, in few words.
        pins: how many people had a PIN there; none comes over, because what it is mixed with is in no copy.
        keys: how many keys signed for it; none does for the new shop, whose journal is another.
    """

    tickets: tuple[int, ...]
    doubtful: tuple[int, ...]
    lost: tuple[int, ...]
    rows: int
    missing: str
    pins: int = 0
    keys: int = 0


def rescue(
    damaged: Path, new: Path, by: str, *, indexer: Indexer, of_vehicle: VehicleIndexer, of_job: JobIndexer = no_job,
    now: Callable[[], datetime],
) -> Rescued:  # fmt: skip
    """Make a new shop from the readable part of a damaged file, which is only read.

    Args:
        damaged: the file.
        new: where the new shop is made; nothing may stand there.
        by: who rescues.
        indexer: computes what makes an entry quick to find.
        of_vehicle: computes what is kept of a vehicle.
        of_job: computes the row kept of a job.
        now: the clock.

    Raises:
        InputError: something stands at the new place, or the old file cannot be read.
        StoreError: nothing of a journal is in the old file.
    """
    if new.exists():
        raise InputError(f"{new} is there already: name a new file.")
    try:
        salvaged = salvage(damaged)
    except OSError as error:
        raise InputError(f"{damaged} cannot be read: {(error.strerror or str(error)).lower()}.") from None
    if not salvaged.rows and not salvaged.unproved:
        raise StoreError(f"no row of a journal is left in {damaged}")
    replay, broken = _replayed(salvaged)
    with Store.open(new, indexer=indexer, of_vehicle=of_vehicle, of_job=of_job, now=now) as store:
        _settings(store, replay, by)
        return _tickets(store, salvaged, replay, broken, by)


def _replayed(salvaged: Salvaged) -> tuple[Replay, set[int]]:
    """What the rows lead to that were found, and tickets (by key) that a row does not fit."""
    replay, broken = Replay(), set()
    for seq, row in sorted((salvaged.rows | salvaged.unproved).items()):
        try:
            replay.feed(_record(row))
        except _FAULTS:
            if row[4] is not None:
                broken.add(row[4])
        if seq in salvaged.unproved and row[4] is not None:
            broken.add(row[4])
    return replay, broken


def _record(row: Row) -> Record:
    seq, at, person, sitting, ticket, verb, of, body, words, salt, _, _ = row
    facts = read_json(body.decode())
    texts = read_json(words.decode()) if words is not None else {}
    held = {path: str(one) for path, one in (held_texts(texts) if salt is None else texts).items()}
    whole = join(facts, held)
    return Record(seq, at.decode(), person, sitting.decode(), ticket, verb.decode(), of, whole, seal=f"{seq}-")


def _settings(store: Store, replay: Replay, by: str) -> None:
    for name, role in replay.people.values():
        with suppress(InputError):
            store.add_person(Person(name, role), by)
    for key, value in replay.settings.items():
        with suppress(InputError):
            store.set_shop(key, value, by)


def _tickets(store: Store, salvaged: Salvaged, replay: Replay, broken: set[int], by: str) -> Rescued:
    names = {number: name for number, (name, _) in replay.people.items()}
    values = {key: row[3].decode() for (key, _), row in salvaged.identities.items() if row[3] is not None}
    missing = salvaged.missing
    done, doubtful, lost = [], [], []
    for key, held in sorted(replay.tickets.items()):
        try:
            ticket = state.assemble(held, names, lambda number: values.get(number, MASK))
            store.load([ticket], by, "rescued", _pictures(salvaged, ticket))
        except _FAULTS:
            lost.append(held.number)
            continue
        done.append(held.number)
        nameless = any(one["identity"] not in values for part in held.values() for one in identities(part))
        if nameless or key in broken or any(seq > _first_row(salvaged, key) for seq in missing):
            doubtful.append(held.number)
    pins, keys = _gone(salvaged)
    return Rescued(tuple(done), tuple(doubtful), tuple(lost), len(salvaged.rows), runs(missing), pins, keys)


def _gone(salvaged: Salvaged) -> tuple[int, int]:
    """How many PINs and keys the old shop had, as far as its rows tell."""
    pins: set[Any] = set()
    keys: set[Any] = set()
    for _, row in sorted((salvaged.rows | salvaged.unproved).items()):
        if row[5] not in (b"shop.pin", b"shop.key"):
            continue
        with suppress(*_FAULTS):
            body = read_json(row[7].decode())
            if row[5] == b"shop.key":
                keys.add(body["id"])
            elif body.get("how") == "reset":
                pins.clear()
            elif "set" in body:
                (pins.add if body["set"] else pins.discard)(body["person"])
    return len(pins), len(keys)


def _first_row(salvaged: Salvaged, key: int) -> int:
    return min(seq for seq, row in (salvaged.rows | salvaged.unproved).items() if row[4] == key)


def _pictures(salvaged: Salvaged, ticket: Ticket) -> list[Picture]:
    wanted = {getattr(entry.fact, name) for entry in ticket.entries for name in picture_fields(type(entry.fact))}
    return [Picture(salvaged.pictures[digest]) for digest in sorted(wanted) if digest in salvaged.pictures]
