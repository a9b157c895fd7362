"""One declaration makes a kind of entry: a copy of the program is given two more, and all of it knows them."""

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest

pytestmark = pytest.mark.slow  # each makes a copy of the program

ROOT = Path(__file__).parents[2]
DECLARED = '''

@dataclass(frozen=True, slots=True, kw_only=True)
class Kept(Fact):
    """Something of the customer's that the shop keeps."""

    kind: ClassVar[str] = "kept"
    title: ClassVar[str] = "thing in keeping"
    band: ClassVar[str] = "what we keep for you"
    example: ClassVar[str] = "kept: four winter wheels; shelf 12; until 2027-04-01; sealed"
    short: ClassVar[str] = "k"
    column: ClassVar[str] = "parts"
    what: str = head("what is kept", free=True)
    place: str = following("where", free=True)
    until: str = word("until", "until", "date")
    refs: tuple[Ref, ...] = word("for", "why", "refs", default=())
    seal: str = flag("how", ("sealed", "open"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate(Fact):
    """How to get in; for the shop alone."""

    kind: ClassVar[str] = "gate"
    title: ClassVar[str] = "way in"
    band: ClassVar[str] = "ways in"
    example: ClassVar[str] = "gate: code of the yard 4711"
    column: ClassVar[str] = ""
    inside: ClassVar[bool] = True
    unbound: ClassVar[bool] = True
    how: str = head("how", free=True)
'''


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What the copy of the program made of a line of the new kind."""
    copy, folder = tmp_path_factory.mktemp("copy"), tmp_path_factory.mktemp("shop")
    for name in ("ticket", "schemas", "demo_jobs"):
        shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
    kinds = copy / "ticket" / "job" / "kinds.py"
    kinds.write_text(kinds.read_text("utf-8") + DECLARED, "utf-8")
    environment = os.environ | {"PYTHONPATH": str(copy), "TICKET_TRACE": "1"}
    script = [sys.executable, str(Path(__file__).with_name("added_kind.py")), str(folder)]
    done = subprocess.run(script, cwd=folder, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[-3000:]
    found: dict[str, Any] = json.loads(done.stdout)
    assert Path(found["program"]).is_relative_to(copy), "the copy ran, not the program itself"
    return found


def test_the_notation_reads_and_writes_it(told: dict[str, Any]) -> None:
    assert told["kinds"][-2:] == ["kept", "gate"]
    assert told["notation"] == {
        "line": "kept: four winter wheels; shelf 12; until 2027-04-01; for 1; sealed",
        "kind": "kept",
        "fields": {"what": "four winter wheels", "place": "shelf 12", "until": "2027-04-01", "seal": "sealed"},
        "short": True,
        "meaning": "kept",
        "form": True,
        "changed": "kept: four winter wheels; shelf 9; until 2027-04-01; for 1; sealed",
        "offered by one key": True,
        "slip": "kept",
    }


def test_the_store_keeps_finds_and_proves_it(told: dict[str, Any]) -> None:
    store = told["store"]
    assert store["entries"][1:] == [
        ["kept", "A", "kept: four winter wheels; shelf 12; until 2027-04-01; for 1; sealed"],
        ["gate", "", "gate: code of the yard 4711"],
    ]
    assert store["search"] == [1]
    assert store["hidden search"] == [], "a kind that declares no column is not searched"
    assert store["view"] == ["four winter wheels", "shelf 12", "2027-04-01", "1", "sealed"]
    assert (store["audit"], store["index"], store["signed"]) == (True, [], True)
    assert store["completed"] == ["kept: four winter wheels"], "completed from the ticket's own past"


def test_documents_carry_it_and_fit_their_schema(told: dict[str, Any]) -> None:
    assert told["store"]["loaded"]
    assert told["store"]["edited"] == "kept: four winter wheels; shelf 9; until 2027-04-01; for 1; sealed"
    jsonschema.Draft202012Validator(told["schema"]).validate(told["store"]["document"])
    wrong = json.loads(json.dumps(told["store"]["document"]))
    wrong["entries"][1]["fact"]["shelf"] = "12"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(told["schema"]).validate(wrong)
    assert "CREATE VIEW v_kept" in told["views"]


def test_the_screens_show_it(told: dict[str, Any]) -> None:
    rows = " ".join(" ".join(told["screens"]["rows"]).split())
    for words in ("2 kept four winter wheels; shelf 12; until 2027-04-01; for 1; sealed", "4 kept spare key; hook 3"):
        assert words in rows
    assert "gate" in rows
    assert told["screens"]["form"] == {
        "field-what": "four winter wheels", "field-place": "shelf 12", "field-until": "2027-04-01",
        "field-refs": "1", "field-seal": "sealed",
    }  # fmt: skip
    shown = "\n".join(told["screens"]["help"])
    assert re.search(r"^thing in keeping +kept: four winter wheels; shelf 12", shown, re.M)


@pytest.mark.parametrize("reader", ["customer", "payer", "shop"])
def test_the_papers_tell_it_to_whom_it_is_declared_for(told: dict[str, Any], reader: str) -> None:
    plain = " ".join(told["store"]["papers"][f"{reader} text"].split())
    assert "four winter wheels; shelf 12; 2027-04-01; sealed" in plain.replace("Four", "four")
    assert "what we keep for you" in plain.lower()
    assert "shelf 12" in told["store"]["papers"][f"{reader} html"]
    assert ("4711" in plain) == (reader == "shop"), "what is declared to stay inside stays inside"


def test_another_language_keeps_the_typed_words(told: dict[str, Any]) -> None:
    assert "four winter wheels" in told["store"]["spanish"].replace("Four", "four")
