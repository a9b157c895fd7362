"""The installed ``ticket`` command as a process of its own, and the same for another login of the machine."""

import os
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

PROGRAM = Path(sys.executable).with_name("ticket")

# Another login may have no right to read this interpreter's library, so all that a command needs is loaded before the
# process becomes that login for good. From there on every file is opened with its rights alone.
_AS_LOGIN = """
import importlib, os, pkgutil, sys, tempfile
from pathlib import Path
import ticket
from ticket.cli.main import main
for found in pkgutil.walk_packages(ticket.__path__, "ticket."):
    if not found.name.startswith(("ticket.screens", "ticket.papers", "ticket.cli.keys", "ticket.__main__")):
        importlib.import_module(found.name)
out, sys.stdout = sys.stdout, open(os.devnull, "w")
with tempfile.TemporaryDirectory() as folder:
    warm = ["--db", str(Path(folder) / "warm.db")]
    for arguments in (["new", "--json"], ["add", "1", "found: x"], ["dump", "1"], ["list"], ["show", "1"]):
        main([*arguments[:1], *warm, *arguments[1:]])
    main(["backup", *warm, str(Path(folder) / "copy.db")])
    main(["list", "--db", str(Path(folder) / "none.db")])
sys.stdout = out
login, groups, *arguments = sys.argv[1:]
os.setgroups([int(group) for group in groups.split(",") if group])
os.setgid(int(login))
os.setuid(int(login))
commands = [[]]
for argument in arguments:
    commands.append([]) if argument == "THEN" else commands[-1].append(argument)
sys.exit(max([main(command) for command in commands]))
"""
THEN = "THEN"
"""Between two commands that another login runs one after the other in one process; the highest exit code counts."""


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
        return subprocess.run(
            [*self.start, *arguments], input=typed, capture_output=True, text=True, check=False, cwd=self.folder,
            env=self.environ, umask=self.umask,
        )  # fmt: skip

    @property
    def start(self) -> Sequence[str]:
        """What the arguments of the command are put behind."""
        if self.login is None:
            return [str(PROGRAM)]
        return [sys.executable, "-c", _AS_LOGIN, str(self.login), ",".join(map(str, self.groups))]


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
