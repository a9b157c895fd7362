"""Another language than English told from typed English, by the terms of its files."""

import datetime
from functools import cache, lru_cache, partial
from pathlib import Path

from ticket.story.other.clauses import Labour as Piece
from ticket.story.other.clauses import Reader
from ticket.story.other.groups import Grammar, Group
from ticket.story.other.terms import Terms
from ticket.story.other.terms import read as read_terms
from ticket.story.readings import Reading
from ticket.story.sections import figures
from ticket.story.sections.leaves import Clause, Labour, Named
from ticket.story.sentence import Phrase
from ticket.story.words.clause import PAST, PRESENT
from ticket.story.words.forms import plural
from ticket.story.words.spell import spell
from ticket.story.words.things import position

_PRESENT = frozenset({"because", "risk", "watch", "maybe"})


@cache
def translated(path: Path, locale: str) -> "Translated":
    """The leaves of a language by its terms."""
    return Translated(read_terms(path), locale)


class Translated:
    """How another language tells what was typed in English."""

    def __init__(self, terms: Terms, locale: str) -> None:
        self.terms = terms
        self.locale = locale
        self.swaps = [(row.typed, row.told, row.more) for row in terms.rows.get("swap", ())]
        self.grammar = Grammar(terms, locale, partial(figures.link, swaps=self.swaps))
        self.reader = Reader(self.grammar)
        self._name = lru_cache(maxsize=512)(self._named)

    def thing(self, text: str, kind: str) -> str | None:
        """A thing with what stands in front of it."""
        group = self.reader.group(text)
        if group is None:
            return None
        return self.grammar.bare(group) if kind == "bare" else self.grammar.stands(group, kind)

    def many(self, text: str) -> bool:
        """Whether the thing is a plural."""
        group = self.reader.group(text)
        return group is not None and self.terms.many(group.cls)

    def part(self, text: str, *, several: bool, condition: str) -> tuple[str, str] | None:
        """The part, in the plural for several, with its condition behind."""
        group = self.reader.group(text)
        words = self.grammar.bare(group) if group is not None else ""
        if several:
            head, space, rest = text.partition(" with ")
            many = self.reader.group(f"{plural(head)}{space}{rest}")
            if many is not None:
                group, words = many, self.grammar.bare(many)
        if group is None:
            return None
        if condition:
            row = self.terms.one("adj", condition) or self.terms.one("word", condition)
            if row is None:
                return None
            words = f"{words} {self.terms.form(row.told, group.cls)}"
        return words, group.cls

    def name(self, reading: Reading) -> Named | None:
        """What was measured, with its position: "LF inner" of "front pads" is read as one pad."""
        if not reading.label:
            return self._name(reading.name)
        head, comma, rest = reading.name.partition(",")
        pieces = spell(f"{position(reading.label) or reading.label} {head}")
        words = list(dict.fromkeys(piece.low for piece in pieces)) if pieces else []
        one = words[-1:] and words[-1].removesuffix("s")
        for last in (one, words[-1:] and words[-1]):
            named = self._name(" ".join([*words[:-1], str(last)]) + comma + rest) if words else None
            if named is not None:
                return named
        return None

    def names(self, reading: Reading) -> Named | None:
        """What a run was taken of."""
        return self._name(reading.name)

    def _named(self, text: str) -> Named | None:
        found = self.reader.name(text) if text.strip() else None
        if found is None:
            return None
        group, held = found
        shapes = ("was",) if group.quantity else ("plain",)
        return Named(self.grammar.the(group), self.terms.many(group.cls), shapes, " ".join(held), cls=group.cls)

    def place(self, reading: Reading, cls: str, at: int) -> str | None:
        """ "delantera izquierda", "cilindro 3"."""
        pieces = spell(position(reading.label) or reading.label)
        words = [piece.low for piece in pieces or ()]
        sides = [self.terms.one("adj", word) for word in words]
        if pieces and all(sides):
            one = next((key for key, many in self.terms.plural_class.items() if many == cls and key != cls), cls)
            told = [
                self.terms.form(row.told, one or self.terms.classes[0]) for row in reversed(sides) if row is not None
            ]
            return " ".join(told)
        group: Group | None = self.grammar.group(pieces) if pieces else None
        return self.grammar.bare(group) if group is not None else None

    def clauses(self, text: str, where: str) -> tuple[Clause, ...] | None:
        """The clauses of a text where every word is listed."""
        found = self.reader.clauses(text, PRESENT if where in _PRESENT else PAST)
        if found:
            return tuple(map(Clause, found))
        return None

    def labour(self, text: str, parts: tuple[str, ...] = ()) -> tuple[Labour, ...] | None:
        """Labour where every piece is known."""
        pieces = self.reader.labour(text)
        if not pieces or not all(isinstance(piece, Piece) for piece in pieces):
            return None
        return tuple(Labour(piece.done, piece.todo) for piece in pieces if isinstance(piece, Piece))

    def term(self, text: str) -> str | None:
        """A word of the notation."""
        row = self.terms.one("word", text.lower())
        return row.told if row is not None else None

    def unit_of_time(self, unit: str, count: int) -> tuple[str, str]:
        """ "semanas" and its class."""
        row = self.terms.one("unit", unit)
        noun = self.terms.nouns.get(unit)
        return (row.told.split("/")[0 if count == 1 else -1] if row is not None else unit), noun.cls if noun else ""

    def count(self, count: int, cls: str = "") -> str:
        """A count in words as far as the terms go."""
        row = self.terms.one("number", str(count))
        return self.terms.form(row.told, cls or self.terms.classes[0]) if row else str(count)

    def meaning(self, words: str) -> str | None:
        """What the tables of codes say, where the terms have it."""
        row = self.terms.one("code", words)
        return row.told if row is not None else self.thing(words, "bare")

    def measure(self, number: str, unit: str) -> str:
        """A figure with its unit."""
        return self.grammar.measure(number, unit)

    def number(self, text: str, *, grouping: bool = False) -> str:
        """A bare figure."""
        return figures.number(text, self.locale, grouping=grouping)

    def day(self, when: datetime.date, style: str) -> str:
        """A date in words."""
        return figures.day(when, self.locale)

    def unit_words(self) -> list[tuple[str, str]]:
        """ "millas", "milla"."""
        return [(word, row.typed) for row in self.terms.rows.get("unit", ()) for word in row.told.split("/")]

    def glosses(self) -> list[tuple[str, str]]:
        """Hard terms and what they are."""
        return [(row.typed, row.told) for row in self.terms.rows.get("gloss", ())]

    def listed(self, items: list[Phrase]) -> Phrase:
        """Phrases as a list of the language."""
        return figures.listed(items, self.locale, self.swaps)
