"""What a story calls the thing that was measured, with the quantity its sentence tells."""

from dataclasses import dataclass, replace
from functools import lru_cache

from ticket.job.regex import Regex
from ticket.language.forms import plural
from ticket.language.groups import is_plural
from ticket.language.letters import head_word
from ticket.language.nouns import Untold, group_noun
from ticket.language.phrasebook import NO_BOOK, Phrases
from ticket.language.quantities import OTHER, Subject, condition, listed_condition, named_by, plain, subject
from ticket.language.records import Group, Nominal, Place, Span, Things
from ticket.language.tell import PAST, Teller
from ticket.language.voice import Noun, Voice
from ticket.readings.units import find
from ticket.story.readings import Reading

_FIRST = Regex(r"\A\w+ ")
_CYLINDERS = ("compression", "leakdown")
_QUANTITIES = frozenset({"quantity"})


@dataclass(frozen=True, slots=True)
class Named:
    """What was measured.

    Attributes:
        text: its name with the article.
        many: the name is a plural.
        shapes: ways to say what it measured, the closest first (``thickness``, then ``was``).
        held: the conditions it was taken under, or empty.
        tail: what stands behind the figure (" in 15 seconds").
        cls: class of its noun, where the language has such.
        quantity: it names something that is measured, so that a bare figure of it says something.
    """

    text: str
    many: bool = False
    shapes: tuple[str, ...] = ("was",)
    held: str = ""
    tail: str = ""
    cls: str = ""
    quantity: bool = True


