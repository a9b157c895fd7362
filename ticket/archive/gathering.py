"""Gathering signed tickets of many shops into records by shop and month: repeatable, and safe to interrupt.

A part is named by what it holds, written aside, brought to the disk and renamed, and counts only once the manifest
names it. So a gathering that is cut leaves at most a file that nobody names, and a second one writes nothing twice.
"""

# ruff: noqa: S608 - the SQL is made of constants of this room; what was typed is bound

import json
import os
import stat
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path
from typing import Any

from ticket.archive import manifest
from ticket.archive.archive_masking import masked
from ticket.archive.engine import opened, quoted_path
from ticket.archive.manifest import Manifest, Part, key_of
from ticket.job.errors import DataError, InputError
from ticket.job.progress import counted
from ticket.job.text import one_line
from ticket.job.ticket_document import from_document, shop_of, to_document
from ticket.machine.input_files import open_plain, reason
from ticket.machine.json_file import JsonFile, begins_as_json
from ticket.shop.opening import Shop
from ticket.store.file_modes import make_file, make_folder

RECORDS = "records"
_NO_SUMS = json.dumps([None, None, False])  # a dump tells none
_HEAD = 4096  # bytes that tell JSON from a database
_COLUMNS = "{number: 'BIGINT', rev: 'BIGINT', seal: 'VARCHAR', vehicle: 'VARCHAR', sums: 'VARCHAR', doc: 'VARCHAR'}"

Json = dict[str, Any]
_Signed = tuple[str, Json, list[object]]


@dataclass(frozen=True, slots=True)
class Record:
    """A signed ticket as the archive keeps it; ``sums`` are total, agreed and whether the bill is above it, as JSON."""

    number: int
    rev: int
    seal: str
    vehicle: str
    sums: str
    doc: str


@dataclass(frozen=True, slots=True)
class Gathered:
    """What a gathering did.

    Attributes:
        tickets: that the archive holds now.
        shops: that it knows.
        written: parts that were written.
        kept: parts that held all already.
    """

    tickets: int
    shops: int
    written: int
    kept: int


def gather(sources: Iterable[Path], archive: Path, key: bytes, *, names: bool = False) -> Gathered:
    """Take the signed tickets of some databases or dumps into an archive.

    Args:
        sources: databases, dumps, or folders of them.
        archive: its folder, made where there is none.
        key: of the chain of shops, for the digests of vehicles and people.
        names: let the names of technicians stand.

    Raises:
        InputError: a source cannot be read, or another gathering is at work; what was taken in before stays.
    """
    written = kept = 0
    files = list(_files(sources))
    with manifest.locked(archive):
        make_folder(archive / RECORDS)
        state = manifest.read(archive)
        for path in counted(files, "gather", len(files)):
            new = 0
            for name, records in _records(_tickets(path), key, names=names).items():
                if name not in state.shops:
                    state = replace(state, shops=state.shops | {name: max(state.shops.values(), default=0) + 1})
                state, fresh, old = _take(archive, state, state.shops[name], records)
                new, kept = new + fresh, kept + old
            written += new
            manifest.write(archive, replace(state, generation=state.generation + (new > 0)))
            state = manifest.read(archive)
        _sweep(archive, state)
    return Gathered(state.count, len(state.shops), written, kept)


def check(sources: Iterable[Path], archive: Path) -> None:
    """See that sources are there and the archive can be, before anything is made. Raises :class:`InputError`."""
    for _ in _files(sources):
        pass
    with suppress(OSError, ValueError):  # said where its folder is made
        if not stat.S_ISDIR(archive.stat().st_mode):
            raise InputError(f"{one_line(str(archive))} can be no archive: it is no folder.")


def _files(sources: Iterable[Path]) -> Iterator[Path]:
    for source in sources:
        shown = one_line(str(source))
        try:
            if not stat.S_ISDIR(source.stat().st_mode):
                yield source
                continue
            inside = sorted(path for path in source.iterdir() if path.suffix in (".db", ".json", ".jsonl"))
        except FileNotFoundError:
            raise InputError(f"{shown} is not there; nothing was gathered.") from None
        except (OSError, ValueError) as error:
            raise InputError(f"{shown} cannot be read: {reason(error)}; nothing was gathered.") from None
        yield from inside


def _tickets(path: Path) -> Iterator[_Signed]:
    """Signed tickets, each behind the name of its shop, as documents with their sums."""
    with open_plain(path) as stream:
        dump = begins_as_json(stream.read(_HEAD))
    return _of_dump(path) if dump else _of_database(path)


