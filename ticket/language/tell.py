"""A meaning told in a language: one string a clause, without capital and stop, or the gap that keeps it from that."""

from dataclasses import dataclass, replace
from functools import lru_cache

from ticket.language.figures import figure
from ticket.language.groups import is_plural
from ticket.language.letters import words_of
from ticket.language.lexicon import look
from ticket.language.nouns import Untold, group_noun, group_text, label_text, things_text
from ticket.language.phrasebook import NO_BOOK, Phrases
from ticket.language.records import (
    Absent,
    Act,
    Booked,
    Clause,
    Event,
    Has,
    How,
    Link,
    Meaning,
    Measure,
    Nominal,
    Place,
    Present,
    Span,
    State,
    Things,
    Trial,
)
from ticket.language.tell_work import tell_act, tell_trial
from ticket.language.voice import PAST, PRESENT, Noun, Voice
from ticket.language.voices import voice

__all__ = ["PAST", "PRESENT", "Gap", "tell", "tell_group"]


@dataclass(frozen=True, slots=True)
class Gap:
    """Words a language has no telling for."""

    words: str


@lru_cache(maxsize=4096)
def _told(meaning: Meaning, language: str, tense: str, work: str) -> tuple[str, ...] | Gap:
    return _tell(meaning, language, tense, NO_BOOK, work)


def tell(
    meaning: Meaning, language: str, tense: str = PAST, book: Phrases = NO_BOOK, work: str = "past"
) -> tuple[str, ...] | Gap:
    """The clauses of a meaning in a language, in typed order; a gap where one word of one clause has no telling.

    A clause whose thing was left out begins with its verb ("would not retract"). Work lines stand without "we".

    Args:
        meaning: of a line, as read.
        language: a folder beside this module.
        tense: past, or present for what may happen and why.
        book: where told words may stand that no list holds.
        work: the form of work: past ("replaced the pump"), base, participle or gerund.
    """
    if book is NO_BOOK:
        return _told(meaning, language, tense, work)
    return _tell(meaning, language, tense, book, work)


def _tell(meaning: Meaning, language: str, tense: str, book: Phrases, work: str) -> tuple[str, ...] | Gap:
    teller = Teller(voice(language), tense, book, work)
    try:
        return tuple(teller.clause(clause) for clause in meaning.clauses)
    except Untold as gap:
        return Gap(str(gap))


