"""How a language tells typed words, figures, dates and lists: ``None`` wherever it is not certain."""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache

from ticket.job.regex import Regex
from ticket.job.text import one_line
from ticket.language.book import Book
from ticket.language.certain import read, read_group
from ticket.language.figures import GROUPED_UNITS, bare, day, day_of_year, figure, month
from ticket.language.forms import number_word, plural
from ticket.language.groups import is_plural
from ticket.language.lexicon import TYPED, works
from ticket.language.nouns import Untold, group_noun
from ticket.language.phrasebook import NO_BOOK, Phrases
from ticket.language.quantities import position
from ticket.language.records import Absent, Act, Booked, How, Meaning, Nominal, State, Trial, together
from ticket.language.sentences import sentences
from ticket.language.shortforms import spell
from ticket.language.tables import rows
from ticket.language.tell import PAST, PRESENT, Gap, Teller, tell, tell_group
from ticket.language.tell_work import tell_act
from ticket.language.terse import unnumbered
from ticket.language.voice import Noun
from ticket.language.voices import voice
from ticket.readings.units import NAMES, find
from ticket.story.readings import Reading
from ticket.story.sections import figures
from ticket.story.sections.naming import Named, Namer
from ticket.story.sentence import Lit, Phrase, text_of

_PRESENT = frozenset({"because", "risk", "watch", "maybe"})
_CONDITIONS = frozenset({"new", "used", "rebuilt", "reconditioned"})
_OWN = "customer's own"
_GRADE = Regex(r"(?i)[0-9]{1,2}w-?[0-9]{2}")
"""A grade of oil by itself, as the standards of viscosity write it (SAE J300, J306)."""
_SIZED = Regex(r"([a-z][a-z -]*[a-z]) ([0-9][0-9.,/]* ?[A-Za-z]{1,3})")
"""A part with its rating or size behind it."""


@dataclass(frozen=True, slots=True)
class Clause:
    """A clause without capital and stop; ``trial`` where it says what we tried and results follow.

    ``good`` where it says that something was as it should be; ``link`` is the word typed in front of it (but), if any;
    ``named`` where it only names a thing.
    """

    text: str
    trial: bool = False
    good: bool = False
    link: str = ""
    named: bool = False


