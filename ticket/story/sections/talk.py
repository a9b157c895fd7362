"""One job told in one language: patterns filled with values of entries, each value in its words or not at all."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from ticket.job.entry import Entry
from ticket.job.text import one_line
from ticket.job.values import Ref
from ticket.job.wall import calendar_day, local_day
from ticket.language import terse
from ticket.language.as_said import as_said
from ticket.language.book import book_of
from ticket.story.context import Job, told
from ticket.story.facts.systems import kind_of
from ticket.story.sections.files import Language, load
from ticket.story.sections.leaves import Clause, Leaves
from ticket.story.sentence import BOOK, SENTENCE, Lit, Phrase, capital, text_of

_ENGLISH = "en"


@dataclass(frozen=True)
class Talk:
    """A job and the language it is told in."""

    job: Job
    language: Language

    @cached_property
    def leaves(self) -> Leaves:
        """How the language tells typed words, with the phrasebook of the shop and the one that ships."""
        return self.language.leaves.with_book(book_of(self.job.case.book, self.language.code))

    def form(self, text: str, where: str) -> str:
        """The form of a typed text that is told: in the words of the phrasebook, or as a sentence."""
        return BOOK if self.leaves.booked(text, where) else SENTENCE

    @property
    def english(self) -> bool:
        """Whether it is told in the language of the typed lines, so that a typed word may stand for itself."""
        return self.language.code == _ENGLISH

    @cached_property
    def as_typed(self) -> "Talk":
        """The same job in the language of the typed lines: what another language cannot say wholly is told by it."""
        return self if self.english else Talk(self.job, load(_ENGLISH))

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

    def first(self, *names: str) -> str:
        """The first of some ids that the catalogue has."""
        return self.language.catalogue.first(*names)

    def title(self, name: str) -> str:
        """The text of a pattern without slots."""
        return self.language.catalogue.text(name)

    def listed(self, items: Sequence[Phrase]) -> Phrase:
        """Phrases as a list of the language."""
        return self.leaves.listed(list(items))

    @cached_property
    def ban(self) -> Phrase:
        """What is not to be done with this vehicle until it is safe: driven, where nothing says that it never is."""
        return self.say(self.first(f"ban.{kind_of(self.job.ticket.header.vehicle)}", "ban.drive"))

    # --- typed words -------------------------------------------------------------------------------------------

    def note(self, entry: Entry | Ref, field: str, text: str, where: str = "found") -> Phrase:
        """A typed line whole and in its order, short forms spelled out, labour in the past."""
        if where.startswith("did"):
            return stop(capital((told(entry, field, terse.past(text, where), "typed"),)))
        return (told(entry, field, terse.line(one_line(text), where), "typed"),)

    def typed(self, entry: Entry | Ref, field: str, text: str, where: str = "found") -> Phrase:
        """The same inside a sentence or a line: without the stop and the capital that a line of its own has."""
        return (told(entry, field, terse.terse(text, where), "typed"),)

    def quoted(self, entry: Entry | Ref, field: str, text: str) -> Phrase:
        """Somebody's words in quote marks."""
        return (Lit("“"), told(entry, field, inner(one_line(text)).strip(), "quoted"), Lit("”"))

    def gauge_word(self, entry: Entry | Ref, text: str) -> Phrase:
        """What a gauge showed instead of a figure (none, OL): in the words of the language, else quoted as typed."""
        words = None if self.english else self.leaves.term(text)
        return (told(entry, "run", words),) if words else self.quoted(entry, "run", text)

    def thing(self, entry: Entry | Ref, field: str, text: str, kind: str = "the") -> Phrase:
        """A thing with what stands in front of it; nothing where it is not certain."""
        words = self.leaves.thing(text, kind) if text.strip() else None
        return (told(entry, field, words),) if words else ()

    def thing_or_typed(self, entry: Entry | Ref, field: str, text: str, kind: str = "the") -> Phrase:
        """A thing; in English the typed words where it is not certain; nothing otherwise."""
        found = self.thing(entry, field, text, kind)
        return found or (self.typed(entry, field, text) if self.english and text.strip() else ())

    def clauses(self, entry: Entry | Ref, field: str, text: str, where: str = "found") -> list[tuple[Phrase, Clause]]:
        """The clauses of a typed text; none where one of them is not certain."""
        found = self.leaves.clauses(text, where) if text.strip() else None
        return [((told(entry, field, one.text),), one) for one in found or ()]

    def in_row(self, clauses: Sequence[tuple[Phrase, Clause]]) -> Phrase:
        """Clauses in one sentence: a trial and behind a colon what came of it; else side by side."""
        tried = [phrase for phrase, one in clauses if one.trial]
        rest = [pair for pair in clauses if not pair[1].trial]
        if not tried:
            return self.side_by_side(rest)
        head = self.listed(tried)
        return self.say("trial.results", trial=head, results=self.side_by_side(rest)) if rest else head

    def side_by_side(self, clauses: Sequence[tuple[Phrase, Clause]]) -> Phrase:
        """ "A, and B"; "A, but B" where that was typed; "A, B, and C"."""
        items = [phrase for phrase, _ in clauses]
        if len(items) == 2:
            name = "clauses.but" if clauses[1][1].link == "but" else "clauses.and"
            return self.say(name, one=items[0], two=items[1])
        if any(";" in text_of(item) for item in items):
            return joined(items, "; ")
        return self.listed(items)

    def lines(self, entry: Entry | Ref, field: str, text: str, where: str) -> tuple[Phrase, ...]:
        """A typed line as whole sentences; none where a piece of it is not certain."""
        found = self.leaves.lines(text, where) if text.strip() else None
        return tuple((told(entry, field, one),) for one in found or ())

    def as_said(self, entry: Entry | Ref, field: str, text: str, where: str) -> Phrase:
        """Typed words that are a sentence as they stand; nothing where they are none, or in another language."""
        said = as_said(text, where) if self.english and text.strip() else ""
        return (told(entry, field, said),) if said else ()

    def done(self, entry: Entry | Ref, field: str, text: str) -> Phrase:
        """Labour as what we did, without "we"; nothing where a piece of it is not certain."""
        found = self.leaves.done(text)
        return self.listed([(told(entry, field, one),) for one in found]) if found else ()

    def todo(self, entry: Entry | Ref, field: str, text: str) -> Phrase:
        """Labour as something to do; nothing where a piece of it is not certain."""
        found = self.leaves.todo(text)
        return self.listed([(told(entry, field, one),) for one in found]) if found else ()

    def doing(self, entry: Entry | Ref, field: str, text: str) -> Phrase:
        """Labour by its name, "replacing the pump"; nothing where a piece of it is not certain."""
        found = self.leaves.doing(text)
        return self.listed([(told(entry, field, one),) for one in found]) if found else ()

    def work_or_typed(self, entry: Entry | Ref, field: str, text: str) -> Phrase:
        """Labour as something to do; in English the typed words where it is not certain; nothing otherwise."""
        found = self.todo(entry, field, text)
        return found or (self.typed(entry, field, text, "remedy") if self.english and text.strip() else ())

    def term(self, entry: Entry, field: str, text: str) -> Phrase:
        """A word from a closed list of the notation (a status, a payer, a judgement)."""
        words = self.leaves.term(text)
        return (told(entry, field, words or text, "told" if words else "typed"),)

    # --- values ------------------------------------------------------------------------------------------------

    def measure(self, entry: Entry | Ref, field: str, number: str, unit: str, op: str = "number") -> Phrase:
        """A figure with its unit."""
        return (told(entry, field, self.leaves.measure(number, unit), op),)

    def number(
        self, entry: Entry | Ref, field: str, number: str, op: str = "number", *, grouping: bool = False
    ) -> Phrase:
        """A bare figure, its thousands set off where asked."""
        return (told(entry, field, self.leaves.number(number, grouping=grouping), op),)

    def count(self, entry: Entry | Ref, field: str, count: int, cls: str = "") -> Phrase:
        """A count in words as far as the language has them."""
        return (told(entry, field, self.leaves.count(count, cls), "count"),)

    def money(self, entry: Entry | Ref, field: str, amount: str) -> Phrase:
        """An amount with the shop's sign, the digits as typed."""
        shown = self.job.case.settings.currency + self.leaves.number(amount, grouping=True)
        return (told(entry, field, shown, "money"),)

    def date(self, entry: Entry | Ref, field: str, when: datetime.date | str) -> Phrase:
        """A date in words; a text that is no date stays as typed."""
        if isinstance(when, str):
            day = calendar_day(when)
            if day is None:
                return (told(entry, field, one_line(when), "typed"),)
            when = day
        return (told(entry, field, self.leaves.day(when, self.job.case.settings.dates), "date"),)

    def amendment(self, name: str, entry: Entry) -> Phrase:
        """That an entry was corrected or added after signing: when, and why."""
        reason = inner(one_line(entry.reason)).strip().rstrip(". ")
        why = self.say("amended.reason", text=(told(entry, "reason", reason, "quoted"),))
        if name == "amended.reason":
            return why
        why = why if self.english else self.say("amended.noted")
        return self.say(name, date=self.date(entry, "at", local_day(entry.at)), reason=why)


def joined(items: Sequence[Phrase], mark: str) -> Phrase:
    """Phrases with a mark between them; empty ones fall out."""
    out: Phrase = ()
    for item in items:
        if item:
            out = (*out, Lit(mark), *item) if out else item
    return out


def stop(phrase: Phrase) -> Phrase:
    """A sentence with its stop."""
    last = phrase[-1].text if phrase else ""
    return phrase if last.endswith((".", "!", "?", ".”", "!”", "?”")) else (*phrase, Lit("."))


def inner(text: str) -> str:
    """Text as it may stand inside quote marks: on one line, its own double marks made single.

    A mark right behind a figure means inches and stays, unless it closes a mark that was opened before.
    """
    out: list[str] = []
    opened = False
    for i, letter in enumerate(one_line(text.strip())):
        before = out[-1] if out else " "
        if letter in "“”":
            out.append("‘" if letter == "“" else "’")
        elif letter == '"' and before.isdecimal() and not opened:
            out.append(letter)
        elif letter == '"':
            opened = before in " (" or i == 0
            out.append("‘" if opened else "’")
        else:
            out.append(letter)
    return "".join(out)
