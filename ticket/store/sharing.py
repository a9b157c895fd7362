"""Sharing a shop with the members of one group of this machine, or with nobody again.

The folder is what tells (:mod:`ticket.store.file_modes`): here it gets the group, the right to write, and the bit that
hands the group on. It must hold nothing but the shop, since everything in it becomes the group's to change.
"""

import os
import stat
from pathlib import Path

from ticket.job.errors import InputError
from ticket.store.file_modes import is_readable, is_shared, names_of, set_right

NOBODY = "none"
"""What to name instead of a group to share no longer."""


def group_of(database: Path) -> str:
    """The group that may open the shop; empty where only its owner may."""
    if not is_shared(database.parent):
        return ""
    try:
        return database.parent.group()
    except (OSError, KeyError, NotImplementedError):
        return str(database.parent.stat().st_gid)


def read_by_all(database: Path) -> bool:
    """Whether every login of this machine may read the shop."""
    return is_readable(database.parent)


def share(database: Path, name: str, *, readable: bool = False) -> None:
    """Share the folder of a shop, and the shop in it, with a group; with :data:`NOBODY` it is its owner's alone again.

    Args:
        database: the shop's file.
        name: of the group.
        readable: every other login of the machine may read it, such as an auditor's.

    Raises:
        InputError: no such group, the folder is not this login's or holds other things, or the group cannot get there;
            nothing was changed.
    """
    if os.name != "posix":
        raise InputError("Groups of logins are known on Linux and macOS only; nothing was changed.")
    folder = database.parent.resolve()
    _check_folder(database, folder)
    try:
        if name == NOBODY:
            folder.chmod(0o700)
        else:
            number = _number(name)
            _check_way(folder, name, number, to_all=readable)
            os.chown(folder, -1, number)
            folder.chmod(0o2775 if readable else 0o2770)
            if not folder.stat().st_mode & stat.S_ISGID:  # the system drops the bit without a word
                raise InputError(f"{folder} cannot hand on a group you do not belong to: join {name} first.")
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise InputError(
            f"{folder} cannot be given to {name}: {why}. Only a member of a group may share with it."
        ) from None
    set_right(database)


def _number(name: str) -> int:
    import grp

    try:
        return grp.getgrnam(name).gr_gid
    except (KeyError, ValueError):
        raise InputError(f"There is no group {name!r} on this machine; nothing was changed.") from None


def _check_folder(database: Path, folder: Path) -> None:
    """The folder must be this login's, and the shop's alone."""
    if os.geteuid() not in (0, folder.stat().st_uid):
        raise InputError(f"{folder} belongs to another login: only its owner can share it.")
    own = {path.name for path in names_of(database)}
    others = sorted(
        path.name for path in folder.iterdir() if path.name not in own and not path.name.startswith(f"{database.name}.")
    )
    if others:
        raise InputError(
            f"{folder} holds more than the shop ({others[0]}): move the shop into a folder of its own first; "
            "nothing was changed."
        )


def _check_way(folder: Path, name: str, number: int, *, to_all: bool) -> None:
    """Members must be able to walk to the folder: each one above it lets everybody through, or this group."""
    for above in folder.parents:
        found = above.stat()
        if not found.st_mode & (stat.S_IXGRP if found.st_gid == number and not to_all else stat.S_IXOTH):
            raise InputError(
                f"The group {name} cannot get to {folder}: {above} lets no one else through. "
                "Move the shop's folder to a place open to all; nothing was changed."
            )