class Teller:
    """Tells clauses in one language and one tense; remembers the thing a left-out one stands for."""

    def __init__(self, words: Voice, tense: str, book: Phrases = NO_BOOK, work: str = "past") -> None:
        self._work = work
        self._voice, self._tense, self._book = words, tense, book
        self._many, self._noun = False, Noun("", "")
        self._absent = self._trial = False

    def clause(self, clause: Clause) -> str:
        """One clause. Raises :class:`Untold` at the first word the language has no telling for."""
        self._absent = self._absent and isinstance(clause, Absent)
        shown, self._trial = self._trial, isinstance(clause, Trial)
        if shown and isinstance(clause, (State, Link)) and clause.things is None:
            return self._shown(clause)
        match clause:
            case Booked():
                return clause.told
            case State():
                return self._state(clause)
            case Measure():
                return self._measure(clause)
            case Present() | Absent() | Nominal():
                return self._named(clause)
            case Has():
                return self._has(clause)
            case Event():
                return self._event(clause)
            case Link():
                return self._link(clause)
            case Act() | Trial():
                return tell_act(self, clause, self._work) if isinstance(clause, Act) else tell_trial(self, clause)

    def _shown(self, clause: State | Link) -> str:
        """What a trial showed without saying of what: the states alone, never with a thing of our own."""
        if self._voice.behind:
            raise Untold(clause.states[0].state if clause.states else "")
        if isinstance(clause, Link):
            return self._link(clause)
        return self.fill("shown", y=self.hows(clause.states, clause.link)) + self.at(clause.places)

    @property
    def voice(self) -> Voice:
        """The words of its language."""
        return self._voice

    def things(self, held: Things, form: str = "the") -> str:
        """Things with an article each: ``the``, ``a`` or ``bare``."""
        return things_text(held, self._voice, form, self._book)

    def figure(self, span: Span) -> str:
        """A figure with its unit."""
        told = figure(span.value, span.unit, self._voice.language)
        if told is None:
            raise Untold(span.text)
        return told

    def at(self, places: tuple[Place, ...]) -> str:
        """Places and circumstances, each with a space in front."""
        return "".join(f" {self._place(place)}" for place in places)

    def held(self, clause: State) -> str:
        """A state as a circumstance: "with the loads on"."""
        return self.fill("held", x=self._subject(clause.things, ()), y=self.hows(clause.states, clause.link))

    def fill(self, record: str, *, many: bool = False, **parts: str) -> str:
        """The template of a record with its parts put in."""
        text = self._voice.template(record, self._tense, many=many)
        if text is None:
            raise Untold(record)
        for name, part in parts.items():
            text = text.replace(f"{{{name}}}", part)
        return text.strip()

    def _place(self, place: Place) -> str:
        if place.figure is not None and place.figure.cls in ("label", "count"):
            told = self._voice.place_of_figure(place.word, label_text(place.figure, self._voice))
        elif place.things is None:
            told = (
                self._voice.condition(place.phrase)
                if place.figure is None and not place.word
                else self._voice.place_of_side(place.word, place.phrase)
                if place.figure is None
                else self._voice.place_of_figure(place.word, self.figure(place.figure))
            )
        else:
            told = self._at_things(place.word, place.things)
            if place.phrase and told is not None:
                noun = group_noun(place.things.groups[-1], self._voice, self._book)
                state = self._voice.state(place.phrase, noun.cls) if not self._voice.behind else None
                told = f"{told} {state}" if state is not None else None
        if told is None:
            raise Untold(place.phrase or place.word)
        return told

    def _at_things(self, word: str, held: Things) -> str | None:
        parts: list[str] = []
        for group in held.groups:
            noun = group_noun(group, self._voice, self._book)
            if not self._voice.behind:
                noun = replace(noun, text=group_text(group, self._voice, _article(held, group, word), self._book))
            elif group.determiner == "its":
                noun = Noun(group_text(group, self._voice, "the", self._book), "*")
            elif group.determiner or group.count:
                return None
            elif _article(held, group, word) == "bare":
                noun = Noun(noun.text, "*")  # lleno de burbujas
            told = self._voice.place(word, noun)
            if told is None:
                return None
            if parts and self._voice.behind and word == "between":
                told = told.partition(" ")[2]  # one "between" for both
            parts.append(told if not parts else told.removeprefix(f"{word} "))
        return self._voice.joined(parts, self._voice.word(held.link))

    def _subject(self, held: Things | None, front: tuple[Place, ...]) -> str:
        if held is None:
            return ""
        self._many = is_plural(held)
        nouns = [group_noun(group, self._voice, self._book) for group in held.groups]
        self._noun = nouns[-1] if len(nouns) == 1 or held.link == "or" else self._voice.together(nouns)
        return self.things(held) + self.at(front)

    def _cls(self) -> str:
        return self._noun.cls

    def hows(self, states: tuple[How, ...], link: str) -> str:
        """States in order, each with its degree and its *not*."""
        told: list[str] = []
        for how in states:
            state = self._voice.state(how.state, self._cls())
            if state is None:
                raise Untold(how.state)
            if how.degree:
                degree = self._voice.degree(how.degree)
                if degree is None:
                    raise Untold(how.degree)
                state = f"{degree} {state}"
            told.append((f"not {state}" if not self._voice.behind else f"no {state}") if how.negated else state)
        return self._voice.joined(told, self._voice.word(link))

    def _state(self, clause: State) -> str:
        subject = self._subject(clause.things, clause.front)
        if not clause.states:
            return self.fill("placed", many=self._many, x=subject) + self.at(clause.places)
        if self._voice.behind and any(how.negated for how in clause.states):
            raise Untold("not")
        return self.fill("state", many=self._many, x=subject, y=self.hows(clause.states, clause.link)) + self.at(
            clause.places
        )

    def _measure(self, clause: Measure) -> str:
        number = self.figure(clause.figure)
        if clause.things is None:
            record = "measured"
            if clause.word:
                return self._short_of("", clause, number)
            return self.fill(record, n=number) + self.at(clause.places)
        subject = self._subject(clause.things, clause.front)
        if clause.word:
            return self._short_of(subject, clause, number)
        return self.fill("measure", many=self._many, x=subject, n=number, y="") + self.at(clause.places)

    def _short_of(self, subject: str, clause: Measure, number: str) -> str:
        if not self._voice.behind:
            told = self.fill("measure", many=self._many, x=subject, n=number, y=clause.word)
        elif self._voice.template(f"measure {clause.word}", self._tense) and clause.things is not None:
            to = things_text(clause.things, self._voice, "to", self._book)
            told = self.fill(f"measure {clause.word}", xt=to + self.at(clause.front), n=number)
        else:
            raise Untold(clause.word)
        return told + self.at(clause.places)

    def _named(self, clause: Present | Absent | Nominal) -> str:
        self._many = is_plural(clause.things)
        self._noun = group_noun(clause.things.groups[-1], self._voice, self._book)
        if self._voice.behind and clause.things.groups[-1].head.base in _SMELLS and clause.places:
            raise Untold(clause.places[0].word)  # what something smells of takes another word than its part does
        if isinstance(clause, Nominal):
            return self.things(clause.things, "named") + self.at(clause.places)
        absent = isinstance(clause, Absent)
        again, self._absent = self._absent and absent, absent and not clause.places
        if again:
            return self.fill("absent again", x=self.things(clause.things, "bare")) + self.at(clause.places)
        told = self.things(clause.things, "bare" if absent else "a")
        return self.fill("absent" if absent else "present", many=self._many, x=told) + self.at(clause.places)

    def _has(self, clause: Has) -> str:
        subject = self._subject(clause.things, clause.front)
        none = any(group.negated for group in clause.what.groups)
        if none:
            what = self.things(Things(clause.what.groups, "or" if len(clause.what.groups) > 1 else "and"), "bare")
        else:
            what = self.things(clause.what, "bare" if clause.figure else "a")
        if clause.figure is not None and clause.things is None:
            return self.fill("present", x=self._amount(clause.figure, what)) + self.at(clause.places)
        if clause.figure is not None:
            what = self._amount(clause.figure, what)
        told = self.fill("has no" if none else "has", many=self._many, x=subject, y=what)
        return told + self.at(clause.places)

    def _amount(self, number: Span, what: str) -> str:
        return self.fill("share" if number.unit == "%" else "amount", n=self.figure(number), y=what)

    def _event(self, clause: Event) -> str:
        subject = self._subject(clause.things, clause.front)
        verb = self._voice.doing(
            clause.doing, PAST if clause.past else self._tense, many=self._many, negated=clause.negated,
            modal=clause.modal, particles=" ".join(clause.particles),
        )  # fmt: skip
        if verb is None:
            raise Untold(clause.doing)
        if clause.how:
            verb += f" {self._manner(clause.how)}"
        if clause.figure is not None:
            verb += f" {self.figure(clause.figure)}"
        if clause.what is not None and self._voice.behind and _needs_none(clause.doing):
            raise Untold(clause.doing)  # told by a phrase that no object follows
        if clause.what is not None:
            verb += f" {self.things(clause.what, 'a' if _loose(clause.what) else 'the')}"
        return self.fill("event", many=self._many, x=subject, y=verb) + self.at(clause.places)

    def _manner(self, how: tuple[How, ...]) -> str:
        """How something was done: a good word is a manner here and no state."""
        if len(how) == 1 and how[0].state in _WELL and not (how[0].negated or how[0].degree):
            return self.fill("well")
        return self.hows(how, "and")

    def _link(self, clause: Link) -> str:
        subject = self._subject(clause.things, clause.front)
        verb = self._voice.doing(
            clause.doing, PAST if clause.past else self._tense, many=self._many, negated=False, modal="", particles=""
        )  # fmt: skip
        if verb is None:
            raise Untold(clause.doing)
        if clause.figure is None and not clause.states and self._voice.behind:
            raise Untold(clause.places[0].word)  # what something smells of takes another word than its part does
        said = self.figure(clause.figure) if clause.figure is not None else ""
        said = said or (self.hows(clause.states, "and") if clause.states else "")
        return self.fill("link", many=self._many, x=subject, y=f"{verb} {said}".strip()) + self.at(clause.places)


