"""Who may open the shop's files: their owner alone, or the members of one group. One rule, told by the folder.

A folder that its group may write *and* that hands its group on (setgid) is shared: files in it are 0660, folders
02770. Everywhere else files are 0600 and folders that are made are 0700. Both bits are asked for: without the second a
file that SQLite makes beside the database belongs to whoever made it, and everybody else is locked out. Where a shared
folder lets every login in to read (02775), as for an auditor, so do the database and what SQLite keeps beside it
(0664); never what PINs are mixed with, nor the lock, which a reader could hold.

A file is made closed and opened up afterwards, so the umask of a login never matters. SQLite gives its own side files
the mode of the database, but only a step after it has made them (:func:`unmasked`).
"""

import contextlib
import os
import stat
from collections.abc import Iterator
from pathlib import Path

from ticket.job.errors import StoreError

SIDE_FILES = ("-wal", "-shm", "-journal", ".lock")
"""What stands beside a database under its name with this behind it."""

READ = ("", "-wal", "-shm", "-journal")
"""What a login must read to read a shop."""

PRESENCE, COPIES, PEPPER = ".here", ".before-", ".pepper"
"""The folder of who is on which ticket, how copies begin that were kept before an update, what PINs are mixed with."""

_FOLLOW_NOT = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_CLOEXEC", 0)


def is_shared(folder: Path) -> bool:
    """Whether a folder is set up for a group."""
    try:
        mode = folder.stat().st_mode
    except (OSError, ValueError):
        return False
    return bool(mode & stat.S_IWGRP and mode & stat.S_ISGID)


def is_readable(folder: Path) -> bool:
    """Whether a folder that is shared lets every login of the machine read the shop in it."""
    try:
        mode = folder.stat().st_mode
    except (OSError, ValueError):
        return False
    return is_shared(folder) and bool(mode & stat.S_IROTH and mode & stat.S_IXOTH)


def file_mode(folder: Path) -> int:
    """The mode of the shop's files in a folder."""
    return 0o660 if is_shared(folder) else 0o600


def folder_mode(parent: Path) -> int:
    """The mode of a folder that is made inside another."""
    return 0o2770 if is_shared(parent) else 0o700


@contextlib.contextmanager
def unmasked(database: Path) -> Iterator[None]:
    """While SQLite may make side files in a folder of a group, the umask of this login takes nothing from the group.

    SQLite makes a file under the umask and gives it the mode of the database in the next step. Killed in between, a
    login with a umask of 077 leaves a file behind that nobody else may open, and with it a shop that nobody can.
    """
    if not is_shared(database.parent):
        yield
        return
    before = os.umask(0o002 if is_readable(database.parent) else 0o007)
    try:
        yield
    finally:
        os.umask(before)


def make_folder(folder: Path) -> None:
    """Make a folder and those above it that are missing; one that is there stays as it is. Raises ``OSError``."""
    if folder.is_dir():
        return
    make_folder(folder.parent)
    with contextlib.suppress(FileExistsError):  # another terminal was quicker, or a file stands there
        folder.mkdir(mode=0o700)
        folder.chmod(folder_mode(folder.parent))
    if not folder.is_dir():
        raise NotADirectoryError(20, "not a directory", str(folder))


def make_own_folder(folder: Path) -> None:
    """A folder of this login's own: half-typed lines and who works here are nobody else's. Raises ``OSError``."""
    make_folder(folder)
    if folder.stat().st_mode & 0o077:
        folder.chmod(0o700)


def make_file(path: Path) -> int:
    """Make a new file and open it; its mode is that of its folder.

    Raises:
        FileExistsError: something stands there, be it a link that leads nowhere.
        OSError: it cannot be made.
    """
    file = os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL | _FOLLOW_NOT, 0o600)
    if hasattr(os, "fchmod"):
        os.fchmod(file, file_mode(path.parent))
    return file


def write_private(path: Path, content: bytes) -> None:
    """Put a small file of the program's own in the place of another, which stays whole until then.

    Raises ``OSError``. For what others may also write use :func:`ticket.store.outfile.write_file`.
    """
    part = path.with_name(f"{path.name}.part")
    part.unlink(missing_ok=True)
    with os.fdopen(make_file(part), "wb") as file:
        file.write(content)
    part.replace(path)


