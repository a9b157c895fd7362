"""The table of keys in the tutorial of a technician, pressed in an empty shop: what it says is seen is seen."""

import re
from pathlib import Path

import pytest
from test_whole_job import desk
from textual import events

from support.screen import screen_text
from support.screens_desk import flat

PAGE = Path(__file__).parents[2] / "docs" / "tutorial" / "technician.md"
_KEY = re.compile(r"(?:Ctrl|Alt)\+[A-Z]|F[0-9]{1,2}|Enter|Esc|[A-Z]")
_NAMES = {"Esc": "escape", "Enter": "enter"}


def steps() -> list[tuple[list[str], str]]:
    """The rows of the table: what is pressed and typed, and what is seen then."""
    rows = [line.split("|")[1:3] for line in PAGE.read_text("utf-8").split("\n") if line.startswith("| `")]
    return [(re.findall(r"`([^`]+)`", done), seen.strip()) for done, seen in rows]


@pytest.mark.slow
async def test_the_tutorial_is_pressed_as_it_stands(database: Path) -> None:
    assert len(steps()) > 15
    async with desk(database, (100, 30)) as (app, pilot):
        for done, seen in steps():
            for piece in done:
                if _KEY.fullmatch(piece):
                    await pilot.press(_NAMES.get(piece, piece.lower()))
                    continue
                for letter in piece:  # typed ahead, as fast as a terminal sends it
                    app.post_message(events.Key(letter, letter))
                await pilot.pause()
            await pilot.pause()
            assert seen in flat(screen_text(app)), f"after {done} the screen shows:\n{screen_text(app)}"