_WELL = frozenset({"ok", "okay", "fine", "good"})
_SMELLS = frozenset({"smell", "smells", "odor", "odors", "taste"})


def _needs_none(doing: str) -> bool:
    """A doing that is listed as needing no object: leak, drip."""
    return any(word.cls == "doing" and word.kind.startswith("i") for word in look(doing))


def _loose(held: Things) -> bool:
    """What is no part of the vehicle: noise, a fault, a fluid."""
    kinds = {word.kind for word in words_of(held.groups[-1].head)}
    return not kinds & {"part", "general", "quantity"}


def _article(held: Things, group: "object", word: str) -> str:
    head = words_of(held.groups[-1].head)
    if not any(found.cls == "thing" and found.kind != "fault" for found in head) and any(
        found.cls == "matter" or (found.kind == "fault" and found.form == "many") for found in head
    ):
        return "bare"
    if word in ("for", "with") and any(found.kind == "fault" and found.form == "one" for found in head):
        return "a"
    if word in ("of", "with", "by") and any(found.kind == "mass" for found in head):
        return "bare"
    return "a" if word in ("without",) else "the"


def tell_group(text_or_group: "str | Things", language: str, form: str = "the", book: Phrases = NO_BOOK) -> str | Gap:
    """A group alone behind ``the``, ``a``, ``bare``, ``of``, ``to`` or ``in``; a gap where it is no certain group."""
    from ticket.language.certain import read_group

    held = read_group(text_or_group, book) if isinstance(text_or_group, str) else text_or_group
    if held is None:
        return Gap(str(text_or_group))
    try:
        return things_text(held, voice(language), form, book)
    except Untold as gap:
        return Gap(str(gap))
