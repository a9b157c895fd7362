"""Where the shop's database is, and what time it is: the edges ask here and hand the answers down as values."""

import contextlib
import os
import time
from datetime import UTC, datetime
from pathlib import Path

from ticket.job.errors import InputError
from ticket.job.wall import FIRST_DAY, LAST_DAY, in_bounds
from ticket.store.file_modes import make_own_folder, write_private

DATABASE = "TICKET_DB"
PERSON = "TICKET_PERSON"
NOW = "TICKET_NOW"
LOOK = "TICKET_LOOK"
"""``terminal``, ``dark``, ``light``, ``contrast`` or ``none``."""
SIGNS = "TICKET_SIGNS"
"""``drawn`` or ``letters``, where a person decides it."""
_NAME, _LOOK = "person", "look"  # files in the state folder
KEYS = "TICKET_KEYS"
_LONGEST_ZONE = 64  # characters; the longest of the IANA database has 32


def database_path(given: str | None = None) -> Path:
    """The database file: the one given, else ``TICKET_DB``, else the user's data folder."""
    chosen = given or os.environ.get(DATABASE)
    if chosen:
        return named(chosen)
    from platformdirs import user_data_path  # slow to import, and not needed when a path is given

    return user_data_path("job-ticket", appauthor=False) / "shop.db"


def named(path: str) -> Path:
    """A path as typed, ``~`` for somebody's home among it."""
    try:
        return Path(path).expanduser()
    except RuntimeError:
        raise InputError(f"{path}: there is nobody of that name here; write the path in full.") from None


def state_folder() -> Path:
    """Where half-typed lines and crash reports go."""
    from platformdirs import user_state_path

    return user_state_path("job-ticket", appauthor=False)


def keys_file() -> Path:
    """The file of changed keys: ``TICKET_KEYS``, else ``keys.toml`` in the user's settings folder."""
    chosen = os.environ.get(KEYS)
    if chosen:
        return named(chosen)
    from platformdirs import user_config_path

    return user_config_path("job-ticket", appauthor=False) / "keys.toml"


def person_name(given: str | None = None) -> str:
    """Who is working: the name given, else ``TICKET_PERSON``, else the name told at the start, else the login name."""
    name = given or os.environ.get(PERSON) or _told_name()
    if name:
        return name
    import getpass  # who has told a name does without

    try:
        return getpass.getuser()
    except (KeyError, OSError):  # no login name for this user id
        return "shop"


def _told_name() -> str:
    try:
        return (state_folder() / _NAME).read_text(encoding="utf-8", errors="replace").strip()
    except OSError:
        return ""


def remember_person(name: str) -> None:
    """Keep the name of who works at this login, so that nobody has to tell it twice."""
    with contextlib.suppress(OSError):  # then the login name stands for it next time
        make_own_folder(state_folder())
        write_private(state_folder() / _NAME, name.encode("utf-8", "replace"))


def told_look() -> dict[str, str]:
    """How the screens shall look at this login, as the variables that say so would; what was never told is left out."""
    try:
        words = (state_folder() / _LOOK).read_text(encoding="utf-8", errors="replace").split()
    except OSError:
        return {}
    return dict(zip((LOOK, SIGNS), words, strict=False))


def remember_look(colours: str, signs: str) -> None:
    """Keep how the screens shall look at this login. Raises :class:`InputError` where nothing can be kept."""
    try:
        make_own_folder(state_folder())
        write_private(state_folder() / _LOOK, f"{colours} {signs}".encode())
    except OSError as error:
        raise InputError(f"The look cannot be kept in {state_folder()}: {error.strerror}.") from error


def clock_stands() -> bool:
    """Whether a fixed moment stands in for the clock."""
    return bool(os.environ.get(NOW))


def now() -> datetime:
    """The present moment in UTC; ``TICKET_NOW`` (a time with its zone) stands in for it in tests and demos."""
    fixed = os.environ.get(NOW)
    if not fixed:
        return datetime.now(UTC)  # noqa: TID251 - this is the edge that asks the clock
    try:
        at = datetime.fromisoformat(fixed)
    except ValueError:
        at = None
    if at is None or at.tzinfo is None:
        raise InputError(f"{NOW} must be a time with its zone, such as 2026-03-02T14:10:00+00:00, not {fixed!r}.")
    if not in_bounds(at):
        raise InputError(f"{NOW} must lie between {FIRST_DAY} and {LAST_DAY}, not at {fixed!r}.")
    return at.astimezone(UTC)


def known_zone(name: str) -> bool:
    """Whether a name stands in the IANA database of time zones, such as ``America/Chicago``."""
    from zoneinfo import ZoneInfo

    if len(name) > _LONGEST_ZONE:  # each part between slashes is looked for as a package inside another
        return False
    try:
        return bool(ZoneInfo(name))
    except (KeyError, ValueError, OSError):  # not there, no name at all, or a folder of the database
        return False


def _is_told_by_system(name: str) -> bool:
    """Whether the system's own folder holds a zone: the library of zones costs a start ten times as much to ask."""
    path = Path(os.environ.get("TZDIR") or "/usr/share/zoneinfo", name)
    try:
        with path.open("rb") as file:
            return ".." not in path.parts and not Path(name).is_absolute() and file.read(4) == b"TZif"
    except (OSError, ValueError):  # not there, a folder, or no name of a file
        return False


def use_zone(name: str) -> None:
    """Let every wall time of this process be told in a zone; an empty or unknown name leaves the machine's own.

    Papers of one ticket are then the same wherever they are printed. Where the system cannot change its zone
    (Windows) the machine's own stays.
    """
    if not name or os.environ.get("TZ") == name or not hasattr(time, "tzset"):
        return
    if _is_told_by_system(name) or known_zone(name):
        os.environ["TZ"] = name
        time.tzset()


_MOST_WORKERS = 4  # the one process that writes keeps no more busy


def workers() -> int:
    """How many other processes may help on this machine; none where it has one core."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return min(cores, _MOST_WORKERS) if cores > 1 else 0
