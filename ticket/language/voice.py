"""The words of a language, found in its files: nouns, states, doings, places, work, and the templates of its records."""

from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property

from ticket.language import forms
from ticket.language.lexicon import TYPED, irregular, look, words, works
from ticket.language.tables import languages, rows

PAST, PRESENT = "past", "present"


@dataclass(frozen=True, slots=True)
class Noun:
    """A noun as it is told: its class of nouns there, and whether it stands without an article of number."""

    text: str
    cls: str
    uncounted: bool = False


class Voice(ABC):
    """What telling asks of a language. Every answer is ``None`` where its files have no word."""

    behind: bool
    """Whether qualities stand behind their noun, and a noun in front of another becomes "of" it."""

    def __init__(self, language: str) -> None:
        self.language = language

    @cached_property
    def _templates(self) -> Mapping[tuple[str, str, str], str]:
        return {(record, when, number): text for record, when, number, text in rows(self.language, "templates")}

    def template(self, record: str, when: str = "", *, many: bool = False) -> str | None:
        """The text of a record: the row of its time and number, else the one for both."""
        number = "many" if many else "one"
        for key in ((record, when, number), (record, when, ""), (record, "", number), (record, "", "")):
            if key in self._templates:
                return self._templates[key]
        return None

    def word(self, record: str) -> str:
        """A word between groups and clauses (and, or, but)."""
        return self.template(record) or ""

    @abstractmethod
    def noun(self, typed: str) -> Noun | None:
        """The noun for typed words, in the number they were typed in."""

    @abstractmethod
    def quality(self, typed: str, cls: str) -> str | None:
        """A quality, state or side as it stands beside a noun of a class."""

    @abstractmethod
    def state(self, typed: str, cls: str) -> str | None:
        """A state behind "was"."""

    @abstractmethod
    def degree(self, typed: str) -> str | None:
        """A word that colours a state."""

    @abstractmethod
    def doing(self, base: str, tense: str, *, many: bool, negated: bool, modal: str, particles: str) -> str | None:
        """The finite form of a doing."""

    @abstractmethod
    def put(self, form: str, noun: Noun) -> str:
        """A noun with what ``the``, ``a``, ``of``, ``to`` or ``in`` wants in front of it."""

    @abstractmethod
    def determined(self, word: str, noun: Noun) -> str | None:
        """A noun behind a determiner (both, all, other)."""

    @abstractmethod
    def counted(self, number: str, noun: Noun) -> str | None:
        """A noun behind a count."""

    @abstractmethod
    def place(self, word: str, noun: Noun) -> str | None:
        """A place word with its noun; ``noun`` is told bare."""

    @abstractmethod
    def place_of_figure(self, word: str, figure: str) -> str | None:
        """A place word with a figure: at 5 V."""

    @abstractmethod
    def place_of_side(self, word: str, side: str) -> str | None:
        """A place word with a side alone: to the right."""

    @abstractmethod
    def condition(self, typed: str) -> str | None:
        """A circumstance or a set ending."""

    @abstractmethod
    def work(self, name: str, form: str) -> str | None:
        """Work as told, with ``{x}`` for its things; form is past, base, participle, gerund or alone."""

    @abstractmethod
    def joined(self, items: "list[str]", link: str) -> str:
        """A list with its link."""

    @abstractmethod
    def unlisted(self, typed: str) -> str | None:
        """A word that no list holds: as typed in the language of the lines, a gap in any other."""


