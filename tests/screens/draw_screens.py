"""Every screen as an SVG picture, drawn by the program itself.

``PYTHONPATH=tests:tests/screens python tests/screens/draw_screens.py FOLDER`` draws the screens of ``test_pictures``
at both sizes, dark, light and without colours. Names behind the folder, such as ``ticket-80x24-dark``, draw only those.
"""

import argparse
import asyncio
import os
import re
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from test_pictures import ALL, SIZES, TODAY, Picture, reach

from support.clock import BEGIN, Clock
from support.screens_desk import copy_demo
from ticket.machine.environment import LOOK, NOW
from ticket.screens.app import TicketApp
from ticket.screens.routes import ROUTES, name_of
from ticket.shop.opening import Shop

LOOKS = ("dark", "light", "none")
_PERSON = "Nell Ivarsen"
_FETCHED = re.compile(r"\s*@font-face\s*\{[^}]*\}|\s*<!--.*?-->", re.S)


def wanted(names: list[str]) -> Iterator[tuple[Picture, tuple[int, int], str, str]]:
    """Each picture with its size, its look and its name."""
    for picture in ALL:
        for size in SIZES:
            for look in LOOKS:
                name = f"{picture.name}-{size[0]}x{size[1]}-{look}"
                if not names or name in names:
                    yield picture, size, look, name


async def draw(picture: Picture, size: tuple[int, int], look: str) -> tuple[str, str]:
    """The name of a screen and the screen as SVG, reached by its keys from the jobs; no font is fetched to show it."""
    os.environ |= {NOW: TODAY, "TICKET_PERSON": _PERSON, LOOK: look, "TERM": "xterm-256color", "COLORTERM": "truecolor"}
    with tempfile.TemporaryDirectory() as folder:
        database = Path(folder) / "shop.db"
        if picture.shop == "demo":
            copy_demo(database, _PERSON, BEGIN)
        elif picture.shop == "empty":
            Shop.open(database, _PERSON, now=Clock()).close()
        app = TicketApp(database, lambda: Shop.open(database, _PERSON))
        async with app.run_test(size=size) as pilot:
            await pilot.pause(0.3)
            await reach(app, pilot, picture)
            page, drawn = name_of(app.screen), app.export_screenshot(title="ticket")
            app.close_shop()
    return page, _FETCHED.sub("", drawn).replace("Fira Code, monospace", "monospace").replace("Fira Code", "monospace")


def main() -> None:
    """Draw what is asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("names", nargs="*")
    options = parser.parse_args()
    options.folder.mkdir(parents=True, exist_ok=True)
    seen = set[str]()
    for picture, size, look, name in wanted(options.names):
        page, drawn = asyncio.run(draw(picture, size, look))
        seen.add(page)
        (options.folder / f"{name}.svg").write_text(drawn, encoding="utf-8")
        sys.stderr.write(f"{name}\n")
    if not options.names:
        sys.stderr.write(f"without a picture: {', '.join(sorted(set(ROUTES) - seen)) or 'none'}\n")


if __name__ == "__main__":
    main()
