"""What a ticket and its surroundings hold that may be typed again. Gathered once a reading, asked at every key."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from ticket.assist.phrasing import phrases_of
from ticket.job.case import Case
from ticket.job.field_specs import specs
from ticket.job.kinds import Code, Fact, Maybe, Offer
from ticket.job.offer_answers import standing
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.store.index_rows import Phrase

_MOST_TEXTS = 600
_MOST_CODES = 3


@dataclass(frozen=True, slots=True)
class Origin:
    """Phrases that come from one place.

    Attributes:
        why: the place in a few words.
        phrases: by their kind, each with its folded text; newest or most used first.
        offered: they are worth showing before anything is typed.
    """

    why: str
    phrases: Mapping[str, Sequence[tuple[str, Phrase]]]
    offered: bool = False

    @classmethod
    def of(cls, why: str, phrases: Iterable[Phrase], *, offered: bool = False) -> "Origin":
        """Phrases folded and sorted by kind once, so that a key need not."""
        found: dict[str, list[tuple[str, Phrase]]] = {}
        for phrase in phrases:
            found.setdefault(phrase.kind, []).append((fold(phrase.text), phrase))
        return cls(why, found, offered)


@dataclass(frozen=True, slots=True)
class TypingContext:
    """Everything in memory that completion looks at.

    Attributes:
        origins: this ticket, the codes on it, this vehicle's earlier visits.
        texts: their texts as (as typed, folded, why); names and addresses of customers are not among them.
        pictures: the newest files of the folder of new pictures.
    """

    ticket: Ticket
    origins: tuple[Origin, ...] = ()
    texts: tuple[tuple[str, str, str], ...] = ()
    people: tuple[str, ...] = ()
    rates: tuple[str, ...] = ()
    pictures: tuple[str, ...] = ()


def codes_of(ticket: Ticket) -> tuple[tuple[str, str], ...]:
    """The newest codes on a ticket as (code, sub-code), each once; older ones have had their say."""
    facts = [entry.fact for entry in reversed(ticket.living)]
    found = ((fact.code, fact.sub) for fact in facts if isinstance(fact, Code) and fact.code != "none")
    return tuple(dict.fromkeys(found))[:_MOST_CODES]


def gather(
    case: Case, beside: Sequence[tuple[str, Sequence[Phrase]]], pictures: tuple[str, ...] = ()
) -> TypingContext:  # fmt: skip
    """What is known around a ticket.

    Args:
        case: the ticket with its earlier visits, settings and staff.
        beside: for each code on it, as written, the phrases that stood beside it before.
        pictures: the newest files of the folder of new pictures.
    """
    ticket = case.ticket
    own = [entry.fact for entry in reversed(ticket.living)]
    earlier = [entry.fact for visit in case.earlier for entry in visit.living]
    origins = (
        Origin.of("this ticket", _asked_for(ticket), offered=True),
        Origin.of("on this ticket", _once(own)),
        *(Origin.of(f"with {code}", phrases, offered=True) for code, phrases in beside if phrases),
        Origin.of("this vehicle", _once(earlier)),
    )
    texts = [(text, "this ticket") for fact in own for text in _texts(fact)]
    texts += [(item.text, origin.why) for origin in origins[1:] for mine in origin.phrases.values() for _, item in mine]
    once = dict(reversed(texts[:_MOST_TEXTS]))
    shown = [(text, fold(text), why) for text, why in reversed(once.items())]
    return TypingContext(
        ticket,
        origins,
        tuple(item for item in shown if len(item[0]) == len(item[1])),
        tuple(person.name for person in case.people),
        case.settings.rates,
        pictures,
    )


def _once(facts: Iterable[Fact]) -> Iterable[Phrase]:
    """Phrases of some facts, the newest first; of two that read alike the newer stays."""
    kept: dict[tuple[str, str], Phrase] = {}
    for fact in facts:
        for item in phrases_of(fact):
            kept.setdefault((item.kind, fold(item.text)), item)
    return kept.values()


def _asked_for(ticket: Ticket) -> Iterator[Phrase]:
    """What the ticket's own entries call for: agreed work to do, suspicions to settle, refused work that waits."""
    said = {no: one.answer for no, one in standing(ticket).items()}
    done = {ref.no for entry in ticket.living if entry.kind == "did" for ref in getattr(entry.fact, "refs", ())}
    for entry in ticket.living:
        fact = entry.fact
        if isinstance(fact, Offer) and said.get(entry.no, "yes") == "yes" and entry.no not in done:
            yield Phrase("did", fact.text, f"{fact.hours} h" if fact.hours else "")
        elif isinstance(fact, Offer) and said.get(entry.no) == "no":
            yield Phrase("later", fact.text)
        elif isinstance(fact, Maybe):
            yield Phrase("cause", fact.text)
            yield Phrase("ruled", fact.text)


def _texts(fact: Fact) -> Iterator[str]:
    for spec in specs(type(fact)):
        value = getattr(fact, spec.name)
        if spec.prose and isinstance(value, str) and value.isprintable() and value:
            yield value
