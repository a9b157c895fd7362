"""What a stranger's installer reads of the project: licence, author, bounds of what it needs, releases tried."""

import tomllib
from importlib.metadata import metadata
from pathlib import Path

from packaging.requirements import Requirement  # the standard reader of PEP 508
from packaging.version import Version

ROOT = Path(__file__).parents[2]
_PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
_CALENDAR = frozenset({"tzdata"})  # numbered by years, which break nothing


def _needs() -> dict[str, Requirement]:
    return {need.name: need for need in map(Requirement, _PROJECT["dependencies"])}


def test_the_package_says_licence_and_author() -> None:
    told = metadata("job-ticket")
    assert told["License-Expression"] == "MIT"
    assert told["Author"] == "The job ticket project"
    assert "MIT License" in (ROOT / "LICENSE").read_text(encoding="utf-8")
    assert (ROOT / "ticket" / "py.typed").exists()


def test_what_it_needs_is_bounded_on_both_sides() -> None:
    for name, need in _needs().items():
        signs = {one.operator for one in need.specifier}
        assert ">=" in signs, name
        assert "<" in signs or name in _CALENDAR, name


def test_the_releases_that_were_tried_are_all_there_and_allowed() -> None:
    lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
    tried = dict(line.split("==") for line in lines if line and not line.startswith("#"))
    assert tried.keys() == _needs().keys()
    for name, need in _needs().items():
        assert Version(tried[name]) in need.specifier, name
