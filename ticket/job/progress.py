"""How far long work is: whoever counts items says so to whoever listens; without a listener nothing is told."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TypeVar

Listener = Callable[[str, int, int], None]
"""Called with what is done, how much of it, and how much there is."""

Item = TypeVar("Item")
_listener: ContextVar[Listener | None] = ContextVar("listener", default=None)


@contextmanager
def told_to(listener: Listener | None) -> Iterator[None]:
    """Long work inside tells this listener, or nobody, also on a thread that was started with this context."""
    before = _listener.set(listener)
    try:
        yield
    finally:
        _listener.reset(before)


def tell(what: str, done: int, total: int) -> None:
    """Say how far work is that counts itself; for what goes item by item there is :func:`counted`."""
    listener = _listener.get()
    if listener is not None:
        listener(what, done, total)


def counted(items: Iterable[Item], what: str, total: int) -> Iterator[Item]:
    """The items one by one; the listener hears before each how many are done, and at the end that all are.

    Args:
        items: that are worked on.
        what: the work in one or two words, such as ``load``.
        total: how many there are.
    """
    listener = _listener.get()
    if listener is None or not total:
        yield from items
        return
    for done, item in enumerate(items):
        listener(what, done, total)
        yield item
    listener(what, total, total)
