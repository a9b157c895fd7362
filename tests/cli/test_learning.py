"""The commands about the program itself: cheat sheet, health, completion, manual page."""

import json
import re
import shutil
import subprocess
from pathlib import Path

import pypdfium2
import pytest

from ticket.cli.health_command import Point
from ticket.cli.main import main
from ticket.cli.parser import build_parser
from ticket.cli.shell_commands import commands_of, flags_of, manual_page
from ticket.job.field_specs import specs
from ticket.job.kinds import KINDS
from ticket.job.width import cells
from ticket.notes.read import read
from ticket.papers.cheat_sheet import LIMITS, cheat_sheet
from ticket.papers.plain_text import sheet_text
from ticket.store import driver


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_the_line_is_one_page(paper: str, tmp_path: Path) -> None:
    target = tmp_path / "line.pdf"
    assert main(["cheat", "--as", "pdf", "--paper", paper, "-o", str(target)]) == 0
    with pypdfium2.PdfDocument(target) as document:
        assert len(document) == 1
        text = document[0].get_textpage().get_text_range()
    assert "Limits and marks" in text
    assert "reading 3 taken again" in " ".join(text.split())


def test_the_page_tells_every_kind_every_field_and_every_word_of_its_own() -> None:
    text = sheet_text(cheat_sheet(), 200)
    for kind, cls in KINDS.items():
        assert re.search(rf"^{kind}: ", text, re.M)
        for spec in specs(cls):
            assert not spec.word or re.search(rf"^{re.escape(spec.word.rstrip(':'))} +\S", text, re.M), spec
            assert all(choice in text for choice in spec.choices if spec.place == "flag")


@pytest.mark.parametrize("reading", LIMITS)
def test_every_reading_of_the_page_is_read_without_a_question(reading: str) -> None:
    (draft,) = read(f"pads {reading}" if "LF" in reading else f"charge voltage {reading}")
    assert not draft.remarks
    assert getattr(draft.fact, "measurements", ())


@pytest.mark.parametrize("width", [40, 80, 250])
def test_the_page_keeps_to_the_terminal(
    width: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    assert main(["cheat"]) == 0
    assert max(cells(line) for line in capsys.readouterr().out.splitlines()) <= width


def health(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, dict[str, Point]]:
    code = main(["health", "--json", *arguments])
    said = json.loads(capsys.readouterr().out)
    assert said["well"] == (code == 0)
    return code, {one["name"]: Point(**one) for one in said["points"]}


def test_health_tells_paths_versions_and_the_state_of_the_shop(
    database: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = database.read_bytes()
    code, told = health(capsys, "--db", str(database))
    assert code == 0
    assert told["database"].value == str(database)
    assert told["SQLite"].value.startswith(driver.sqlite3.sqlite_version)
    assert "0 tickets" in told["shop"].value
    assert database.read_bytes() == before


def test_health_of_a_new_install_is_well(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("TICKET_DB", raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "new"))
    code, told = health(capsys)
    assert "none yet; make one" in told["shop"].value
    assert told["shop"].cure == ""
    assert code == int(any(one.cure for one in told.values()))


def test_health_says_what_to_do_where_something_is_wrong(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, told = health(capsys, "--db", str(tmp_path / "none.db"))
    assert code == 1
    assert "ticket shop --start" in told["shop"].cure
    broken = tmp_path / "broken.db"
    broken.write_bytes(b"SQLite format 3\0" + b"\xff" * 4000)
    code, told = health(capsys, "--db", str(broken))
    assert code == 1
    assert told["shop"].cure


def test_an_older_sqlite_is_one_sentence_with_its_cure(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    check = driver.check_version
    monkeypatch.setattr(driver, "check_version", lambda: check((3, 40, 1)))
    _, told = health(capsys)
    assert "3.43 or later" in told["SQLite"].cure


@pytest.mark.parametrize("shell", ["bash", "zsh", "tcsh"])
def test_completion_knows_every_command_and_flag(shell: str, capsys: pytest.CaptureFixture[str]) -> None:
    pytest.importorskip("shtab")
    assert main(["completion", shell]) == 0
    script = capsys.readouterr().out
    for name, made in commands_of(build_parser()).items():
        assert name in script
        if shell == "tcsh":  # shtab writes no flags of commands for it
            continue
        assert all(flag in script for one in flags_of(made) for flag in one.option_strings if flag.startswith("--"))


def test_bash_takes_the_script_and_completes_a_command(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    pytest.importorskip("shtab")
    bash = shutil.which("bash")
    if bash is None:
        pytest.skip("there is no bash here")
    assert main(["completion", "bash"]) == 0
    (tmp_path / "ticket").write_text(capsys.readouterr().out, encoding="utf-8")
    ask = 'source ./ticket; COMP_WORDS=(ticket esti); COMP_CWORD=1; _shtab_ticket; echo "${COMPREPLY[@]}"'
    run = subprocess.run([bash, "-c", ask], cwd=tmp_path, capture_output=True, text=True, check=True)
    assert run.stdout.split() == ["estimate"]


def test_the_manual_tells_every_command_and_flag_and_no_line_is_a_macro_by_mistake() -> None:
    page = manual_page()
    bare = page.replace("\\-", "-")
    for name, made in commands_of(build_parser()).items():
        assert f".SS ticket {name}" in bare
        section = bare.split(f".SS ticket {name}\n")[1].split("\n.SS ")[0]
        for one in flags_of(made):
            assert all(flag in section for flag in one.option_strings), (name, one)
    macros = {line.split()[0] for line in page.splitlines() if line.startswith((".", "'"))}
    assert macros <= {".TH", ".SH", ".SS", ".TP", ".B", ".PP", ".nf", ".fi"}


def test_man_takes_the_page() -> None:
    groff = shutil.which("groff") or shutil.which("mandoc")
    if groff is None:
        pytest.skip("there is neither groff nor mandoc here")
    arguments = ["-man", "-ww", "-Tutf8"] if groff.endswith("groff") else ["-Tlint"]
    run = subprocess.run([groff, *arguments], input=manual_page(), capture_output=True, text=True, check=False)
    assert run.stderr == ""


@pytest.mark.parametrize(
    ("typed", "said"), [("gasp", "did you mean ticket gaps?"), ("xyzzy", "ticket --help names all")]
)
def test_a_mistyped_command_names_the_one_that_was_meant(
    typed: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([typed, "5"]) == 2
    told = capsys.readouterr().err
    assert said in told
    assert "choose from" not in told
