"""``ticket health``: what this installation is made of, where it keeps things, and whether all is as it should be."""

import argparse
import locale
import os
import platform
import shutil
import sys
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import NamedTuple

from ticket import __version__
from ticket.cli.output import say, say_json, screen_columns
from ticket.job.errors import TicketError
from ticket.machine.environment import database_path, keys_file, person_name, state_folder
from ticket.machine.terminal_signs import needs_letters
from ticket.store import driver, sharing, table_version

_OPTIONAL = {
    "typst": ("papers as PDF", "typst"),
    "pillow_heif": ("pictures as many phones take them (HEIC)", "job-ticket[heic]"),
    "pypdfium2": ("words of a PDF held against the record", "job-ticket[proof]"),
    "shtab": ("completion in the shell", "job-ticket[shell]"),
    "textual_serve": ("the screens in a browser of the shop's network", "job-ticket[serve]"),
}


class Point(NamedTuple):
    """One thing that was looked at: what it is, how it stands, and what to do where it is not as it should be."""

    name: str
    value: str
    cure: str = ""


def health(options: argparse.Namespace) -> int:
    """Look at version, paths, database, terminal and optional parts; 1 where something is not as it should be."""
    points = [
        *_program(),
        *_paths(options),
        *_database(database_path(options.db), named=bool(options.db or os.environ.get("TICKET_DB"))),
        *_terminal(),
        *_parts(),
    ]
    if options.json:
        said = [{"name": one.name, "value": one.value, "cure": one.cure} for one in points]
        say_json({"version": __version__, "well": not any(one.cure for one in points), "points": said})
    else:
        for one in points:
            say(f"{one.name:<18} {one.value}")
            if one.cure:
                say(f"{'':<18} ! {one.cure}")
    return 1 if any(one.cure for one in points) else 0


def _program() -> Iterator[Point]:
    yield Point("version", __version__)
    yield Point("python", f"{platform.python_version()} ({sys.executable})")
    yield Point("system", f"{platform.system()} {platform.machine()}")
    module = driver.sqlite3.__name__.partition(".")[0]
    try:
        driver.check_version()
        cure = ""
    except TicketError as error:
        cure = str(error)
    yield Point("SQLite", f"{driver.sqlite3.sqlite_version} ({module})", cure)


def _paths(options: argparse.Namespace) -> Iterator[Point]:
    yield Point("database", str(database_path(options.db).absolute()))
    yield Point("keys", _there(keys_file()))
    yield Point("state", _there(state_folder()))
    yield Point("person", person_name(options.by))


def _there(path: Path) -> str:
    return f"{path}{'' if path.exists() else ' (not there yet)'}"


def _database(path: Path, *, named: bool) -> Iterator[Point]:
    """The file as far as it can be told without writing to it; a new install has none, which is as it should be."""
    if not driver.is_shop(path):
        how = "make one: ticket shop --start 'NAME', or ticket new"
        wrong = named or path.exists()
        yield Point("shop", "none yet" if wrong else f"none yet; {how}", how if wrong else "")
        return
    try:
        connection = driver.connect(path, "ro")
        try:
            found = table_version.version(connection, path)
            rows = connection.execute("SELECT count(*) FROM ticket").fetchone()[0]
            mode = connection.execute("PRAGMA journal_mode").fetchone()[0]
        finally:
            connection.close()
    except (TicketError, driver.Error, OSError) as error:
        yield Point("shop", "cannot be read", f"{str(error).rstrip('.')}; run ticket audit")
        return
    group = sharing.group_of(path)
    yield Point("shop", f"{rows} tickets, {path.stat().st_size:,} bytes, tables of version {found}, log {mode}")
    newest = table_version.newest()
    if found > newest:
        yield Point("tables", f"version {found}", f"this program knows version {newest}: update it")
    elif found < newest:
        yield Point("tables", f"version {found}; the next opening brings them to {newest} and keeps a copy first")
    yield Point("opened by", f"the group {group}" if group else "its owner alone")
    writable = os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)
    free = shutil.disk_usage(path.parent).free
    little = 64 * 1024 * 1024
    yield Point(
        "disk", f"{free // (1024 * 1024):,} MB free",
        "" if writable and free > little else "free some space" if writable else "the file or its folder is read-only",
    )  # fmt: skip


def _terminal() -> Iterator[Point]:
    term = os.environ.get("TERM", "")
    shown = sys.stdout.isatty()
    yield Point(
        "terminal", f"{term or 'unknown'}, {screen_columns()} columns{'' if shown else ', not on a terminal now'}"
    )
    coding = (sys.stdout.encoding or "").lower()
    signs = "plain letters for signs" if needs_letters(os.environ) else "drawn signs"
    yield Point("characters", f"{coding}, {signs}, locale {locale.setlocale(locale.LC_CTYPE)}")
    yield Point("zone", os.environ.get("TZ") or "the machine's own")


def _parts() -> Iterator[Point]:
    for module, (what, package) in _OPTIONAL.items():
        there = find_spec(module) is not None
        yield Point(module, f"{what}: {'there' if there else f'not installed (pip install {package!r})'}")
