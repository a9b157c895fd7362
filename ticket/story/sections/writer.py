"""Sentences of one section, chosen so that no two neighbours open alike, and put in order by their form."""

from collections.abc import Iterable
from dataclasses import replace
from itertools import islice

from ticket.story.sections.talk import Talk
from ticket.story.sentence import (
    COMPUTED,
    LISTED,
    NOTE,
    Lit,
    Phrase,
    Section,
    Sentence,
    Source,
    capital,
    in_order,
    text_of,
)

_ARTICLES = frozenset({"a", "an", "the"})
_FORMS = {LISTED: 1, NOTE: 2}


def opening(text: str) -> tuple[str, ...]:
    """The first two words, articles left out, without case and marks."""
    words = (word.strip("“”‘’.,;:()").lower() for word in text.split())
    return tuple(islice((word for word in words if word and word not in _ARTICLES), 2))


class Writer:
    """Collects the sentences of one section.

    The choice rule: the first variant whose opening differs from the sentence before it; if none differs, the one
    whose opening was used longest ago. No clock, no chance: the same ticket gives the same sentences.
    """

    def __init__(self) -> None:
        self.sentences: list[Sentence] = []
        self._used: dict[tuple[str, ...], int] = {}

    def add(
        self,
        sources: Iterable[Source],
        *candidates: Phrase,
        form: str = COMPUTED,
        label: str = "",
        cells: tuple[Phrase, ...] = (),
    ) -> None:
        """One sentence more, the best of the candidates."""
        kept = [capital(phrase) for phrase in candidates if text_of(phrase).strip()]
        if not kept:
            return
        last = opening(self.sentences[-1].text) if self.sentences else ()
        fresh = [phrase for phrase in kept if opening(text_of(phrase)) != last]
        chosen = fresh[0] if fresh else min(kept, key=lambda phrase: self._used.get(opening(text_of(phrase)), -1))
        self._used[opening(text_of(chosen))] = len(self.sentences)
        self.sentences.append(Sentence(chosen, in_order(sources), form=form, label=label, cells=cells))

    def note(self, typed: "Writer") -> None:
        """What was told in the language of the typed lines, as notes."""
        for one in typed.sentences:
            self.sentences.append(replace(one, form=NOTE, cells=(), under=""))

    def section(
        self, talk: Talk, title: str, name: str = "", *, bare: bool = False, noted: str = "under.noted"
    ) -> tuple[Section, ...]:
        """The section, or nothing where there is no sentence: sentences first, then what was measured, then notes.

        Args:
            talk: the language.
            title: of the section.
            name: which section it is.
            noted: the line in front of its notes.
            bare: its notes read by themselves, without a line in front of them.
        """
        if not self.sentences:
            return ()
        ordered = sorted(self.sentences, key=lambda one: _FORMS.get(one.form, 0))
        if talk.english and not bare and all(one.form == NOTE for one in ordered):
            noted_title = text_of(talk.say("title.noted", title=(Lit(title),)))
            return (Section(noted_title, tuple(ordered), name, plain=title, noted=talk.title(noted)),)
        under = {LISTED: talk.title("under.measured")}
        if not bare or not talk.english:
            under[NOTE] = talk.title(noted)
        return (Section(title, tuple(replace(one, under=under.get(one.form, "")) for one in ordered), name),)

    def as_told(self, title: str, name: str = "") -> tuple[Section, ...]:
        """The section with its sentences as they came."""
        return (Section(title, tuple(self.sentences), name),) if self.sentences else ()
