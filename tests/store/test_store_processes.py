"""Several processes on one file: killed, writing at once, copied while they write."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from store_bench import KIM, fill, open_store, plain

from ticket.job.kinds import Note
from ticket.job.ticket import Header
from ticket.store.store import NewEntry

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
KILLS = 200 if os.environ.get("TICKET_FULL") else 12

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="fork and SIGKILL are POSIX")

WRITER = """
import sys
sys.path.insert(0, sys.argv[4])
from pathlib import Path
from store_bench import open_store
from ticket.job.kinds import Note
from ticket.store.store import NewEntry
with open_store(Path(sys.argv[1]), int(sys.argv[2])) as store:
    print("ready", flush=True)
    sys.stdin.readline()
    for i in range(int(sys.argv[3])):
        store.add(1, [NewEntry(Note(text=f"{sys.argv[2]} wrote {i}"))], "writer " + sys.argv[2])
"""


def writer(path: Path, name: int, count: int) -> "subprocess.Popen[str]":
    command = [sys.executable, "-c", WRITER, str(path), str(name), str(count), str(HERE)]
    return subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT)


def go(process: "subprocess.Popen[str]") -> None:
    assert process.stdin is not None
    process.stdin.write("go\n")
    process.stdin.flush()


def ready(process: "subprocess.Popen[str]") -> None:
    assert process.stdout is not None
    assert process.stdout.readline() == "ready\n"


@pytest.mark.slow
def test_nothing_acknowledged_is_lost_when_writers_are_killed(tmp_path: Path) -> None:
    run = subprocess.run(
        [sys.executable, HERE / "store_killer.py", tmp_path / "shop.db", str(KILLS), "5"],
        capture_output=True, text=True, check=False, cwd=ROOT,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    counts = json.loads(run.stdout)
    assert counts["kills"] == KILLS
    assert counts["acknowledged"] > KILLS
    assert counts["lost"] == 0


@pytest.mark.slow
def test_processes_that_write_at_once_all_get_through(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    count = 60
    with open_store(path) as store:
        store.open_ticket(Header(), KIM)
        writers = [writer(path, name, count) for name in (1, 2)]
        for process in writers:
            ready(process)
        for process in writers:
            go(process)
        for i in range(20):  # and this one too
            store.add(1, [NewEntry(Note(text=f"0 wrote {i}"))], KIM)
        assert [process.wait() for process in writers] == [0, 0]
        for process in writers:
            process.communicate()
        entries = store.ticket(1).entries
        assert [entry.no for entry in entries] == list(range(1, 2 * count + 21))
        texts = [entry.fact.text for entry in entries if isinstance(entry.fact, Note)]
        for name, size in ((0, 20), (1, count), (2, count)):
            assert [text for text in texts if text.startswith(f"{name} ")] == [f"{name} wrote {i}" for i in range(size)]
        assert store.audit(deep=True).ok


@pytest.mark.slow
def test_a_backup_while_others_write_is_whole(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    with open_store(path) as store:
        fill(store)
        process = writer(path, 1, 150)
        ready(process)
        go(process)
        for i in range(3):
            store.backup(tmp_path / f"copy{i}.db")
        process.communicate()
        assert process.returncode == 0
        whole = len(store.ticket(1).entries)
    for i in range(3):
        with open_store(tmp_path / f"copy{i}.db") as copy:
            assert copy.audit(deep=True).ok
            assert 11 <= len(copy.ticket(1).entries) <= whole
        with plain(tmp_path / f"copy{i}.db") as connection:
            assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
