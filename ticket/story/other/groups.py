"""Noun groups: typed English words as a group of the other language, or nothing where a word is not listed.

A few safe rules and no guess: sides and adjectives agree with their noun; a listed compound is taken whole, and
"N1 N2" only where both are listed; prepositions bring a group of their own; codes and figures stay letter for letter.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from ticket.readings.units import find
from ticket.story.other.terms import Terms
from ticket.story.sections.figures import groups, number
from ticket.story.words.tokens import CODE, NUMBER, UNIT, WORD, Token

Tokens = tuple[Token, ...]
_HELD = 20_000  # groups kept in mind
MOST = 24  # words; a longer group is no name of a thing
PLACES = frozenset("left right front rear upper lower inner outer".split())
_KINDS = frozenset({WORD, NUMBER, UNIT, CODE})
_ARTICLES = frozenset({"the", "a", "an"})


@dataclass(frozen=True, slots=True)
class Group:
    """A noun group in the other language.

    Attributes:
        text: without an article, with all that follows the noun.
        cls: class of the noun.
        quantity: it names something that is measured, not a thing.
        fixed: it stands without an article: with a word of its own in front, or a figure.
        listed: the groups it joins, where there are several, and the word between them.
        some: it is told with "a": a defect, or a thing in a bad state, not a known part of this vehicle.
    """

    text: str
    cls: str
    quantity: bool = False
    fixed: bool = False
    listed: "tuple[Group, ...]" = ()
    link: str = ""
    some: bool = False


class Grammar:
    """Puts groups together from the terms of one language."""

    def __init__(self, terms: Terms, locale: str, link: Callable[[str, str], str]) -> None:
        self.terms = terms
        self.locale = locale
        self.link = link
        self._known: dict[Tokens, Group | None] = {}

    # --- how a group stands ------------------------------------------------------------------------------------

    def the(self, group: Group) -> str:
        """With its article."""
        return self._put(group, "the")

    def of(self, group: Group) -> str:
        """Behind "of"."""
        return self._put(group, "of")

    def bare(self, group: Group) -> str:
        """Without an article."""
        if group.listed:
            return self._joined([self.bare(one) for one in group.listed], group.link)
        return group.text

    def stands(self, group: Group, kind: str) -> str:
        """With what a kind of row puts in front (``the``, ``of``, ``a``)."""
        return self._put(group, kind)

    def _put(self, group: Group, kind: str) -> str:
        if group.listed:
            return self._joined([self._put(one, kind) for one in group.listed], group.link)
        if group.fixed:
            row = self.terms.one(kind, "*")  # what stands before a group without an article
            return row.told.replace("{x}", group.text) if row is not None else group.text
        return self.terms.put("the" if kind == "a" and not group.some else kind, group.cls, group.text)

    def _joined(self, items: list[str], link: str) -> str:
        out = items[-1]
        for i in range(len(items) - 2, -1, -1):
            out = items[i] + (self.link(f" {link} ", out) if i == len(items) - 2 else ", ") + out
        return out

    # --- reading -----------------------------------------------------------------------------------------------

    def group(self, pieces: Tokens) -> Group | None:
        """The group that exactly these words make."""
        if not 0 < len(pieces) <= MOST or any(piece.kind not in _KINDS and piece.text != "," for piece in pieces):
            return None
        if pieces not in self._known:
            if len(self._known) > _HELD:
                self._known.clear()
            self._known[pieces] = None  # while it is looked into, it is no part of itself
            self._known[pieces] = self._determined(pieces) or self._template(pieces)
            if self._known[pieces] is None and not self._acts(pieces):
                self._known[pieces] = self._coordinated(pieces) or self._tied(pieces)
        return self._known[pieces]

    def _acts(self, pieces: Tokens) -> bool:
        """ "pump leaks fluid": a word that does something is no part of a name."""
        acting = (self.terms.one("verb", piece.low) and not self._adjective(piece.low) for piece in pieces)
        return len(pieces) > 1 and any(acting)

    def _determined(self, pieces: Tokens) -> Group | None:
        first = pieces[0].low
        if first in _ARTICLES:
            return self.group(pieces[1:]) if len(pieces) > 1 else None
        row = self.terms.one("det", first)
        if row is None or len(pieces) < 2:
            return None
        inner = self._tied(pieces[1:])
        if inner is None or inner.fixed or inner.listed:
            return None
        text = self.terms.form(row.told, inner.cls).replace("{x}", inner.text)
        return replace(inner, text=text, fixed=True)

    def _coordinated(self, pieces: Tokens) -> Group | None:
        """ "drive belt and belt tensioner": each part a group of its own."""
        for i in range(len(pieces) - 2, 0, -1):
            row = self.terms.one("and", pieces[i].low)
            if row is None:
                continue
            left, right = self._commas(pieces[:i]), self.group(pieces[i + 1 :])
            if not left or right is None or right.listed or self._splits_compound(pieces, i):
                continue
            parts = (*left, right)
            if any(part.some for part in left) and not right.some:
                continue  # "leaking pump or hose": does the hose leak too?
            return Group("", self._class_of(parts), all(part.quantity for part in parts), listed=parts, link=row.told)
        return None

    def _commas(self, pieces: Tokens) -> "tuple[Group, ...]":
        """The things in front of "and", parted by commas; empty where one of them is not known."""
        out: tuple[Group, ...] = ()
        start = 0
        for end in (*(i for i, piece in enumerate(pieces) if piece.text == ","), len(pieces)):
            one = self.group(pieces[start:end])
            if one is None or (one.listed and len(pieces) > end):
                return ()
            out, start = (*out, *(one.listed or (one,))), end + 1
        return out

    def _splits_compound(self, pieces: Tokens, i: int) -> bool:
        """ "front and rear brakes": what stands before "and" is no thing."""
        return self._adjective(pieces[i - 1].low) is not None and self.terms.nouns.get(pieces[i - 1].low) is None

    def _class_of(self, parts: tuple[Group, ...]) -> str:
        """The class of several: the plural all share, else that of the first class of the file."""
        held = {self.terms.plural_class.get(part.cls, part.cls) for part in parts}
        return held.pop() if len(held) == 1 else self.terms.plural_class[self.terms.classes[0]]

    def _tied(self, pieces: Tokens) -> Group | None:
        """A noun with what hangs on it: a preposition and a group, a number, a code."""
        plain = self._noun(pieces)
        if plain is not None:
            return plain
        for i in range(1, len(pieces)):
            row = self.terms.one("prep", pieces[i].low)
            if row is None or i + 1 == len(pieces):
                continue
            head, tail = self._noun(pieces[:i]), self.tail(pieces[i:])
            if head is not None and tail:
                return replace(head, text=f"{head.text} {tail}")
        return None

    def tail(self, pieces: Tokens) -> str:
        """ "at the lower end": a preposition with its group or figure; empty for anything else."""
        row = self.terms.one("prep", pieces[0].low) if pieces else None
        if row is None or len(pieces) < 2:
            return ""
        listed = self.terms.one("cond", " ".join(piece.low for piece in pieces))
        if listed is not None:
            return listed.told
        figure = self.figure(pieces[1:]) or self._figure_and(pieces[1:])
        if figure:
            bare = Group(figure, "", fixed=True)
            return self.fill(row.told, {"": bare}).replace("{n}", figure)
        if "{n}" in row.told:
            return ""
        group = self.group(pieces[1:])
        return self.fill(row.told, {"": group}) if group is not None else ""

    def _figure_and(self, pieces: Tokens) -> str:
        """ "20 min at idle": a figure with a further preposition behind."""
        head, tail = self.figure(pieces[:2]), self.tail(pieces[2:]) if len(pieces) > 3 else ""
        return f"{head} {tail}" if head and tail else ""

    def fill(self, told: str, held: dict[str, Group]) -> str:
        """``{x}``, ``{o}`` and ``{b}`` (or ``{y.o}``) by the groups that stand for them."""
        out = told
        for name, group in held.items():
            ways = {"": self.the(group), "o": self.of(group), "b": self.bare(group), "t": self.stands(group, "to")}
            for way, text in ways.items():
                key = ".".join(part for part in (name, way) if part) or "x"
                out = out.replace("{" + key + "}", text)
        return out

    def figure(self, pieces: Tokens) -> str:
        """ "14 miles", "20 minutos": a figure with its unit, or a bare one."""
        if not pieces or pieces[0].kind != NUMBER or len(pieces) > 2:
            return ""
        if len(pieces) == 1:
            return number(pieces[0].text, self.locale)
        return self.measure(pieces[0].text, pieces[1].text) if pieces[1].kind == UNIT else ""

    def measure(self, typed: str, unit: str) -> str:
        """A figure with its unit in words where the terms have them, else by its sign."""
        known = find(unit)
        shown = number(typed, self.locale, grouping=groups(unit))
        if known is None:
            return f"{shown} {unit}".strip()
        if known.glued:
            return shown + known.sign
        row = self.terms.one("unit", known.name)
        forms = row.told.split("/") if row is not None else [known.sign]
        return f"{shown}\u00a0{forms[0] if typed.lstrip('+-') == '1' else forms[-1]}"

    def _noun(self, pieces: Tokens) -> Group | None:
        """A noun with the words in front of it, and a number or a code behind."""
        if pieces[-1].kind in (NUMBER, CODE) and len(pieces) > 1 and pieces[-2].kind == WORD:
            inner = self._noun(pieces[:-1])
            return replace(inner, text=f"{inner.text} {pieces[-1].text}", fixed=False) if inner is not None else None
        if pieces[0].kind == CODE and len(pieces) > 1:
            inner = self._noun(pieces[1:])
            return replace(inner, text=f"{inner.text} {pieces[0].text}") if inner is not None else None
        if any(piece.kind != WORD for piece in pieces):
            return None
        listed = self.terms.nouns.get(" ".join(piece.low for piece in pieces))
        if listed is not None:
            return Group(listed.text, listed.cls, listed.quantity, some=listed.some)
        return self._described(pieces) or self._compound(pieces)

    def _adjective(self, word: str) -> str | None:
        row = self.terms.one("adj", word)
        return row.told if row is not None else None

    def _described(self, pieces: Tokens) -> Group | None:
        """Adjectives and sides in front of a noun stand behind it, the nearest first, and agree."""
        first = self._adjective(pieces[0].low)
        if first is None or len(pieces) < 2:
            return None
        rest = pieces[1:]
        link = self.terms.one("and", rest[0].low)
        if link is not None and len(rest) > 2 and (second := self._adjective(rest[1].low)) is not None:
            inner = self._noun(rest[2:])
            if inner is None:
                return None
            one, two = self.terms.form(first, inner.cls), self.terms.form(second, inner.cls)
            both = f"{inner.text} {one}{self.link(f' {link.told} ', two)}{two}"
            return replace(inner, text=both, some=True)
        inner = self._noun(rest)
        if inner is None:
            return None
        place = pieces[0].low in PLACES
        return replace(inner, text=f"{inner.text} {self.terms.form(first, inner.cls)}", some=inner.some or not place)

    def _compound(self, pieces: Tokens) -> Group | None:
        """ "N1 N2" as "N2 of the N1", the longest listed noun last."""
        for i in range(1, len(pieces)):
            head = self.terms.nouns.get(" ".join(piece.low for piece in pieces[i:]))
            if head is None:
                continue
            of = self._noun(pieces[:i])
            if of is None or of.quantity or of.some:
                return None
            return Group(f"{head.text} {self.of(of)}", head.cls, head.quantity, some=of.some or head.some)
        return None

    def _template(self, pieces: Tokens) -> Group | None:
        """A noun with slots: "voltage drop {x} to {y}"."""
        for row in self.terms.rows.get("group", ()):
            held = self.match(row.typed, pieces)
            if held is not None:
                return Group(self.fill_all(row.told, held), row.cls, "q" in row.more)
        return None

    # --- patterns with slots -----------------------------------------------------------------------------------

    def match(self, typed: str, pieces: Tokens) -> "dict[str, Group | str] | None":
        """What fills the slots of a typed pattern, where it fits exactly these words."""
        return self._match(typed.split(" "), pieces, 0)

    def _match(self, shape: list[str], pieces: Tokens, depth: int) -> "dict[str, Group | str] | None":
        if not shape:
            return {} if not pieces else None
        if not pieces:
            return None
        head, rest = shape[0], shape[1:]
        if head in ("{n}", "{m}", "{k}"):
            for width in (2, 1):
                figure = self.figure(pieces[:width]) if len(pieces) >= width else ""
                held = self._match(rest, pieces[width:], depth) if figure else None
                if held is not None:
                    return {**held, head.strip("{}"): figure}
            return None
        if not head.startswith("{"):
            if pieces[0].low not in head.split("|"):
                return None
            return self._match(rest, pieces[1:], depth)
        stops = [rest[0].split("|")] if rest and not rest[0].startswith("{") else []
        for end in range(len(pieces), 0, -1):
            if stops and (end == len(pieces) or pieces[end].low not in stops[0]):
                continue
            held = self._match(rest, pieces[end:], depth)
            group = self.group(pieces[:end]) if held is not None else None
            if held is not None and group is not None:
                return {**held, head.strip("{}"): group}
        return None

    def fill_all(self, told: str, held: "dict[str, Group | str]") -> str:
        """A told pattern with groups and figures in its slots."""
        out = told
        for name, value in held.items():
            if isinstance(value, str):
                out = out.replace("{" + name + "}", value)
                continue
            out = self.fill(out, {name: value})
            if name == "x":
                out = self.fill(out, {"": value})
        return out
