"""The shop is killed, shared and starved; what it acknowledged is there, and the journal proves itself.

``TICKET_FULL=1`` runs 200 kills instead of twelve.
"""

import os
import random
import resource
import subprocess
import sys
from pathlib import Path

import pytest

from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of
from ticket.store.driver import sqlite3

KILLS = 200 if os.environ.get("TICKET_FULL") else 12

_WRITER = """
import sys
from pathlib import Path
from ticket.shop.changing import add_lines
from ticket.shop.opening import Shop
shop = Shop.open(Path(sys.argv[1]), sys.argv[2])
number = int(sys.argv[3])
print("ready", flush=True)
for i in range(int(sys.argv[4])):
    (made,) = add_lines(shop, number, f"found: pressure {i} at port {i} {i}.5 psi (min 1.0); " + "x" * (i % 50))
    print(made.entry.no, flush=True)
shop.close()
"""


def writer(path: Path, person: str, number: int, count: int) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", _WRITER, str(path), person, str(number), str(count)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def proved(path: Path) -> Shop:
    """The shop after a check of pages, chain and state."""
    connection = sqlite3.connect(path)
    assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    connection.close()
    shop = Shop.open(path, "after")
    audit = shop.store.audit(deep=True)
    assert audit.ok, audit.reason
    return shop


@pytest.mark.slow
def test_every_acknowledged_entry_survives_kill_nine(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    with Shop.open(path, "before") as shop:
        number = new_ticket(shop)
    dice = random.Random(7)
    acknowledged = 0
    for _ in range(KILLS):
        process = writer(path, "killed", number, 10_000)
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
        for _ in range(dice.randint(0, 25)):
            acknowledged = int(process.stdout.readline())
        process.kill()
        rest = process.stdout.read().split("\n")[:-1]
        acknowledged = max([acknowledged, *(int(line) for line in rest if line.isdigit())])
        process.communicate()
        with proved(path) as shop:
            numbers = [entry.no for entry in ticket_of(shop, number).entries]
            assert numbers == list(range(1, len(numbers) + 1))
            assert len(numbers) >= acknowledged


@pytest.mark.slow
def test_two_terminals_write_at_once_and_both_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    with Shop.open(path, "before") as shop:
        number = new_ticket(shop)
    processes = [writer(path, person, number, 40) for person in ("Mo", "Kim")]
    acknowledged: list[int] = []
    for process in processes:
        out, error = process.communicate(timeout=60)
        assert process.returncode == 0, error
        acknowledged += [int(line) for line in out.splitlines()[1:]]
    assert sorted(acknowledged) == list(range(1, 81))
    with proved(path) as shop:
        people = {entry.person for entry in ticket_of(shop, number).entries}
        assert people == {"Mo", "Kim"}


_STARVED = """
import resource, signal, sys
from pathlib import Path
from ticket.job.errors import TicketError
from ticket.shop.changing import add_lines
from ticket.shop.opening import Shop
shop = Shop.open(Path(sys.argv[1]), "starved")
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]), -1))
done = 0
try:
    for i in range(5000):
        add_lines(shop, 1, "found: " + "many words about a hose " * 20)
        done += 1
except TicketError as error:
    print(done)
    print(error)
"""


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(resource, "RLIMIT_FSIZE"), reason="no limit on file sizes here")
def test_a_full_disk_is_one_sentence_and_loses_nothing(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    with Shop.open(path, "before") as shop:
        new_ticket(shop)
    run = subprocess.run(
        [sys.executable, "-c", _STARVED, str(path), str(700_000)], capture_output=True, text=True, check=True
    )
    done, sentence = run.stdout.strip().split("\n")
    assert int(done) > 0
    assert "Traceback" not in run.stderr
    assert str(path) in sentence or "disk" in sentence
    with proved(path) as shop:
        assert len(ticket_of(shop, 1).entries) == int(done)
        add_lines(shop, 1, "found: space again")
