"""Asking for a PIN: on the terminal without showing it, or from a file descriptor.

Never an argument, never a variable of the environment: other logins of the machine can read both.
"""

import argparse
import contextlib
import os
import sys

from ticket.job.errors import InputError
from ticket.shop.opening import Shop

_MOST = 1024  # bytes of a line


class FromDescriptor:
    """Answers from a file descriptor, one line each.

    Args:
        number: of the descriptor, which was opened by whoever started the command.
    """

    def __init__(self, number: int) -> None:
        self._number = number

    def __call__(self, question: str) -> str:
        """The next line; read sign by sign, so that nothing of what follows is taken."""
        taken = b""
        try:
            while len(taken) < _MOST and not taken.endswith(b"\n"):
                one = os.read(self._number, 1)
                if not one:
                    break
                taken += one
        except OSError:
            raise InputError(
                f"File descriptor {self._number} cannot be read: open it for the command, as in --pin-fd 3 3< FILE."
            ) from None
        if not taken:
            raise InputError(f"File descriptor {self._number} holds no further line: {question.strip(': ')} is asked.")
        return taken.decode("utf-8", "replace").rstrip("\r\n")


def on_terminal(question: str) -> str:
    """Ask at the terminal; what is typed is not shown."""
    from getpass import getpass

    try:
        return getpass(question)
    except EOFError:
        raise InputError("Nothing was typed; nothing was changed.") from None


def has_terminal() -> bool:
    """Whether somebody can be asked without what they type being shown."""
    if os.name != "posix":
        return sys.stdin.isatty()
    with contextlib.suppress(OSError):
        os.close(os.open("/dev/tty", os.O_RDWR | os.O_NOCTTY))
        return True
    return False


def make_able_to_ask(shop: Shop, options: argparse.Namespace) -> None:
    """Let a shop ask whoever runs the command. Raises :class:`InputError` where PIN and work would mix."""
    number = getattr(options, "pin_fd", None)
    if number is not None:
        given = [name for value in vars(options).values() if isinstance(value, list) for name in value]
        if number == 0 and "-" in given:
            raise InputError("Standard input brings the lines here: give the PIN on another descriptor, as --pin-fd 3.")
        shop.gate.ask = FromDescriptor(number)
    elif has_terminal():
        shop.gate.ask = on_terminal
