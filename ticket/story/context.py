"""One ticket as the sentences see it: its visible entries, and the few questions every section asks."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any, TypeVar

from ticket.job.case import Case
from ticket.job.empty_lines import says_nothing
from ticket.job.entry import Entry
from ticket.job.kinds import Fact, Says
from ticket.job.likeness import content_words
from ticket.job.offer_answers import Contact, Standing, contacts, standing_with
from ticket.job.regex import Regex
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.language.figures import grouped
from ticket.story.sentence import Val

_GOES_ON = Regex(
    r"(?i)(?:(?:it|this|that)(?:['’]?s| has| is)? |has )?(?:started|been|began|since|only|happens?|comes? and goes|"
    r"worse|every|about|for (?:a|the|about)|when|same|mostly|always|driver (?:topped|tipped|added|says))\b"
    r"(?!.*\balso\b)"
)
"""How a complaint begins that says more of the one before it."""
SHARED = "*"  # stands for the entries that belong to several concerns or to none
F = TypeVar("F", bound=Fact)


@dataclass(frozen=True)
class Job:
    """A case as one reader may see it.

    Attributes:
        case: the ticket with what surrounds it.
        reader: ``customer``, ``payer`` or ``shop``.
    """

    case: Case
    reader: str = "customer"

    @property
    def sign(self) -> str:
        """The sign in front of sums; empty where nobody chose one."""
        return "" if self.case.bare_sums else self.case.settings.currency

    @property
    def ticket(self) -> Ticket:
        """The ticket."""
        return self.case.ticket

    @cached_property
    def entries(self) -> tuple[Entry, ...]:
        """The living entries this reader may see; a line that says nothing yet tells nobody anything."""
        hidden = self.reader != "shop"
        return tuple(
            entry
            for entry in self.ticket.living
            if not ((hidden and (entry.shop_only or entry.fact.inside)) or says_nothing(entry.fact))
        )

    @cached_property
    def _numbers(self) -> frozenset[int]:
        return frozenset(entry.no for entry in self.entries)

    def each(self, kind: type[F], concern: str = "") -> Iterator[tuple[Entry, F]]:
        """The visible entries of one kind with their facts; those of one concern where a letter is given.

        On a ticket of one concern all entries belong to it; otherwise entries shared by several, or of none, belong
        to ``SHARED``.
        """
        for entry in self._told.get((kind, concern), ()):
            if isinstance(entry.fact, kind):
                yield entry, entry.fact

    @cached_property
    def _told(self) -> dict[tuple[type[object], str], list[Entry]]:
        """The visible entries by their kind, alone and with the concern they are told under."""
        told: defaultdict[tuple[type[object], str], list[Entry]] = defaultdict(list)
        for entry in self.entries:
            told[type(entry.fact), ""].append(entry)
            told[type(entry.fact), self._home(entry)].append(entry)
        return told

    def _home(self, entry: Entry) -> str:
        """The concern an entry is told under."""
        if len(self.letters) == 1:
            return self.letters[0]
        return entry.concerns[0] if len(entry.concerns) == 1 else SHARED

    def letters_of(self, entry: Entry) -> tuple[str, ...]:
        """The concerns an entry has to do with."""
        return entry.concerns if entry.concerns and self.letters != (SHARED,) else self.letters

    @cached_property
    def letters(self) -> tuple[str, ...]:
        """The letters of the concerns that visible entries belong to, in order of appearance."""
        found = dict.fromkeys(letter for entry in self.entries for letter in entry.concerns)
        return (SHARED,) if not found or self._said_on(tuple(found)) else tuple(sorted(found))

    def _said_on(self, letters: tuple[str, ...]) -> bool:
        """Whether everything stands under the last complaint, some of it in words of an earlier one.

        The last may only say more of the first ("been about 3 weeks"), or everything was typed behind both. Told apart,
        the first would be one that nobody looked at.
        """
        others = [entry for entry in self.entries if not isinstance(entry.fact, Says)]
        if len(letters) < 2 or {one for entry in others for one in entry.concerns} != {letters[-1]}:
            return False
        first = " ".join(map(self._complaint, letters[:-1]))
        last = self._complaint(letters[-1])
        own = content_words(first) - content_words(last)
        return any(content_words(_words(entry.fact)) & own for entry in others) or bool(_GOES_ON.match(last))

    def _complaint(self, letter: str) -> str:
        """What the customer said of one concern."""
        said = (entry for entry in self.entries if isinstance(entry.fact, Says) and letter in entry.concerns)
        return " ".join(_words(entry.fact) for entry in said)

    def seen(self, refs: Iterable[Ref]) -> tuple[Ref, ...]:
        """Those references that lead to visible entries of this ticket or to an earlier ticket."""
        earlier = {ticket.number for ticket in self.case.earlier}
        here = [Ref(self._standing(ref.no)) if ref.ticket in (0, self.ticket.number) else ref for ref in refs]
        return tuple(ref for ref in here if (ref.ticket in earlier if ref.ticket else ref.no in self._numbers))

    def _standing(self, no: int) -> int:
        """The entry that stands for one: its living amendment, where it was replaced."""
        for entry in self.ticket.entries:
            if entry.replaces == no and not entry.struck:
                return entry.no if entry.no <= no else self._standing(entry.no)
        return no

    def entry(self, ref: Ref) -> Entry | None:
        """The visible entry a reference leads to on this ticket."""
        if ref.ticket or ref.no not in self._numbers:
            return None
        return self.ticket.entry(ref.no)

    @cached_property
    def contacts(self) -> tuple[Contact, ...]:
        """What was answered to which offer, contact by contact, hidden ones among them: hiding unsays nothing."""
        return contacts(self.ticket)

    @cached_property
    def answered(self) -> Standing:
        """How the offers and deferred items of this ticket stand with the customer."""
        return standing_with(self.contacts)

    @cached_property
    def openings(self) -> dict[str, Any]:
        """How the concerns stand, by their letters, as far as anybody asked; filled by ``facts.first_sentence``."""
        return {}

    @cached_property
    def waiting(self) -> dict[str, Any]:
        """What is still to do, once anybody asked; filled by ``facts.open_work``."""
        return {}

    @property
    def closing(self) -> bool:
        """The work is over: the ticket is ready to go out or signed."""
        return self.ticket.status in ("ready", "signed")

    def money(self, number: str) -> str:
        """An amount with the shop's sign."""
        return f"{self.sign}{grouped(number)}"


def _words(fact: Fact) -> str:
    """What was typed of an entry, for comparing."""
    return " ".join(str(getattr(fact, name, "")) for name in ("what", "text", "unit"))


def told(entry: Entry | Ref, field: str, text: str, op: str = "told") -> Val:
    """Text from a field of an entry."""
    return Val(entry if isinstance(entry, Ref) else Ref(entry.no), field, op, text)


def sources(*entries: Entry | Ref) -> tuple[Ref, ...]:
    """References to entries."""
    return tuple(entry if isinstance(entry, Ref) else Ref(entry.no) for entry in entries)
