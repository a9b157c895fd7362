"""``-o``: whole or not at all, never over what stands there unasked, never over the shop's own files."""

import errno
import json
import os
import resource
import stat
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from support.installed import PROGRAM, Command, installed
from ticket.job.errors import ConflictError, InputError
from ticket.shop.opening import Shop
from ticket.store import outfile
from ticket.store.outfile import new_file, write_file

WRITING = [["dump"], ["story", "1"], ["paper", "1"], ["story", "1", "--json"], ["paper", "1", "--as", "html"]]


@pytest.fixture
def ticket(tmp_path: Path) -> Command:
    home = tmp_path / "home"
    command = installed(
        tmp_path, TICKET_DB=str(tmp_path / "shop.db"), TICKET_PERSON="K. Orlo", HOME=str(home),
        XDG_STATE_HOME=str(home), XDG_CONFIG_HOME=str(home),
    )  # fmt: skip
    assert command("new", "--customer", "Ada Fenn").returncode == 0
    assert command("add", "1", "found: door seal torn").returncode == 0
    return command


def everything(folder: Path) -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def own_files(folder: Path) -> dict[str, Path]:
    """Every name that leads, or would lead, to a file of the shop or of the program."""
    (folder / "soft.db").symlink_to(folder / "shop.db")
    (folder / "hard.db").hardlink_to(folder / "shop.db")
    (folder / "hard.lock").hardlink_to(folder / "shop.db.lock")
    (folder / "around").symlink_to(folder)
    (folder / "shop.db.here").mkdir()
    (folder / "home" / "job-ticket" / "lines").mkdir(parents=True)
    (folder / "home" / "job-ticket" / "keys.toml").write_text('story = ["f4"]\n', encoding="utf-8")
    (folder / "home" / "job-ticket" / "person").write_text("Mira", encoding="utf-8")
    names = [
        "shop.db", "soft.db", "hard.db", "hard.lock", "around/shop.db", "./home/../shop.db", "shop.db-wal",
        "shop.db-shm", "shop.db-journal", "shop.db.lock", "shop.db.here", "shop.db.here/seat", "shop.db.before-9.1",
        "home/job-ticket/keys.toml", "home/job-ticket/person", "home/job-ticket/lines/draft.json",
    ]  # fmt: skip
    return {name: folder / name for name in names}


@pytest.mark.slow
def test_no_output_ever_lands_on_the_shops_own_files(ticket: Command, tmp_path: Path) -> None:
    names = own_files(tmp_path)
    before = everything(tmp_path)
    for name in ("shop.db", "hard.db", "shop.db-wal"):
        run = ticket("dump", "--force", "-o", name)
        assert (run.returncode, run.stdout) == (2, ""), name
        assert run.stderr == f"ticket: {name} belongs to the shop's own files: name another file.\n"
    for path in names.values():
        for force in (False, True):
            with pytest.raises(InputError):
                write_file(path, b"x", database=tmp_path / "shop.db", private=(tmp_path / "home",), force=force)
    assert everything(tmp_path) == before
    assert ticket("audit", "--deep").returncode == 0


def test_a_shop_reached_through_a_link_is_its_own_all_the_same(ticket: Command, tmp_path: Path) -> None:
    own_files(tmp_path)
    for name in ("shop.db", "shop.db-wal", "soft.db-wal", "hard.db"):
        with pytest.raises(InputError, match="belongs to the shop's own files"):
            write_file(tmp_path / name, b"x", database=tmp_path / "soft.db", force=True)
    assert ticket("audit", "--deep").returncode == 0


