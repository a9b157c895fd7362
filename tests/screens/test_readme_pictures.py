"""The pictures of the README are what the program draws today, and all of them are shown."""

import re
from pathlib import Path

import pytest
from draw_screens import draw, wanted

from ticket.machine.environment import LOOK, NOW

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "docs" / "screens"
AGAIN = "PYTHONPATH=tests:tests/screens python tests/screens/draw_screens.py docs/screens {}"


def test_every_picture_is_shown_and_every_one_that_is_shown_is_there() -> None:
    shown = re.findall(r"\(docs/screens/([^)]+)\)", (ROOT / "README.md").read_text(encoding="utf-8"))
    assert sorted(shown) == sorted(path.name for path in FOLDER.iterdir())


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(path.stem for path in FOLDER.glob("*.svg")))
async def test_a_picture_is_what_is_drawn_today(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    for variable in (NOW, LOOK, "TICKET_PERSON", "TERM", "COLORTERM"):
        monkeypatch.setenv(variable, "")  # the drawing sets them, and this brings back what was there
    ((picture, size, look, _),) = wanted([name])
    _, drawn = await draw(picture, size, look)
    kept = (FOLDER / f"{name}.svg").read_text(encoding="utf-8")
    assert drawn == kept, f"draw it again and look at it: {AGAIN.format(name)}"
