"""A setting as it stood when a ticket was signed; as it stands today for one that is open."""

import json
from bisect import bisect_left
from dataclasses import dataclass

from sqlite_utils import Database

_SIGNED = "SELECT ticket_id, min(seq) FROM journal WHERE verb IN ('sign', 'shop.load') AND {} GROUP BY ticket_id"
_VALUES = (
    "SELECT seq, coalesce(json_extract(body, '$.new'), '') FROM journal"
    " WHERE ticket_id IS NULL AND verb = 'shop.set' AND json_extract(body, '$.key') = ? ORDER BY seq"
)


def values(db: Database, setting: str) -> list[tuple[int, str]]:
    """Every value a setting had, oldest first, each behind the journal row that set it; empty: unset."""
    return [(row[0], row[1]) for row in db.execute(_VALUES, [setting]).fetchall()]


def text_at(row: int | None, held: list[tuple[int, str]]) -> str | None:
    """The text that was set last before a row of the journal; ``None`` where none was, or it was taken back."""
    before = bisect_left(held, row, key=lambda one: one[0]) if row else 0
    return text_of(held[before - 1][1]) if before else None


def text_of(value: str) -> str | None:
    """What a setting says; one that was taken back, or cannot be read, says nothing."""
    try:
        found = json.loads(value) if value else None
    except ValueError:
        return None
    return found if isinstance(found, str) else None


def text_now(db: Database, setting: str) -> str | None:
    """What a setting says today."""
    row = db.execute("SELECT CAST(value AS BLOB) FROM shop WHERE key = ?", [setting]).fetchone()
    return text_of(row[0].decode("utf-8", "replace")) if row else None


def zone_now(db: Database) -> str:
    """The shop's zone; a setting that cannot be read stands at its default, as everywhere."""
    return text_now(db, "zone") or ""


def text_for(db: Database, setting: str, ticket: int, *, signed: bool) -> str | None:
    """What a setting says for one ticket, by its key."""
    if signed and (row := db.execute(_SIGNED.format("ticket_id = ?"), [ticket]).fetchone()):
        if (then := text_at(row[1], values(db, setting))) is not None:
            return then
    return text_now(db, setting)


@dataclass(frozen=True, slots=True)
class Then:
    """The texts of one setting for many tickets.

    Attributes:
        now: as it stands.
        signed: for each ticket that was signed or came signed, by its key, the journal row of that.
        held: every value it had.
        zone: of the shop, today.
    """

    now: str | None
    signed: dict[int, int]
    held: list[tuple[int, str]]
    zone: str = ""

    @classmethod
    def read(cls, db: Database, setting: str) -> "Then":
        """For every ticket."""
        held = values(db, setting)
        signed = dict(db.execute(_SIGNED.format("ticket_id IS NOT NULL")).fetchall()) if held else {}
        return cls(text_now(db, setting), signed, held, zone_now(db))

    def of(self, ticket: int, *, signed: bool) -> str | None:
        """What it says for one ticket."""
        return (text_at(self.signed.get(ticket), self.held) if signed else None) or self.now

    def stood(self, ticket: int) -> bool:
        """Whether it said something when a ticket was signed: then later values change nothing for it."""
        return text_at(self.signed.get(ticket), self.held) is not None
