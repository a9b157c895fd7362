"""The rows of a pack that bear on one job, each as a sentence with its citation and standing."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from ticket.money.amount import grouped
from ticket.money.bill import Bill
from ticket.money.prices import Fee, PriceList
from ticket.rules.charge_rules import Charge, duties, parts_duty
from ticket.rules.consent_rules import Fault
from ticket.rules.overrun import Allowed
from ticket.rules.owed import Owed
from ticket.rules.pack import Pack, Source, chain, first, source
from ticket.rules.pack_rows import STATUSES
from ticket.rules.paper_duties import Missing
from ticket.rules.taxes import tax_differences

_PARTS = {
    "give back": "Old parts are given back without being asked for.",
    "unless declined": "Old parts are given back unless the customer declines them.",
    "on request": "Old parts are given back or shown when the customer asks.",
    "on written demand": "Old parts are given back on written demand.",
    "offer": "Old parts are offered to the customer.",
    "show": "Old parts are shown when the customer asks.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Applied:
    """One rule as it bears on a job: ``id`` is pack and row, such as ``US-FL/overrun``.

    ``status`` is ``C`` read in the law, ``S`` in a secondary text, ``M`` from memory. ``paper`` names the one it is
    about, where it is about one.
    """

    id: str
    text: str
    citation: str
    status: str
    as_of: str
    paper: str = ""

    @property
    def standing(self) -> str:
        """How far the rule may be relied on, in words."""
        return STATUSES[self.status]


def by(told: Source, text: str) -> Applied:
    """A sentence with the source it rests on."""
    return Applied(id=told.rules, text=text, citation=told.citation, status=told.status, as_of=told.as_of)


def overrun_words(limit: Allowed) -> str:
    """How far a bill may go, in one sentence."""
    basis = ", both before sales tax" if limit.before_tax else ""
    return (
        f"{grouped(limit.estimate)} was agreed; up to {grouped(limit.allowed)} may be charged without asking"
        f" again{basis}.{''.join(f' {words}' for words in limit.beyond)}"
    )


def from_overrun(pack: Pack, limit: Allowed) -> Applied:
    """The row that set the limit, with the sums it led to."""
    row = next(row for one in chain(pack) for row in one.overrun if f"{one.id}/{row.id}" == limit.rules)
    return Applied(
        id=limit.rules, text=overrun_words(limit), citation=limit.citation, status=limit.status, as_of=row.as_of
    )


def from_owed(owed: Owed) -> Applied:
    """What is owed about the price before the work."""
    text = f"A {owed.what} is owed before the work." if owed.owed else f"No {owed.what} is owed for this job."
    if owed.what == "nothing":
        text = "Nothing in writing is owed about the price before the work."
    if owed.owed and owed.waiver:
        text += f" The customer may do without: {owed.waiver}."
    return by(owed.source, text)


def from_charges(charges: Iterable[tuple[Fee, Charge]]) -> Iterator[Applied]:
    """The fees on a bill that a rule forbids or ties to something."""
    for fee, charge in charges:
        if charge.source is None:
            continue
        if not charge.allowed:
            text = f"{fee.name} may not be charged like this; it takes: {'; '.join(charge.unmet)}."
        elif charge.words:
            text = f"{fee.name} may be charged if the estimate says: “{charge.words}”"
        else:
            text = f"{fee.name} may be charged."
        yield by(charge.source, text)


def from_missing(paper: str, lacking: Sequence[Missing]) -> Iterator[Applied]:
    """One sentence for each row whose fields a paper lacks."""
    for rules in dict.fromkeys(field.source.rules for field in lacking):
        mine = [field for field in lacking if field.source.rules == rules]
        waits = f"may not be given out without: {_listed(mine)}." if mine[0].blocks else f"lacks: {_listed(mine)}."
        yield replace(by(mine[0].source, f"The {paper} {waits}"), paper=paper)


def _listed(fields: Iterable[Missing]) -> str:
    return "; ".join(field.words for field in fields)


def from_consent(faults: Iterable[tuple[int, Fault]]) -> Iterator[Applied]:
    """What the record of a yes lacks."""
    grouped_faults: dict[tuple[int, str], list[Fault]] = {}
    for no, fault in faults:
        grouped_faults.setdefault((no, fault.source.rules), []).append(fault)
    for (no, _), mine in grouped_faults.items():
        yield by(mine[0].source, f"The yes of entry {no} lacks: {', '.join(fault.missing for fault in mine)}.")


def _warranty(pack: Pack) -> Iterator[Applied]:
    found = first(pack, "warranty", fits=lambda row: row.kind == "implied")
    if found:
        where, row = found
        terms = [f"{row.days} days" if row.days else f"{row.months} months" if row.months else ""]
        terms += [f"{row.distance} {row.unit}" if row.distance else ""]
        term = " or ".join(term for term in terms if term)
        yield by(source(where, row), f"By law the repair is warranted for {term}, whichever is first.")
    found = first(pack, "warranty", fits=lambda row: row.kind == "state")
    if found:
        yield by(source(*found), "The papers state the guarantee with its time and distance.")


def from_extra(pack: Pack) -> Iterator[Applied]:
    """What consent to more than was agreed takes: the ways it may be given, and what must be written down."""
    found = first(pack, "consent", fits=lambda row: row.case == "extra")
    if found is None:
        return
    where, row = found
    ways = f" by {' or '.join(row.channels)}" if row.channels else ""
    fields = [*row.record, *(f"{field} if one was used" for field in row.if_used)]
    written = f", recorded with: {', '.join(fields)}" if fields else ""
    yield by(source(where, row), f"More than was agreed takes consent{ways}{written}.")


def from_duties(pack: Pack, bill: Bill, prices: PriceList) -> Iterator[Applied]:
    """What goes with the work itself: old parts, warranty, taxes, outside work, other payers, keeping papers."""
    if any(line.kind in ("part", "core") for line in bill.lines):
        duty = parts_duty(pack)
        yield by(duty.source, _PARTS[duty.duty])
    yield from _warranty(pack)
    place = prices.tax_place(bill.place)
    for differs in tax_differences(pack, place) if place else ():
        yield by(differs.source, f"Tax: {differs.text}.")
    others = any(payer.payer in ("warranty", "contract") for payer in bill.payers)
    for topic in ["sublet"] * bool(bill.sublet) + ["another payer"] * others:
        yield from (by(duty.source, duty.duty) for duty in duties(pack, topic))
    found = first(pack, "retention", fits=lambda row: row.what == "repair records")
    if found:
        where, row = found
        term = "no period is set" if row.none else f"{row.years} years" if row.years else f"{row.months} months"
        yield by(source(where, row), f"Papers are kept: {term}.")
