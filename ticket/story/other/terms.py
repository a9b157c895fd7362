"""The trade's words in another language, and the little grammar that puts them together.

One file a language, tab-separated: ``kind``, ``typed`` (the spelled English), ``told``, ``class``, ``more``.

========= ====================================================================================================
class     ``typed``: a class of nouns; ``told``: the class of its plural (itself, where it is one)
the       how a noun of a class stands with its article; likewise ``a``, and behind "of", "to" and "in"; class
          ``*`` for a group without an article, ``“`` for quoted words
many      an ending of a noun and the ending of its plural
noun      ``class`` of the noun; ``more``: ``q`` a quantity, ``a`` a defect, ``m=`` a plural that no ending tells
adj       forms for the classes, in the order of the ``class`` rows, parted by ``/``; one form fits all
det       a word in front (its, both), by class like ``adj``, with ``{x}`` for the noun
prep      what stands for a preposition; ``{x}`` the noun with its article, ``{o}`` behind "of", ``{t}`` behind
          "to", ``{b}`` bare, ``{n}`` for a figure only
group     a noun with slots: ``voltage drop {x} to {y}``
phrase    a clause or a condition with slots; ``{n}`` a figure with its unit
verb      ``class`` t where a thing may follow; past, in the singular and the plural parted by ``/``; ``more``: present
be        the same for a state
and, not  words between groups and states
adv       a word in front of a state ("slightly")
state     an adjective that stands behind its noun only
cond      conditions of a measurement
job       labour that needs no thing; as ``work``
word      a word of the notation: a status, a payer, a judgement, a condition
gloss     a hard term of the language, explained
work      ``told``: what we did; ``more``: as something to do
unit      in the singular and the plural
number    a count word by class
code      meaning of a code or of a part of one
swap      a short word before certain beginnings: ``y`` is ``e`` before ``i``
========= ====================================================================================================
"""

from collections import defaultdict
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from ticket.story.words.forms import plural

_WHOLE = frozenset({"code", "word"})  # kinds whose typed words may hold a comma; elsewhere it parts spellings


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the file."""

    kind: str
    typed: str
    told: str
    cls: str = ""
    more: str = ""


@dataclass(frozen=True, slots=True)
class Noun:
    """A noun as it is typed once: its words there, its class there, whether it is a quantity, or told with "a"."""

    text: str
    cls: str
    quantity: bool = False
    some: bool = False


@dataclass(frozen=True)
class Terms:
    """All terms of one language.

    Attributes:
        rows: by kind, in the order of the file.
        nouns: by typed words, singular and plural.
        classes: in the order that ``adj`` forms follow.
        plural_class: of every class.
    """

    rows: dict[str, list[Row]]
    nouns: dict[str, Noun]
    classes: tuple[str, ...]
    plural_class: dict[str, str]

    def one(self, kind: str, typed: str) -> Row | None:
        """The row of a kind for some typed words."""
        return self._index.get((kind, typed))

    @cached_property
    def _index(self) -> dict[tuple[str, str], Row]:
        return {
            (row.kind, key.strip()): row
            for kind, rows in self.rows.items()
            for row in rows
            for key in ([row.typed] if kind in _WHOLE else row.typed.split(","))
        }

    def form(self, forms: str, cls: str) -> str:
        """One of the forms of an adjective for a class of nouns."""
        held = forms.split("/")
        return held[self.classes.index(cls)] if len(held) == len(self.classes) else held[0]

    def put(self, kind: str, cls: str, text: str) -> str:
        """A noun with what a class wants in front of it (``the``, ``of``)."""
        row = self.one(kind, cls)
        return row.told.replace("{x}", text) if row is not None else text

    def many(self, cls: str) -> bool:
        """Whether a class is a plural."""
        return self.plural_class.get(cls) == cls


def read(path: Path) -> Terms:
    """The terms of a file. Raises ``FileNotFoundError`` where there is none."""
    rows: dict[str, list[Row]] = defaultdict(list)
    for line in path.read_text(encoding="utf-8").split("\n"):
        if line and not line.startswith("#"):
            row = Row(*(cell.strip() for cell in line.split("\t")))
            rows[row.kind].append(row)
    for kind in ("group", "phrase", "cond"):
        rows[kind].sort(key=lambda row: row.typed.count("{"))  # what is said outright goes before what only fits
    plural_class = {row.typed: row.told for row in rows["class"]}
    endings = [(row.typed, row.told) for row in rows["many"]]
    nouns: dict[str, Noun] = {}
    for row in rows["noun"]:
        marks = row.more.split(";")
        flags = ("q" in marks, "a" in marks)
        own = next((mark.removeprefix("m=") for mark in marks if mark.startswith("m=")), "")
        for typed in (name.strip() for name in row.typed.split(",")):
            nouns[typed] = Noun(row.told, row.cls, *flags)
            if plural_class.get(row.cls, row.cls) != row.cls:
                told = own or _many(row.told, endings)
                nouns.setdefault(_plural(typed), Noun(told, plural_class[row.cls], *flags))
    return Terms(dict(rows), nouns, tuple(plural_class), plural_class)


def _plural(typed: str) -> str:
    """The English plural of a compound: of its last word."""
    head, space, last = typed.rpartition(" ")
    return head + space + plural(last)


def _many(told: str, endings: list[tuple[str, str]]) -> str:
    """The plural of the first word; what follows it stays."""
    first, space, rest = told.partition(" ")
    for ending, new in endings:
        if first.endswith(ending):
            return first[: len(first) - len(ending)] + new + space + rest
    return told
