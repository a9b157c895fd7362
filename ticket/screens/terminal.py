"""What the terminal can show, from its name, its locale and what the person asked for."""

import os
from collections.abc import Mapping

from rich.console import Console

from ticket.machine.environment import LOOK, SIGNS, told_look
from ticket.machine.terminal_signs import needs_letters
from ticket.screens.look import Look, look_for

WANTED = ("terminal", "dark", "light", "contrast", "none")
DRAWN_AS = ("terminal", "drawn", "letters")
"""How signs may be drawn: as the terminal is asked, or as a person says."""
_LIGHT = ("7", "15")


def look_of(environment: Mapping[str, str], depth: str | None, ground: float | None = None) -> Look:
    """The look for a terminal.

    Args:
        environment: ``TERM``, ``COLORFGBG``, the locale, ``NO_COLOR``, and what the person asks for.
        depth: the colours it has, as rich names them.
        ground: how light its background is, from 0 to 1; ``None`` where it did not say.
    """
    wanted = environment.get(LOOK, "terminal")
    return look_for(
        wanted if wanted in WANTED else "terminal", depth,
        light=ground > 0.5 if ground is not None else _is_light(environment.get("COLORFGBG", "")),
        plain="NO_COLOR" in environment, letters=needs_letters(environment),
    )  # fmt: skip


def _is_light(colours: str) -> bool:
    """``COLORFGBG`` as some terminals set it: ink, then ground."""
    return colours.rpartition(";")[2] in _LIGHT


def environment() -> Mapping[str, str]:
    """The variables of this process, behind them what was told on the settings screen.

    Textual takes NO_COLOR away when an app is made, so they are read before.
    """
    return told_look() | dict(os.environ)


def colours_of(around: Mapping[str, str]) -> str | None:
    """The colours of the terminal as rich tells them; NO_COLOR is asked elsewhere."""
    asked = {name: value for name, value in around.items() if name != "NO_COLOR"}
    return Console(force_terminal=True, _environ=asked).color_system


def told_choices() -> tuple[str, str]:
    """Colours and signs as this login chose them, or left them."""
    told = told_look()
    colours, signs = told.get(LOOK, ""), told.get(SIGNS, "")
    return colours if colours in WANTED else WANTED[0], signs if signs in DRAWN_AS else DRAWN_AS[0]
