"""The README shows real output."""

import re
import subprocess
from pathlib import Path

from readme_tour import replay, tour

from support.installed import Command

# Digests depend on random salts; their places do not.
_DIGEST = re.compile(r"\b(\d+)-[0-9a-f]{16}\b")


def apart(words: list[str], environment: dict[str, str], folder: Path) -> subprocess.CompletedProcess[str]:
    assert words[0] == "ticket"
    return Command(folder, environment)(*words[1:])


def test_the_tour_in_the_readme_is_what_the_program_prints(tmp_path: Path) -> None:
    _, told, _ = tour()
    assert _DIGEST.sub(r"\1-digest", replay(told, tmp_path, apart)) == _DIGEST.sub(r"\1-digest", told)
    assert "Traceback" not in told
