"""Every action with its keys, in the order in which help and the last row of a screen tell them.

One key means one thing on every page; where it does the same to another thing, the words differ and the meaning does
not. Keys that a terminal or a multiplexer keeps for itself are never used. `docs/decisions/0007-keys.md` says why.
"""

from typing import NamedTuple


class Action(NamedTuple):
    """Something a person can do on a screen.

    Attributes:
        id: name in the settings and of the method ``action_<id>`` on the screen or the app.
        keys: Textual key names, the first one is shown.
        label: one to three words for the last row.
        help: one sentence.
        screens: where it works: ``jobs``, ``ticket``, ``telling`` (the story), ``phone``, ``settings``, ``reading``,
            ``form`` (every form), ``sign``, ``actions`` (the list of all of them) or ``all``.
        hinted: screens whose last row shows it.
    """

    id: str
    keys: tuple[str, ...]
    label: str
    help: str
    screens: tuple[str, ...]
    hinted: tuple[str, ...] = ()


_LISTS = ("jobs", "past", "found", "followups", "settings", "conflict", "keeping", "actions")
_READ = (*_LISTS, "ticket", "reading", "sign", "telling", "phone")
_FORMS = ("form", "start")
_SORTED = ("jobs", "past", "followups")
_LEFT = ("ticket", "past", "found", "followups", "settings", "conflict", "keeping", "actions", "reading", "sign",
         "telling", "phone", "form")  # fmt: skip

WRITING = frozenset(
    "amend put copy change record reword keep_it save yes no thinks left_message no_answer new undo redo call edit"
    " redate finished refused along note keep thing matter state doing unword header form strike move hide clock sign"
    " afresh rest kind balance mark".split()
)
"""Actions that write, or lead to nothing but writing: an auditor is shown none of them."""

