"""How keys and actions are told: the last row, help and the searchable list all read the one table.

Every action is in the searchable list, so none depends on a key that a laptop or a terminal hides.
"""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from ticket.screens.action_table import ACTIONS, WRITING, Action

_SHOWN = {
    "escape": "Esc", "enter": "Enter", "tab": "Tab", "pageup": "PgUp", "pagedown": "PgDn", "up": "↑", "down": "↓",
    "left": "←", "right": "→", "space": "Space", "home": "Home", "end": "End",
}  # fmt: skip


_ACTS_AS = {"signed": "ticket", "wording": "telling", "words": "telling", "cited": "telling", "fields": "form"}
_SAYS = {
    ("reword", "cited"): "sentence", ("reword", "words"): "keep", ("reword", "wording"): "keep",
    ("side", "cited"): "sentences", ("save", "start"): "start",
}  # fmt: skip
"""What an action is called where a screen is in a state of its own."""


def actions_of(screen: str) -> tuple[Action, ...]:
    """The actions that work on a screen."""
    return tuple(action for action in ACTIONS if screen in action.screens or "all" in action.screens)


_changed: dict[str, tuple[str, ...]] = {}


def change_keys(changed: Mapping[str, tuple[str, ...]]) -> None:
    """Show other keys than those that actions came with; set once, when the file of keys was read.

    Args:
        changed: the keys by the action's id, as :mod:`ticket.screens.keys` checked them.
    """
    _changed.clear()
    _changed.update(changed)


def keys_of(action: Action) -> tuple[str, ...]:
    """The keys of an action as they are now."""
    return _changed.get(action.id, action.keys)


def key_for(action_id: str) -> str:
    """The first key of an action as people write it, for a sentence that names it."""
    return next(shown_key(keys_of(action)[0]) for action in ACTIONS if action.id == action_id)


def shown_key(key: str) -> str:
    """A key as people write it: ``ctrl+t`` -> ``Ctrl+T``."""
    if key in _SHOWN or len(key) == 1:
        return _SHOWN.get(key, key)
    return "+".join(_SHOWN.get(part, part.capitalize()) if len(part) > 1 else part.upper() for part in key.split("+"))


class Hint(NamedTuple):
    """A key in the last row of a screen: which action, its key and its words."""

    action: str
    key: str
    label: str


def hinted(screen: str, width: int, *, looks: bool = False) -> tuple[Hint, ...]:
    """The keys a screen shows with what they do, as many as fit; what does not is left out, Esc and help never.

    Each takes its key, a blank and its words, parted by two blanks; help stands last, at the right edge. A signed
    ticket (``signed``) has the actions of a ticket and shows others of them, and so has a story while the pointer is
    among its entries (``cited``), a sentence of it is reworded (``words``), or a note (``wording``); a form none of
    whose fields lists values (``fields``) has nothing to choose. Who only ``looks`` is shown none that writes.
    """
    shown = [action for action in actions_of(_ACTS_AS.get(screen, screen)) if screen in action.hinted]
    shown = [action for action in shown if action.id not in WRITING] if looks else shown
    hints = {
        action.id: Hint(action.id, shown_key(keys_of(action)[0]), _SAYS.get((action.id, screen), action.label))
        for action in shown
    }
    last = [hints.pop(name) for name in ("back", "help") if name in hints]
    others = list(hints.values())
    while others and _cells([*others, *last]) > width:
        others.pop()
    return (*others, *last) if _cells([*others, *last]) <= width else ()


def _cells(hints: Sequence[Hint]) -> int:
    return sum(len(hint.key) + len(hint.label) + 3 for hint in hints) - 2
