"""The one registry of actions: keys, the hint line, help and the searchable list all read it.

Keys that terminals keep for themselves (interrupt, flow control, suspend) are never used, and every action is in
the searchable list, so none depends on a key that a laptop or a terminal hides.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Action:
    """Something a person can do on a screen.

    Attributes:
        id: name in the settings and of the method ``action_<id>`` on the screen or the app.
        keys: Textual key names, the first one is shown.
        label: two or three words for the hint line.
        help: one sentence.
        screens: where it works: ``jobs``, ``ticket``, ``telling`` (the story), ``phone``, ``settings``, ``reading``,
            ``form``, ``header`` (the forms above the entries), ``sign`` or ``all``.
        hinted: screens whose hint line shows it.
    """

    id: str
    keys: tuple[str, ...]
    label: str
    help: str
    screens: tuple[str, ...]
    hinted: tuple[str, ...] = ()


_READING = (
    "jobs", "ticket", "reading", "sign", "telling", "phone", "settings", "past", "found", "followups", "conflict",
    "keeping",
)  # fmt: skip
ACTIONS: tuple[Action, ...] = (
    Action(
        "help", ("f1",), "help", "Show what can be done on this screen; ? on an empty line does too.", ("all",),
        ("jobs", "ticket", "reading", "form", "sign", "telling", "phone", "settings", "past", "found", "followups",
         "conflict", "start", "header", "keeping"),
    ),
    Action("actions", ("ctrl+p",), "all actions", "Search all actions by name and run one.", ("all",)),
    Action("open", ("enter",), "open", "Open the ticket under the pointer.", ("jobs",), ("jobs",)),
    Action("new", ("ctrl+n",), "new ticket", "Open a new ticket.", ("jobs", "ticket"), ("jobs",)),
    Action("all", ("ctrl+t",), "signed too", "Show signed tickets too, or only the open ones.", ("jobs",), ("jobs",)),
    Action(
        "past", ("ctrl+f",), "past jobs", "Find past jobs; on a ticket, those with its newest code first.",
        ("jobs", "ticket"), ("jobs", "ticket"),
    ),
    Action(
        "followups", ("alt+d",), "follow-ups", "Deferred work by date: call, set a new date, open a ticket.",
        ("jobs",), ("jobs",),
    ),
    Action("read", ("enter",), "read it", "Read the job under the pointer, beside your own.", ("past",), ("past",)),
    Action("counts", ("tab",), "counts", "How the jobs found spread over codes, causes and years.", ("past",),
           ("past",)),
    Action("copy", ("c",), "copy", "Copy the entry under the pointer into your ticket.", ("found",), ("found",)),
    Action("own", ("o",), "open it", "Open this job itself instead of reading it here.", ("found",), ("found",)),
    Action("called", ("c",), "called", "Record a call about the work under the pointer.", ("followups",),
           ("followups",)),
    Action("redate", ("n",), "new date", "Agree on another day for it.", ("followups",), ("followups",)),
    Action("finished", ("d",), "done", "It was done, here or elsewhere.", ("followups",), ("followups",)),
    Action("refused", ("r",), "declined", "The customer does not want it.", ("followups",), ("followups",)),
    Action("job", ("t",), "ticket", "Open a new ticket for it, with vehicle and customer.", ("followups",),
           ("followups",)),
    Action("farther", ("l",), "later too", "Show all that waits, however late it falls due.", ("followups",)),
    Action("choose", ("enter",), "choose", "Do what the pointer stands on.", ("conflict",), ("conflict",)),
    Action("start", ("enter",), "start", "Start your shop with what is filled in.", ("start",), ("start",)),
    Action("demo", ("f5",), "demo", "Look at a shop full of invented jobs instead.", ("start",), ("start",)),
    Action("story", ("ctrl+t", "f4"), "story", "Show or hide the customer's story.", ("ticket",), ("ticket",)),
    Action("tell", ("alt+s",), "story and papers", "Read, reword, write out or print the story.", ("ticket",)),
    Action("settings", ("alt+o",), "settings", "People, prices, tax, local rules, language, keys.", ("jobs",)),
    Action("change", ("enter",), "change", "Type another value for this.", ("settings",), ("settings",)),
    Action("compare", ("c",), "compare rules", "The local rules side by side.", ("settings",), ("settings",)),
    Action("call", ("alt+t",), "phone", "What to read to the customer, and their answers.", ("ticket",), ("ticket",)),
    Action("yes", ("y",), "yes", "The customer says yes to this.", ("phone",), ("phone",)),
    Action("no", ("n",), "no", "The customer says no to this.", ("phone",), ("phone",)),
    Action("thinks", ("t",), "thinks", "The customer wants to think about this.", ("phone",), ("phone",)),
    Action("no_answer", ("a",), "no answer", "Nobody answered the call.", ("phone",), ("phone",)),
    Action("left_message", ("m",), "message", "A message was left.", ("phone",), ("phone",)),
    Action("record", ("enter",), "write", "Write the answers as one contact.", ("phone",), ("phone",)),
    Action("reader", ("r",), "reader", "Tell it to the next: customer, payer, shop.", ("telling",), ("telling",)),
    Action("measures", ("u",), "units", "Measures as typed, or in the other system too.", ("telling",)),
    Action("side", ("tab",), "entries", "Point at sentences, or at the entries.", ("telling",), ("telling",)),
    Action("reword", ("enter",), "reword", "Say the sentence in your own words.", ("telling",), ("telling",)),
    Action(
        "along", ("m",), "take along",
        "Take a sentence or an entry along: your next words stand in for it, or may draw on it.", ("telling",),
    ),
    Action("note", ("ctrl+g", "f5"), "next note", "Go to the next note that a driver may not follow.", ("telling",),
           ("telling",)),
    Action("keep", ("alt+b",), "keep in the book", "Keep the wording for every ticket, in the phrasebook.",
           ("telling",)),
    Action("thing", ("1",), "a thing", "The underlined word is a thing; keep that in the phrasebook.", ("telling",)),
    Action("matter", ("2",), "a matter", "The underlined word is some matter or fault.", ("telling",)),
    Action("state", ("3",), "a state", "The underlined word is a state.", ("telling",)),
    Action("doing", ("4",), "a doing", "The underlined word is something that a thing does.", ("telling",)),
    Action("narrower", ("right",), "narrower", "Keep less of the line.", ("keeping",), ("keeping",)),
    Action("wider", ("left",), "wider", "Keep more of the line.", ("keeping",), ("keeping",)),
    Action("keep_it", ("enter",), "keep", "Keep what the pointer stands on in the phrasebook.", ("keeping",),
           ("keeping",)),
    Action("unword", ("alt+x", "x"), "as it was", "Take the rewording of a sentence back.", ("telling",)),
    Action("write", ("w",), "write out", "Write the story to a file.", ("telling",), ("telling",)),
    Action("printer", ("p",), "print", "Hand the story to the system's printer.", ("telling",), ("telling",)),
    Action("tongue", ("l",), "language", "Tell it in the next language.", ("telling",), ("telling",)),
    Action("gaps", ("ctrl+g", "f5"), "to ask", "Go to the next thing that is still to ask.", ("ticket",), ("ticket",)),
    Action("undo", ("ctrl+r", "f8"), "take back", "Take back what you did last here.", ("ticket",), ("ticket",)),
    Action("redo", ("ctrl+y", "f9"), "do again", "Do again what was taken back last.", ("ticket",)),
    Action("edit", ("ctrl+o", "f2"), "retype", "Bring the entry under the pointer back.", ("ticket",)),
    Action("form", ("alt+e",), "form", "Show every field of the entry under the pointer in a form.", ("ticket",)),
    Action("strike", ("f6",), "strike", "Strike the entry under the pointer, or put a struck one back.", ("ticket",)),
    Action("move", ("alt+c",), "concern", "Give the entry under the pointer to another concern.", ("ticket",)),
    Action("hide", ("alt+h",), "shop only", "Keep the entry from the customer's copy, or let it on.", ("ticket",)),
    Action("clock", ("alt+k",), "clock", "Clock yourself on or off the labour under the pointer.", ("ticket",)),
    Action("picture", ("alt+v",), "picture", "Show the picture of this entry with the system's viewer.",
           ("ticket",)),
    Action("concern_before", ("alt+left",), "concern before", "Show the entries of the concern before.", ("ticket",)),
    Action("concern_after", ("alt+right",), "next concern", "Show the next concern, behind the last one all of them.",
           ("ticket",)),
    Action("struck", ("alt+u",), "struck", "Show the struck entries, or fold them to their count.", ("ticket",)),
    Action("rest", ("f7",), "rests on nothing", "Do not take the entries proposed for this line.", ("ticket",)),
    Action("take", ("tab",), "take proposal", "Write the proposed entries into the line, or complete it.", ("ticket",)),
    Action("kind", ("alt+a",), "as", "Take the line as another kind of fact, the likeliest first.", ("ticket",)),
    Action("other", ("alt+n", "ctrl+down"), "other words", "Another way to complete the line.", ("ticket",)),
    Action("header", ("ctrl+l", "f3"), "vehicle", "Set vehicle, customer, odometer and status.", ("ticket",)),
    Action("next", ("enter",), "next field", "Go to the next field; nothing is written.", ("header",), ("header",)),
    Action("save", ("f2", "ctrl+o"), "save", "Write what stands in the fields.", ("header",), ("header",)),
    Action("balance", ("f11",), "balance", "A small form: where did the fluid go?", ("ticket",)),
    Action("sign", ("f12",), "sign", "Close the ticket for good.", ("ticket", "sign"), ("ticket", "sign")),
    Action(
        "back", ("escape",), "back", "Leave this screen, or clear the line.", ("all",),
        ("ticket", "reading", "form", "header", "sign", "telling", "phone", "settings", "past", "found", "followups",
         "conflict", "keeping"),
    ),
    Action("leave", ("f10",), "leave", "Leave the program. Nothing needs saving.", ("all",), ("jobs", "start")),
    Action("up", ("up",), "up", "Move the pointer up.", (*_READING, "form", "header", "start")),
    Action("down", ("down",), "down", "Move the pointer down.", (*_READING, "form", "header", "start")),
    Action("page_up", ("pageup",), "page up", "Scroll up.", _READING),
    Action("page_down", ("pagedown",), "page down", "Scroll down.", _READING),
)  # fmt: skip

_SHOWN = {"escape": "Esc", "enter": "Enter", "tab": "Tab", "pageup": "PgUp", "pagedown": "PgDn", "up": "↑", "down": "↓"}


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
    return "+".join(part.capitalize() if len(part) > 1 else part.upper() for part in key.split("+"))


def hinted(screen: str, width: int) -> tuple[tuple[str, str], ...]:
    """The keys a screen shows with what they do, as many as fit; what does not is left out, Esc and help never.

    Each takes its key, a blank and its words, parted by two blanks; help stands last, at the right edge.
    """
    shown = [action for action in actions_of(screen) if screen in action.hinted]
    pairs = {action.id: (shown_key(keys_of(action)[0]), action.label) for action in shown}
    last = [pairs.pop(name) for name in ("back", "help") if name in pairs]
    others = list(pairs.values())
    while others and _cells([*others, *last]) > width:
        others.pop()
    return tuple(pair for pair in (*others, *last)) if _cells([*others, *last]) <= width else ()


def _cells(pairs: Sequence[tuple[str, str]]) -> int:
    return sum(len(key) + len(label) + 3 for key, label in pairs) - 2