ACTIONS: tuple[Action, ...] = (
    # What Enter does now stands first on every screen.
    Action("open", ("enter",), "open", "Open the ticket under the pointer.", ("jobs",), ("jobs",)),
    Action("amend", ("alt+a",), "amend", "Correct a signed ticket: which entry, what stands in its place, and why.",
           ("ticket",), ("signed",)),
    Action("put", ("enter",), "write", "Write the line as an entry; on an empty line bring the pointed entry back.",
           ("ticket",), ("ticket",)),
    Action("read", ("enter",), "read", "Read the job under the pointer, beside the ticket in hand.",
           ("past",), ("past",)),
    Action("copy", ("enter",), "copy", "Copy the entry under the pointer into your ticket.", ("found",), ("found",)),
    Action("visit", ("enter",), "ticket", "Open the ticket that put the work off.", ("followups",), ("followups",)),
    Action("choose", ("enter",), "choose", "Do what the pointer stands on.", ("conflict", "actions"),
           ("conflict", "actions")),
    Action("change", ("enter",), "change", "Type another value for this.", ("settings",), ("settings",)),
    Action("record", ("enter",), "write", "Write the answers as one contact.", ("phone",), ("phone",)),
    Action("reword", ("enter",), "reword", "Say the sentence in your own words; from an entry, go to its sentence.",
           ("telling",), ("telling", "cited", "words", "wording")),
    Action("keep_it", ("enter",), "keep", "Keep what the pointer stands on in the phrasebook.", ("keeping",),
           ("keeping",)),
    Action("next", ("enter",), "next", "Go to the next field; nothing is written.", _FORMS, (*_FORMS, "fields")),
    Action("mark", ("space",), "choose", "Choose the next value where a field lists its values.", _FORMS, _FORMS),
    Action("save", ("ctrl+s",), "save", "Write what stands in the fields.", _FORMS, (*_FORMS, "fields")),
    Action("afresh", ("alt+x",), "afresh", "Throw away what was typed here and not saved.", ("form",)),
    Action("kept", ("ctrl+s",), "keep", "Everything is kept as it is written; this says so.", _READ),
    Action("yes", ("y",), "yes", "The customer says yes to this.", ("phone",), ("phone",)),
    Action("no", ("n",), "no", "The customer says no to this.", ("phone",), ("phone",)),
    Action("thinks", ("t",), "thinks", "The customer wants to think about this.", ("phone",), ("phone",)),
    Action("left_message", ("v",), "message", "A message was left.", ("phone",), ("phone",)),
    Action("no_answer", ("a",), "nobody", "Nobody answered the call.", ("phone",), ("phone",)),
    Action("new", ("ctrl+n",), "new", "Open a new ticket; for deferred work with its vehicle and customer.",
           ("jobs", "ticket", "followups"), ("jobs", "followups")),
    Action("places", ("tab",), "move", "From the line to the questions, the entries, each concern, and back.",
           ("ticket",), ("ticket",)),
    Action("places_back", ("shift+tab",), "move back", "The same round the other way.", ("ticket",)),
    Action("counts", ("tab",), "counts", "How the jobs found spread over codes, causes and years.", ("past",),
           ("past",)),
    Action("line", ("tab",), "line", "Into the line that will be written, to correct it, and back to the answers.",
           ("phone",), ("phone",)),
    Action("side", ("tab",), "entries", "Point at sentences, or at the entries.", ("telling",),
           ("telling", "cited")),
    Action("undo", ("ctrl+z",), "undo", "Take back typing, then what you did last here.", ("all",), ("ticket",)),
    Action("story", ("ctrl+t", "f4"), "story", "Read, reword, write out or print the story.", ("ticket",),
           ("ticket", "signed")),
    Action("call", ("alt+c", "f8"), "call", "What to read to the customer, and their answers.",
           ("ticket", "followups"), ("ticket", "followups")),
    Action("actions", ("ctrl+p",), "all", "Search all actions by name and run one.", ("all",), ("ticket",)),
    Action("past", ("ctrl+f",), "past jobs", "Find past jobs; on a ticket, those with its newest code first.",
           ("jobs", "ticket"), ("jobs", "ticket", "signed")),
    Action("edit", ("f2",), "retype", "Bring the entry under the pointer back.", ("ticket",), ("ticket",)),
    Action("followups", ("alt+d", "f7"), "due", "Deferred work by date: call, set a new date, open a ticket.",
           ("jobs", "ticket"), ("jobs",)),
    Action("sort", ("alt+s",), "sort", "Sort by the next column.", _SORTED, _SORTED),
    Action("filter", ("alt+i",), "filter", "Show only what is late, then what waits for each thing, then all again.",
           ("jobs",)),
    Action("all", ("alt+u",), "signed too", "Show signed tickets too, or only the open ones.", ("jobs",), ("jobs",)),
    Action("settings", ("alt+o",), "settings", "People, prices of labour and parts, tax, local rules, language, look.",
           ("jobs", "ticket", "phone")),
    Action("own", ("ctrl+o",), "open it", "Open this job itself instead of reading it here.", ("found",), ("found",)),
    Action("redate", ("alt+n",), "new day", "Agree on another day for it.", ("followups",), ("followups",)),
    Action("finished", ("alt+y",), "done", "It was done, here or elsewhere.", ("followups",), ("followups",)),
    Action("refused", ("alt+x",), "declined", "The customer does not want it.", ("followups",), ("followups",)),
    Action("farther", ("alt+u",), "later too", "Show all that waits, however late it falls due.", ("followups",)),
    Action("compare", ("alt+v",), "compare rules", "The local rules side by side.", ("settings",), ("settings",)),
    Action("reader", ("alt+r",), "reader", "Tell it to the next: customer, payer, shop.", ("telling",),
           ("telling", "cited")),
    Action("remind", ("alt+w",), "write out", "Write out a reminder for the customer: to the clipboard, or to a file.",
           ("followups",), ("followups",)),
    Action("write", ("alt+w",), "write out", "Write the copy with its bill, invoice, estimate or story to a file.",
           ("telling",), ("telling", "cited")),
    Action("printer", ("alt+p",), "print", "Hand the story to the system's printer.", ("telling",), ("telling",)),
    Action("tongue", ("alt+l",), "language", "Tell it in the next language.", ("telling",),
           ("telling", "cited")),
    Action("measures", ("alt+m",), "units", "Measures as typed, or in the other system too.", ("telling",)),
    Action("along", ("space",), "take along",
           "Take a sentence or an entry along: your next words stand in for it, or may draw on it.", ("telling",),
           ("cited",)),
    Action("note", ("ctrl+g", "f5"), "next note",
           "Go to the next note that a driver may not follow, the weightiest first.", ("telling",), ("telling",)),
    Action("keep", ("alt+q",), "keep in the book", "Keep the wording for every ticket, in the phrasebook.",
           ("telling",), ("wording",)),
    Action("thing", ("1",), "a thing", "The underlined word is a thing; keep that in the phrasebook.", ("telling",)),
    Action("matter", ("2",), "a matter", "The underlined word is some matter or fault.", ("telling",)),
    Action("state", ("3",), "a state", "The underlined word is a state.", ("telling",)),
    Action("doing", ("4",), "a doing", "The underlined word is something that a thing does.", ("telling",)),
    Action("narrower", ("right",), "narrower", "Keep less of the line.", ("keeping",), ("keeping",)),
    Action("wider", ("left",), "wider", "Keep more of the line.", ("keeping",), ("keeping",)),
    Action("unword", ("alt+x",), "as it was", "Take the rewording of a sentence back.", ("telling",)),
    Action("names", ("ctrl+r",), "names", "An auditor: show who customers are, which the journal tells; or hide them.",
           ("jobs", "ticket", "past", "found", "followups", "telling", "phone")),
    Action("redo", ("ctrl+y",), "redo", "Do again what was taken back last.", ("all",)),
    Action("gaps", ("ctrl+g", "f5"), "to ask", "Go to the next thing that is still to ask.", ("ticket",)),
    Action("header", ("ctrl+l", "f3"), "vehicle", "Set vehicle, customer, odometer and what it waits for.",
           ("ticket",)),
    Action("take", ("right",), "take", "At the end of the line take what is offered there.", ("ticket",)),
    Action("form", ("alt+e",), "form", "Show every field of the entry under the pointer in a form.", ("ticket",)),
    Action("strike", ("alt+x", "f6"), "strike", "Strike the entry under the pointer, or put a struck one back.",
           ("ticket",)),
    Action("move", ("alt+g",), "concern", "Give the entry under the pointer to another concern.", ("ticket",)),
    Action("hide", ("alt+h",), "shop only", "Keep the entry from the customer's copy, or let it on.", ("ticket",)),
    Action("clock", ("alt+k", "f9"), "clock", "Clock yourself on or off the labour under the pointer.", ("ticket",)),
    Action("picture", ("alt+v",), "picture", "Show the picture of this entry with the system's viewer.",
           ("ticket",)),
    Action("concern_before", ("alt+left",), "concern before", "Show the entries of the concern before.", ("ticket",)),
    Action("concern_after", ("alt+right",), "next concern", "Show the next concern, behind the last one all of them.",
           ("ticket",)),
    Action("struck", ("alt+u",), "struck", "Show the struck entries, or fold them to their count.", ("ticket",)),
    Action("rest", ("alt+j",), "rests on nothing", "Do not take the entries proposed for this line.", ("ticket",)),
    Action("kind", ("alt+t",), "as", "Take the line as another kind of fact, the likeliest first.", ("ticket",)),
    Action("other", ("alt+down", "ctrl+down"), "other words", "Another way to complete the line.", ("ticket",)),
    Action("balance", ("f11",), "balance", "A small form: where did the fluid go?", ("ticket",)),
    Action("sign", ("f12",), "sign", "Close the ticket for good.", ("ticket", "telling", "sign"), ("sign",)),
    Action("back", ("escape",), "back", "One step back; a half line or form is kept and offered again.", ("all",),
           (*(name for name in _LEFT if name != "ticket"), "signed", "wording", "words", "cited", "fields")),
    Action("leave", ("ctrl+q", "f10"), "leave", "Leave the program. Nothing needs saving.", ("all",), ("start",)),
    Action("suspend", ("alt+z",), "aside", "Put the program aside; fg in the shell brings it back as it stands.",
           ("all",)),
    Action("up", ("up",), "up", "Move the pointer up.", (*_READ, *_FORMS)),
    Action("down", ("down",), "down", "Move the pointer down.", (*_READ, *_FORMS)),
    Action("page_up", ("pageup",), "page up", "A screenful up.", _READ),
    Action("page_down", ("pagedown",), "page down", "A screenful down.", _READ),
    Action("first", ("home",), "first", "To the first row; while a line holds text, to its begin.", _READ),
    Action("last", ("end",), "last", "To the last row; while a line holds text, to its end.", _READ),
    Action("help", ("f1",), "help", "Show what can be done on this screen; ? on an empty line does too.", ("all",),
           ("jobs", "start", "signed", "wording", "words", "cited", "fields", *_LEFT)),
)  # fmt: skip

FORMER = {
    "undo": ("f8",), "redo": ("ctrl+y", "f9"), "edit": ("ctrl+o", "f2"), "story": ("alt+s", "ctrl+t", "f4"),
    "call": ("alt+t",), "move": ("alt+c",), "strike": ("f6",), "rest": ("f7",), "kind": ("alt+a",),
    "amend": ("alt+g",), "other": ("alt+n", "ctrl+down"), "save": ("f2", "ctrl+o"), "all": ("ctrl+t",),
    "leave": ("f10",), "own": ("o",), "compare": ("c",), "left_message": ("m",), "reader": ("r",),
    "measures": ("u",), "along": ("m",), "unword": ("alt+x", "x"), "write": ("w",), "printer": ("p",),
    "tongue": ("l",), "followups": ("alt+d",), "clock": ("alt+k",),
}  # fmt: skip
"""The keys that actions had before; `ticket shop keys --former` writes them as a block, switched off."""
