"""First pass over the journal: its chain, the promises of its texts, its times, and what it says about the shop."""

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from ticket.store.canonical import GENESIS, row_hash, seal_text
from ticket.store.driver import Connection, Error
from ticket.store.proof.customers import Customers
from ticket.store.proof.finding import Findings, Tell, untold
from ticket.store.proof.kept_check import KeptThings
from ticket.store.proof.pin_check import PinRows
from ticket.store.proof.shop_rows import ShopRows
from ticket.store.proof.texts import COLUMNS, Row, blanked, whole_body, words_hold

_BACK = timedelta(minutes=5)  # a clock this much before the newest row is told
_FAULTS = (ValueError, TypeError, KeyError, IndexError, AttributeError)

_TOLD = 256  # rows between two words on how far the walk is


@dataclass(slots=True)
class Chain:
    """What the first pass leads to.

    Attributes:
        last: sequence of the last row.
        stored: its hash as stored.
        counted: the hash as computed: where only the stored one was changed, the next row fits this one.
    """

    last: int = 0
    stored: bytes = GENESIS
    counted: bytes = GENESIS
    newest: datetime | None = None
    back: list[tuple[int, int]] = field(default_factory=list)
    restored: list[str] = field(default_factory=list)
    blank: dict[int, list[str] | None] = field(default_factory=dict)
    told: dict[int, set[str]] = field(default_factory=dict)
    told_whole: set[int] = field(default_factory=set)
    shop: ShopRows = field(default_factory=ShopRows)
    customers: Customers = field(default_factory=Customers)
    kept: KeptThings = field(default_factory=KeptThings)
    pins: PinRows = field(default_factory=PinRows)

    @property
    def head(self) -> str:
        """The last row in print."""
        return seal_text(self.last, self.stored) if self.last else ""

    def feed(self, row: Row, found: Findings) -> None:
        """Take in the next row."""
        seq, at, _, _, ticket, verb, _, _, words, _, kept, digest = row
        follows = seq == self.last + 1
        if not follows:
            missing = f"row {self.last + 1} is missing"
            if seq > self.last + 2:
                missing = f"rows {self.last + 1} to {seq - 1} are missing"
            found.add("journal", missing, self.last + 1)
        where = f"journal {seq}"
        counted = self._hash(row, self.stored)
        if counted != digest and self._hash(row, self.counted) == digest:
            counted = digest
        if counted != digest and follows:
            found.add(where, "its hash does not fit what it says and the row before it", seq)
        if not words_hold(words, row[9], kept):
            found.add(where, "its words are not those that were promised", seq)
        gone = blanked(words, row[9], kept)
        if gone != []:
            self.blank[seq] = gone
        self.last, self.stored, self.counted = seq, digest, counted
        self._time(seq, at)
        try:
            self._read(row, ticket, verb)
        except _FAULTS:
            found.add(where, "what it says cannot be read", seq)

    def _hash(self, row: Row, previous: bytes) -> bytes:
        seq, at, person, sitting, ticket, verb, of, body, _, _, kept, _ = row
        try:
            return row_hash(previous, seq, at, person, sitting, ticket, verb, of, body, kept)
        except (TypeError, AttributeError):
            return b""

    def _time(self, seq: int, at: bytes) -> None:
        try:
            moment = datetime.fromisoformat(at.decode())
            late = self.newest is not None and moment < self.newest - _BACK
        except (ValueError, TypeError, AttributeError):
            return
        if late:
            self.back.append((seq, moment.year))
        elif self.newest is None or moment > self.newest:
            self.newest = moment

    def _read(self, row: Row, ticket: int | None, verb: bytes) -> None:
        body, words = row[7], row[8]
        if verb == b"forget":
            told = json.loads(body)
            self.told_whole.update(told.get("seqs", ()))
            for seq, paths in told.get("paths", {}).items():
                self.told.setdefault(int(seq), set()).update(paths)
            self.customers.forgotten.update(told.get("identities", ()))
            if told.get("papers") and ticket is not None:
                self.kept.blanked.add(ticket)
        if b'"kept":' in body:
            self.kept.note(row[0], ticket, json.loads(body))
        if b'"identity":' in body:
            self.customers.note(row[0], json.loads(body))
        if verb == b"shop.restore":
            self._put_back(row[0], json.loads(body))
        if verb == b"shop.pin":
            self.pins.feed(row[0], json.loads(body))
        elif verb == b"shop.key":
            self.pins.key(row[0], json.loads(body))
        elif verb in (b"sign", b"amend"):
            self.pins.signed(json.loads(body))
        if ticket is None and verb not in (b"forget", b"look"):
            self.shop.feed(row[0], row[1].decode(), row[2], verb.decode(), whole_body(body, words))

    def _put_back(self, seq: int, body: Any) -> None:
        """A copy took the place of the file: what it lost is no cut-off end, and is told every time."""
        first, last = (int(str(one or "").partition("-")[0] or 0) for one in (body["copy"], body["lost"]))
        lost = f"rows {first + 1}-{last} of that time were lost" if last > first else "nothing was lost"
        self.restored.append(f"row {seq} put a copy back that ended at row {first}: {lost}")

    def settle(self, found: Findings) -> None:
        """What only the end of the journal can tell."""
        for seq, paths in self.blank.items():
            if seq in self.told_whole or (paths is not None and self.told.get(seq, set()).issuperset(paths)):
                continue
            found.add(f"journal {seq}", "words of it are gone, and no later row says why", seq)
        found.remarks += self.restored
        if self.back:
            rows = [seq for seq, _ in self.back]
            said = f"{len(rows)} rows stand behind newer ones" if len(rows) > 1 else f"row {rows[0]} says an older time"
            found.times.append(f"{said}, the first is row {rows[0]} of {self.back[0][1]}: the clock was set back")


