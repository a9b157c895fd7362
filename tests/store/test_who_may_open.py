"""Who may open the shop's files: modes under every umask, and other logins tried for real."""

import os
import shutil
import signal
import stat
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from store_bench import KIM, fill, open_store, plain

from support.installed import THEN, Command, can_be_others, installed
from ticket.job.errors import InputError
from ticket.machine.draft_lines import DraftLines
from ticket.machine.environment import remember_person, state_folder
from ticket.machine.presence import Presence
from ticket.store import driver, sharing

pytestmark = pytest.mark.skipif(os.name != "posix", reason="modes of POSIX")

OWNER, COLLEAGUE, STRANGER, BAY = 54001, 54002, 54003, 54100


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def shared(folder: Path) -> Path:
    folder.mkdir(exist_ok=True)
    folder.chmod(0o2770)
    return folder


@pytest.fixture(params=[0o077, 0o022, 0o000], ids="umask {:03o}".format)
def umask(request: pytest.FixtureRequest) -> Iterator[int]:
    before = os.umask(request.param)
    yield request.param
    os.umask(before)


@pytest.mark.usefixtures("umask")
def test_only_the_owner_may_open_a_shop_whatever_the_umask(tmp_path: Path) -> None:
    path = tmp_path / "above" / "shop" / "shop.db"
    with open_store(path) as store:
        fill(store)
        Presence(path, KIM, store.sitting).be_on(1)
        store.backup(path.parent / "copy.db")
        found = {one.name: mode(one) for one in path.parent.iterdir()}
        assert mode(path.with_name("shop.db.here") / store.sitting) == 0o600
    assert found == {
        "shop.db": 0o600, "shop.db-wal": 0o600, "shop.db-shm": 0o600, "shop.db.lock": 0o600, "copy.db": 0o600,
        "shop.db.here": 0o700,
    }  # fmt: skip
    assert mode(path.parent) == 0o700


@pytest.mark.usefixtures("umask")
def test_a_folder_set_up_for_a_group_shares_all_of_the_shop(tmp_path: Path) -> None:
    path = shared(tmp_path / "bay") / "shop.db"
    with open_store(path) as store:
        fill(store)
        Presence(path, KIM, store.sitting).be_on(1)
        store.backup(path.parent / "copy.db")
        found = {one.name: mode(one) for one in path.parent.iterdir()}
        assert mode(path.with_name("shop.db.here") / store.sitting) == 0o660
    assert found == {
        "shop.db": 0o660, "shop.db-wal": 0o660, "shop.db-shm": 0o660, "shop.db.lock": 0o660, "copy.db": 0o660,
        "shop.db.here": 0o2770,
    }  # fmt: skip


