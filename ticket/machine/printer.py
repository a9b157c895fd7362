"""Handing a paper out: to a file that is never overwritten unasked, or to the system's printer."""

import shutil
import subprocess  # `lp` is the printing system's own door
from pathlib import Path

from ticket.job.errors import InputError
from ticket.job.text import one_line
from ticket.machine.environment import keys_file, state_folder
from ticket.store.outfile import write_file

_PATIENCE = 20  # seconds until a printing system that does not answer is given up


def write_out(target: Path, content: bytes, *, database: Path, replace: bool = False) -> None:
    """Write a file for somebody, whole or not at all; its owner may read it, or the group its folder is shared with.

    Args:
        target: the file.
        content: what it shall hold.
        database: the shop's file: neither it nor anything the program keeps is ever written over.
        replace: put it in the place of a plain file that is there.

    Raises:
        ConflictError: there is a file of that name and ``replace`` is not given.
        InputError: it cannot be written, with the reason.
    """
    write_file(target, content, database=database, private=(state_folder(), keys_file()), force=replace)


def print_out(content: bytes, title: str) -> str:
    """Hand a paper to the system's printer; what it answered.

    Args:
        content: a PDF, or UTF-8 text.
        title: name of the job in the printer's list.

    Raises:
        InputError: there is no printing system here, or it refused, with its own reason.
    """
    command = shutil.which("lp")
    if command is None:
        raise InputError("There is no printer command (lp) on this machine: write a file and print that.")
    try:
        done = subprocess.run(  # noqa: S603 - found on the path, and the title is one argument, never a shell's
            [command, "-t", one_line(title)], input=content, capture_output=True, timeout=_PATIENCE, check=False
        )
    except subprocess.TimeoutExpired:
        raise InputError(f"The printer did not answer within {_PATIENCE} seconds; nothing is sure to print.") from None
    except OSError as error:
        raise InputError(f"The printer command cannot be run: {(error.strerror or str(error)).lower()}.") from None
    said = one_line((done.stdout if not done.returncode else done.stderr).decode("utf-8", "replace").strip())
    if done.returncode:
        raise InputError(f"The printer refused it: {said or 'no reason given'}")
    return said
