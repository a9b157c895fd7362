"""Free text is taken out of what is chained, so that it can be blanked one day without breaking the chain."""

from base64 import urlsafe_b64encode
from collections.abc import Callable, Mapping
from typing import Any, Self

from ticket.store.canonical import commitment

_SALT = 16  # bytes
MASK = "\u25ae\u25ae\u25ae"  # stands where words were blanked


class Words(str):
    """Marks a text as free; :func:`split` takes it out.

    Attributes:
        salt: of its own, once it has one; it dies with the text.
        commitment: what stays of a text that was blanked, where that is known.
    """

    __slots__ = ("commitment", "salt")
    salt: str
    commitment: str

    def __new__(cls, text: str, salt: str = "", commitment: str = "") -> Self:
        """Mark a text."""
        made = super().__new__(cls, text)
        made.salt, made.commitment = salt, commitment
        return made

    @property
    def committed(self) -> str:
        """What is promised of it; empty where that is not known any more."""
        return self.commitment or (commitment(self.salt, self) if self.salt else "")


_PLAIN = frozenset({str, int, float, bool, type(None)})
"""Types of values that hold no text marked as words: most of a row, so they are told first."""


def salted(value: Any, salts: Callable[[int], bytes]) -> Any:
    """The value with a salt for each marked text that has none yet."""
    if type(value) in _PLAIN:
        return value
    if isinstance(value, Words):
        return value if value.salt else Words(value, urlsafe_b64encode(salts(_SALT)).decode().rstrip("="))
    if isinstance(value, dict):
        return {name: salted(item, salts) for name, item in value.items()}
    return [salted(item, salts) for item in value] if isinstance(value, list | tuple) else value


def held_texts(words: Mapping[str, Any]) -> dict[str, Words]:
    """The texts of a row of format 2 as marked ones; the mask where one was blanked."""
    return {
        path: Words(MASK, commitment=one) if isinstance(one, str) else Words(one[1], one[0])
        for path, one in words.items()
    }


def split(value: Any) -> tuple[Any, dict[str, Words]]:
    """A JSON value with ``null`` for each marked text, and those texts by their path (``births/0/fact/seen``)."""
    words: dict[str, Words] = {}
    return _parted(value, "", words), words


def _parted(value: Any, path: str, words: dict[str, Words]) -> Any:
    if type(value) in _PLAIN:
        return value
    if isinstance(value, Words):
        words[path] = value
        return None
    lead = f"{path}/" if path else ""
    if isinstance(value, dict):
        return {
            name: item if type(item) in _PLAIN else _parted(item, f"{lead}{name}", words)
            for name, item in value.items()
        }
    if isinstance(value, list | tuple):
        return [_parted(item, f"{lead}{i}", words) for i, item in enumerate(value)]
    return value


def parted(value: Any, salts: Callable[[int], bytes]) -> tuple[Any, Any, dict[str, Words]]:
    """A JSON value as :func:`split` gives it once :func:`salted`, and as :func:`join` gives it back: in one go."""
    words: dict[str, Words] = {}
    facts, whole = _parts_of(value, "", words, salts)
    return facts, whole, words


def _parts_of(value: Any, path: str, words: dict[str, Words], salts: Callable[[int], bytes]) -> tuple[Any, Any]:
    if type(value) in _PLAIN:
        return value, value
    if isinstance(value, Words):
        words[path] = salted(value, salts)
        return None, str(value)
    lead = f"{path}/" if path else ""
    if isinstance(value, dict):
        facts, whole = dict(value), dict(value)
        for name, item in value.items():
            if type(item) not in _PLAIN:
                facts[name], whole[name] = _parts_of(item, f"{lead}{name}", words, salts)
        return facts, whole
    if isinstance(value, list | tuple):
        pairs = [_parts_of(item, f"{lead}{i}", words, salts) for i, item in enumerate(value)]
        return [one for one, _ in pairs], [other for _, other in pairs]
    return value, value


def join(facts: Any, words: Mapping[str, str] | None, path: str = "") -> Any:
    """The value :func:`split` was given; :data:`MASK` where the words are gone."""
    if facts is None:
        return MASK if words is None else words.get(path, MASK)
    if type(facts) in _PLAIN:
        return facts
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
