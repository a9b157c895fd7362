"""Long work tells how far it is: on a terminal's standard error, never in pipes."""

import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ticket.cli import main, progress_line
from ticket.grid.progress_bar import Progress, progress_words
from ticket.job.progress import counted, told_to
from ticket.scratch_shop import fill
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of
from ticket.store import page_copy


def test_a_listener_hears_every_step_and_the_end_and_nobody_hears_without_one() -> None:
    heard: list[tuple[str, int, int]] = []
    with told_to(lambda *step: heard.append(step)):
        assert list(counted("ab", "load", 2)) == ["a", "b"]
        with told_to(None):
            assert list(counted("cd", "load", 2)) == ["c", "d"]
    assert list(counted("ef", "load", 2)) == ["e", "f"]
    assert heard == [("load", 0, 2), ("load", 1, 2), ("load", 2, 2)]


def test_the_bar_tells_what_is_done_and_what_is_left() -> None:
    assert progress_words(Progress("index", 4100, 21978, 3)) == "index  ██··········  4,100 of 21,978, 13 s left"
    assert progress_words(Progress("load", 10, 10, 9)).endswith("10 of 10")
    assert "left" not in progress_words(Progress("load", 1, 1000, 9)), "too early to tell"


@given(st.integers(0, 10**9), st.integers(0, 10**9), st.floats(0, 10**6))
def test_the_bar_is_always_as_wide(done: int, total: int, seconds: float) -> None:
    text = progress_words(Progress("load", min(done, total), total, seconds))
    assert sum(text.count(sign) for sign in "█·") == 12
    assert "\n" not in text


def test_loading_and_auditing_a_shop_are_told(database: Path) -> None:
    heard: list[tuple[str, int, int]] = []
    with Shop.open(database, "K. Orlo") as shop, told_to(lambda *step: heard.append(step)):
        fill(shop)
        assert shop.store.audit(deep=True).ok
        shop.store.rebuild()
        shop.store.backup(database.with_name("copy.db"))
    ends = {what: (done, total) for what, done, total in heard}
    assert {"load", "replay", "check", "index", "check journal", "check tickets", "copy pages"} <= set(ends)
    assert all(done == total > 0 for done, total in ends.values()), f"each comes to its end: {ends}"


def test_loading_from_files_is_told_by_what_was_read(database: Path, tmp_path: Path) -> None:
    lines = tmp_path / "one.txt"
    lines.write_text("vehicle: Belter Finch\nsays: fan roars\n")
    documents = tmp_path / "shop.json"
    with Shop.open(database, "K. Orlo") as shop:
        fill(shop)
    assert main(["--db", str(database), "dump", "-o", str(documents)]) == 0
    for file, what in ((lines, "load"), (documents, "load, kB")):
        heard: list[tuple[str, int, int]] = []
        with told_to(lambda *step, heard=heard: heard.append(step)):
            assert main(["--db", str(tmp_path / f"{file.stem}-taken-in.db"), "load", str(file)]) == 0
        told = [step for step in heard if step[0] == what]
        assert told, heard
        assert told[-1][1] == told[-1][2]


def test_a_copy_is_of_one_moment_though_others_write_between_its_steps(
    database: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(page_copy, "_PAGES", 20)
    with Shop.open(database, "K. Orlo") as shop, Shop.open(database, "R. Sand") as other:
        number = new_ticket(shop)
        steps = []

        def write_between(what: str, done: int, total: int) -> None:
            if what == "copy pages":
                steps.append((done, total))
                add_lines(other, number, f"note: line {len(steps)}")

        with told_to(write_between):
            shop.store.backup(database.with_name("copy.db"))
        assert len(steps) > 2
        assert steps == sorted(steps), "it never begins anew"
        assert len(ticket_of(other, number).entries) == len(steps)
    with Shop.open(database.with_name("copy.db"), "K. Orlo") as copy:
        assert ticket_of(copy, number).entries == ()
        assert copy.store.audit(deep=True).ok


def test_nothing_of_it_goes_into_a_pipe(database: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with Shop.open(database, "K. Orlo") as shop:
        fill(shop)
    assert main(["--db", str(database), "audit", "--deep"]) == 0
    assert capsys.readouterr().err == ""


_PROGRAM = """
import sys
from ticket.cli import main, progress_line
progress_line._AFTER = 0
sys.exit(main(["--db", sys.argv[1], "audit", "--deep"]))
"""


@pytest.mark.slow
def test_a_terminal_sees_the_line_and_it_is_taken_away(database: Path) -> None:
    assert progress_line._AFTER > 0
    with Shop.open(database, "K. Orlo") as shop:
        fill(shop)
    above, below = pty.openpty()
    done = subprocess.run(
        [sys.executable, "-c", _PROGRAM, str(database)], stdout=subprocess.PIPE, stderr=below, check=False
    )
    os.close(below)
    seen = os.read(above, 100_000).decode()
    os.close(above)
    assert done.returncode == 0
    assert done.stdout.decode().startswith("The journal is whole")
    assert "replay  " in seen
    assert " of " in seen
    assert seen.endswith("\r\x1b[K")