def walk(connection: Connection, found: Findings, tell: Tell = untold) -> Chain:
    """Read the whole journal once; a place that cannot be read is named, and what stands behind it is read on."""
    chain = Chain()
    start: Any = 0
    newest = _newest(connection)

    def told(row: int) -> None:
        tell("check journal", row, newest)

    while start is not None:
        start = _stretch(connection, chain, found, start, told)
    told(newest)
    _strays(connection, chain, found)
    chain.settle(found)
    return chain


def _stretch(
    connection: Connection, chain: Chain, found: Findings, start: int, told: Callable[[int], None]
) -> int | None:
    """Rows behind ``start`` up to a damaged place; where to go on behind that, ``None`` at the end."""
    try:
        for row in connection.execute(f"SELECT {COLUMNS} FROM journal WHERE seq > ? ORDER BY seq", [start]):  # noqa: S608
            chain.feed(row, found)
            if not chain.last % _TOLD:
                told(chain.last)
    except Error as error:
        last = max(chain.last, start)
        found.add("journal", f"behind row {last} it cannot be read: {error}", last + 1)
        return _next_readable(connection, last)
    return None


def _newest(connection: Connection) -> int:
    """The last row of the journal; 0 where there is none, or where it cannot be read."""
    try:
        found = connection.execute("SELECT max(seq) FROM journal").fetchone()[0]
    except Error:
        return 0
    return found if isinstance(found, int) else 0


def _next_readable(connection: Connection, last: int) -> int | None:
    """A row behind a damaged place from which on others can be read: looked for in steps that grow."""
    newest = _newest(connection)
    step = 1
    while last + step <= newest:
        try:
            row = connection.execute("SELECT seq FROM journal WHERE seq > ? ORDER BY seq LIMIT 1", [last + step])
            if row.fetchone():
                return last + step
        except Error:
            pass
        step *= 2
    return None


def _strays(connection: Connection, chain: Chain, found: Findings) -> None:
    try:
        stray = connection.execute("SELECT min(seq) FROM journal WHERE seq < 1").fetchone()[0]
    except Error:
        return
    if stray is not None:
        found.add("journal", f"a row {stray} stands before the first", chain.last + 1)
