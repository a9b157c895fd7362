"""Free text is taken out of what is chained, so that it can be blanked one day without breaking the chain."""

from collections.abc import Mapping
from typing import Any

MASK = "\u25ae\u25ae\u25ae"  # stands where words were blanked


class Words(str):
    """Marks a text as free; :func:`split` takes it out."""

    __slots__ = ()


def split(value: Any, path: str = "") -> tuple[Any, dict[str, str]]:
    """A JSON value with ``null`` for each marked text, and those texts by their path (``births/0/fact/seen``)."""
    if isinstance(value, Words):
        return None, {path: str(value)}
    words: dict[str, str] = {}

    def inner(item: Any, name: object) -> Any:
        facts, found = split(item, f"{path}/{name}" if path else str(name))
        words.update(found)
        return facts

    if isinstance(value, dict):
        return {name: inner(item, name) for name, item in value.items()}, words
    if isinstance(value, list | tuple):
        return [inner(item, i) for i, item in enumerate(value)], words
    return value, words


def join(facts: Any, words: Mapping[str, str] | None, path: str = "") -> Any:
    """The value :func:`split` was given; :data:`MASK` where the words are gone."""
    if facts is None:
        return MASK if words is None else words.get(path, MASK)
    if isinstance(facts, dict):
        return {name: join(item, words, f"{path}/{name}" if path else name) for name, item in facts.items()}
    if isinstance(facts, list):
        return [join(item, words, f"{path}/{i}" if path else str(i)) for i, item in enumerate(facts)]
    return facts


def alike(old: Any, current: Any) -> bool:
    """Whether two values agree wherever neither is masked."""
    if old == current or MASK in (old, current):
        return True
    if isinstance(old, dict) and isinstance(current, dict):
        return old.keys() == current.keys() and all(alike(old[name], current[name]) for name in old)
    if isinstance(old, list) and isinstance(current, list):
        return len(old) == len(current) and all(map(alike, old, current))
    return False