@pytest.mark.parametrize(
    "arguments", [*WRITING[:2], *(pytest.param(one, marks=pytest.mark.slow) for one in WRITING[2:])], ids=" ".join
)
def test_what_stands_there_is_kept_unless_asked(
    ticket: Command, tmp_path: Path, arguments: list[str], monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    from ticket.cli.main import main

    for name in ("TICKET_DB", "HOME", "XDG_STATE_HOME", "XDG_CONFIG_HOME"):
        monkeypatch.setenv(name, ticket.environ[name])
    target = tmp_path / "out"
    target.write_text("minutes of the meeting", encoding="utf-8")
    target.chmod(0o644)
    assert main([*arguments, "-o", str(target)]) == 2
    told = capsys.readouterr().err
    words = f"{target} is there already. Nothing was written: name another file, or add --force."
    assert json.loads(told)["error"] == words if "--json" in arguments else told == f"ticket: {words}\n"
    assert target.read_text(encoding="utf-8") == "minutes of the meeting"
    assert main([*arguments, "-o", str(target), "--force"]) == 0
    assert "door seal" in target.read_text(encoding="utf-8").lower()
    assert stat.S_IMODE(target.stat().st_mode) == 0o600, "names and phones are its owner's alone"
    assert capsys.readouterr().out == ""


@pytest.mark.slow
def test_a_dash_is_standard_output_and_no_file(ticket: Command, tmp_path: Path) -> None:
    for arguments in (["dump"], ["story", "1", "--json"]):
        printed = ticket(*arguments)
        assert (printed.returncode, bool(printed.stdout)) == (0, True)
        assert ticket(*arguments, "-o", "-").stdout == printed.stdout
    run = subprocess.run(
        [PROGRAM, "paper", "1", "--as", "pdf", "-o", "-"], capture_output=True, check=True, env=ticket.environ,
        cwd=tmp_path,
    )  # fmt: skip
    assert run.stdout.startswith(b"%PDF-")
    assert not (tmp_path / "-").exists()


def test_a_shop_is_put_back_neither_on_a_dash_nor_on_a_pipe(ticket: Command, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    assert ticket("backup", "copy.db").returncode == 0
    for target in ("-", "pipe"):
        run = ticket("restore", "copy.db", "--to", target)
        assert (run.returncode, run.stderr.count("\n")) == (2, 1), run.stderr
    assert not (tmp_path / "-").exists()


def test_no_link_is_followed_and_no_device_is_written(ticket: Command, tmp_path: Path) -> None:
    (tmp_path / "diary.txt").write_text("mine", encoding="utf-8")
    (tmp_path / "link").symlink_to("diary.txt")
    (tmp_path / "nowhere").symlink_to("not-there.txt")
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "folder").mkdir()
    wanted = {
        "link": "no link is followed", "nowhere": "no link is followed", "pipe": "no plain file",
        "/dev/null": "no plain", "folder": "no name of a file", "": "no name of a file",
        "no/such/folder.txt": "cannot be written",
    }  # fmt: skip
    before = everything(tmp_path)
    for name, words in wanted.items():
        for force in (False, True):
            with pytest.raises(InputError, match=words):
                write_file(tmp_path / name if name else Path(), b"x", database=tmp_path / "shop.db", force=force)
    run = ticket("dump", "--force", "-o", "pipe")
    assert (run.returncode, run.stdout, run.stderr.count("\n")) == (2, "", 1)
    assert everything(tmp_path) == before
    assert not (tmp_path / "not-there.txt").exists()


def test_another_shop_is_not_written_over_either(ticket: Command, tmp_path: Path) -> None:
    assert ticket("new", "--db", "other.db").returncode == 0
    run = ticket("dump", "--force", "-o", "other.db")
    assert run.returncode == 2
    assert "is a database, and none is written over" in run.stderr
    assert ticket("audit", "--db", "other.db").returncode == 0


def test_a_backup_takes_no_name_that_leads_to_the_shop(ticket: Command, tmp_path: Path) -> None:
    own_files(tmp_path)
    before = everything(tmp_path)
    (tmp_path / "nowhere").symlink_to("not-there.db")
    with Shop.open(tmp_path / "shop.db", "K. Orlo", create=False) as shop:
        for name in ("shop.db", "soft.db", "hard.db", "shop.db-wal", "shop.db.lock", "shop.db.before-9.1", "nowhere"):
            with pytest.raises(InputError):
                shop.store.backup(tmp_path / name)
    assert ticket("backup", "shop.db-wal").returncode == 2
    assert everything(tmp_path) == before
    assert ticket("audit", "--deep").returncode == 0


def test_a_disk_that_runs_full_leaves_neither_half_a_file_nor_none(ticket: Command, tmp_path: Path) -> None:
    """The limit on the size of a file stands in for a full disk; what was to be replaced is still whole."""
    target = tmp_path / "out.json"
    target.write_text("as it was", encoding="utf-8")
    before = everything(tmp_path)

    def small() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (64, 64))

    code = (
        "import signal, sys; signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "from pathlib import Path; from ticket.job.errors import InputError\n"
        "from ticket.store.outfile import write_file\n"
        "for name in sys.argv[2:]:\n"
        "    try: write_file(Path(name), b'x' * 9000, database=Path(sys.argv[1]), force=True)\n"
        "    except InputError as error: print(error)"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, tmp_path / "shop.db", target, tmp_path / "new.json"], capture_output=True,
        text=True, check=True, preexec_fn=small, env=ticket.environ,
    )  # fmt: skip
    assert run.stdout.count("cannot be written: file too large.") == 2, run.stdout
    assert everything(tmp_path) == before


def test_of_many_that_want_one_name_one_gets_it_whole(tmp_path: Path) -> None:
    target, start = tmp_path / "out", threading.Barrier(8)
    won: list[bytes] = []

    def race(sign: bytes) -> None:
        start.wait()
        try:
            write_file(target, sign * 100_000, database=tmp_path / "shop.db")
            won.append(sign)
        except ConflictError:
            pass

    threads = [threading.Thread(target=race, args=(bytes([65 + i]),)) for i in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(won) == 1
    assert target.read_bytes() == won[0] * 100_000
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_nothing_has_the_name_before_it_is_whole_and_on_the_disk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "out"
    synced: list[str] = []
    fsync = os.fsync

    def noted(file: int) -> None:
        synced.append("name" if target.exists() else "file")
        fsync(file)

    monkeypatch.setattr(os, "fsync", noted)
    with new_file(target, database=tmp_path / "shop.db") as part:
        part.write_bytes(b"half")
        assert not target.exists()
        assert part.parent == tmp_path
    assert synced == ["file", "name"]


def test_a_writer_that_is_stopped_leaves_nothing(tmp_path: Path) -> None:
    def stopped() -> None:
        with new_file(tmp_path / "out", database=tmp_path / "shop.db") as part:
            part.write_bytes(b"half")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        stopped()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("stands", [False, True])
def test_a_disk_without_second_names_still_keeps_what_stands_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stands: bool
) -> None:
    """Such as a memory stick: the name is taken first, and the finished file put in its place."""

    def refuse(path: Path, _: Path) -> None:
        raise OSError(errno.EPERM if not path.exists() else errno.EEXIST, "refused")

    monkeypatch.setattr(Path, "hardlink_to", refuse)
    target = tmp_path / "out"
    if stands:
        monkeypatch.setattr(outfile, "_look", lambda *_, **__: target.write_bytes(b"just made by another"))
        with pytest.raises(ConflictError, match="is there already"):
            write_file(target, b"whole", database=tmp_path / "shop.db")
    else:
        write_file(target, b"whole", database=tmp_path / "shop.db")
    assert target.read_bytes() == (b"just made by another" if stands else b"whole")
    assert [path.name for path in tmp_path.iterdir()] == ["out"]
