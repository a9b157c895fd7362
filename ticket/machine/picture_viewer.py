"""Showing a kept picture with the viewer of the system: in a file of its own that goes when the program leaves."""

import atexit
import os
import shutil
import subprocess  # the system's own door to its viewer
import sys
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from ticket.job.errors import InputError
from ticket.store.file_modes import write_private

_OPENERS = ("open",) if sys.platform == "darwin" else ("xdg-open",)
_running: list["subprocess.Popen[bytes]"] = []  # viewers that were started; the ended ones are let go of at the next
_SCREENS = ("DISPLAY", "WAYLAND_DISPLAY")


def show(content: bytes, name: str, instead: str) -> None:
    """Hand a picture to the system's viewer.

    Args:
        content: a JPEG.
        name: of the file it is written to.
        instead: the command that writes it out, for a machine without a viewer.

    Raises:
        InputError: there is no viewer here, or the picture cannot be shown.
    """
    opener = viewer()
    if not opener:
        raise InputError(f"There is no picture viewer on this machine: write it out with {instead}.")
    try:
        path = _folder() / name
        write_private(path, content)
        _open(opener, path)
    except OSError as error:
        raise InputError(f"The picture cannot be shown: {(error.strerror or str(error)).lower()}.") from None


def viewer() -> str:
    """The command that opens a file with the system's viewer; empty where nothing can be shown."""
    if sys.platform == "win32":
        return "start"
    if sys.platform != "darwin" and not any(os.environ.get(name) for name in _SCREENS):
        return ""  # without a screen it would open a browser of text in the middle of ours
    return next((found for name in _OPENERS if (found := shutil.which(name))), "")


def _open(opener: str, path: Path) -> None:
    if sys.platform == "win32":
        os.startfile(path)  # noqa: S606 - a file this program wrote
        return
    _running[:] = [one for one in _running if one.poll() is None]
    started = subprocess.Popen(  # noqa: S603 - found on the path, and the file is one argument, never a shell's
        [opener, str(path)], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        start_new_session=True,
    )  # fmt: skip
    _running.append(started)


@cache
def _folder() -> Path:
    """A folder for this run, for its owner alone."""
    folder = Path(mkdtemp(prefix="ticket-picture-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return folder
