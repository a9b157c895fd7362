"""The one way a file is handed out: made aside, complete on the disk, and only then given its name.

Nothing that stands under the name is written over unless that is asked for, no link is followed, and the files of the
shop itself are never the target, whatever name leads to them. They are only looked at, never opened: closing the
database file a second time within one process would drop the locks of SQLite.
"""

import contextlib
import errno
import os
import secrets
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from ticket.job.errors import ConflictError, InputError, TicketError
from ticket.job.text import one_line
from ticket.store.file_modes import COPIES, PRESENCE, file_mode, make_file, names_of

_DATABASE = b"SQLite format 3\x00"
_NO_LINKS = (errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK)


def write_file(
    target: Path, content: bytes, *, database: Path, private: tuple[Path, ...] = (), force: bool = False
) -> None:
    """Write a file, whole or not at all.

    Args:
        target: the file.
        content: what it shall hold.
        database: the shop's file: it and all that belongs to it is refused.
        private: more files and folders of the program that are refused.
        force: put it in the place of a plain file that is there.

    Raises:
        ConflictError: a file of that name is there, and ``force`` is not given.
        InputError: the name may not be used, or it cannot be written, with the reason.
    """
    with new_file(target, database=database, private=private, force=force) as part, part.open("r+b") as file:
        file.write(content)


@contextmanager
def new_file(
    target: Path, *, database: Path, private: tuple[Path, ...] = (), force: bool = False
) -> Iterator[Path]:  # fmt: skip
    """An empty file beside the target, to be filled; it gets the target's name at the end, and vanishes on an error.

    Arguments and errors as for :func:`write_file`.
    """
    try:
        _look(target, database, private, force=force)
        part = target.with_name(f".ticket-{secrets.token_hex(6)}.part")
        os.close(make_file(part))
    except (OSError, ValueError) as error:
        raise _failed(target, error) from None
    try:
        yield part
        _finish(part, target, force=force)
    except FileExistsError:
        raise ConflictError(_stands(target)) from None
    except TicketError:
        raise
    except (OSError, ValueError) as error:
        raise _failed(target, error) from None
    finally:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)


def _look(target: Path, database: Path, private: tuple[Path, ...], *, force: bool) -> None:
    """Refuse a name that may not be written."""
    shown = one_line(str(target))
    if not target.name or target.is_dir():
        raise InputError(f"{shown or 'An empty name'} is no name of a file: name one.")
    if _is_own(target, database, private):
        raise InputError(f"{shown} belongs to the shop's own files: name another file.")
    try:
        found = target.lstat()
    except FileNotFoundError:
        return
    if stat.S_ISLNK(found.st_mode):
        raise InputError(f"{shown} is a link, and no link is followed: name the file itself.")
    if not stat.S_ISREG(found.st_mode):
        raise InputError(f"{shown} is no plain file: name another one, or - for standard output.")
    if not force:
        raise ConflictError(_stands(target))
    with target.open("rb") as file:
        if file.read(len(_DATABASE)) == _DATABASE:
            raise InputError(f"{shown} is a database, and none is written over: name another file.")


def _is_own(target: Path, database: Path, private: tuple[Path, ...]) -> bool:
    """Whether a name leads, or would lead, to a file of the shop: by its path, or by the file it stands for."""
    place = target.parent.resolve() / target.name
    for name in {database, database.resolve()}:
        lead = name.parent.resolve() / name.name
        taken = [*names_of(lead), *(path.resolve() for path in private)]
        if any(place == path or path in place.parents for path in taken):
            return True
        if place.parent == lead.parent and place.name.startswith(lead.name + COPIES):
            return True
        if any(_same(target, path) for path in [*names_of(lead), *_inside(lead.with_name(lead.name + PRESENCE))]):
            return True
    return any(_same(target, path) for one in private for path in (one, *_inside(one)))


def _inside(folder: Path) -> Iterator[Path]:
    if folder.is_dir():
        yield from folder.rglob("*")


def _same(one: Path, other: Path) -> bool:
    """Whether two names stand for one file; hard links too."""
    try:
        return one.samefile(other)
    except (OSError, ValueError):
        return False


def _finish(part: Path, target: Path, *, force: bool) -> None:
    """Give the finished file its name: at once, or not at all."""
    with part.open("r+b") as file:
        os.fsync(file.fileno())
    part.chmod(file_mode(target.parent))
    if force:
        part.replace(target)
    else:
        try:
            target.hardlink_to(part)
        except OSError as error:
            if error.errno not in _NO_LINKS:
                raise
            os.close(make_file(target))  # takes the name, where the disk knows no second names
            part.replace(target)
    with contextlib.suppress(OSError):  # not every system opens folders
        folder = os.open(target.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


def _stands(target: Path) -> str:
    return f"{one_line(str(target))} is there already."


def _failed(target: Path, error: Exception) -> InputError:
    why = getattr(error, "strerror", None) or str(error)
    return InputError(f"{one_line(str(target))} cannot be written: {why.lower()}.")
