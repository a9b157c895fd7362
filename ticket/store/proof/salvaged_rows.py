"""Rows out of a damaged file, page by page and without SQLite; each proves itself by a hash that stands beside it.

The format is that of https://www.sqlite.org/fileformat2.html: leaf pages of tables begin with 13 and hold cells of a
length, a key and a record; what does not fit a page goes on in a chain of others.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Any

from ticket.store.canonical import GENESIS, promise, row_hash
from ticket.store.proof.texts import words_hold

Row = tuple[Any, ...]
_LEAF, _HEADER, _FILE_HEADER, _FRAME = 0x0D, 8, 100, 24
_SIZES = (4096, 1024, 2048, 8192, 16384, 32768, 65536, 512)
_JOURNAL, _IDENTITY, _PICTURE = 12, 5, 2
_WAL_MAGIC = (0x377F0682, 0x377F0683)


@dataclass(slots=True)
class Salvaged:
    """What was found.

    Attributes:
        rows: of the journal that are proved, by their sequence; texts as bytes.
        unproved: rows whose hash fits no row before them.
        identities: customers' values by key and promise.
        pictures: by their digest.
    """

    rows: dict[int, Row] = field(default_factory=dict)
    unproved: dict[int, Row] = field(default_factory=dict)
    identities: dict[tuple[int, str], Row] = field(default_factory=dict)
    pictures: dict[str, bytes] = field(default_factory=dict)

    @property
    def missing(self) -> list[int]:
        """Sequences of rows that were not found, up to the last that was."""
        found = self.rows.keys() | self.unproved.keys()
        return [seq for seq in range(1, max(found, default=0) + 1) if seq not in found]


def salvage(path: Path) -> Salvaged:
    """Everything that proves itself in a file and the log beside it. Raises ``OSError``."""
    raw = path.read_bytes()
    size = _page_size(raw)
    pages = _pages(raw, size)
    log = path.with_name(f"{path.name}-wal")
    if log.exists():
        pages |= _logged(log.read_bytes(), size)
    found = Salvaged()
    journal: dict[int, list[Row]] = {}
    for key, row in _rows(pages, size):
        if len(row) == _JOURNAL and _is_hash(row[11]):
            journal.setdefault(key, []).append((key, *row[1:]))
        elif len(row) == _IDENTITY and _is_digest(row[4]):
            _identity(found, (key, *row[1:]))
        elif len(row) == _PICTURE and isinstance(row[1], bytes) and _is_digest(row[0]):
            if sha256(row[1]).hexdigest().encode() == row[0]:
                found.pictures[row[0].decode()] = row[1]
    _prove(found, journal)
    return found


def _prove(found: Salvaged, journal: dict[int, list[Row]]) -> None:
    """A row is proved when its hash fits on one before it, and its words on their promise."""
    before: list[bytes] = [GENESIS]
    for seq in sorted(journal):
        if seq > 1 and seq - 1 not in journal:
            before = []
        good = [row for row in journal[seq] if words_hold(row[8], row[9], row[10])]
        proved = [row for row in good if any(_fits(row, one) for one in before)]
        if proved:
            found.rows[seq] = proved[0]
        elif good:
            found.unproved[seq] = good[0]
        before = [row[11] for row in (proved or good)]


def _fits(row: Row, previous: bytes) -> bool:
    seq, at, person, sitting, ticket, verb, of, body, _, _, kept, digest = row
    try:
        return bool(row_hash(previous, seq, at, person, sitting, ticket, verb, of, body, kept) == digest)
    except (TypeError, AttributeError):
        return False


def _identity(found: Salvaged, row: Row) -> None:
    key, _, salt, value, kept = row
    if salt is None and value is None:
        found.identities.setdefault((key, kept.decode()), row)
    elif isinstance(salt, bytes) and isinstance(value, bytes) and promise(salt, value).hex().encode() == kept:
        found.identities[key, kept.decode()] = row


# -- pages --------------------------------------------------------------------------------------------------------


def _page_size(raw: bytes) -> int:
    told = int.from_bytes(raw[16:18], "big")
    told = 65536 if told == 1 else told
    if raw.startswith(b"SQLite format 3\0") and told in _SIZES:
        return told
    return max(_SIZES, key=lambda size: sum(len(row) == _JOURNAL for _, row in _rows(_pages(raw, size), size)))


def _pages(raw: bytes, size: int) -> dict[int, bytes]:
    return {at // size + 1: raw[at : at + size] for at in range(0, len(raw), size)}


def _logged(raw: bytes, size: int) -> dict[int, bytes]:
    """The pages of a log, the newest of each; where a frame is no frame any more, what follows is older."""
    if int.from_bytes(raw[:4], "big") not in _WAL_MAGIC:
        return {}
    salt, found = raw[16:24], {}
    for at in range(32, len(raw) - _FRAME - size + 1, _FRAME + size):
        if raw[at + 8 : at + 16] != salt:
            break
        found[int.from_bytes(raw[at : at + 4], "big")] = raw[at + _FRAME : at + _FRAME + size]
    return found


def _rows(pages: dict[int, bytes], size: int) -> Iterator[tuple[int, Row]]:
    for number, page in pages.items():
        start = _FILE_HEADER if number == 1 else 0
        if len(page) < size or page[start] != _LEAF:
            continue
        count = int.from_bytes(page[start + 3 : start + 5], "big")
        for i in range(count):
            place = start + _HEADER + 2 * i
            at = int.from_bytes(page[place : place + 2], "big")
            try:
                yield _cell(pages, page, at, size)
            except (IndexError, ValueError, KeyError, OverflowError):
                continue  # a cell that is none


def _cell(pages: dict[int, bytes], page: bytes, at: int, size: int) -> tuple[int, Row]:
    length, at = _varint(page, at)
    key, at = _varint(page, at)
    local = _local(length, size)
    payload = page[at : at + local]
    if local < length:
        payload += _overflow(pages, int.from_bytes(page[at + local : at + local + 4], "big"), length - local, size)
    return key - (1 << 64) if key >> 63 else key, _record(payload)


def _local(length: int, size: int) -> int:
    """How much of a record stands on its own page (section 1.6 of the format)."""
    most = size - 35
    if length <= most:
        return length
    least = (size - 12) * 32 // 255 - 23
    kept = least + (length - least) % (size - 4)
    return kept if kept <= most else least


def _overflow(pages: dict[int, bytes], number: int, left: int, size: int) -> bytes:
    parts, seen = [], set()
    while left > 0:
        if number in seen:
            raise ValueError("a chain that comes back to itself")
        seen.add(number)
        page = pages[number]
        parts.append(page[4 : 4 + min(left, size - 4)])
        left -= len(parts[-1])
        number = int.from_bytes(page[:4], "big")
    return b"".join(parts)


def _record(payload: bytes) -> Row:
    end, at = _varint(payload, 0)
    kinds = []
    while at < end:
        kind, at = _varint(payload, at)
        kinds.append(kind)
    row = []
    for kind in kinds:
        value, at = _value(payload, at, kind)
        row.append(value)
    if at != len(payload):
        raise ValueError("no record")
    return tuple(row)


_INTEGERS = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}


def _value(payload: bytes, at: int, kind: int) -> tuple[Any, int]:
    if kind == 0:
        return None, at
    if kind in _INTEGERS:
        end = at + _INTEGERS[kind]
        return int.from_bytes(payload[at:end], "big", signed=True), end
    if kind in (8, 9):
        return kind - 8, at
    if kind < 12:  # a fraction, of which no row that is looked for has any
        return None, at + 8
    end = at + (kind - 12) // 2
    if end > len(payload):
        raise ValueError("a text longer than its record")
    return payload[at:end], end


def _varint(raw: bytes, at: int) -> tuple[int, int]:
    value = 0
    for i in range(8):
        byte = raw[at + i]
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, at + i + 1
    return value << 8 | raw[at + 8], at + 9


def _is_hash(value: Any) -> bool:
    return isinstance(value, bytes) and len(value) == 32


def _is_digest(value: Any) -> bool:
    return isinstance(value, bytes) and len(value) == 64
