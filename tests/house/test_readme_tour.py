"""The README shows real output."""

import re
import subprocess
from pathlib import Path

import pytest
from readme_tour import TUTORIALS, replay, tour

from support.installed import Command

# Digests depend on random salts; their places do not.
_DIGEST = re.compile(r"\b(\d+)-(?:[0-9a-f]{16}|[0-9a-f]{32})\b")


def apart(words: list[str], environment: dict[str, str], folder: Path) -> subprocess.CompletedProcess[str]:
    assert words[0] == "ticket"
    return Command(folder, environment)(*words[1:])


def test_the_tour_in_the_readme_is_what_the_program_prints(tmp_path: Path) -> None:
    _, told, _ = tour()
    assert _DIGEST.sub(r"\1-digest", replay(told, tmp_path, apart)) == _DIGEST.sub(r"\1-digest", told)
    assert "Traceback" not in told


@pytest.mark.slow
@pytest.mark.parametrize("page", TUTORIALS, ids=lambda page: page.stem)
def test_each_tour_of_a_role_is_what_the_program_prints(page: Path, tmp_path: Path) -> None:
    told = page.read_text(encoding="utf-8")
    assert told.count("    $ ticket ") >= 6
    assert _DIGEST.sub(r"\1-digest", replay(told, tmp_path, apart)) == _DIGEST.sub(r"\1-digest", told)
    assert "Traceback" not in told
    assert "ticket: " not in told, "no command of a tour is refused"