class TypedVoice(Voice):
    """The language of the typed lines: words keep their order and are bent by rule, exceptions stand in the lexicon."""

    behind = False

    def noun(self, typed: str) -> Noun | None:
        found = next((word for word in look(typed) if word.cls in ("thing", "matter")), None)
        if found is None and " " in typed:
            last = self.noun(typed.rstrip("0123456789 ").rpartition(" ")[2])
            return Noun(typed, last.cls, last.uncounted) if last is not None else None
        if found is None:
            return None
        cls = {"many": "p", "mass": "u"}.get(found.form, "s")
        return Noun(typed, cls, cls == "u" or found.cls == "matter")

    def quality(self, typed: str, cls: str) -> str | None:
        held = self._state_rows.get(typed)
        return typed if held is None or held[1] == "-" else (held[1] or typed)

    @cached_property
    def _state_rows(self) -> Mapping[str, tuple[str, str]]:
        return {row[0].lower(): (row[3], row[4]) for row in rows(TYPED, "lexicon") if row[1] == "state"}

    def state(self, typed: str, cls: str) -> str | None:
        held = self._state_rows.get(typed)
        return (held[0] or typed) if held is not None else typed

    def degree(self, typed: str) -> str | None:
        return typed

    def doing(self, base: str, tense: str, *, many: bool, negated: bool, modal: str, particles: str) -> str | None:
        tail = f" {particles}" if particles else ""
        if modal:
            told = modal if tense == PRESENT else self._past_modals.get(modal, modal)
            return f"{told} {base}{tail}"
        if negated:
            return f"{'did' if tense == PAST else 'do' if many else 'does'} not {base}{tail}"
        if tense == PRESENT:
            return (base if many else forms.third(base)) + tail
        return (irregular().get(base) or forms.regular_past(base)) + tail

    @cached_property
    def _past_modals(self) -> Mapping[str, str]:
        return {row[0]: row[3] for row in rows(TYPED, "lexicon") if row[1] == "modal" and row[3]}

    def put(self, form: str, noun: Noun) -> str:
        match form:
            case "the":
                return noun.text if noun.text[-1:].isdigit() or noun.text == "none" else f"the {noun.text}"
            case "a":
                article = f"{forms.a_or_an(noun.text)} " if noun.cls == "s" and not noun.uncounted else ""
                return article + noun.text
            case "of" | "to" | "in":
                return f"{form} {self.put('the', noun)}"
        return noun.text

    def determined(self, word: str, noun: Noun) -> str | None:
        if word in ("a", "an"):
            return f"{forms.a_or_an(noun.text)} {noun.text}"
        if word in ("other", "all") and noun.cls == "p":
            return f"the other {noun.text}" if word == "other" else f"all the {noun.text}"
        return f"{'the' if word == 'that' else word} {noun.text}"

    def counted(self, number: str, noun: Noun) -> str | None:
        return f"{forms.number_word(int(number)) if number.isdigit() else number} {noun.text}"

    def place(self, word: str, noun: Noun) -> str | None:
        return f"{word} {noun.text}"

    def place_of_figure(self, word: str, figure: str) -> str | None:
        return f"{word} {figure}"

    def place_of_side(self, word: str, side: str) -> str | None:
        return f"{word} the {side}"

    def condition(self, typed: str) -> str | None:
        return self._conditions.get(typed, typed)

    @cached_property
    def _conditions(self) -> Mapping[str, str]:
        return {row[0]: row[3] or row[0] for row in rows(TYPED, "lexicon") if row[1] in ("condition", "ending")}

    def work(self, name: str, form: str) -> str | None:
        held = works().get(name)
        if held is None:
            return None
        return {"past": held.past, "base": held.base, "participle": held.participle, "gerund": held.gerund}.get(
            form, held.alone
        )

    def joined(self, items: "list[str]", link: str) -> str:
        return forms.listed(items, link)

    def unlisted(self, typed: str) -> str | None:
        return typed


