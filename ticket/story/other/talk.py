"""One job told in one language: patterns filled with values of entries, each value in its words or quoted."""

import datetime
from dataclasses import dataclass
from functools import lru_cache, partial

from ticket.job.entry import Entry
from ticket.job.text import one_line
from ticket.job.values import Ref
from ticket.job.wall import calendar_day, local_day
from ticket.story.context import Job, told
from ticket.story.customer.said import inner
from ticket.story.other import figures
from ticket.story.other.clauses import PAST, Reader
from ticket.story.other.files import Language
from ticket.story.other.groups import Grammar
from ticket.story.sentence import Lit, Phrase


def _swaps(language: Language) -> list[tuple[str, str, str]]:
    return [(row.typed, row.told, row.more) for row in language.terms.rows.get("swap", ())]


@lru_cache(maxsize=4)
def _reader(language: Language) -> Reader:
    """The reader of a language, with what it has read before in mind."""
    swaps = _swaps(language)
    link = partial(figures.link, swaps=swaps)
    return Reader(Grammar(language.terms, language.catalogue.locale, link))


@dataclass(frozen=True)
class Talk:
    """A job and the language it is told in."""

    job: Job
    language: Language

    @property
    def locale(self) -> str:
        """The locale of figures, dates and lists."""
        return self.language.catalogue.locale

    @property
    def grammar(self) -> Grammar:
        """The grammar of the language."""
        return self.reader.grammar

    @property
    def reader(self) -> Reader:
        """Reads typed words."""
        return _reader(self.language)

    # --- patterns ----------------------------------------------------------------------------------------------

    def say(self, name: str, /, n: int = 1, **slots: Phrase) -> Phrase:
        """A pattern with its slots filled."""
        return self.language.catalogue.say(name, n, **slots)

    def variants(self, name: str, /, n: int = 1, **slots: Phrase) -> tuple[Phrase, ...]:
        """All variants of a pattern."""
        return self.language.catalogue.variants(name, n, **slots)

    def has(self, name: str) -> bool:
        """Whether the catalogue has a pattern."""
        return self.language.catalogue.has(name)

    def title(self, name: str) -> str:
        """The title of a section."""
        return self.language.catalogue.text(name)

    def listed(self, items: list[Phrase]) -> Phrase:
        """Phrases as a list of the language."""
        return figures.listed(items, self.locale, _swaps(self.language))

    # --- values ------------------------------------------------------------------------------------------------

    def quoted(self, entry: Entry | Ref, field: str, text: str) -> Phrase:
        """Typed words, in quote marks and not translated."""
        return (Lit("“"), told(entry, field, inner(one_line(text)).strip(), "quoted"), Lit("”"))

    def the(self, entry: Entry | Ref, field: str, text: str, kind: str = "the") -> Phrase:
        """A thing with what stands in front of it (``the``, ``a``, ``of``); the typed words where it is not listed."""
        group = self.reader.group(text)
        if group is None:
            row = self.language.terms.one(kind, "“")
            head, _, _ = (row.told if row is not None else "{x}").partition("{x}")
            return (*((Lit(head),) if head else ()), *self.quoted(entry, field, text))
        return (told(entry, field, self.grammar.stands(group, kind)),)

    def bare(self, entry: Entry | Ref, field: str, text: str) -> Phrase:
        """A thing without an article."""
        group = self.reader.group(text)
        return (told(entry, field, self.grammar.bare(group)),) if group is not None else self.quoted(entry, field, text)

    def clauses(self, entry: Entry | Ref, field: str, text: str, tense: str = PAST) -> list[Phrase]:
        """The clauses of a typed text; empty where one of them is not known."""
        return [(told(entry, field, clause),) for clause in self.reader.clauses(text, tense) or ()]

    def words(self, entry: Entry | Ref, field: str, text: str, tense: str = PAST) -> Phrase:
        """Typed words for a terse line: clauses or a thing where all of it is known, else quoted."""
        if not text.strip():
            return ()
        group = self.reader.group(text)
        if group is not None:
            return (told(entry, field, self.grammar.bare(group)),)
        clauses = self.clauses(entry, field, text, tense)
        return joined(clauses, ", ") if clauses else self.quoted(entry, field, text)

    def term(self, entry: Entry | Ref, field: str, text: str) -> Phrase:
        """A word from a closed list of the notation (a status, a payer, a judgement)."""
        row = self.language.terms.one("word", text.lower())
        return (told(entry, field, row.told),) if row is not None else self.quoted(entry, field, text)

    def measure(self, entry: Entry | Ref, field: str, number: str, unit: str, op: str = "number") -> Phrase:
        """A figure with its unit."""
        return (told(entry, field, self.grammar.measure(number, unit), op),)

    def number(
        self, entry: Entry | Ref, field: str, number: str, op: str = "number", *, grouping: bool = False
    ) -> Phrase:
        """A bare figure, its thousands set off where asked."""
        return (told(entry, field, figures.number(number, self.locale, grouping=grouping), op),)

    def count(self, entry: Entry | Ref, field: str, count: int, cls: str = "") -> Phrase:
        """A count in words as far as the terms go."""
        row = self.language.terms.one("number", str(count))
        cls = cls or self.language.terms.classes[0]
        return (told(entry, field, self.language.terms.form(row.told, cls) if row else str(count), "count"),)

    def money(self, entry: Entry | Ref, field: str, amount: str) -> Phrase:
        """An amount with the shop's sign, the digits as typed."""
        shown = self.job.case.settings.currency + figures.number(amount, self.locale, grouping=True)
        return (told(entry, field, shown, "money"),)

    def date(self, entry: Entry | Ref, field: str, when: "datetime.date | str") -> Phrase:
        """A date in words; a text that is no date stays as typed."""
        if isinstance(when, str):
            day = calendar_day(when)
            if day is None:
                return self.quoted(entry, field, when)
            when = day
        return (told(entry, field, figures.day(when, self.locale), "date"),)

    def amendment(self, name: str, entry: Entry) -> Phrase:
        """That an entry was corrected or added after signing: when, and why."""
        why = self.quoted(entry, "reason", entry.reason)
        return self.say(name, date=self.date(entry, "at", local_day(entry.at)), reason=why)


def joined(items: list[Phrase], mark: str) -> Phrase:
    """Phrases with a mark between them; empty ones fall out."""
    out: Phrase = ()
    for item in items:
        if item:
            out = (*out, Lit(mark), *item) if out else item
    return out


def stop(phrase: Phrase) -> Phrase:
    """A sentence with its stop."""
    last = phrase[-1].text if phrase else ""
    return phrase if last.endswith((".", "!", "?")) else (*phrase, Lit("."))
