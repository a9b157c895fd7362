"""Docs and program say the same, both ways: commands, options, settings, keys, files, variables, JSON fields."""

import dataclasses
import re
from pathlib import Path

import pytest
from reference_pages import FOLDER, pages, schema_names

from ticket.cli.check_file_command import EXAMPLES
from ticket.cli.parser import build_parser
from ticket.cli.shell_commands import VARIABLES, commands_of, flags_of
from ticket.cli.shop_command import _APART
from ticket.job.case import Settings
from ticket.screens.action_table import ACTIONS
from ticket.screens.actions import shown_key
from ticket.store.file_modes import COPIES, PEPPER, PRESENCE, SIDE_FILES

ROOT = Path(__file__).parents[2]
DOCS = sorted((ROOT / "docs").rglob("*.md"))
TOLD = [*DOCS, ROOT / "README.md", ROOT / "SECURITY.md", ROOT / "CHANGELOG.md"]
COMMANDS = commands_of(build_parser())
FLAGS = {name: {flag for one in flags_of(made) for flag in one.option_strings} for name, made in COMMANDS.items()}
_USED = re.compile(r"\bticket ([a-z]+)\b((?:(?!\bticket [a-z])[^`\n|;])*)")
_FLAG = re.compile(r"(?<![\w-])(--[a-z][a-z-]*|-[a-z])(?![\w-])")  # a minus in front of a word is of a query


@pytest.mark.parametrize("name", pages())
def test_a_page_of_the_reference_is_what_the_program_is(name: str) -> None:
    """After a change: PYTHONPATH=tests python tests/house/reference_pages.py."""
    assert (FOLDER / name).read_text(encoding="utf-8") == pages()[name]
    assert {file.name for file in FOLDER.glob("*.md")} == pages().keys()


def _shown(page: Path) -> list[str]:
    """What of a page is code: spans between backticks, and indented or fenced lines that run a command."""
    text = page.read_text(encoding="utf-8")
    spans = re.findall(r"`([^`\n]+)`", text)
    fenced = [line for block in re.findall(r"^```\n(.*?)^```", text, re.M | re.S) for line in block.splitlines()]
    return [*spans, *fenced, *re.findall(r"^ {4,}(?:\$ )?(ticket [a-z].*)$", text, re.M)]


@pytest.mark.parametrize("page", TOLD, ids=lambda page: str(page.relative_to(ROOT)))
def test_every_command_and_option_a_page_tells_exists(page: Path) -> None:
    for shown in _shown(page):
        for name, rest in _USED.findall(shown):
            assert name in COMMANDS, shown
            rest = rest.partition(" -- ")[0]  # noqa: PLW2901 - what stands behind is no option
            bare = re.sub(r"'[^']*'|\"[^\"]*\"", "", rest)
            unknown = set(_FLAG.findall(bare)) - FLAGS[name] - {"-"}
            assert not unknown, (shown, unknown)


@pytest.mark.parametrize("page", TOLD, ids=lambda page: str(page.relative_to(ROOT)))
def test_every_setting_and_kind_a_page_tells_exists(page: Path) -> None:
    known = {item.name for item in dataclasses.fields(Settings)} | {*_APART, "person", "KIND", "NAME"}
    for shown in _shown(page):
        for name in re.findall(r"ticket shop ([A-Za-z_]+)", shown):
            assert name in known, shown
        for kind in re.findall(r"ticket shop example ([a-z]+)", shown):
            assert kind in EXAMPLES, shown


def test_every_setting_kind_of_file_and_schema_is_told() -> None:
    reference = "\n".join(pages().values())
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert all(f"| `{item.name}` |" in reference for item in dataclasses.fields(Settings))
    assert all(f"`{kind}`" in reference for kind in EXAMPLES)
    assert all(f"`schemas/{name}.json`" in reference for name in schema_names())
    assert all(f"ticket shop {name}" in readme + reference for name in _APART)


def test_every_variable_the_program_looks_at_is_told_and_no_other() -> None:
    found: set[str] = set()
    for file in (ROOT / "ticket").rglob("*.py"):
        found |= set(re.findall(r'"(TICKET_[A-Z]+)"', file.read_text(encoding="utf-8")))
    assert found | {"NO_COLOR", "COLUMNS"} == VARIABLES.keys()


def test_every_file_the_program_puts_beside_a_shop_is_told() -> None:
    endings = {*SIDE_FILES, PRESENCE, COPIES, PEPPER}
    for file in (ROOT / "ticket").rglob("*.py"):
        endings |= set(re.findall(r"\.name\}(?:\.\{[^}]+\})?(\.[a-z]+-?)", file.read_text(encoding="utf-8")))
    told = pages()["files.md"]
    assert len(endings) > 6
    assert [ending for ending in endings if ending not in told] == []


@pytest.mark.parametrize("page", [page for page in TOLD if "reference" not in page.parts], ids=lambda page: page.name)
def test_every_field_of_json_a_page_tells_is_one(page: Path) -> None:
    """A name in quotes with a colon behind it, as JSON has it, is a field of a schema or of a row of the journal."""
    known = set(re.findall(r"`([\w.]+)`", pages()["json.md"])) | JOURNAL
    known = {part for name in known for part in name.split(".")}
    for shown in _shown(page):
        assert set(re.findall(r'"([a-z_]+)": ?', shown)) <= known, shown


JOURNAL = {"clock"}  # what a row says, and no command prints
_KEY = re.compile(r"\b((?:Ctrl|Alt|Shift)\+(?:[A-Z]|F[0-9]+|Enter|[←→↑↓])|F(?:1[0-2]|[1-9]))\b")
_TERMINAL = {"Ctrl+C"}  # the terminal's own


@pytest.mark.parametrize("page", [ROOT / "README.md", *DOCS], ids=lambda page: str(page.relative_to(ROOT)))
def test_every_key_a_page_tells_does_something(page: Path) -> None:
    if "decisions" in page.parts:
        return  # they tell what was before, too
    known = {shown_key(key) for action in ACTIONS for key in action.keys} | _TERMINAL
    named = set(_KEY.findall(page.read_text(encoding="utf-8")))
    assert named <= known, named - known


@pytest.mark.parametrize("page", TOLD, ids=lambda page: str(page.relative_to(ROOT)))
def test_every_link_and_file_a_page_names_is_there(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)#:]+)\)", text):
        assert (page.parent / target).exists(), target
    for file in re.findall(r"`((?:schemas|examples|docs|ticket|tests)/[\w./-]+\.[a-z]+)`", text):
        assert (ROOT / file).exists(), file


def test_every_page_has_its_place_in_the_book() -> None:
    nav = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")
    placed = set(re.findall(r"([\w/-]+\.md)", nav))
    assert placed == {str(page.relative_to(ROOT / "docs")) for page in DOCS}
