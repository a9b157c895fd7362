"""Keys of one's own: a settings file that names an action and its keys, checked before any of it is used.

The file is TOML, one line an action: ``story = "f4"`` or ``story = ["ctrl+t", "f4"]``. A line that cannot be used
is refused with one sentence and its action keeps the keys it came with.
"""

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from ticket.job.errors import InputError
from ticket.job.regex import Regex
from ticket.job.text import one_line
from ticket.machine.input_files import read_file, reason
from ticket.screens.action_table import ACTIONS, FORMER, Action
from ticket.screens.actions import shown_key

SCREENS = tuple(dict.fromkeys(screen for action in ACTIONS for screen in action.screens if screen != "all"))
_TYPED_ON = ("jobs", "ticket", "form", "sign", "past", "followups", "start", "actions", "all")
"""Screens where a line or a field takes letters."""

# Common practice of terminals and multiplexers, measured where the program was tried; no standard says it.
_KEPT = {
    "ctrl+c": "it interrupts", "ctrl+b": "a multiplexer's own key", "ctrl+a": "a multiplexer's own key",
    "ctrl+h": "it arrives as Backspace", "ctrl+i": "it arrives as Tab", "ctrl+m": "it arrives as Enter",
    "ctrl+j": "it arrives as a new line", "ctrl+[": "it arrives as Escape", "ctrl+@": "it arrives as nothing",
    "ctrl+space": "it arrives as nothing", "alt+b": "it arrives as a word to the left",
    "alt+f": "it arrives as a word to the right",
}  # fmt: skip
_EDITING = frozenset(
    "left right home end backspace delete ctrl+d ctrl+e ctrl+f ctrl+k ctrl+u ctrl+v ctrl+w ctrl+x ctrl+left"
    " ctrl+right".split()
)
_NAMES = frozenset(
    "enter escape tab up down left right home end pageup pagedown insert delete backspace space".split()
) | {f"f{i}" for i in range(1, 13)}
_KEY = Regex(r"((?:(?:ctrl|alt|shift)\+)*)(.+)\Z")
_FIXED = {
    "open": "Enter in the line to type in opens", "put": "Enter in the line to type in writes",
    "take": "the line itself takes what stands behind its end",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Changes:
    """What a file of keys changes.

    Attributes:
        keys: the new keys of each action that is changed, by its id.
        refused: one sentence for each line that is not used.
    """

    keys: Mapping[str, tuple[str, ...]]
    refused: tuple[str, ...] = ()


def read_keys(text: str, name: str = "keys.toml") -> Changes:
    """What a file of keys changes. Total: whatever it holds, every action has keys that work.

    Args:
        text: of the file.
        name: of the file, for the sentences.
    """
    try:
        data = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        return Changes({}, (f"{name} is no TOML: {one_line(str(error))}; every key stays as it came.",))
    known = {action.id: action for action in ACTIONS}
    wanted: dict[str, tuple[str, ...]] = {}
    refused: list[str] = []
    for action_id, typed in data.items():
        keys = _typed_keys(typed)
        why = _cannot(known.get(action_id), action_id, keys)
        if why:
            refused.append(f"{name}: {one_line(action_id)} stays as it came: {why}.")
        else:
            wanted[action_id] = keys
    while clash := next(_clashes(wanted), None):
        action_id, why = clash
        del wanted[action_id]
        refused.append(f"{name}: {action_id} stays as it came: {why}.")
    return Changes(wanted, tuple(refused))


def load_keys(file: Path) -> Changes:
    """What the file changes; nothing where there is none, one sentence where it cannot be read."""
    try:
        return read_keys(read_file(file), file.name) if file.exists() else Changes({})
    except OSError as error:
        return Changes(
            {}, (f"{one_line(str(file))} cannot be looked at: {reason(error)}; every key stays as it came.",)
        )
    except InputError as error:
        return Changes({}, (f"{str(error).rstrip('.')}; every key stays as it came.",))


def _typed_keys(typed: object) -> tuple[str, ...]:
    texts = [typed] if isinstance(typed, str) else typed
    if not isinstance(texts, list) or not all(isinstance(text, str) for text in texts):
        return ()
    return tuple(dict.fromkeys(_normal(text) for text in texts))


def _normal(text: str) -> str:
    """A key as Textual names it: ``Ctrl+T`` -> ``ctrl+t``, ``PgUp`` -> ``pageup``."""
    text = text.strip().replace(" ", "")
    key = text if len(text) == 1 else text.lower()
    return {"pgup": "pageup", "pgdn": "pagedown", "esc": "escape", "del": "delete"}.get(key, key)


def _cannot(action: Action | None, action_id: str, keys: tuple[str, ...]) -> str:
    """Why these keys cannot be an action's; empty where they can."""
    if action is None:
        return "there is no such action; ticket shop keys lists them"
    if action_id in _FIXED:
        return _FIXED[action_id]
    if not keys:
        return "give one key or a list of keys as text"
    return next((why for key in keys if (why := _unusable(action, key))), "")


def _unusable(action: Action, key: str) -> str:
    shown = one_line(key)
    match = _KEY.match(key)
    plain = match.group(2) if match else ""
    if not match or not (plain in _NAMES or (len(plain) == 1 and plain.isascii() and plain.isalnum())):
        if key not in _KEPT:
            return f"{shown!r} is no key, write it as alt+s, ctrl+t, f4 or x"
    if key in _KEPT:
        return f"the terminal keeps {shown_key(key)} for itself ({_KEPT[key]})"
    if match and "alt+" in match.group(1) and plain.isdecimal():
        return f"many terminals send {shown_key(key)} as another sign"
    typed = set(_TYPED_ON) & set(action.screens)
    if typed and (len(key) == 1 or key == "space" or key in _EDITING):
        return f"{shown_key(key)} belongs to the line that is typed there"
    return ""


def _clashes(wanted: Mapping[str, tuple[str, ...]]) -> Iterator[tuple[str, str]]:
    """Changed actions one of whose keys another action of the same screen has; the later one of two changed ones."""
    order = list(wanted)
    for screen in SCREENS:
        taken: dict[str, str] = {}
        here = [action for action in ACTIONS if screen in action.screens or "all" in action.screens]
        for action in sorted(here, key=lambda one: order.index(one.id) if one.id in wanted else -1):
            for key in wanted.get(action.id, action.keys):
                if taken.setdefault(key, action.id) != action.id:
                    changed = action.id if action.id in wanted else taken[key]
                    if changed in wanted:
                        yield changed, f"{shown_key(key)} is {taken[key]} on the screen {screen!r} already"


def former_block() -> str:
    """The keys of earlier versions as lines of the file, switched off: take the # away from those that you want."""
    told = [f"# {name} = [{', '.join(repr(key) for key in keys)}]" for name, keys in FORMER.items()]
    return "\n".join(told).replace("'", '"')


def lines(keys: Mapping[str, tuple[str, ...]]) -> Iterable[tuple[str, tuple[str, ...], bool, str]]:
    """Every action with its keys now, whether they were changed, and its help."""
    for action in ACTIONS:
        yield action.id, keys.get(action.id, action.keys), action.id in keys, action.help