def open_side_file(path: Path, database: Path) -> int:
    """Open a file beside the database for reading and writing; it is made where it is missing. Raises ``OSError``.

    What the superuser makes belongs to the owner of the database, who would be locked out otherwise.
    """
    while True:
        with contextlib.suppress(FileNotFoundError):
            return os.open(path, os.O_RDWR | _FOLLOW_NOT)
        with contextlib.suppress(FileExistsError):  # made by another terminal in between: look again
            return _make_for_owner(path, database)


def make_side_file(path: Path, database: Path, content: bytes) -> None:
    """Make a small file beside the database, whole or not at all; one that is there stays. Raises ``OSError``."""
    part = path.with_name(f"{path.name}.{os.getpid()}.part")
    try:
        with os.fdopen(_make_for_owner(part, database), "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        with contextlib.suppress(FileExistsError):
            os.link(part, path)
    finally:
        part.unlink(missing_ok=True)


def _make_for_owner(path: Path, database: Path) -> int:
    """A new file; what the superuser makes belongs to the owner of the database."""
    file = make_file(path)
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        with contextlib.suppress(OSError):
            owner = database.stat()
            os.fchown(file, owner.st_uid, owner.st_gid)
    return file


def file_id(path: Path) -> tuple[int, int] | None:
    """What tells one file from another that took its name; ``None`` where there is none."""
    try:
        found = path.stat()
    except (OSError, ValueError):
        return None
    return found.st_dev, found.st_ino


def names_of(database: Path) -> tuple[Path, ...]:
    """The paths that belong to a database whether or not there is something: its own, side files, presence."""
    return tuple(database.with_name(database.name + ending) for ending in ("", *SIDE_FILES, PRESENCE, PEPPER))


def set_right(database: Path) -> str:
    """Give the files of a shop that belong to this login the mode and group their folder asks for.

    Returns:
        One sentence where the database itself was open to others, or closed to them; else nothing.
    """
    if not hasattr(os, "geteuid"):
        return ""
    changed = ""
    readable = {database.with_name(database.name + ending) for ending in READ if is_readable(database.parent)}
    for path in _standing(database):
        with contextlib.suppress(OSError):
            before = stat.S_IMODE(path.lstat().st_mode)
            if _set_one(path, database.parent, to_all=path in readable) and path == database:
                changed = _words(database, before)
    return changed


def _standing(database: Path) -> Iterator[Path]:
    """What of a shop is there; links are left alone."""
    folder = database.with_name(database.name + PRESENCE)
    paths = [*names_of(database), *database.parent.glob(f"{_plain(database.name)}{COPIES}*")]
    with contextlib.suppress(OSError):
        paths += folder.iterdir() if folder.is_dir() and not folder.is_symlink() else []
    yield from (path for path in paths if not path.is_symlink() and path.exists())


def _plain(name: str) -> str:
    """A name as a pattern that fits only itself."""
    return "".join(f"[{sign}]" if sign in "*?[" else sign for sign in name)


def _set_one(path: Path, folder: Path, *, to_all: bool) -> bool:
    """Whether mode or group of one's own file or folder had to be changed; ``to_all`` for what others may read."""
    found, above = path.lstat(), folder.stat()
    if os.geteuid() not in (0, found.st_uid):
        return False
    # What its owner may not do, such as write an archive, nobody shall: bits are taken away or handed to the group.
    own = found.st_mode & (0o700 if stat.S_ISDIR(found.st_mode) else 0o600)
    wanted = (own | own >> 3 | (folder_mode(folder) & stat.S_ISGID if own & 0o100 else 0)) if is_shared(folder) else own
    wanted |= (own & 0o400) >> 6 if to_all else 0
    wrong_group = is_shared(folder) and found.st_gid != above.st_gid
    if wrong_group:
        os.chown(path, -1, above.st_gid)
    if wrong_group or stat.S_IMODE(found.st_mode) != wanted:
        path.chmod(wanted)
        return True
    return False


def _words(database: Path, before: int) -> str:
    if is_shared(database.parent):
        return f"{database} may now be opened by the group of its folder"
    if before & 0o077:
        return (
            f"{database} was open to other logins; from now on only its owner may open it. "
            "To share it with a group: ticket shop group NAME"
        )
    return ""


def locked_out(database: Path) -> StoreError:
    """What to tell a login that may not open a shop."""
    try:
        owner = f"its owner ({database.owner()})"
    except (OSError, KeyError, NotImplementedError):
        owner = "its owner"
    then = (
        f"its folder is shared with a group, so it is enough that {owner} opens it once"
        if is_shared(database.parent)
        else f"{owner} can share it with a group: ticket shop group NAME"
    )
    return StoreError(f"{database} may not be opened by this login: {then}")