def _of_database(path: Path) -> Iterator[_Signed]:
    with Shop.open(path, create=False) as shop:
        uid = shop.store.proofs.uid()
        numbers = [row.number for row in shop.store.rows(signed=True)]
        for start in range(0, len(numbers), 500):
            some = numbers[start : start + 500]
            briefs = {job.number: job for job in shop.store.briefs(some)}
            for number in some:
                job = briefs.get(number)
                sums: list[object] = [job.total, job.agreed, job.over] if job else [None, None, False]
                yield uid, to_document(shop.store.ticket(number)), sums


def _of_dump(path: Path) -> Iterator[_Signed]:
    """Documents name their shop; where one does not, the name of the file stands for it."""
    unnamed = sha256(path.name.encode()).hexdigest()[:32]
    for name, document in JsonFile(path, path.name):
        try:
            ticket = from_document(document)
        except DataError as error:
            raise InputError(f"{name}: {error}; what was gathered before it stays.") from None
        if ticket.status == "signed":
            yield shop_of(document) or unnamed, to_document(ticket), [None, None, False]


def _records(tickets: Iterable[_Signed], key: bytes, *, names: bool) -> dict[str, dict[str, dict[int, Record]]]:
    """Records by shop, by the month in which their tickets were opened, and by number."""
    found: dict[str, dict[str, dict[int, Record]]] = defaultdict(lambda: defaultdict(dict))
    for shop, document, sums in tickets:
        kept, vehicle = masked(document, key, names=names)
        text = json.dumps(kept, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        one = Record(
            document["number"], document.get("rev", 1), document.get("seal", ""), vehicle, json.dumps(sums), text
        )
        found[shop][document["opened"][:7]][one.number] = one
    return found


def _take(
    archive: Path, state: Manifest, shop: int, records: Mapping[str, Mapping[int, Record]]
) -> tuple[Manifest, int, int]:
    """The archive with some records of a shop: of each ticket the highest revision; what is not mentioned stays."""
    written = kept = 0
    parts = dict(state.parts)
    for month, fresh in sorted(records.items()):
        old = parts.get(key_of(shop, month))
        held = {} if old is None else read_part(archive, old)
        every = held | {n: one for n, one in fresh.items() if n not in held or _tells_more(one, held[n])}
        part = Part(shop, month, _name(shop, month, every), len(every))
        if old is not None and part.name == old.name:
            kept += 1
            continue
        _write_part(archive / RECORDS / part.name, every)
        parts[key_of(shop, month)] = part
        written += 1
    return replace(state, parts=parts), written, kept


def _tells_more(one: Record, held: Record) -> bool:
    """Whether a record takes the place of another: a later revision, or as late and not without the sums it has."""
    return one.rev > held.rev or (one.rev == held.rev and (one.sums != _NO_SUMS or held.sums == _NO_SUMS))


def _name(shop: int, month: str, records: Mapping[int, Record]) -> str:
    told = sha256(manifest.FORMAT.encode())
    for number in sorted(records):
        one = records[number]
        told.update(repr((one.number, one.rev, one.seal, one.vehicle, one.sums)).encode() + one.doc.encode())
    return f"{shop}-{month}-{told.hexdigest()[:32]}.parquet"


def _write_part(target: Path, records: Mapping[int, Record]) -> None:
    if target.exists():  # written by a gathering that was cut before its manifest
        return
    aside = target.with_name(f"{target.name}.{os.getpid()}.tmp")
    lines = aside.with_suffix(".jsonl")
    with os.fdopen(make_file(lines), "w", encoding="utf-8") as out:
        for number in sorted(records):
            one = records[number]
            row = {name: getattr(one, name) for name in ("number", "rev", "seal", "vehicle", "sums", "doc")}
            out.write(json.dumps(row, ensure_ascii=False) + "\n")
    with opened() as db:
        db.execute(
            f"COPY (SELECT * FROM read_json({quoted_path(lines)}, format='newline_delimited', columns={_COLUMNS},"
            f" maximum_object_size=67108864) ORDER BY number) TO {quoted_path(aside)}"
            " (FORMAT parquet, COMPRESSION zstd)"
        )
    lines.unlink()
    manifest.rename(aside, target)


def read_part(archive: Path, part: Part) -> dict[int, Record]:
    """The records of a part by their numbers."""
    with opened() as db:
        path = quoted_path(archive / RECORDS / part.name)
        rows = db.execute(f"SELECT number, rev, seal, vehicle, sums, doc FROM read_parquet({path})").fetchall()
    return {row[0]: Record(*row) for row in rows}


def _sweep(archive: Path, state: Manifest) -> None:
    """Take away what no manifest names: parts of older revisions, and what a cut gathering left."""
    named = {part.name for part in state.parts.values()}
    for path in (archive / RECORDS).iterdir():
        if path.name not in named:
            path.unlink()
