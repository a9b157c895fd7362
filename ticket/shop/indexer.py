"""What the store must be able to find about an entry: computed here, handed to the store as plain rows."""

from functools import cache

from ticket.assist.phrasing import phrases_of
from ticket.job.entry import Entry
from ticket.job.field_specs import specs
from ticket.job.kinds import Code, Fact, Found, Proof, Used
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.language.fields import pieces_of
from ticket.readings.inexact import parts
from ticket.readings.measured_groups import groups, words_of
from ticket.readings.units import find
from ticket.store.index_rows import IndexRows


def index_rows(ticket: Ticket, entry: Entry) -> IndexRows:
    """The rows of the side tables and the searchable words of one living entry."""
    fact = entry.fact
    return IndexRows(
        codes=((fact.code, fact.sub),) if isinstance(fact, Code) and fact.code != "none" else (),
        parts=(fact.part,) if isinstance(fact, Used) and fact.part else (),
        readings=_readings(fact) if isinstance(fact, Found | Proof) else (),
        words=_words(fact),
        phrases=phrases_of(fact),
        pieces=pieces_of(fact),
    )


def _readings(fact: Found | Proof) -> tuple[tuple[str, str, str, float | None], ...]:
    rows = []
    for group in groups(fact):
        unit = find(group.run.unit)
        dimension = unit.dimension if unit else ""
        for value in group.run.values:
            exact = parts(value.number).value
            base = None if exact is None or unit is None else float(exact * unit.factor + unit.offset)
            rows.append((fold(group.name), value.label, dimension, base))
    return tuple(rows)


def _words(fact: Fact) -> dict[str, str]:
    """Searchable prose by column; customers and contacts are not searchable words, remarks for the shop neither."""
    if not fact.column:
        return {}
    parts = (getattr(fact, name) for name in _part_fields(type(fact)))  # type: ignore[arg-type]
    words = " ".join(filter(None, (words_of(fact), *parts)))
    return {fact.column: words} if words else {}


@cache
def _part_fields(kind: type[Fact]) -> tuple[str, ...]:
    return tuple(spec.name for spec in specs(kind) if spec.shape == "part")
