"""A message of a PO file as an entry of the phrasebook, and a reader for the files that come with the program.

A shop's file is read by Babel, which knows all that gettext allows. Babel takes a third of a second to load, and every
story needs the shipped book: its files are in the plain form that Babel itself writes, and are read here without it.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Protocol

from ticket.job.book_entry import LINE_KINDS, SIZES, WORD_CLASSES, BookEntry
from ticket.job.errors import InputError
from ticket.job.text import one_line
from ticket.language.slots import flaw, tidied

PAST, GENDER = "past: ", "gender: "
_NAMES = ("msgctxt", "msgid_plural", "msgid", "msgstr[0]", "msgstr[1]", "msgstr")


class Message(Protocol):
    """What a message of a catalog holds, as Babel names it."""

    @property
    def id(self) -> object:
        """The typed phrase, or it and its plural."""

    @property
    def string(self) -> object:
        """The wording, or its forms."""

    @property
    def context(self) -> str | None:
        """Kind of line and size."""

    @property
    def auto_comments(self) -> list[str]:
        """Who took it, forms of a word."""

    @property
    def flags(self) -> set[str]:
        """``fuzzy`` where nobody looked at it."""

    @property
    def lineno(self) -> int | None:
        """Its line in the file."""


@dataclass
class _Plain:
    """A message while it is read."""

    auto_comments: list[str] = field(default_factory=list)
    flags: set[str] = field(default_factory=set)
    lineno: int | None = None
    texts: dict[str, str] = field(default_factory=dict)

    @property
    def context(self) -> str | None:
        return self.texts.get("msgctxt")

    @property
    def id(self) -> object:
        one = self.texts.get("msgid", "")
        return (one, self.texts["msgid_plural"]) if "msgid_plural" in self.texts else one

    @property
    def string(self) -> object:
        return self.texts.get("msgstr") or tuple(self.texts.get(f"msgstr[{i}]", "") for i in range(2))


def read_shipped(text: str, language: str, name: str) -> tuple[BookEntry, ...]:
    """The entries of a file of the program's own: each message a block, each text a line."""
    return tuple(entry_of(message, language, name) for message in _messages(text, name) if message.id)


def _messages(text: str, name: str) -> Iterator[_Plain]:
    made, last = _Plain(), ""
    for no, line in enumerate([*text.splitlines(), ""], 1):
        if not line.strip():
            if made.texts:
                yield made
            made, last = _Plain(), ""
        elif line.startswith("#,"):
            made.flags |= {flag.strip() for flag in line[2:].split(",")}
        elif line.startswith("#."):
            made.auto_comments.append(line[2:].strip())
        elif line.startswith('"'):
            made.texts[last] += json.loads(line)
        elif not line.startswith("#"):
            last = next((one for one in _NAMES if line.startswith(f"{one} ")), "")
            if not last:
                raise refused(name, no, "it is no PO file there")
            made.lineno = no if last == "msgid" else made.lineno
            made.texts[last] = json.loads(line.removeprefix(last))


def entry_of(message: Message, language: str, name: str) -> BookEntry:
    """The entry a message stands for. Raises :class:`InputError` naming file and line where it stands for none."""
    line = message.lineno or 0
    where, bar, size = (message.context or "").partition("|")
    if not bar or size not in SIZES or where not in (*LINE_KINDS, *WORD_CLASSES):
        raise refused(name, line, 'its msgctxt is no kind and size, such as "found|clause" or "thing|word"')
    typed, told = (_texts(one)[:2] for one in (message.id, message.string))  # a third form is told of millions
    if len(typed) != len(told):
        raise refused(name, line, "it needs as many wordings as phrases")
    if len(typed) == 2 and size != "word":
        raise refused(name, line, "only a word has a plural")
    comments = [one for one in message.auto_comments if one]
    plain = [one for one in comments if not one.startswith((PAST, GENDER))]
    entry = BookEntry(
        language, size, where, typed[0], told[0],
        plural=typed[1] if len(typed) == 2 else "", told_plural=told[1] if len(typed) == 2 else "",
        past=_comment(comments, PAST), gender=_comment(comments, GENDER), origin=plain[0] if plain else "",
        state="waiting" if "fuzzy" in message.flags else "kept",
    )  # fmt: skip
    if entry.gender not in ("", "m", "f"):
        raise refused(name, line, f"{entry.gender!r} is no gender, m or f")
    entry = tidied(entry)
    if why := flaw(entry):
        raise refused(name, line, why)
    return entry


def _texts(held: object) -> tuple[str, ...]:
    """One text, or the forms of one, as Babel holds them; nothing for a form that is missing."""
    forms = held if isinstance(held, tuple | list) else (held,)
    return tuple(one for one in forms if isinstance(one, str))


def _comment(comments: list[str], lead: str) -> str:
    return next((one.removeprefix(lead).strip() for one in comments if one.startswith(lead)), "")


def refused(name: str, line: int, why: str) -> InputError:
    """One sentence that says where a file cannot be used, and that nothing was taken in."""
    return InputError(f"{one_line(name)}, line {line}: {why}; nothing was taken in.")