class Leaves:
    """One language's telling of typed words.

    Args:
        code: of the language, a folder of ``ticket.language``.
        locale: of figures, dates and lists.
        book: the phrasebook that typed words are read and told with.
    """

    def __init__(self, code: str, locale: str, book: Phrases = NO_BOOK) -> None:
        self.code = code
        self.locale = locale
        self.book = book
        self.typed = code == TYPED
        self._namer = Namer(voice(code), book)
        self.clauses = lru_cache(maxsize=2048)(self._clauses)
        self.lines = lru_cache(maxsize=2048)(self._lines)
        self.thing = lru_cache(maxsize=2048)(self._thing)
        self.booked = lru_cache(maxsize=2048)(self._booked)
        self.todo = lru_cache(maxsize=1024)(self._todo)
        self.done = lru_cache(maxsize=1024)(self._done)

    def with_book(self, book: Book) -> "Leaves":
        """The same language with a phrasebook; of one book always the same, so that nothing is read twice."""
        return _with_book(self, book)

    # --- typed words -------------------------------------------------------------------------------------------

    def _booked(self, text: str, where: str) -> bool:
        """Whether a text is certain because the phrasebook holds it, or a clause of it."""
        meaning = read(one_line(text), where, self.book)
        return isinstance(meaning, Meaning) and any(isinstance(clause, Booked) for clause in meaning.clauses)

    def _thing(self, text: str, kind: str) -> str | None:
        """A text that is one thing, behind ``the``, ``a``, ``of``, ``to`` or ``in``, ``named`` or ``bare``."""
        told = tell_group(one_line(text), self.code, kind, self.book)
        return None if isinstance(told, Gap) else told

    def many(self, text: str) -> bool:
        """Whether a text that is one thing is a plural."""
        held = read_group(unnumbered(text), self.book)
        return held is not None and is_plural(held)

    def _clauses(self, text: str, where: str) -> tuple[Clause, ...] | None:
        """The clauses of a text, all of them certain."""
        meaning = read(one_line(text), where, self.book)
        if not isinstance(meaning, Meaning):
            return None
        meaning = together(meaning)
        told = tell(meaning, self.code, PRESENT if where in _PRESENT and not self.typed else PAST, self.book)
        if isinstance(told, Gap):
            return None
        out: list[Clause] = []
        for i, (clause, words) in enumerate(zip(meaning.clauses, told, strict=True)):
            link = "but" if i and meaning.joins[i - 1] == "but" else ""
            good = isinstance(clause, Absent) or (isinstance(clause, State) and all(map(_good, clause.states)))
            if getattr(clause, "things", True) is None and not isinstance(clause, Act | Trial) and out:
                last = out.pop()  # the thing is left out: it goes on with the clause before
                joined = text_of(self.listed([(Lit(last.text),), (Lit(words),)]))
                out.append(Clause(joined, last.trial, last.good and good, last.link))
                continue
            out.append(Clause(words, isinstance(clause, Act | Trial), good, link, isinstance(clause, Nominal)))
        return tuple(out)

    def _lines(self, text: str, where: str) -> tuple[str, ...] | None:
        """A whole line as sentences with capital and stop."""
        meaning = read(one_line(text), where, self.book)
        told = sentences(meaning, self.code, book=self.book) if isinstance(meaning, Meaning) else None
        return None if told is None or isinstance(told, Gap) else told

    def _todo(self, text: str) -> tuple[str, ...] | None:
        """Labour piece by piece as something to do, all of it certain."""
        meaning = read(one_line(text), "remedy", self.book)
        if not isinstance(meaning, Meaning):
            return None
        acts = [clause for clause in meaning.clauses if isinstance(clause, Act)]
        if len(acts) < len(meaning.clauses) or not all(one.work in works() for one in acts):
            return None
        teller = Teller(voice(self.code), PRESENT, self.book)
        try:
            return tuple(tell_act(teller, act, "base") for act in acts)
        except Untold:
            return None

    def doing(self, text: str) -> tuple[str, ...] | None:
        """Labour piece by piece by its name, "replacing the pump"; where a language has no such form, as to do."""
        meaning = read(one_line(text), "did", self.book)
        told = tell(meaning, self.code, book=self.book, work="gerund") if isinstance(meaning, Meaning) else None
        return self.todo(text) if told is None or isinstance(told, Gap) else told

    def _done(self, text: str) -> tuple[str, ...] | None:
        """Labour piece by piece as what we did, all of it certain."""
        meaning = read(one_line(text), "did", self.book)
        told = tell(meaning, self.code, book=self.book) if isinstance(meaning, Meaning) else None
        return None if told is None or isinstance(told, Gap) else told

    def part(self, text: str, *, several: bool, condition: str) -> tuple[str, str] | None:
        """A part's description with its condition, and the class of its noun; what follows a comma stays there."""
        text = unnumbered(text)
        spelled = _bare(spell(text, "used"))
        if ", " in text:
            head, _, more = text.partition(", ")
            found = self.part(head, several=several, condition=condition)
            behind = _bare(spell(more, "used")) if self.typed else found and voice(self.code).quality(more, found[1])
            return (f"{found[0]}, {behind}", found[1]) if found and behind else None
        if self.typed and _GRADE.fullmatch(text):
            return f"{text} oil", ""
        sized = _SIZED.fullmatch(text) if self.typed and several else None
        if sized is not None and (found := self.part(sized[1], several=several, condition=condition)) is not None:
            return f"{found[0]} {spell(sized[2], 'used')}", found[1]  # "2 x battery 850 CCA"
        for typed in (_several(text), _several(spelled), text) if several else (text,):
            held = read_group(typed, self.book)
            if held is not None and len(held.groups) == 1:
                try:
                    noun = group_noun(held.groups[0], voice(self.code), self.book)
                except Untold:
                    continue
                return self._in_condition(noun, condition)
        if not self.typed:
            return None
        return self._in_condition(Noun(_several(spelled) if several else spelled, ""), condition)

    def _in_condition(self, noun: Noun, condition: str) -> tuple[str, str] | None:
        if not condition or (self.typed and noun.text.startswith(f"{condition} ")):
            return noun.text, noun.cls
        if self.typed:
            own = f"{noun.text} of your own" if condition == _OWN else noun.text
            return (f"{condition} {noun.text}" if condition in _CONDITIONS else own), noun.cls
        told = voice(self.code).quality(condition, noun.cls) or self.term(condition)
        return (f"{noun.text} {told}", noun.cls) if told else None

    # --- readings ----------------------------------------------------------------------------------------------

    def name(self, reading: Reading) -> Named | None:
        """What one reading was taken of, with its position."""
        return self._namer.one(reading)

    def names(self, reading: Reading) -> Named | None:
        """What several readings side by side were taken of."""
        return self._namer.several(reading)

    def place(self, reading: Reading, cls: str) -> str | None:
        """The position of a value among those beside it."""
        spoken = reading.place or position(reading.label)
        if self.typed:
            return spoken or None
        own = voice(self.code)
        if not {"left", "right"}.isdisjoint(spoken.split()):
            cls = own.single(cls)  # one on each side
        words = [own.quality(word, cls or "f") for word in reversed(spoken.split())]
        if words and all(words):
            return " ".join(word for word in words if word)
        return self.thing(spoken, "bare")

    # --- words of the notation ---------------------------------------------------------------------------------

    def term(self, text: str) -> str | None:
        """A word of the notation: a status, a payer, a judgement."""
        return text if self.typed else _rows(self.code, "word").get(text.lower(), ("", ""))[0] or None

    def count(self, count: int, cls: str = "") -> str:
        """A count in words as far as the language has them."""
        if self.typed:
            return number_word(count)
        told = voice(self.code).counted(str(count), Noun("", cls or "m"))
        return (told or str(count)).strip()

    def meaning(self, words: str) -> str | None:
        """What the tables of codes say."""
        return words if self.typed else _rows(self.code, "code").get(words, ("", ""))[0] or self.thing(words, "bare")

    def glosses(self) -> list[tuple[str, str]]:
        """Hard terms of the language, each with its explanation."""
        return [] if self.typed else [(typed, told) for typed, (told, _) in _rows(self.code, "gloss").items()]

    # --- figures, dates, lists -----------------------------------------------------------------------------------

    def measure(self, number: str, unit: str) -> str:
        """A figure with its unit; a unit without words keeps its sign."""
        if self.typed:
            return figure(number, unit, self.code) or f"{number} {unit}".strip()
        shown = self.number(number, grouping=unit in GROUPED_UNITS)
        known = find(unit)
        if known is None:
            return f"{shown} {unit}".strip()
        if known.glued:
            return shown + known.sign
        told = _rows(self.code, "unit").get(known.name, (known.sign, ""))[0].split("/")
        return f"{shown}\u00a0{told[0 if number.lstrip('+-') == '1' else -1]}"

    def unit_words(self) -> list[tuple[str, str]]:
        """The words of units, each with the unit it stands for."""
        if self.typed:
            known = [unit for name in NAMES if (unit := find(name)) is not None]
            return [(word, unit.name) for unit in known for word in (unit.one, unit.many)]
        return [(word, typed) for typed, (told, _) in _rows(self.code, "unit").items() for word in told.split("/")]

    def number(self, text: str, *, grouping: bool = False) -> str:
        """A bare figure."""
        if self.typed:
            return bare(text, grouping=grouping)
        return figures.number(text, self.locale, grouping=grouping)

    def day(self, when: datetime.date, style: str) -> str:
        """A date; ``style`` is the shop's own for English."""
        return day(when, style) if self.typed else figures.day(when, self.locale)

    def day_of_year(self, when: datetime.date, style: str) -> str:
        """The same without its year: "March 2", "2 de marzo"."""
        return day_of_year(when, style) if self.typed else figures.day_of_year(when, self.locale)

    def month(self, when: datetime.date) -> str:
        """The name of a month."""
        return month(when) if self.typed else figures.month(when, self.locale)

    def month_of_year(self, when: datetime.date) -> str:
        """The same with its year: "March 2026", "marzo de 2026"."""
        return f"{month(when)} {when.year}" if self.typed else figures.month_of_year(when, self.locale)

    def listed(self, items: list[Phrase]) -> Phrase:
        """Phrases as a list; with semicolons where an item holds a comma."""
        if not self.typed:
            return figures.listed(items, self.locale, _swaps(self.code))
        texts = [text_of(item) for item in items]
        mark = ";" if any("," in text for text in texts) else ","
        if len(items) == 2:
            link = ", and " if any(" and " in text or "," in text for text in texts) else " and "
            return (*items[0], Lit(link), *items[1])
        out: Phrase = ()
        for i, item in enumerate(items):
            out = (*out, Lit(f"{mark} and " if i == len(items) - 1 else f"{mark} "), *item) if i else item
        return out


