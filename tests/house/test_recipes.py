"""The recipes of DEVELOPERS.md, done to a copy of the program as they stand there: what they promise comes out."""

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.slow  # each makes a copy of the program

ROOT = Path(__file__).parents[2]
_BLOCK = re.compile(r"```\w+ (\+|- \+) (\S+)\n(.*?)```", re.DOTALL)
_HUNK = re.compile(r"((?:-[^\n]*\n)+)((?:\+[^\n]*\n)+)")
SCRIPT = """
import json
from gap_cases import case_of, ids
from test_gap_rules import PAIRS
from support.faithful.whole import check_story
from ticket.job.kinds import KINDS
from ticket.notes.read import read
from ticket.notes.write import write
from ticket.story.build import build
from ticket.story.document import to_document

case = case_of("says: tires\\nkept: brake pads; shelf 12")
stories = [build(case, reader, language) for reader in ("customer", "payer", "shop") for language in ("en", "es")]
broken, mended = next(pair[1:] for pair in PAIRS if pair[0] == "kept-nowhere")
print(json.dumps({
    "kinds": list(KINDS)[-1],
    "line": write(read("k: four winter wheels; shelf 12")[0].fact),
    "asked": ["kept-nowhere" in ids(case_of(lines)) for lines in (broken, mended)],
    "told": [" ".join(one.text for part in story.sections for one in part.sentences) for story in stories],
    "titles": [part.title for story in stories for part in story.sections if part.id == "kept"],
    "flaws": [str(flaw) for story in stories for flaw in check_story(to_document(story), case)],
}))
"""


def section() -> str:
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    return text.partition("## Three recipes")[2].partition("\n## ")[0]


def follow(copy: Path) -> None:
    """Do every block of the recipes to a copy."""
    for how, name, body in _BLOCK.findall(section()):
        file = copy / name
        text = file.read_text("utf-8")
        if how == "+":
            file.write_text(text + ("\n\n" if name.endswith(".py") else "") + body, "utf-8")
            continue
        for before, after in _HUNK.findall(body):
            old, new = ("".join(line[1:] + "\n" for line in part.splitlines()) for part in (before, after))
            assert text.count(old) == 1, f"{name}: a recipe puts something in place of {old!r}"
            text = text.replace(old, new)
        file.write_text(text, "utf-8")


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What the copy says after all three recipes."""
    copy = tmp_path_factory.mktemp("recipes")
    for name in ("ticket", "schemas", "demo_jobs", "tests/gaps", "tests/support"):
        shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
    follow(copy)
    paths = (copy, copy / "tests", copy / "tests" / "gaps")
    environment = os.environ | {"PYTHONPATH": os.pathsep.join(map(str, paths)), "TICKET_TRACE": "1"}
    for command in (*re.findall(r"\.venv/bin/python -m (ticket\.[\w. /]+)\n", section()), ""):
        call = [sys.executable, "-m", *command.split()] if command else [sys.executable, "-c", SCRIPT]
        made = subprocess.run(call, cwd=copy, env=environment, capture_output=True, text=True, check=False)
        assert made.returncode == 0, made.stderr[-3000:]
    schema = json.loads((copy / "schemas" / "ticket.json").read_text("utf-8"))
    found: dict[str, Any] = json.loads(made.stdout)
    return found | {
        "schema": "kept" in json.dumps(schema),
        "views": (copy / "schemas/sql/views.sql").read_text("utf-8"),
    }


def test_a_kind_is_read_written_and_in_both_contracts(done: dict[str, Any]) -> None:
    assert (done["kinds"], done["line"]) == ("kept", "kept: four winter wheels; shelf 12")
    assert done["schema"]
    assert "v_kept" in done["views"]


def test_a_question_is_asked_of_what_breaks_it_alone(done: dict[str, Any]) -> None:
    assert done["asked"] == [True, False]


def test_a_sentence_is_told_to_every_reader_in_both_languages(done: dict[str, Any]) -> None:
    assert [("We keep brake pads for you" in text, "e guardamos" in text) for text in done["told"]] == [
        (True, False), (False, True),
    ] * 3  # fmt: skip
    assert done["titles"] == ["What we keep for you", "Lo que le guardamos"] * 3
    assert done["flaws"] == []
