"""What the papers of a job must carry, and what a ticket with its bill can show already."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from ticket.job.kinds import Cause, Did, Fact, Found, Offer, Says
from ticket.job.ticket import Person, Ticket
from ticket.money.agreement import Agreement
from ticket.money.amount import cents
from ticket.money.bill import Bill
from ticket.money.bill_line import Line
from ticket.money.prices import PriceList
from ticket.money.terms import Terms
from ticket.rules.pack import Pack, Source, chain, field_words, source
from ticket.rules.pack_rows import PaperRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    """A field a paper must carry and does not: its key, its words, whether the paper must wait for it, the rule."""

    field: str
    words: str
    blocks: bool
    source: Source


def missing(
    pack: Pack, paper: str, have: Collection[str], when: Collection[str] = (), *, deposit: int = 0
) -> tuple[Missing, ...]:
    """The fields a paper lacks.

    Args:
        pack: the local rules; those it inherits from are asked where it says nothing about the paper.
        paper: one of ``rows.PAPERS``.
        have: keys of the fields it carries, see :func:`present`.
        when: the circumstances that hold, of ``rows.WHEN``, see :func:`circumstances`.
        deposit: what was paid beforehand, in cents.
    """
    words = field_words()
    return tuple(
        Missing(field=field, words=words[field], blocks=row.blocks, source=source(where, row))
        for where, row in _rows(pack, paper)
        if _holds(row, when, deposit)
        for field in row.fields
        if field not in have
    )


def _rows(pack: Pack, paper: str) -> Iterator[tuple[Pack, PaperRow]]:
    """The rows for a paper of the first pack along the chain that has any."""
    for one in chain(pack):
        rows = [(one, row) for row in one.papers if row.paper == paper]
        if rows:
            yield from rows
            return


def part_kinds(pack: Pack, paper: str) -> tuple[str, ...]:
    """The kinds a part on a paper must be told to be, where the law lists them."""
    return next((row.part_kinds for _, row in _rows(pack, paper) if row.part_kinds), ())


def _holds(row: PaperRow, when: Collection[str], deposit: int) -> bool:
    if row.when == "prepaid":
        return 0 < deposit >= (cents(row.amount) or 0)
    return row.when == "always" or row.when in when


def circumstances(bill: Bill, agreed: Agreement) -> frozenset[str]:
    """Which circumstances of ``rows.WHEN`` a bill shows; flat hours are hours billed that no clock gave."""
    flat = any(line.kind == "labour" and line.quantity and line.quantity != line.clock for line in bill.lines)
    others = any(payer.payer in ("warranty", "contract") for payer in bill.payers)
    added = sum("yes" in contact.answers for contact in agreed.contacts) > 1
    found = {"flat hours shown": flat, "another payer": others, "work added": added}
    return frozenset(key for key, holds in found.items() if holds)


def present(
    ticket: Ticket,
    bill: Bill,
    agreed: Agreement,
    prices: PriceList,
    *,
    shop: str = "",
    people: Sequence[Person] = (),
    terms: Terms | None = None,
) -> frozenset[str]:
    """The fields that a ticket and its bill can fill; the paper itself adds what only it knows.

    What the shop states on all its papers (``Details.statements``) counts too. A field counts only when every line
    it speaks of has it: one part without its kind, and ``part kinds`` is missing. Names of mechanics count only for
    technicians, where the people of the shop are given.
    """
    known = (
        _about_shop(prices, shop, ticket)
        | _about_job(ticket, people)
        | _about_bill(bill, terms or Terms())
        | _about_consent(agreed)
    )
    stated = {one.field for one in prices.details.statements}
    return frozenset(key for key, value in known.items() if value) | stated


Known = dict[str, object]
BY_SIGNING = ("shop signature", "date out")
"""What signing itself gives: a paper lacks it until then, and nobody can be asked for it before."""


def _about_shop(prices: PriceList, shop: str, ticket: Ticket) -> Known:
    details = prices.details
    return {
        "shop name": shop,
        "shop address": details.address,
        "shop phone": details.phone,
        "shop registration": details.registration,
        "shop tax number": details.tax_number,
        "shop signature": ticket.signed_by,
    }


def _about_job(ticket: Ticket, people: Sequence[Person]) -> Known:
    header = ticket.header
    mechanics = {person.name for person in people if person.repairs}

    def facts(*kinds: type[Fact]) -> list[tuple[Fact, str]]:
        return [(entry.fact, entry.person) for entry in ticket.living if isinstance(entry.fact, kinds)]

    def mechanic(name: str) -> bool:
        return bool(name) and (not people or name in mechanics)

    work = [fact.by or person for fact, person in facts(Did) if isinstance(fact, Did)]
    return {
        "customer name": header.customer.name,
        "customer address": header.customer.address,
        "customer phone": header.customer.phone,
        "vehicle": header.vehicle.label,
        "vin": header.vehicle.vin,
        "plate": header.vehicle.plate,
        "vin or plate": header.vehicle.vin or header.vehicle.plate,
        "odometer in": header.odometer_in,
        "odometer out": header.odometer_out,
        "promised date": header.ready_by,
        "date": True,
        "time": True,
        "date in": True,
        "date out": ticket.closed,
        "complaint": facts(Says),
        "repairs requested": facts(Says),
        "repairs needed": facts(Found, Cause, Offer),
        "work done": work,
        "diagnosed by": any(mechanic(person) for _, person in facts(Found, Cause)),
        "repaired by": work and all(mechanic(name) for name in work),
    }


def _about_bill(bill: Bill, terms: Terms) -> Known:
    labour = [line for line in bill.lines if line.kind in ("labour", "fabrication")]
    parts = [line for line in bill.lines if line.kind == "part"]
    paid = [line for line in labour if line.quantity]

    def told(lines: Sequence[Line], *fields: str) -> bool:
        return all(getattr(line, field) for line in lines for field in fields)

    return {
        "parts listed": all(line.text or line.part for line in parts),
        "part numbers": told(parts, "part"),
        "part prices": not any(line.unpriced for line in parts),
        "part kinds": told(parts, "condition"),
        "used parts marked": told(parts, "condition"),
        "price per job": not bill.unpriced,
        "hours": paid,
        "hourly price": paid and told(paid, "price"),
        "actual hours": told(paid, "clock"),
        "labour total": True,
        "parts total": True,
        "tax": True,
        "total": True,
        "every other charge": True,
        "supplies charge": True,
        "free work marked": True,
        "warranty work listed": True,
        "sublet named": not bill.sublet,
        "payer sum": terms.covers and all(cover.approval for cover in terms.covers),
    }


def _about_consent(agreed: Agreement) -> Known:
    return {
        "repairs authorised": agreed.said_yes,
        "estimated cost": agreed.approved is not None or any(offer.price is not None for offer in agreed.offers),
        "estimate link": agreed.approved is not None,
        "work authorised later": all(
            contact.who and contact.approved is not None for contact in agreed.contacts if "yes" in contact.answers
        ),
    }