class Namer:
    """Names of measured things in one language, read and told with one book."""

    def __init__(self, words: Voice, book: Phrases = NO_BOOK) -> None:
        self.words, self.book = words, book
        self._subject = lru_cache(maxsize=1024)(self._read)

    def _read(self, what: str, unit: str, label: str) -> Subject | None:
        return subject(what, unit, label, self.book)

    def one(self, reading: Reading) -> Named | None:
        """What one reading was taken of, with its position."""
        found = self._subject(reading.what, reading.unit, reading.label)
        return self._named(found, reading.unit, found.thing, found.whole) if found is not None else None

    def several(self, reading: Reading) -> Named | None:
        """What several readings side by side were taken of, in the plural."""
        found = self._subject(reading.what, reading.unit, "")
        if found is None:
            return None
        if not self.words.behind and (found.thing is None or found.quantity in _CYLINDERS):
            name, held = self.words.noun("cylinders"), self._held(found)
            if name is None or held is None:
                return None
            return Named(self.words.put("the", name), True, self._shapes(found, name), held, cls=name.cls)
        return self._named(found, reading.unit, _in_plural(found.thing), _in_plural(found.whole))

    def _named(self, found: Subject, unit: str, thing: Nominal | None, whole: Nominal | None) -> Named | None:
        """A subject in words. A language whose qualities stand behind names the quantity, and tells no verb of it."""
        named = whole if self.words.behind and found.quantity != "drop" else thing
        if named is None:
            return None
        try:
            name, noun, many = self._text(found, named)
            held = self._held(found)
        except Untold:
            return None
        if held is None:
            return None
        tail = ""
        if found.quantity == "loss" and not self.words.behind:
            timed = Teller(self.words, PAST, self.book).at(tuple(filter(_timed, named.places)))
            held, tail = "", f"{timed} {held}".rstrip() if held else timed
            tail = f" of pressure{tail}" if _column(unit) else tail
        return Named(name, many, self._shapes(found, noun), held, tail, noun.cls, _measurable(found, named))

    def _text(self, found: Subject, named: Nominal) -> tuple[str, Noun, bool]:
        teller = Teller(self.words, PAST, self.book)
        group = named.things.groups[0]
        noun = group_noun(group, self.words, self.book)
        places = named.places
        if found.quantity == "loss" and not self.words.behind:
            places = tuple(place for place in places if not _timed(place))
        if found.quantity == "drop" and self.words.behind:
            return self._lost(named, noun), self.words.noun("voltage drop") or noun, False
        if found.quantity == "drop" and places and places[0].word in ("to", "and"):
            other = places[0].things
            if other is None or len(places) > 1:
                raise Untold(places[0].word)
            both = [self.words.put("the", noun), teller.things(other)]
            return self.words.joined(both, self.words.word("and")), noun, False
        done = f" {found.done}" if found.done else ""
        if done and self.words.behind:
            state = self.words.quality(found.done, noun.cls)
            if state is None:
                raise Untold(found.done)
            done = f" {state}"
        text = teller.things(named.things) + done + teller.at(places)
        return text, noun, is_plural(named.things)

    def _lost(self, named: Nominal, one: Noun) -> str:
        """ "The voltage drop between A and B", "of A"."""
        drop = self.words.noun("voltage drop")
        if drop is None or len(named.places) > 1:
            raise Untold("voltage drop")
        if not named.places:
            return f"{self.words.put('the', drop)} {self.words.put('of', one)}"
        other = named.places[0].things
        between = self.words.place("between", one)
        if other is None or between is None or named.places[0].word not in ("to", "and"):
            raise Untold(named.places[0].word)
        ends = [between, Teller(self.words, PAST, self.book).things(other)]
        return f"{self.words.put('the', drop)} {self.words.joined(ends, self.words.word('and'))}"

    def _held(self, found: Subject) -> str | None:
        """The conditions as one phrase: those that begin alike share their first word."""
        out: list[str] = []
        for text in found.conditions:
            told = self._condition(text)
            if told is None:
                return None
            first = _FIRST.match(told)
            if out and first is not None and out[-1].startswith(first[0]):
                out[-1] = f"{out[-1]} {self.words.word('and')} {told[first.end() :]}"
            else:
                out.append(told)
        return " ".join(out)

    def _condition(self, text: str) -> str | None:
        listed = listed_condition(text)
        if listed or self.words.behind:
            told = self.words.condition(listed or plain(text))
            if told is not None or listed:
                return told
        found = condition(text)
        if not found:
            return None
        teller = Teller(self.words, PAST, self.book)
        try:
            if isinstance(found, tuple):
                return teller.at(found).strip()
            return teller.held(found)
        except Untold:
            return None

    def _shapes(self, found: Subject, noun: Noun) -> tuple[str, ...]:
        if self.words.behind:
            return ("was",) if noun.uncounted else ("plain",)
        shape = found.quantity
        ends = found.thing.places if found.thing is not None else ()
        if shape == "drop" and not (ends and ends[0].word in ("to", "and")):
            shape = "drop_along"
        return (shape, "was")


@lru_cache(maxsize=512)
def _in_plural(named: Nominal | None) -> Nominal | None:
    """A name of several things typed as of one: front pad, rotor; not of a quantity of them."""
    if named is None:
        return None
    group = named.things.groups[0]
    if named.places or group.head != group.spans[-1] or not _countable(group.head):
        return named
    head = replace(group.head, base=plural(group.head.base))
    many: Group = replace(group, spans=(*group.spans[:-1], head))
    return replace(named, things=Things((many,), named.things.link))


def _countable(head: Span) -> bool:
    """A thing typed as one, and no quantity, of which several things have one each."""
    word = head_word(head)
    quantity = word is not None and (word.kind in _QUANTITIES or word.base.rpartition(" ")[2] in named_by())
    return word is not None and word.form == "one" and not quantity


def _measurable(found: Subject, named: Nominal) -> bool:
    word = head_word(named.things.groups[0].head)
    return found.quantity != OTHER or (word is not None and word.kind == "quantity")


def _timed(place: Place) -> bool:
    """How long something took: "in 10 min"."""
    unit = find(place.figure.unit) if place.figure is not None and place.figure.unit else None
    return unit is not None and unit.dimension == "time"


def _column(unit: str) -> bool:
    """A pressure told as the height of a column: "9.4 inches of water of pressure"."""
    known = find(unit)
    return known is not None and " of " in known.many
