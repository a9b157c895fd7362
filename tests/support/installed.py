"""The ``ticket`` command as a process of its own, and the same for another login of the machine.

A process is a copy of this one (``fork``) with streams, folder, variables, umask and login of its own: all that the
command needs is loaded already, so it costs a twentieth of a new interpreter. :meth:`Command.anew` starts the installed
program itself, where that is the point.
"""

import contextlib
import io
import os
import signal
import subprocess
import sys
import tempfile
import time
import traceback
import warnings
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import NoReturn

from support.modules import every_module
from ticket.cli.main import main

Run = Callable[..., subprocess.CompletedProcess[str]]
"""What runs a command: its arguments, and ``typed`` for its standard input."""
PROGRAM = Path(sys.executable).with_name("ticket")
THEN = "THEN"
"""Between two commands that run one after the other in one process; the highest exit code counts."""
LIMIT = 120  # seconds until a command that hangs is ended, so that it fails its test and not the whole suite
CRASHED = 70


@dataclass(frozen=True)
class Command:
    """The command in one folder for one login.

    Attributes:
        folder: where it runs.
        environ: its variables.
        login: user id; ``None`` for the login of the tests.
        groups: ids of the groups the login belongs to, beside one of its own.
        umask: what its login takes away from the mode of new files.
    """

    folder: Path
    environ: dict[str, str] = field(default_factory=dict)
    login: int | None = None
    groups: tuple[int, ...] = ()
    umask: int = 0o022

    def __call__(self, *arguments: str, typed: str = "") -> subprocess.CompletedProcess[str]:
        """Run it to its end."""
        with tempfile.TemporaryFile() as given, tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
            given.write(typed.encode())
            given.seek(0)
            process = self.begin(arguments, given.fileno(), out.fileno(), err.fileno())
            _, status = os.waitpid(process, 0)
            texts = []
            for file in (out, err):
                file.seek(0)
                texts.append(file.read().decode())
        return subprocess.CompletedProcess(arguments, os.waitstatus_to_exitcode(status), *texts)

    def anew(self, *arguments: str, typed: str = "") -> subprocess.CompletedProcess[str]:
        """Run the installed program in an interpreter of its own."""
        return subprocess.run(
            [PROGRAM, *arguments], input=typed, capture_output=True, text=True, check=False, cwd=self.folder,
            env=self.environ, umask=self.umask,
        )  # fmt: skip

    def begin(self, arguments: Sequence[str], *streams: int) -> int:
        """Start it with three open files as its streams; the number of the process."""
        if self.login is not None:
            load_all()
        sys.stdout.flush()
        sys.stderr.flush()
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", DeprecationWarning)  # threads of the test runner hold nothing needed here
            process = os.fork()
        return process or self._run(arguments, streams)

    def _run(self, arguments: Sequence[str], streams: Sequence[int]) -> NoReturn:
        """What the new process does; it leaves without the tidying up of the tests it was copied from."""
        code = CRASHED
        try:
            signal.signal(signal.SIGALRM, signal.SIG_DFL)
            signal.alarm(LIMIT)
            for number, (name, mode) in enumerate((("stdin", "r"), ("stdout", "w"), ("stderr", "w"))):
                os.dup2(streams[number], number)
                setattr(sys, name, open(number, mode, 1 if number == 2 else -1, "utf-8", closefd=False))  # noqa: SIM115
            os.environ.clear()
            os.environ.update(self.environ)
            time.tzset()
            os.chdir(self.folder)
            os.umask(self.umask)
            if self.login is not None:
                os.setgroups(self.groups)
                os.setgid(self.login)
                os.setuid(self.login)
            if self.login is None and "typst" in sys.modules and any("pdf" in argument for argument in arguments):
                # its threads stayed behind in the process of the tests: a copy would wait for them for ever
                os.execve(PROGRAM, [str(PROGRAM), *arguments], os.environ)
            commands: list[list[str]] = [[]]
            for argument in arguments:
                commands.append([]) if argument == THEN else commands[-1].append(argument)
            code = max([main(command) for command in commands])
            sys.stdout.flush()
        except BaseException:  # noqa: BLE001 - nothing may go on in the copy of the tests
            traceback.print_exc()
        finally:
            os._exit(code)


@cache
def load_all() -> None:
    """Load all that a command may need: another login may have no right to read this interpreter's library.

    From there on every file is opened with the rights of that login alone.
    """
    for _ in every_module(but=("ticket.screens", "ticket.papers", "ticket.cli.keys_command")):
        pass
    with tempfile.TemporaryDirectory() as folder, contextlib.redirect_stdout(io.StringIO()):
        warm = ["--db", str(Path(folder) / "warm.db")]
        for arguments in (["new", "--json"], ["add", "1", "found: x"], ["dump", "1"], ["list"], ["show", "1"]):
            main([*arguments[:1], *warm, *arguments[1:]])
        main(["backup", *warm, str(Path(folder) / "copy.db")])
        main(["list", "--db", str(Path(folder) / "none.db")])


def installed(folder: Path, **environ: str) -> Command:
    """The command for the login of the tests."""
    return Command(folder, {**os.environ, **environ})


@cache
def can_be_others() -> bool:
    """Whether a process of these tests may become another login, and that login can run a command."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        return False
    with tempfile.TemporaryDirectory(dir="/tmp") as folder:
        Path(folder).chmod(0o777)
        stranger = Command(Path(folder), {**os.environ, "HOME": folder, "TICKET_DB": f"{folder}/s.db"}, login=54321)
        return stranger("new").returncode == 0
