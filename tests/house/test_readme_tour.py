"""The README shows real output."""

import re
from pathlib import Path

from readme_tour import replay, tour

# Digests depend on random salts; their places do not.
_DIGEST = re.compile(r"\b(\d+)-[0-9a-f]{16}\b")


def test_the_tour_in_the_readme_is_what_the_program_prints(tmp_path: Path) -> None:
    _, told, _ = tour()
    assert _DIGEST.sub(r"\1-digest", replay(told, tmp_path)) == _DIGEST.sub(r"\1-digest", told)
    assert "Traceback" not in told
