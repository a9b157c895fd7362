"""Every command answers ``--json`` with JSON that has a schema; no schema is left without an answer."""

import io
import json
import os
import shlex
from functools import cache
from typing import Any

import jsonschema
import pytest
from json_scenario import SCENARIO
from PIL import Image
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012

from support.pins import make_cheap
from support.screens_desk import DAY, copy_demo
from ticket.cli.main import main
from ticket.cli.parser import build_parser
from ticket.cli.shell_commands import commands_of
from ticket.data import data_folder

STEPS = [line.split(" ", 2) for line in SCENARIO.strip().splitlines()]
LINES = ("talk", "read")  # an object a line


@cache
def registry() -> Registry[Any]:
    files = {file.name: json.loads(file.read_text(encoding="utf-8")) for file in data_folder("schemas").glob("*.json")}
    found = [(name, Resource.from_contents(text, default_specification=DRAFT202012)) for name, text in files.items()]
    return Registry().with_resources(found)


@cache
def validator(name: str) -> jsonschema.Draft202012Validator:
    defined = registry().contents("outputs.json")["$defs"]
    reference = f"outputs.json#/$defs/{name}" if name in defined else f"{name}.json"
    return jsonschema.Draft202012Validator({"$ref": reference}, registry=registry())


def test_the_schema_of_outputs_is_one() -> None:
    jsonschema.Draft202012Validator.check_schema(registry().contents("outputs.json"))


def test_every_command_and_every_definition_is_tried() -> None:
    tried = {shlex.split(step[2])[0] for step in STEPS}
    assert set(commands_of(build_parser())) <= tried
    defined = registry().contents("outputs.json")["$defs"]
    own = {name for name, shape in defined.items() if "ticket " in shape.get("description", "")} - {"line"}
    assert own <= {step[0] for step in STEPS}


@pytest.fixture(scope="module")
def answers(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[int, str, str]]:
    """What each step prints, in a shop of the demo jobs; each from its line on."""
    at = tmp_path_factory.mktemp("outputs")
    (at / "home").mkdir()
    (at / "wrong.json").write_text('{"format": "price-list-1", "place": "x"}', encoding="utf-8")
    (at / "job.txt").write_text("vehicle: Alder\nsays: noise\n", encoding="utf-8")
    Image.new("RGB", (40, 30), (90, 80, 70)).save(at / "pad.jpg")
    copy_demo(at / "s.db")
    reading, writing = os.pipe()
    os.write(writing, b"4829a5\n")
    os.close(writing)
    found: dict[str, tuple[int, str, str]] = {}
    with pytest.MonkeyPatch.context() as patch:
        make_cheap(patch)
        for name in ("HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CONFIG_HOME"):
            patch.setenv(name, str(at / "home"))
        for name, value in {"NOW": DAY.isoformat(), "PERSON": "K. Orlo", "DB": str(at / "s.db"), "TRACE": "1"}.items():
            patch.setenv(f"TICKET_{name}", value)
        for step in STEPS:
            words = shlex.split(step[2].format(at=at, examples=data_folder("examples"), fd=reading))
            out, err = io.StringIO(), io.StringIO()
            patch.setattr("sys.stdin", io.StringIO("found: tie rod loose\n.\n"))
            patch.setattr("sys.stdout", out)
            patch.setattr("sys.stderr", err)
            code = main([*words, "--json"])
            found[step[2]] = (code, out.getvalue(), err.getvalue())
    os.close(reading)
    return found


@pytest.mark.parametrize(("name", "code", "command"), STEPS, ids=[f"{step[0]}: {step[2][:40]}" for step in STEPS])
def test_an_answer_fits_its_schema(
    name: str, code: str, command: str, answers: dict[str, tuple[int, str, str]]
) -> None:
    left, out, err = answers[command]
    assert left == int(code), err
    text = err if name == "error" else out
    for document in text.splitlines() if name in LINES else [text]:
        validator(name).validate(json.loads(document))
    if name == "error":
        assert out == ""
        assert json.loads(err)["exit"] == left
    assert "\x1b" not in out
