"""A language that stands in its files alone: qualities behind their noun, articles and agreement by class of nouns."""

from collections.abc import Mapping
from functools import cache, cached_property

from ticket.language import forms
from ticket.language.lexicon import TYPED, words
from ticket.language.tables import rows
from ticket.language.voice import PAST, Noun, Voice


class FileVoice(Voice):
    """A language whose every word stands in its files; the head of its lexicon says what each kind of row means."""

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
        """The noun for typed words."""
        return self._nouns.get(typed)

    def together(self, nouns: "list[Noun]") -> Noun:
        """Several nouns of different classes: the plural that stands first among the classes of the language."""
        several = [self._plural.get(noun.cls, noun.cls) for noun in nouns]
        known = [cls for cls in self._classes if cls in several]
        return Noun("", known[0] if known else nouns[-1].cls)

    def single(self, cls: str) -> str:
        """The class of one thing of a class of several."""
        return next((one for one, many in self._plural.items() if many == cls != one), cls)

    def quality(self, typed: str, cls: str) -> str | None:
        """A quality, state or side beside a noun."""
        found = self._find("adj", typed)
        return self._form(found[0], cls) if found else None

    def state(self, typed: str, cls: str) -> str | None:
        """A state behind "was"."""
        found = self._find("state", typed) or self._find("adj", typed)
        return self._form(found[0], cls) if found else None

    def degree(self, typed: str) -> str | None:
        """A word that colours a state."""
        found = self._find("adv", typed)
        return found[0] if found else None

    def doing(self, base: str, tense: str, *, many: bool, negated: bool, modal: str, particles: str) -> str | None:
        """The finite form of a doing."""
        typed = f"{forms.third(base)} {particles}".strip()
        found = self._find("verb", typed) or self._find("be", typed)
        if found is None or (modal and not modal.endswith("not")):
            return None
        told = (found[0] if tense == PAST else found[2] or found[0]).split("/")
        finite = told[-1] if many else told[0]
        return (self.template("not") or "").replace("{y}", finite) if negated or modal else finite

    def put(self, form: str, noun: Noun) -> str:
        """A noun with its article or with of, to, in."""
        found = self._find(form, noun.cls)
        return found[0].replace("{x}", noun.text) if found and form != "bare" else noun.text

    def after(self, form: str, text: str) -> str:
        """What has its determiner, behind of, to, in."""
        return self.put(form, Noun(text, "*"))

    def rated(self, number: str, unit: str) -> str | None:
        """A rating in front of its part."""
        return None

    def determined(self, word: str, noun: Noun) -> str | None:
        """A noun behind a determiner."""
        if word in ("the", "that", "a", "an"):
            return self.put("a" if word in ("a", "an") else "the", noun)
        found = self._find("det", word)
        return self._form(found[0], noun.cls).replace("{x}", noun.text) if found else None

    def counted(self, number: str, noun: Noun) -> str | None:
        """A noun behind a count."""
        found = self._find("number", number)
        return f"{self._form(found[0], noun.cls) if found else number} {noun.text}" if number.isdecimal() else None

    def place(self, word: str, noun: Noun) -> str | None:
        """A place word with its noun."""
        found = self._find("prep", word)
        if found is None:
            return None
        told = found[0].replace("{x}", self.put("the", noun)).replace("{o}", self.put("of", noun))
        told = told.replace("{t}", self.put("to", noun)).replace("{b}", noun.text)
        return told if "{" not in told else None

    def place_of_figure(self, word: str, figure: str) -> str | None:
        """A place word with a figure."""
        found = self._find("cond", f"{word} {{n}}")
        return found[0].replace("{n}", figure) if found else None

    def place_of_side(self, word: str, side: str) -> str | None:
        """A place word with a side."""
        found = self._find("cond", f"{word} {side}")
        return found[0] if found else None

    def condition(self, typed: str) -> str | None:
        """A circumstance or a set ending."""
        found = self._find("cond", typed) or self._find("cond", f"when {typed}")
        return found[0] if found else None

    def work(self, name: str, form: str) -> str | None:
        """Work as told."""
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
        """A list with its link."""
        if len(items) < 2:
            return "".join(items)
        for word, swapped, beginnings in self._swaps:
            held = [start for start in beginnings if not start.startswith("!")]
            never = tuple(start[1:] for start in beginnings if start.startswith("!"))
            if link == word and items[-1].startswith(tuple(held)) and not (never and items[-1].startswith(never)):
                link = swapped
        return f"{', '.join(items[:-1])} {link} {items[-1]}"

    def unlisted(self, typed: str) -> str | None:
        """A word that no list holds."""
        return None


@cache
def _plurals() -> Mapping[str, str]:
    return {word.base: text for text, held in words().items() for word in held if word.form == "many"}


def _plural_of(typed: str) -> str:
    return _plurals().get(typed) or forms.plural(typed)
