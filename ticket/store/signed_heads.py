"""Heads: the newest row of the journal in few bytes, signed, so that it can be kept in other hands.

A kept head shows that nothing before it was changed or cut off; its signature shows that this shop made it. Neither
does the other's work.
"""

import base64
import binascii
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import Any

from sqlite_utils import Database

from ticket.job.codec import Json

NAME = "ticket-head-1"
KEY_NAME = "ticket-key-1"
KEY, KEY_END = "shop.key", "shop.key.end"
DAY = "shop.day"
"""The verb of the row that begins a day."""
SIGNED = ("sign", "amend", DAY, "forget", "shop.restore")
"""Verbs of rows that are signed where there is a key."""
WHYS = ("lost", "leaver", "old")
"""Why a key may be ended."""


@dataclass(frozen=True, slots=True)
class Head:
    """One row of the journal as it can be kept elsewhere.

    Attributes:
        shop: random name of the file it is of.
        hash: of the row, 64 digits.
        number: the highest number of a ticket then.
        key: which key signed it; empty where none did.
        sig: the signature in base64.
    """

    shop: str
    seq: int
    hash: str
    at: str
    number: int
    key: str = ""
    sig: str = ""

    @property
    def signed(self) -> bytes:
        """What a signature covers."""
        parts = (NAME, self.shop, str(self.seq), self.hash, self.at, str(self.number))
        return b"".join(len(raw).to_bytes(8, "big") + raw for raw in map(str.encode, parts))

    def document(self) -> Json:
        """One line of JSON, as it is exported."""
        plain: Json = {
            "head": NAME, "shop": self.shop, "seq": self.seq, "hash": self.hash, "at": self.at, "number": self.number,
        }  # fmt: skip
        return plain | ({"key": self.key, "sig": self.sig} if self.key else {})


@dataclass(frozen=True, slots=True)
class Signer:
    """A key of this login.

    Attributes:
        id: how it is named.
        public: its public half in base64.
        login: whose it is.
        sign: makes a signature.
    """

    id: str
    public: str
    login: str
    sign: Callable[[bytes], bytes]


def from_document(data: Any) -> Head | None:
    """A head as exported; ``None`` for anything else."""
    if not isinstance(data, dict) or data.get("head") != NAME:
        return None
    try:
        return Head(
            str(data["shop"]), int(data["seq"]), str(data["hash"]), str(data["at"]), int(data["number"]),
            str(data.get("key", "")), str(data.get("sig", "")),
        )  # fmt: skip
    except (KeyError, TypeError, ValueError):
        return None


def head_of(db: Database, seq: int | None = None) -> Head | None:
    """A row as a head without a signature; the newest where none is named, ``None`` where it is not there."""
    where, values = ("seq = ?", [seq]) if seq is not None else ("seq = (SELECT max(seq) FROM journal)", [])
    row = db.execute(f"SELECT seq, lower(hex(hash)), at FROM journal WHERE {where}", values).fetchone()  # noqa: S608
    if row is None:
        return None
    number = db.execute(
        "SELECT max(json_extract(body, '$.number')) FROM journal"
        " WHERE verb IN ('ticket.open', 'shop.load') AND seq <= ?",
        [row[0]],
    ).fetchone()[0]
    return Head(uid(db), row[0], row[1], row[2], number or 0)


def lost_in_restore(db: Database, seq: int) -> tuple[str, int, int] | None:
    """When a restore lost a row of that number, the last row of its copy, and the last one that was lost."""
    rows: list[tuple[Any, ...]] = db.execute(
        "SELECT at, json_extract(body, '$.copy'), json_extract(body, '$.lost') FROM journal WHERE verb = 'shop.restore'"
    ).fetchall()
    for at, copy, lost in rows:
        first, last = (int(str(one).partition("-")[0] or 0) for one in (copy, lost or ""))
        if first < seq <= last:
            return at, first, last
    return None


def uid(db: Database) -> str:
    """The random name of the file."""
    row = db.execute("SELECT value FROM shop WHERE key = 'uid'").fetchone()
    return str(row[0]) if row else ""


