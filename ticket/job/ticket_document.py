"""The ticket document: what ``show --json``, ``dump`` and ``load`` exchange; see ``schemas/ticket.json``."""

import itertools
import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from hashlib import sha256
from operator import attrgetter
from typing import Any

from ticket.job.codec import Json, decode, decode_fact, encode, encode_fact, instant
from ticket.job.entry import CONCERN_LETTERS, Entry
from ticket.job.errors import DataError
from ticket.job.field_specs import specs
from ticket.job.kinds import Fact
from ticket.job.picture import Picture, from_json, to_json
from ticket.job.regex import Regex
from ticket.job.ticket import ODOMETER_UNITS, Elsewhere, Header, Ticket
from ticket.job.wall import FIRST_DAY, LAST_DAY, calendar_day

FORMAT = "ticket-1"
_TICKET = ("number", "opened", "status", "closed", "signed_by", "seal", "rev", "rewordings", "corrections", "elsewhere")
_ISO = Regex(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_DIGEST = "digest"  # of everything else in the document of a signed ticket but the pictures
PROOF = "proof"  # of the shop that signed it; it covers everything but the pictures, which prove themselves
SHOP = "shop"  # the shop that wrote it out, by its name in proofs; nothing rests on it
_PICTURES = "pictures"  # what the digests in the entries stand for: it proves itself
READ = "read"
"""Key beside a fact in what ``show --json`` prints: what its line means (``schemas/read.json``). It follows from the
fact, so no digest covers it and loading leaves it out."""

_ENTRY = ("no", "person", "at", "concern", "shop_only", "struck", "replaces", "reason", "amended")
_BOOKKEEPING = attrgetter(*_ENTRY)
_KNOWN = frozenset(("kind", "fact", READ, *_ENTRY))


@dataclass(frozen=True, slots=True)
class Bookkeeping:
    """The fields of an entry without its fact, so that the one decoder can check them."""

    no: int
    person: str
    at: datetime
    concern: str = ""
    shop_only: bool = False
    struck: bool = False
    replaces: int | None = None
    reason: str = ""
    amended: bool = False


def entry_document(entry: Entry) -> Json:
    """One entry as a document: its bookkeeping, its kind, and its fact."""
    plain = encode(entry)
    return {name: plain[name] for name in _ENTRY if name in plain} | {
        "kind": entry.kind,
        "fact": encode_fact(entry.fact),
    }


def to_document(ticket: Ticket, pictures: Iterable[Picture] = ()) -> Json:
    """A ticket as a document, with the pictures its entries name where they are handed in."""
    plain = encode(ticket)
    document: Json = {"format": FORMAT}
    document |= {name: plain[name] for name in _TICKET if name in plain}
    document.setdefault("status", ticket.status)
    document["opened"] = instant(ticket.opened)
    document["header"] = encode(ticket.header)
    document["entries"] = [entry_document(entry) for entry in ticket.entries]
    document |= {_DIGEST: digest_of(document)} if ticket.seal else {}
    held = to_json(pictures)
    return document | ({_PICTURES: held} if held else {})


def pictures_of(data: Json) -> tuple[Picture, ...]:
    """The pictures a document brings along. Raises :class:`DataError` for one that is not what it is called."""
    return from_json(data.get(_PICTURES, {}))


def shop_of(data: Json) -> str:
    """The shop that wrote a document out; empty where it does not say. Raises :class:`DataError` for no text."""
    found = data.get(SHOP, "")
    if not isinstance(found, str):
        raise DataError(SHOP, "expected text")
    return found


def digest_of(document: Json) -> str:
    """SHA-256 in hex of a document but its digest and pictures, whatever its spaces and the order of its fields."""
    held = {name: value for name, value in document.items() if name not in (_DIGEST, _PICTURES, PROOF, SHOP)}
    if isinstance(held.get("entries"), list):
        held["entries"] = [_without_read(entry) for entry in held["entries"]]
    return sha256(json.dumps(held, sort_keys=True, separators=(",", ":")).encode()).hexdigest()


def _without_read(entry: Any) -> Any:
    return {name: value for name, value in entry.items() if name != READ} if isinstance(entry, dict) else entry


def from_document(data: Any) -> Ticket:
    """A ticket from a document; a signed one says that it was signed elsewhere, and whether its document is whole.

    Raises:
        DataError: naming the place and the reason; nothing is half-read.
    """
    if not isinstance(data, dict):
        raise DataError("", "a ticket document is an object")
    if data.get("format") != FORMAT:
        raise DataError("format", f"expected {FORMAT!r}")
    unknown = set(data) - {"format", "header", "entries", _DIGEST, _PICTURES, PROOF, SHOP, *_TICKET}
    if unknown:
        raise DataError(sorted(unknown)[0], "unknown field")
    shop_of(data)
    raw = data.get("entries", [])
    if not isinstance(raw, list):
        raise DataError("entries", "expected a list")
    entries = tuple(_entry(item, f"entries/{i}") for i, item in enumerate(raw))
    for before, after in itertools.pairwise(entries):
        if after.no <= before.no:
            raise DataError(f"entries/{after.no}", "entry numbers must rise")
    bare = decode(Ticket, {name: data[name] for name in _TICKET if name in data})
    if bare.number < 1:
        raise DataError("number", "must be 1 or more")
    header = decode(Header, data.get("header", {}), "header")
    for name in ("odometer_in", "odometer_out"):
        reading = getattr(header, name)
        if reading is not None and reading.unit not in ODOMETER_UNITS:
            raise DataError(f"header/{name}/unit", f"must be one of: {', '.join(ODOMETER_UNITS)}")
    return Ticket(
        number=bare.number, opened=bare.opened, status=bare.status, header=header, entries=entries,
        closed=bare.closed, signed_by=bare.signed_by, seal=bare.seal, rev=bare.rev, rewordings=bare.rewordings,
        corrections=bare.corrections, elsewhere=_elsewhere(bare, data),
    )  # fmt: skip


def _elsewhere(bare: Ticket, data: Json) -> Elsewhere | None:
    if bare.status != "signed" or not bare.seal:
        return None
    digest = data.get(_DIGEST)
    if digest is not None and not isinstance(digest, str):
        raise DataError(_DIGEST, "expected text")
    return Elsewhere(bare.seal, "unknown" if digest is None else "yes" if digest == digest_of(data) else "no")


def _check_days(fact: Fact, path: str) -> None:
    """A day that looks like one is one: the calendar has it, and in years this program knows."""
    for name in _day_fields(type(fact)):  # type: ignore[arg-type]
        if (found := _ISO.match(getattr(fact, name))) and calendar_day(found[0]) is None:
            reason = f"{found[0]} is no day between {FIRST_DAY} and {LAST_DAY}"
            raise DataError(f"{path}/{name}", reason)


@cache
def _day_fields(kind: type[Fact]) -> tuple[str, ...]:
    return tuple(spec.name for spec in specs(kind) if spec.shape in ("date", "time"))


def _entry(data: Any, path: str) -> Entry:
    if not isinstance(data, dict):
        raise DataError(path, "expected an object")
    if not data.keys() <= _KNOWN:
        raise DataError(f"{path}/{sorted(data.keys() - _KNOWN)[0]}", "unknown field")
    kind = data.get("kind")
    if not isinstance(kind, str):
        raise DataError(f"{path}/kind", "missing")
    fact = decode_fact(kind, data.get("fact", {}), f"{path}/fact")
    _check_days(fact, f"{path}/fact")
    plain = decode(Bookkeeping, {name: data[name] for name in _ENTRY if name in data}, path)
    if plain.no < 1:
        raise DataError(f"{path}/no", "must be 1 or more")
    letters = plain.concern.split("+") if plain.concern else []
    if any(letter not in CONCERN_LETTERS or len(letter) != 1 for letter in letters):
        raise DataError(f"{path}/concern", "must be a letter from A to Z without I and O, or several joined by +")
    no, *more = _BOOKKEEPING(plain)
    return Entry(no, fact, *more)