def _good(how: How) -> bool:
    """Whether a state says that something is as it should be."""
    return how.state in _good_states() and not how.negated


def good_word(text: str) -> bool:
    """Whether a text is nothing but one word that says something is as it should be: "ok"."""
    return text.strip(" ,;.").lower() in _good_states()


@cache
def _good_states() -> frozenset[str]:
    return frozenset(row[0].lower() for row in rows(TYPED, "lexicon") if row[1] == "state" and row[5] == "good")


def _bare(spelled: str) -> str:
    """A spelled line as it stands inside another: no stop, no capital of its own."""
    text = spelled.removesuffix(".")
    return text[:1].lower() + text[1:] if text[1:2].islower() else text


def _several(text: str) -> str:
    """A description typed in the singular, in the plural; what stands behind "with" stays."""
    for link in (" with ", " w/ ", " for "):
        head, found, rest = text.partition(link)
        if found:
            return _several(head) + found + rest
    first, space, last = text.rpartition(" ")
    known = read_group(text)
    sized = first[-1:].isdecimal() and known is None  # "14 ga": how the last word goes on nobody knows
    if (known is not None and is_plural(known)) or not last.replace("-", "").isalpha() or last.endswith("s") or sized:
        return text
    return first + space + plural(last)


@cache
def _rows(code: str, kind: str) -> dict[str, tuple[str, str]]:
    """The rows of one kind of a language's lexicon by the typed words: what is told, and its class."""
    return dict(_of(code, kind))


def _of(code: str, kind: str) -> Iterator[tuple[str, tuple[str, str]]]:
    whole = kind in ("code", "word", "gloss")
    for row in rows(code, "lexicon"):
        if row[0] == kind:
            for typed in (row[1],) if whole else row[1].split(","):
                yield (typed.strip().lower() if kind == "word" else typed.strip()), (row[2], row[3])


@cache
def _swaps(code: str) -> list[tuple[str, str, str]]:
    return [(row[1], row[2], row[4]) for row in rows(code, "lexicon") if row[0] == "swap"]


@lru_cache(maxsize=32)
def _with_book(leaves: Leaves, book: Book) -> Leaves:
    return Leaves(leaves.code, leaves.locale, book)
