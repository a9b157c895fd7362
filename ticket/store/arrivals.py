"""Tickets that come as a whole, made into rows as far as that needs no database, so that any process can do it.

What only the database knows is left open in texts: the ids of the customer's values and of the staff. An open place is
a JSON text that begins with NUL, which no text of a ticket holds (:func:`ticket.job.text.clean`).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from hashlib import shake_256
from typing import Any

from ticket.job.codec import Json
from ticket.job.entry import Entry
from ticket.job.errors import InputError
from ticket.job.picture import Picture
from ticket.job.regex import Regex
from ticket.job.text import clean
from ticket.job.ticket import Ticket
from ticket.store import derived_rows, picture_rows, state, stored_values
from ticket.store.additions import LARGEST, NewEntry, as_concern, as_instant, birth_of, day_id
from ticket.store.canonical import canonical_text, committed, promise
from ticket.store.clock_back import BACK
from ticket.store.derived_rows import DerivedRows
from ticket.store.erasable import Words, salted, split
from ticket.store.index_rows import Indexer, JobIndexer
from ticket.store.journal import FORMAT, Record
from ticket.store.transition import apply_row

_OPEN = Regex(r'"\\u0000(-?\d+)"')
SEED = 32
"""Bytes that the salts of one ticket are made of."""

Text = str | tuple[str, ...]
"""A text, or its pieces with the number of an open place between each two."""


@dataclass(frozen=True, slots=True)
class Making:
    """What rows of one load are made with, whichever process makes them.

    Attributes:
        by: who loads.
        source: where the tickets come from, such as a file name.
        at: the moment of the load.
        late: the clock is behind: each row says so.
        prices: the text of the price list that holds today.
        zone: of the shop.
        indexer: computes what makes an entry quick to find.
        of_job: computes the row kept of a job.
    """

    by: str
    source: str
    at: datetime
    late: bool
    prices: str | None
    zone: str
    indexer: Indexer
    of_job: JobIndexer


@dataclass(frozen=True, slots=True)
class Arrival:
    """A ticket as rows.

    Attributes:
        first: the lowest key of the day it was opened on.
        pictures: that it brings along.
        named: pictures its entries name, each behind the kind of the entry.
        staff: who is named, in the order of :attr:`Text`; the place of each is -1, -2 ...
        identities: the customer's values as (part, salt, value, promise); the place of each is 0, 1 ...
        body: of its journal row.
        words: of that row.
        promise: over them.
        ticket: its row by column.
        entries: their rows, without the ticket's key.
        wordings: rewordings by their slot.
        corrections: of the header, by their number.
        rows: all that is derived.
    """

    number: int
    first: int
    pictures: tuple[Picture, ...]
    named: tuple[tuple[str, str], ...]
    staff: tuple[str, ...]
    identities: tuple[tuple[str, bytes, str, str], ...]
    body: Text
    words: str | None
    promise: bytes | None
    ticket: dict[str, Any]
    entries: list[tuple[Any, ...]]
    wordings: list[tuple[int, Text]]
    corrections: list[tuple[int, Text]]
    rows: DerivedRows


PERSON, AMEND, DATA = (state.ENTRY.index(name) for name in ("person_id", "amend", "data"))
"""Where a row of an entry still holds the place of a person, whether it was amended, and an open text."""


class _Names:
    """What a ticket names that the database gives an id, each by its place."""

    def __init__(self, salts: Iterator[bytes]) -> None:
        self._salts = salts
        self.staff: dict[str, str] = {}
        self.identities: list[tuple[str, bytes, str, str]] = []

    def person(self, name: str) -> str:
        name = clean(name).strip()
        if not name:
            raise InputError("say who is doing this: the name is empty")
        return self.staff.setdefault(name, f"\0-{len(self.staff) + 1}")

    def identify(self, part: str, value: str) -> Json:
        salt = next(self._salts)
        kept = promise(salt, value.encode()).hex()
        self.identities.append((part, salt, value, kept))
        return {"identity": f"\0{len(self.identities) - 1}", "promise": kept}


def salts_of(seed: bytes) -> Iterator[bytes]:
    """As many salts as a ticket needs out of one seed, which is kept nowhere (SHAKE256, FIPS 202)."""
    number = 0
    while True:
        yield from _cut(shake_256(seed + number.to_bytes(4, "big")).digest(1024))
        number += 1


def _cut(block: bytes) -> Iterator[bytes]:
    return (block[at : at + 16] for at in range(0, len(block), 16))


def filled(text: Text, ids: Mapping[int, int]) -> str:
    """A text with its open places filled, by the ids of what stands there."""
    if isinstance(text, str):
        return text
    return "".join(str(ids[int(piece)]) if i % 2 else piece for i, piece in enumerate(text))


def _open(value: Any) -> Text:
    """Canonical JSON with its open places."""
    text = canonical_text(value)
    return tuple(_OPEN.split(text)) if "\\u0000" in text else text


def arrival(
    ticket: Ticket, making: Making, seed: bytes, pictures: Sequence[Picture] = (), *, decoded: bool = False
) -> Arrival:  # fmt: skip
    """The rows of a ticket.

    Args:
        ticket: as it came.
        making: of this load.
        seed: bytes that nobody can guess, for this ticket alone.
        pictures: that it brings along.
        decoded: its facts were just decoded, so their texts need not be looked at once more.

    Raises:
        InputError: a number, a time or a concern of it cannot be stored.
    """
    ticket = _tidied(ticket, decoded=decoded)
    salts = salts_of(seed)
    names = _Names(salts)
    body = _body(ticket, making, names) | (BACK if making.late else {})
    facts, words = split({"v": FORMAT} | body)
    held = {path: [salted(one, lambda _: next(salts)).salt, str(one)] for path, one in words.items()}
    after, _ = apply_row(None, Record(0, as_instant(making.at), 0, "", 0, "shop.load", None, body))
    closed = state.moment(after.closed) if after.closed else None
    ticket = replace(ticket, closed=closed)
    row = making.of_job(ticket, making.prices, making.zone)
    return Arrival(
        number=ticket.number,
        first=day_id(ticket.opened.date()),
        pictures=tuple(pictures),
        named=picture_rows.named(entry.fact for entry in ticket.entries),
        staff=tuple(names.staff),
        identities=tuple(names.identities),
        body=_open(facts),
        words=canonical_text(held) if held else None,
        promise=committed(held) if held else None,
        ticket={name: getattr(after, name) for name in state.TICKET} | {"header": _open(after.header)},
        entries=[_entry_row(after.entries[no]) for no in sorted(after.entries)],
        wordings=[(slot, _open(after.wordings[slot])) for slot in sorted(after.wordings)],
        corrections=[(no, _open(after.corrections[no])) for no in sorted(after.corrections)],
        rows=derived_rows.of_ticket(ticket, making.indexer, row),
    )


def _entry_row(entry: state.EntryState) -> tuple[Any, ...]:
    entry.data, entry.reason = _open(entry.data), str(entry.reason)  # type: ignore[assignment]
    return state.cells_of_entry(entry)


def _tidied(ticket: Ticket, *, decoded: bool) -> Ticket:
    """The ticket as it will read from the store."""
    entries = tuple(_tidied_entry(entry, decoded=decoded) for entry in ticket.entries)
    header = ticket.header if decoded else stored_values.tidy_header(ticket.header)
    return replace(ticket, header=header, entries=entries)


def _tidied_entry(entry: Entry, *, decoded: bool) -> Entry:
    concern = as_concern(entry.concern)
    if decoded:
        return entry if concern == entry.concern else replace(entry, concern=concern)
    return replace(entry, fact=stored_values.tidy(entry.fact), concern=concern)


def _body(ticket: Ticket, making: Making, names: _Names) -> Json:
    if not 0 < ticket.rev < LARGEST:
        raise InputError(f"ticket {ticket.number}: {ticket.rev} cannot be its revision")
    header = stored_values.store_header(ticket.header, names.identify)
    body: Json = {
        "source": Words(clean(making.source)), "number": ticket.number, "opened": as_instant(ticket.opened),
        "header": stored_values.mark_header(header), "status": ticket.status, "rev": ticket.rev,
        "births": [_birth(names, ticket.number, entry) for entry in ticket.entries],
    }  # fmt: skip
    if ticket.rewordings:
        held = [stored_values.store_wording(one, names.person(one.by)) for one in ticket.rewordings]
        body["rewordings"] = [stored_values.mark_wording(one) for one in held]
    if ticket.corrections:
        fixed = [
            stored_values.store_correction(one, names.identify, names.person(one.person)) for one in ticket.corrections
        ]
        body["corrections"] = [stored_values.mark_correction(one) for one in fixed]
    if ticket.status == "signed":
        body |= {
            "closed": as_instant(ticket.closed or making.at),
            "signed_by": names.person(ticket.signed_by or making.by),
        }
        if ticket.elsewhere:
            body |= {"was": clean(ticket.elsewhere.seal), "fits": ticket.elsewhere.fits}
            body |= {"proof": ticket.elsewhere.proof} if ticket.elsewhere.proof else {}
    return body


def _birth(names: _Names, number: int, entry: Entry) -> Json:
    if not 0 < entry.no < LARGEST:
        raise InputError(f"ticket {number}: {entry.no} cannot be the number of an entry")
    if entry.replaces is not None and not 0 < entry.replaces < LARGEST:
        raise InputError(f"ticket {number}: entry {entry.no} cannot replace {entry.replaces}")
    plain = NewEntry(entry.fact, entry.concern, entry.shop_only, entry.replaces)
    document = birth_of(names.identify, plain, entry.fact, entry.no, plain.concern, entry.at)
    document["person"] = names.person(entry.person)
    document |= {name: True for name in ("struck", "amended") if getattr(entry, name)}
    return document | ({"reason": Words(clean(entry.reason))} if entry.reason else {})
