"""The language of the typed lines, told: words keep their order and are bent by rule, or as the lexicon says."""

from collections.abc import Mapping
from functools import cached_property

from ticket.job.regex import Regex
from ticket.language import forms
from ticket.language.lexicon import TYPED, irregular, look, works
from ticket.language.tables import rows
from ticket.language.voice import PAST, PRESENT, Noun, Voice
from ticket.readings.units import find

_COUNTED = Regex(r"(?:[0-9]|(?:one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)\b)")
"""A count in front of a noun, behind which no article stands: "all four wheel bearings"."""


class TypedVoice(Voice):
    """The language of the typed lines: words keep their order and are bent by rule, exceptions stand in the lexicon."""

    behind = False

    def noun(self, typed: str) -> Noun | None:
        """The noun for typed words."""
        found = next((word for word in look(typed) if word.cls in ("thing", "matter")), None)
        if found is None and " " in typed:
            last = self.noun(typed.rstrip("0123456789 ").rpartition(" ")[2])
            return Noun(typed, last.cls, last.uncounted) if last is not None else None
        if found is None:
            return None
        cls = {"many": "p", "mass": "u"}.get(found.form, "s")
        return Noun(typed, cls, cls == "u" or found.cls == "matter")

    def quality(self, typed: str, cls: str) -> str | None:
        """A quality, state or side beside a noun."""
        held = self._state_rows.get(typed)
        return typed if held is None or held[1] == "-" else (held[1] or typed)

    @cached_property
    def _state_rows(self) -> Mapping[str, tuple[str, str]]:
        return {row[0].lower(): (row[3], row[4]) for row in rows(TYPED, "lexicon") if row[1] == "state"}

    def state(self, typed: str, cls: str) -> str | None:
        """A state behind "was"."""
        held = self._state_rows.get(typed)
        return (held[0] or typed) if held is not None else typed

    def degree(self, typed: str) -> str | None:
        """A word that colours a state."""
        return typed

    def doing(self, base: str, tense: str, *, many: bool, negated: bool, modal: str, particles: str) -> str | None:
        """The finite form of a doing."""
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
        """A noun with its article or with of, to, in."""
        match form:
            case "the":
                return noun.text if noun.text[-1:].isdecimal() or noun.text == "none" else f"the {noun.text}"
            case "a":
                article = f"{forms.a_or_an(noun.text)} " if noun.cls == "s" and not noun.uncounted else ""
                return article + noun.text
            case "of" | "to" | "in" | "from" | "into":
                return f"{form} {self.put('the', noun)}"
        return noun.text

    def after(self, form: str, text: str) -> str:
        """What has its determiner, behind of, to, in."""
        return f"{form} {text}"

    def rated(self, number: str, unit: str) -> str | None:
        """A rating in front of its part."""
        found = find(unit)
        return f"{number}-{found.one}" if found is not None else None

    def determined(self, word: str, noun: Noun) -> str | None:
        """A noun behind a determiner."""
        if word in ("a", "an"):
            return f"{forms.a_or_an(noun.text)} {noun.text}"
        if word in ("other", "same"):
            return f"the {word} {noun.text}"
        if word == "all" and noun.cls == "p":
            return f"all {noun.text}" if _COUNTED.match(noun.text) else f"all the {noun.text}"
        return f"{'the' if word == 'that' else word} {noun.text}"

    def counted(self, number: str, noun: Noun) -> str | None:
        """A noun behind a count."""
        return f"{forms.number_word(int(number)) if number.isdecimal() else number} {noun.text}"

    def place(self, word: str, noun: Noun) -> str | None:
        """A place word with its noun."""
        return f"{word} {noun.text}"

    def place_of_figure(self, word: str, figure: str) -> str | None:
        """A place word with a figure."""
        return f"{word} {figure}"

    def place_of_side(self, word: str, side: str) -> str | None:
        """A place word with a side."""
        return f"{word} the {side}"

    def condition(self, typed: str) -> str | None:
        """A circumstance or a set ending."""
        return self._conditions.get(typed, typed)

    @cached_property
    def _conditions(self) -> Mapping[str, str]:
        return {row[0]: row[3] or row[0] for row in rows(TYPED, "lexicon") if row[1] in ("condition", "ending")}

    def work(self, name: str, form: str) -> str | None:
        """Work as told."""
        held = works().get(name)
        if held is None:
            return None
        return {"past": held.past, "base": held.base, "participle": held.participle, "gerund": held.gerund}.get(
            form, held.alone
        )

    def joined(self, items: "list[str]", link: str) -> str:
        """A list with its link."""
        return forms.listed(items, link)

    def unlisted(self, typed: str) -> str | None:
        """A word that no list holds."""
        return typed