class FileVoice(Voice):
    """A language whose every word stands in its files. What each kind of row means stands in the head of its lexicon."""

    behind = True

    def __init__(self, language: str) -> None:
        super().__init__(language)
        self._rows: dict[tuple[str, str], tuple[str, str, str]] = {}
        order: list[str] = []
        for kind, typed, told, cls, more in rows(language, "lexicon"):
            if kind == "class":
                order.append(typed)
            for key in (typed,) if kind in ("code", "word") else typed.split(","):
                self._rows.setdefault((kind, key.strip().lower()), (told, cls, more))
        self._classes = tuple(order)
        self._plural = {typed: told for (kind, typed), (told, _, _) in self._rows.items() if kind == "class"}
        self._many = [(row[1], row[2]) for row in rows(language, "lexicon") if row[0] == "many"]
        self._swaps = [(row[1], row[2], row[4].split()) for row in rows(language, "lexicon") if row[0] == "swap"]

    def _find(self, kind: str, typed: str) -> tuple[str, str, str] | None:
        return self._rows.get((kind, typed.lower()))

    def _form(self, told: str, cls: str) -> str:
        held = told.split("/")
        return held[self._classes.index(cls)] if len(held) == len(self._classes) and cls in self._classes else held[0]

    @cached_property
    def _nouns(self) -> Mapping[str, Noun]:
        table: dict[str, Noun] = {}
        for (kind, typed), (told, cls, more) in self._rows.items():
            if kind != "noun":
                continue
            marks = more.split(";")
            table[typed] = Noun(told, cls, "q" in marks)
            own = next((mark[2:] for mark in marks if mark.startswith("m=")), "")
            if self._plural.get(cls, cls) != cls:
                head, space, last = typed.rpartition(" ")
                many = _plural_of(last)
                table.setdefault(head + space + many, Noun(own or self._many_of(told), self._plural[cls], "q" in marks))
        return table

    def _many_of(self, told: str) -> str:
        first, space, rest = told.partition(" ")
        for ending, new in self._many:
            if first.endswith(ending):
                return first[: len(first) - len(ending)] + new + space + rest
        return told

    def noun(self, typed: str) -> Noun | None:
        return self._nouns.get(typed)

    def quality(self, typed: str, cls: str) -> str | None:
        found = self._find("adj", typed)
        return self._form(found[0], cls) if found else None

    def state(self, typed: str, cls: str) -> str | None:
        found = self._find("state", typed) or self._find("adj", typed)
        return self._form(found[0], cls) if found else None

    def degree(self, typed: str) -> str | None:
        found = self._find("adv", typed)
        return found[0] if found else None

    def doing(self, base: str, tense: str, *, many: bool, negated: bool, modal: str, particles: str) -> str | None:
        typed = f"{forms.third(base)} {particles}".strip()
        found = self._find("verb", typed) or self._find("be", typed)
        if found is None or (modal and not modal.endswith("not")):
            return None
        told = (found[0] if tense == PAST else found[2] or found[0]).split("/")
        finite = told[-1] if many else told[0]
        return (self.template("not") or "").replace("{y}", finite) if negated or modal else finite

    def put(self, form: str, noun: Noun) -> str:
        found = self._find(form, noun.cls)
        return found[0].replace("{x}", noun.text) if found and form != "bare" else noun.text

    def determined(self, word: str, noun: Noun) -> str | None:
        if word in ("the", "that", "a", "an"):
            return self.put("a" if word in ("a", "an") else "the", noun)
        found = self._find("det", word)
        return self._form(found[0], noun.cls).replace("{x}", noun.text) if found else None

    def counted(self, number: str, noun: Noun) -> str | None:
        found = self._find("number", number)
        return f"{self._form(found[0], noun.cls) if found else number} {noun.text}" if number.isdigit() else None

    def place(self, word: str, noun: Noun) -> str | None:
        found = self._find("prep", word)
        if found is None:
            return None
        told = found[0].replace("{x}", self.put("the", noun)).replace("{o}", self.put("of", noun))
        told = told.replace("{t}", self.put("to", noun)).replace("{b}", noun.text)
        return told if "{" not in told else None

    def place_of_figure(self, word: str, figure: str) -> str | None:
        found = self._find("cond", f"{word} {{n}}")
        return found[0].replace("{n}", figure) if found else None

    def place_of_side(self, word: str, side: str) -> str | None:
        found = self._find("cond", f"{word} {side}")
        return found[0] if found else None

    def condition(self, typed: str) -> str | None:
        found = self._find("cond", typed) or self._find("cond", f"when {typed}")
        return found[0] if found else None

    def work(self, name: str, form: str) -> str | None:
        for typed in self._names(name):
            found = self._find("job" if form == "alone" else "work", typed)
            if found is not None:
                return found[2] if form == "base" else found[0] if form in ("past", "alone") else None
        return None

    def _names(self, name: str) -> tuple[str, ...]:
        """All typed forms of a kind of work: any of them may be listed."""
        held = next((row[0] for row in rows(TYPED, "work") if row[0].split(",")[0].lower() == name), name)
        return tuple(form.strip().lower() for form in held.split(","))

    def joined(self, items: "list[str]", link: str) -> str:
        if len(items) < 2:
            return "".join(items)
        for word, swapped, beginnings in self._swaps:
            held = [start for start in beginnings if not start.startswith("!")]
            never = tuple(start[1:] for start in beginnings if start.startswith("!"))
            if link == word and items[-1].startswith(tuple(held)) and not (never and items[-1].startswith(never)):
                link = swapped
        return f"{', '.join(items[:-1])} {link} {items[-1]}"

    def unlisted(self, typed: str) -> str | None:
        return None


@cache
def _plurals() -> Mapping[str, str]:
    many = {word.base: text for text, held in words().items() for word in held if word.form == "many"}
    return many


def _plural_of(typed: str) -> str:
    return _plurals().get(typed) or forms.plural(typed)


@cache
def voice(language: str) -> Voice:
    """The voice of a language. Raises ``KeyError`` where it has no folder."""
    if language not in languages():
        raise KeyError(language)
    return TypedVoice(language) if language == TYPED else FileVoice(language)