def vouching(shop: str, key: str, public: str) -> bytes:
    """What an older key signs to vouch for a newer one."""
    return b"".join(len(raw).to_bytes(8, "big") + raw for raw in map(str.encode, (KEY_NAME, shop, key, public)))


def ended_keys(db: Database) -> frozenset[str]:
    """Names of the keys that sign no more."""
    return frozenset(key for key, told in public_keys(db).items() if "last" in told)


def public_keys(db: Database) -> dict[str, Json]:
    """The public keys of the shop by name: as they were journaled, with ``row``, and ``last`` where one was ended."""
    rows = db.execute(
        "SELECT seq, verb, body FROM journal WHERE ticket_id IS NULL AND verb IN (?, ?) ORDER BY seq", [KEY, KEY_END]
    ).fetchall()
    found: dict[str, Json] = {}
    for seq, verb, text in rows:
        body = json.loads(text)
        if verb == KEY:
            found.setdefault(body["id"], body | {"row": seq})
        elif body["id"] in found:
            found[body["id"]]["last"] = body["last"]
    return found


def fits(head: Head, public: str) -> bool:
    """Whether a head was signed with the private half of a public key."""
    return signed_by(public, head.sig, head.signed)


def signed_by(public: str, sig: str, content: bytes) -> bool:
    """Whether a signature in base64 over some bytes was made with the private half of a public key."""
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    try:
        key = Ed25519PublicKey.from_public_bytes(base64.b64decode(public, validate=True))
        key.verify(base64.b64decode(sig, validate=True), content)
    except (InvalidSignature, ValueError, binascii.Error):
        return False
    return True


def wrong_vouchers(db: Database) -> Iterator[tuple[int, str]]:
    """Keys that say an older one vouches for them, and it does not: each with a sentence."""
    keys, shop = public_keys(db), uid(db)
    for name, told in keys.items():
        vouched = told.get("vouched") or {}
        if "sig" not in vouched:
            continue
        older = keys.get(vouched.get("key", ""))
        good = older is not None and older["row"] < told["row"] <= older.get("last", told["row"])
        if not (good and older and signed_by(older["public"], vouched["sig"], vouching(shop, name, told["public"]))):
            yield told["row"], f"key {shown(name)} says that another vouches for it; that signature does not fit"


def wrong_signatures(db: Database) -> Iterator[tuple[int, str]]:
    """Rows that say they are signed and are not: each with a sentence."""
    keys = public_keys(db)
    sigs = {(seq, key): sig for seq, key, sig in db.execute("SELECT seq, key, sig FROM signature").fetchall()}
    rows = db.execute(
        "SELECT seq, json_extract(body, '$.key') FROM journal WHERE verb IN (SELECT value FROM json_each(?)) AND"
        " json_extract(body, '$.key') IS NOT NULL ORDER BY seq",
        [json.dumps(SIGNED)],
    ).fetchall()
    for seq, key in rows:
        lead = f"says it is signed with key {shown(key)}; its signature"
        sig, public, head = sigs.pop((seq, key), None), keys.get(key), head_of(db, seq)
        if sig is None:
            yield seq, f"{lead} is missing"
        elif public is None or head is None:
            yield seq, f"{lead} is of no key of this shop"
        elif not fits(replace(head, key=key, sig=base64.b64encode(sig).decode()), public["public"]):
            yield seq, f"{lead} does not fit"
        elif seq > public.get("last", seq):
            yield seq, f"{lead} is of a key that was ended before"
    for seq, key in sigs:
        yield seq, f"a signature with key {shown(key)} stands for a row that names no such key"


def key_id(public: bytes) -> str:
    """The name of a key: the first sixteen base32 letters of the SHA-256 of its public half."""
    return base64.b32encode(sha256(public).digest()).decode().lower()[:16]


def shown(key: str) -> str:
    """The name of a key as people read it: ``62zb-6rn7-keze-dy2i``."""
    return "-".join(key[i : i + 4] for i in range(0, len(key), 4))
