"""What several rules need to see of a ticket, asked in one place."""

from collections.abc import Iterator, Sequence
from typing import TypeVar

from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.kinds import Did, Fact, Found, Proof, Says, Used
from ticket.job.regex import Regex
from ticket.job.ticket import Ticket
from ticket.readings.measured_groups import values, words_of
from ticket.readings.pairing import judge_entry
from ticket.readings.units import find

F = TypeVar("F", bound=Fact)

_CLAIMED = ("warranty", "contract")
_BY_MEASURE = ("volume", "mass")
_SMALL = Regex(
    r"\b(?:washers?|clips?|screws?|bolts?|nuts?|fluids?|oil|grease|coolant|refrigerant|cleaner|wire|seals?|gaskets?|"
    r"o-rings?|clamps?|ties?|rivets?|fuses?|bulbs?|sealant|paste|solder|sleeving|supplies|additive)\b"
)
_SERVICE = Regex(r"\b(?:service|due|inspection|maintenance|check-?up|rotation|seasonal|oil change)\b")


def each(case: Case, kind: type[F]) -> Iterator[tuple[Entry, F]]:
    """The living entries of one kind with their facts."""
    for entry in case.ticket.of_kind(kind):
        if isinstance(entry.fact, kind):
            yield entry, entry.fact


def with_it(case: Case, entry: Entry) -> tuple[Entry, ...]:
    """The living entries of the same concern as an entry, itself included; all of them on a ticket of one concern."""
    return case.ticket.sharing(entry.concern)


def bad_values(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> tuple[str, ...]:
    """``low`` or ``high`` for each reading of the entry that is outside its limits.

    The limits of a recheck may stand on an earlier ticket.
    """
    return tuple(verdict.word for verdict in judge_entry(ticket, entry, earlier) if verdict.word in ("low", "high"))


def answered_by(case: Case, no: int) -> tuple[Entry, ...]:
    """The living entries that point at entry ``no``."""
    return case.ticket.pointing_at(no)


def all_text(case: Case) -> str:
    """All the prose of the living entries, in lower case, for matching only."""
    return " ".join(words_of(entry.fact) for entry in case.ticket.living).lower()


def words_with_places(fact: Fact) -> str:
    """The words of a fact with the positions of its readings, which are no words of their own any more."""
    if not isinstance(fact, Found | Proof):
        return words_of(fact)
    labels = dict.fromkeys(value.label for value in values(fact) if value.label)
    return " ".join((words_of(fact), *labels))


def claimed(case: Case) -> bool:
    """Whether a warranty or a contract pays for some of it: then an auditor reads the ticket."""
    lines: list[Did | Used] = [*(fact for _, fact in each(case, Did)), *(fact for _, fact in each(case, Used))]
    return any(payer in _CLAIMED for fact in lines for payer in (fact.pays, *(share.payer for share in fact.split)))


def small(part: Used) -> bool:
    """Fluids, seals and small pieces, which no line of labour names and no auditor asks back."""
    return by_measure(part) or bool(_SMALL.search(part.text.lower()))


def by_measure(part: Used) -> bool:
    """Sold by volume or mass: a fluid, a grease, a gas."""
    unit = find(part.unit)
    return unit is not None and unit.dimension in _BY_MEASURE


def serviced(case: Case, entry: Entry) -> bool:
    """Whether the concern of an entry is a visit for service, by the words of its complaint."""
    said = [other.fact.text.lower() for other in with_it(case, entry) if isinstance(other.fact, Says)]
    return any(_SERVICE.search(text) for text in said)
