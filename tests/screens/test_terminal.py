"""The installed program in a real pseudo-terminal: signals leave it clean, a crash tells no customer's data."""

import fcntl
import os
import pty
import select
import signal
import struct
import sys
import termios
import time
from pathlib import Path

import pytest

from ticket.shop.changing import new_ticket
from ticket.shop.reading import ticket_of

LEFT_SCREEN = b"\x1b[?1049l"  # the terminal is back on its normal screen


class Terminal:
    """A command in a pseudo-terminal."""

    def __init__(self, *command: str, size: tuple[int, int] = (80, 24)) -> None:
        self.seen = b""
        self.pid, self.file = pty.fork()
        if self.pid == 0:
            os.environ["TERM"] = "xterm-256color"
            os.execv(sys.executable, [sys.executable, *command])
        fcntl.ioctl(self.file, termios.TIOCSWINSZ, struct.pack("HHHH", size[1], size[0], 0, 0))

    def until(self, marker: bytes, limit: float = 20.0) -> None:
        end = time.monotonic() + limit
        while marker not in self.seen:
            assert time.monotonic() < end, self.seen[-500:]
            if not self.read():
                break
        assert marker in self.seen, self.seen[-500:]

    def read(self, wait: float = 0.1) -> bool:
        if select.select([self.file], [], [], wait)[0]:
            try:
                self.seen += os.read(self.file, 65536)
            except OSError:  # the other end has closed
                return False
        return True

    def end(self) -> int:
        while self.read(0.3):
            done, status = os.waitpid(self.pid, os.WNOHANG)
            if done:
                while self.read(0.05) and select.select([self.file], [], [], 0.05)[0]:
                    pass
                return os.waitstatus_to_exitcode(status)
        return os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1])


@pytest.mark.slow
@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_a_signal_leaves_the_terminal_as_it_was(database: Path, name: str) -> None:
    number = getattr(signal, name)
    terminal = Terminal("-m", "ticket", "--db", str(database))
    terminal.until(b"find ")
    time.sleep(0.5)
    os.kill(terminal.pid, number)
    assert terminal.end() == 128 + number
    assert LEFT_SCREEN in terminal.seen


_CRASH = """
import sys
from pathlib import Path
from ticket.screens.app import TicketApp, run
from ticket.screens import jobs_screen
def draw(self):
    customer_phone = "555-0134 of Ada Fenn"
    raise RuntimeError("drawing failed")
jobs_screen.JobsScreen.draw = draw
sys.exit(run(Path(sys.argv[1]), lambda: None))
"""


def test_a_crash_report_shows_no_local_variables(database: Path) -> None:
    terminal = Terminal("-c", _CRASH, str(database))
    assert terminal.end() != 0
    assert b"drawing failed" in terminal.seen
    assert b"555-0134 of Ada Fenn" not in terminal.seen.split(b"RuntimeError")[-1]
    assert b"locals" not in terminal.seen
    assert LEFT_SCREEN in terminal.seen


@pytest.mark.slow
def test_keys_typed_in_a_real_terminal_become_an_entry(database: Path) -> None:
    from ticket.shop.opening import Shop

    terminal = Terminal("-m", "ticket", "--db", str(database))
    terminal.until(b"find ")
    os.write(terminal.file, b"\x0e")  # Ctrl+N
    terminal.until(b"New ticket")
    os.write(terminal.file, b"KDE 4102\rCorvane Alder\x13")  # typed ahead: one field on, and Ctrl+S saves
    terminal.until(b"nothing agreed yet")
    os.write(terminal.file, b"found: LF pad 1.9 mm (min 3.0)\r")
    terminal.until(b"low by")
    os.write(terminal.file, b"\x1a")  # Ctrl+Z takes the entry back; it neither suspends nor stops the terminal
    terminal.until(b"struck, folded")
    os.write(terminal.file, b"\x19")  # Ctrl+Y
    terminal.until(b"Done again")
    os.write(terminal.file, b"\x11")  # Ctrl+Q
    assert terminal.end() == 0
    with Shop.open(database, "after") as shop:
        ticket = ticket_of(shop, 1)
    assert [entry.kind for entry in ticket.entries if not entry.struck] == ["found"]
    vehicle = ticket.header.vehicle
    assert (vehicle.plate, vehicle.vin, vehicle.label) == ("KDE 4102", "", "Corvane Alder")


@pytest.mark.slow
def test_a_terminal_that_vanishes_leaves_no_program_and_no_line_behind(database: Path, tmp_path: Path) -> None:
    from ticket.shop.opening import Shop

    with Shop.open(database, "K. Orlo") as shop:
        new_ticket(shop)
    for _ in range(2):
        terminal = Terminal("-m", "ticket", "--db", str(database), "--by", "K. Orlo")
        terminal.until(b"find ")
        os.write(terminal.file, b"\r")
        terminal.until(b"nothing agreed yet")
        os.write(terminal.file, b"found: horn si")
        terminal.until(b"horn si")
        os.close(terminal.file)  # the kernel hangs up, and sends SIGCONT behind it
        os.kill(terminal.pid, signal.SIGCONT)
        end = time.monotonic() + 20
        while not os.waitpid(terminal.pid, os.WNOHANG)[0]:
            assert time.monotonic() < end, "the program goes on without a terminal"
            time.sleep(0.05)
    terminal = Terminal("-m", "ticket", "--db", str(database), "--by", "K. Orlo")
    terminal.until(b"find ")
    os.write(terminal.file, b"\r")
    terminal.until(b"horn si")
    os.write(terminal.file, b"\x1b[21~")  # F10
    assert terminal.end() == 0
