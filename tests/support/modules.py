"""The modules of the program that can be imported here."""

import importlib
import pkgutil
from collections.abc import Iterator
from types import ModuleType

import ticket

MAIN = "ticket.__main__"  # would run


def every_module(but: tuple[str, ...] = ()) -> Iterator[ModuleType]:
    """Each module but those whose name begins so; one that needs an extra that is not installed is left."""
    for found in pkgutil.walk_packages(ticket.__path__, "ticket."):
        if found.name.startswith((MAIN, *but)):
            continue
        try:
            yield importlib.import_module(found.name)
        except ModuleNotFoundError as missing:
            if str(missing.name).startswith("ticket"):
                raise
