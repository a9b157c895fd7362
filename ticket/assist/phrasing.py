"""Which phrases of an entry may be typed again, each with what stood around it. Pure."""

from collections.abc import Iterator
from functools import lru_cache

from ticket.job.field_specs import FieldSpec, specs
from ticket.job.kinds import Code, Did, Fact, Found, Later, Proof, Ruled, Used
from ticket.notes.bought import write_used
from ticket.notes.code import write_code
from ticket.notes.limits import write_limits
from ticket.notes.pen import Pen
from ticket.readings.measured_groups import groups, measures
from ticket.store.index_rows import Phrase

LONGEST = 120  # nobody types a longer text a second time, and what does not fit the line helps nobody
_PEN = Pen()


@lru_cache(maxsize=2048)
def phrases_of(fact: Fact) -> tuple[Phrase, ...]:
    """The phrases of a fact. Contacts and remarks for the shop have none: they name people."""
    return tuple(item for item in _phrases(fact) if _plain(item.text))


def _plain(text: str) -> bool:
    """Whether a text is typed as it is: no line break, no semicolon, no quote mark, and not too long."""
    return 1 < len(text) <= LONGEST and text == text.strip() and text.isprintable() and not set(text) & set(';"')


def _phrases(fact: Fact) -> Iterator[Phrase]:
    if isinstance(fact, Did):
        hours = f"{fact.hours} h" if fact.hours else ""
        yield Phrase("did", fact.text, hours, behind=f"; rate {fact.rate}" if fact.rate else "")
    elif isinstance(fact, Used):
        yield from _part(fact)
    elif isinstance(fact, Found | Proof):
        yield from _reading(fact)
    elif isinstance(fact, Code):
        yield from _fault(fact)
    elif not (fact.inside or fact.unbound):
        yield from (Phrase(fact.kind, getattr(fact, own.name)) for own in _first_prose(type(fact)))
    if isinstance(fact, Ruled):
        yield Phrase("ruled.reason", fact.reason)
    if isinstance(fact, Later):
        yield Phrase("later.because", fact.because)
        yield Phrase("later.risk:", fact.risk)
        yield Phrase("later.watch:", fact.watch)


def _fault(fact: Code) -> Iterator[Phrase]:
    if fact.code != "none":
        code = write_code(Code(code=fact.code, sub=fact.sub), _PEN)
        yield Phrase("code", code, behind=f" {fact.unit}" if fact.unit else "")
        yield Phrase("code.unit", fact.unit)


def _first_prose(kind: type[Fact]) -> tuple[FieldSpec, ...]:
    """The words a line of a kind begins with, where they are prose."""
    return tuple(own for own in specs(kind) if own.place == "head" and own.prose)[:1]


def _part(fact: Used) -> Iterator[Phrase]:
    """A part is found by its number and by its description; the whole line follows either."""
    line = write_used(fact, _PEN)
    amount = f"{fact.amount} {fact.unit}".strip()
    at = line.find(fact.text, len(amount)) if fact.text else -1
    if not line.startswith(amount) or at < 0:
        return
    ahead, behind = line[len(amount) : at].strip(), line[at + len(fact.text) :]
    yield Phrase("used", fact.text, amount, ahead, behind)
    if ahead:
        yield Phrase("used", ahead, amount, "", f" {fact.text}{behind}")


def _reading(fact: Found | Proof) -> Iterator[Phrase]:
    if not measures(fact):
        yield Phrase(fact.kind, fact.what or fact.seen)
        return
    if isinstance(fact, Proof) and fact.of is not None:
        return
    for group in groups(fact):
        run = group.run
        limits = f" ({write_limits(run.limits, run.unit, _PEN)})" if run.limits else ""
        yield Phrase(fact.kind, group.name, behind=f" {run.unit}{limits}".rstrip(), open=True)