@pytest.mark.parametrize(("shop", "wanted"), [("bay", 0o007), ("own", 0o077)])
def test_what_sqlite_makes_in_a_folder_of_a_group_is_never_shut_to_it(
    shop: str, wanted: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Made closed and opened up a step later, a file of a login killed between the two would lock everybody out."""
    path = (shared(tmp_path / shop) if shop == "bay" else tmp_path / shop) / "shop.db"
    made: dict[str, int] = {}

    def watch(statement: str) -> None:
        now = os.umask(0o077)
        os.umask(now)
        made[statement] = now

    def watched(*args: Any, **more: Any) -> driver.Connection:
        connection: driver.Connection = plain_connect(*args, **more)
        connection.set_trace_callback(watch)
        return connection

    plain_connect = driver.sqlite3.connect
    monkeypatch.setattr(driver.sqlite3, "connect", watched)
    before = os.umask(0o077)
    try:
        with open_store(path) as store:
            fill(store)
        assert [made["PRAGMA schema_version"], made["PRAGMA journal_mode=WAL"]] == [wanted, wanted]
        assert os.umask(0o077) == 0o077
    finally:
        os.umask(before)


def test_group_writable_alone_is_not_shared(tmp_path: Path) -> None:
    """Many logins have a umask of 002 and a group of their own: their folders are no group folders."""
    tmp_path.chmod(0o775)
    with open_store(tmp_path / "shop.db") as store:
        fill(store)
    assert mode(tmp_path / "shop.db") == 0o600


@pytest.mark.usefixtures("umask")
def test_half_typed_lines_and_the_name_at_this_login_are_nobody_elses() -> None:
    state_folder().mkdir(parents=True)
    state_folder().chmod(0o755)
    remember_person("Mira Sund")
    DraftLines(Path("shop.db"), KIM).keep(1, "found: x")
    found = [state_folder(), *state_folder().rglob("*")]
    assert {path.name: mode(path) for path in found if path.is_dir()} == {"job-ticket": 0o700, "lines": 0o700}
    assert [mode(path) for path in found if path.is_file()] == [0o600, 0o600]


def test_a_shop_that_lay_open_is_closed_at_the_next_opening_and_that_is_said(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    with open_store(path) as store:
        fill(store)
        Presence(path, KIM, "one").be_on(1)
        for one in (*tmp_path.iterdir(), *path.with_name("shop.db.here").iterdir()):
            one.chmod(0o755 if one.is_dir() else 0o644)
        shutil.copyfile(path, tmp_path / "shop.db.before-9.1")
        (tmp_path / "shop.db.before-9.1").chmod(0o644)
        (tmp_path / "other.txt").touch(0o644)
    run = installed(tmp_path, TICKET_DB=str(path))("show", "1")
    assert run.returncode == 0
    assert "was open to other logins; from now on only its owner may open it" in run.stderr
    assert "ticket shop group NAME" in run.stderr
    left = [one for one in tmp_path.rglob("*") if mode(one) & 0o077]
    assert [one.name for one in left] == ["other.txt"], "what is not the shop's is left alone"
    assert installed(tmp_path, TICKET_DB=str(path))("show", "1").stderr == "", "it is told once"


def test_a_shop_its_owner_made_read_only_stays_so(tmp_path: Path) -> None:
    path = tmp_path / "shop.db"
    with open_store(path) as store:
        fill(store)
    path.chmod(0o444)
    with open_store(path) as store:
        assert store.numbers()
    assert mode(path) == 0o400


def test_the_copy_before_an_update_is_as_closed_as_the_shop(tmp_path: Path) -> None:
    from ticket.store import driver, migrate

    path = tmp_path / "shop.db"
    with open_store(path) as store:
        fill(store)
    with plain(path) as connection:
        copy = migrate._copy(connection, path, 1)
    assert mode(copy) == 0o600
    assert driver.is_shop(copy)


def test_a_group_is_shared_with_and_taken_back_by_the_command(open_place: Path) -> None:
    import grp

    name = grp.getgrgid(os.getegid()).gr_name
    path = open_place / "bay" / "shop.db"
    ticket = installed(open_place, TICKET_DB=str(path))
    assert ticket("new").returncode == 0
    assert "its owner alone" in ticket("shop", "group").stdout
    run = ticket("shop", "group", name)
    assert f"members of the group {name}" in run.stdout, run.stderr
    assert (mode(path.parent), mode(path)) == (0o2770, 0o660)
    run = ticket("shop", "group", name, "--readable")
    assert "read by every login of this machine, customers' names too" in run.stdout, run.stderr
    assert (mode(path.parent), mode(path), mode(path.with_name("shop.db.lock"))) == (0o2775, 0o664, 0o660)
    assert ticket("shop", "group", name).returncode == 0
    assert (mode(path.parent), mode(path)) == (0o2770, 0o660)
    assert "its owner alone" in ticket("shop", "group", "none").stdout
    assert (mode(path.parent), mode(path)) == (0o700, 0o600)
    (path.parent / "diary.txt").touch()
    refused = ticket("shop", "group", name)
    assert refused.returncode == 2
    assert "holds more than the shop (diary.txt)" in refused.stderr
    assert ticket("shop", "group", "no-such-group").returncode == 2
    assert mode(path.parent) == 0o700


def test_a_group_that_cannot_get_there_is_not_shared_with(tmp_path: Path) -> None:
    import grp

    (tmp_path / "closed").mkdir(mode=0o700)
    path = tmp_path / "closed" / "bay" / "shop.db"
    open_store(path).close()
    with pytest.raises(InputError, match=r"cannot get to .* lets no one else through"):
        sharing.share(path, grp.getgrgid(os.getegid()).gr_name)
    assert mode(path.parent) == 0o700


# --- other logins, for real ---


@pytest.fixture
def place(open_place: Path) -> Path:
    """A folder that every login may reach, where other logins can be tried."""
    if not can_be_others():
        pytest.skip("another login can only be tried by the superuser")
    return open_place


@pytest.fixture
def open_place() -> Iterator[Path]:
    """A folder that every login may reach."""
    with tempfile.TemporaryDirectory(dir="/tmp") as folder:
        Path(folder).chmod(0o755)
        yield Path(folder)


def login(place: Path, number: int, *groups: int, umask: int = 0o022) -> Command:
    home = place / f"home-{number}"
    if not home.exists():
        home.mkdir(mode=0o700)
        os.chown(home, number, number)
    environ = {
        **os.environ,
        "HOME": str(home),
        "TICKET_PERSON": f"Login {number}",
        "TICKET_DB": str(place / "bay/shop.db"),
    }
    for name in ("XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CONFIG_HOME"):
        environ[name] = str(home)
    return Command(home, environ, number, groups, umask)


def bay(place: Path, owner: int, group: int, wanted: int) -> Path:
    folder = place / "bay"
    folder.mkdir()
    os.chown(folder, owner, group)
    folder.chmod(wanted)
    return folder


def test_another_login_reads_no_customer_of_a_shop_in_an_open_folder(place: Path) -> None:
    bay(place, OWNER, OWNER, 0o755)
    owner, stranger = login(place, OWNER), login(place, STRANGER)
    assert owner("new", "--customer", "Ada Fenn").returncode == 0
    run = stranger("list", THEN, "show", "1", THEN, "dump", THEN, "audit")
    assert (run.returncode, run.stdout) == (2, "")
    assert run.stderr.count("may not be opened by this login: its owner") == 4
    assert run.stderr.count("can share it with a group: ticket shop group NAME") == 4
    assert owner("show", "1").returncode == 0


@pytest.mark.parametrize("umasks", [(0o077, 0o022), pytest.param((0o000, 0o077), marks=pytest.mark.slow)], ids=str)
def test_two_logins_of_a_group_work_in_one_shop_and_a_third_sees_nothing(
    place: Path, umasks: tuple[int, int]
) -> None:  # fmt: skip
    folder = bay(place, OWNER, BAY, 0o2770)
    owner = login(place, OWNER, BAY, umask=umasks[0])
    colleague = login(place, COLLEAGUE, BAY, umask=umasks[1])
    assert owner("new", "--customer", "Ada Fenn").returncode == 0
    backup = ("backup", str(folder / "copy.db"))
    run = colleague("add", "1", "found: belt worn", THEN, "list", THEN, "audit", "--deep", THEN, *backup)
    assert run.returncode == 0, run.stderr
    run = owner("add", "1", "found: horn silent", THEN, "show", "1")
    assert run.returncode == 0, run.stderr
    assert "belt worn" in run.stdout
    assert {mode(path) for path in folder.iterdir()} == {0o660}
    assert {path.stat().st_gid for path in folder.iterdir()} == {BAY}
    third = login(place, STRANGER)("list")
    assert (third.returncode, third.stdout) == (2, "")


@pytest.mark.parametrize(
    "live", [True, pytest.param(False, marks=pytest.mark.slow)], ids=["while it is open", "closed"]
)
def test_an_auditors_login_reads_what_its_owner_opened_to_all_and_changes_nothing(place: Path, live: bool) -> None:
    folder = bay(place, OWNER, BAY, 0o2770)
    owner, auditor = login(place, OWNER, BAY, umask=0o077), login(place, STRANGER)
    assert owner("new", "--customer", "Ada Fenn", THEN, "add", "1", "says: horn").returncode == 0
    assert auditor("audit").returncode == 2
    folder.chmod(0o2775)
    folder.joinpath("shop.db.pepper").write_bytes(bytes(32))
    os.chown(folder / "shop.db.pepper", OWNER, BAY)
    assert owner("add", "1", "found: fuse good").returncode == 0
    if live:
        held = open_store(folder / "shop.db")
    found = {path.name: mode(path) for path in folder.iterdir()}
    assert {found.get(f"shop.db{ending}", 0o664) for ending in ("", "-wal", "-shm")} == {0o664}
    assert found["shop.db.pepper"] == found["shop.db.lock"] == 0o660
    before = {path: path.read_bytes() for path in folder.iterdir() if path.name in ("shop.db", "shop.db.pepper")}
    run = auditor("audit", "--deep")
    assert (run.returncode, "journal is whole" in run.stdout) == (0, True), run.stderr
    assert auditor("add", "1", "note: x").returncode == 2
    assert {path: path.read_bytes() for path in before} == before
    if live:
        held.close()
    folder.chmod(0o2770)
    assert owner("list", THEN, "show", "1").returncode == 0
    assert auditor("audit").returncode == 2


def test_a_killed_login_of_a_group_locks_nobody_out(place: Path) -> None:
    """The log it leaves behind belongs to the group; without the folder's second bit it would not."""
    bay(place, OWNER, BAY, 0o2770)
    owner, colleague = login(place, OWNER, BAY), login(place, COLLEAGUE, BAY, umask=0o077)
    assert owner("new").returncode == 0
    reading, writing = os.pipe()  # never closed in time: it waits for more to be typed
    typing = colleague.begin(["add", "1", "found: belt worn", "-"], reading, writing, writing)
    wal = place / "bay" / "shop.db-shm"
    ended = 0
    while not ended and not wal.exists():
        ended, _ = os.waitpid(typing, os.WNOHANG)
        time.sleep(0.001)
    assert wal.exists()
    os.kill(typing, signal.SIGKILL)
    _, status = os.waitpid(typing, 0)
    assert os.waitstatus_to_exitcode(status) == -signal.SIGKILL
    os.close(reading)
    os.close(writing)
    run = owner("add", "1", "found: horn silent")
    assert run.returncode == 0, run.stderr
    assert colleague("audit", "--deep").returncode == 0


def test_the_superuser_at_a_shop_locks_its_owner_not_out(place: Path) -> None:
    bay(place, OWNER, OWNER, 0o700)
    owner = login(place, OWNER)
    assert owner("new").returncode == 0
    (place / "bay" / "shop.db.lock").unlink()
    helper = replace(owner, login=None)
    assert helper("add", "1", "found: belt worn").returncode == 0
    run = owner("add", "1", "found: horn silent")
    assert run.returncode == 0, run.stderr


def test_members_of_a_group_see_each_other_on_a_ticket(place: Path) -> None:
    folder = bay(place, OWNER, BAY, 0o2770)
    assert login(place, OWNER, BAY)("new").returncode == 0
    code = """
import os, sys
from pathlib import Path
from typing import Any
from ticket.machine.presence import Presence
number, group = int(sys.argv[2]), int(sys.argv[3])
os.umask(0o077); os.setgroups([group]); os.setgid(number); os.setuid(number)
seat = Presence(Path(sys.argv[1]), f"Login {number}", f"seat{number}")
seat.be_on(1)
print(seat.others(1))
"""
    told = [
        subprocess.run(
            [sys.executable, "-c", code, folder / "shop.db", str(number), str(BAY)],
            capture_output=True, text=True, check=True,
        ).stdout.strip()
        for number in (OWNER, COLLEAGUE, OWNER)
    ]  # fmt: skip
    assert told == ["()", f"('Login {OWNER}',)", f"('Login {COLLEAGUE}',)"]
