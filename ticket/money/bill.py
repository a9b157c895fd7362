"""The bill of a ticket: its lines, what they come to, and who pays what. Never needs a clock or a local rule."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from ticket.job.kinds import Did, Used
from ticket.job.numbers import exact
from ticket.job.ticket import Ticket
from ticket.job.values import PAYERS
from ticket.money import bill_lines as build
from ticket.money.amount import cents, half_up, plain, spread
from ticket.money.bill_line import Doubt, Line, Portion
from ticket.money.prices import FEES, Place, PriceList
from ticket.money.tax import Tax, tax_lines, taxes
from ticket.money.terms import Terms


@dataclass(frozen=True, slots=True, kw_only=True)
class Payer:
    """What one payer owes, in cents: lines - discount + tax + deductible = total.

    ``deductible`` is what the customer bears of a covered total: above zero for the customer, below for the cover.
    """

    payer: str
    lines: int
    discount: int
    tax: int
    deductible: int
    total: int
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """A bill; every amount in cents.

    ``labour + parts + sublet + cores + fees - discount + tax == total``, which is also the sum over ``payers``.

    Attributes:
        parts: parts and fluids.
        due: what the customer still has to pay after the deposit; below zero it is to be given back.
        doubts: what a person should look at before the bill is printed.
    """

    lines: tuple[Line, ...]
    labour: int
    parts: int
    sublet: int
    cores: int
    fees: int
    discount: int
    tax: int
    total: int
    taxes: tuple[Tax, ...]
    payers: tuple[Payer, ...]
    deposit: int
    due: int
    currency: str = ""
    place: str = ""
    discount_reason: str = ""
    doubts: tuple[Doubt, ...] = ()

    @property
    def unpriced(self) -> bool:
        """Whether a line has no price: then no sum is final, and what is due, or given back, is not known."""
        return any(line.unpriced for line in self.lines)

    def of(self, payer: str) -> Payer:
        """What a payer owes; zeros for one who bears nothing."""
        nothing = Payer(payer=payer, lines=0, discount=0, tax=0, deductible=0, total=0)
        return next((one for one in self.payers if one.payer == payer), nothing)

    def told_to(self, payer: str, quotes: str) -> int:
        """What a payer owes on the basis sums are told in (``PriceList.quotes``): like is compared with like."""
        owed = self.of(payer)
        return owed.total - (owed.tax if quotes == "before tax" else 0)


def bill(ticket: Ticket, prices: PriceList, terms: Terms | None = None) -> Bill:
    """The bill of a ticket as it stands. Total: whatever the entries hold, it is a bill, with its doubts."""
    terms = terms or Terms()
    doubts: list[Doubt] = []
    place = _place(prices, terms, doubts)
    items = _items(ticket, prices, terms, doubts)
    shared = _share(items, terms)
    borne = [{share.payer: share.amount for share in line.shares} for line in shared]
    shared += _share(build.fees(prices, shared, borne), terms)
    discounted = _discount(shared, terms, doubts)
    marked = tax_lines(discounted, place)
    owed = taxes(marked, place)
    payers = _payers(marked, owed, terms)
    doubts += _uncovered(marked, terms)
    deposit = cents(terms.deposit) or 0
    customer = next((one.total for one in payers if one.payer == "customer"), 0)

    def of(*kinds: str) -> int:
        return sum(line.amount for line in marked if line.kind in kinds)

    return Bill(
        lines=marked,
        labour=of("labour", "fabrication"),
        parts=of("part", "fluid"),
        sublet=of("sublet"),
        cores=of("core"),
        fees=of(*FEES),
        discount=sum(line.discount for line in marked),
        tax=sum(tax.amount for tax in owed),
        total=sum(one.total for one in payers),
        taxes=owed,
        payers=payers,
        deposit=deposit,
        due=customer - deposit,
        currency=prices.currency,
        place=place.name,
        discount_reason=terms.discount_reason,
        doubts=tuple(doubts),
    )


def _place(prices: PriceList, terms: Terms, doubts: list[Doubt]) -> Place:
    """The place whose taxes apply: the ticket's, the shop's, or the only one there is."""
    wanted = prices.where_taxed(terms.place)
    found = prices.tax_place(wanted)
    if found is None and (wanted or prices.places):
        named = f"The price list has no taxes for {wanted!r}." if wanted else "It is not said where the tax is owed."
        doubts.append(Doubt(0, "place", named))
    return found or Place(name=wanted or "none")


def _items(ticket: Ticket, prices: PriceList, terms: Terms, doubts: list[Doubt]) -> list[Line]:
    items: list[Line] = []
    for entry in sorted(ticket.living, key=lambda entry: entry.no):
        built: Iterable[Line | Doubt] = ()
        if isinstance(entry.fact, Did):
            built = build.labour(entry, entry.fact, prices, terms)
        elif isinstance(entry.fact, Used):
            built = build.used(entry, entry.fact, prices, terms)
        for one in built:
            if isinstance(one, Line):
                items.append(one)
            else:
                doubts.append(one)
    return items


def _portions(line: Line, terms: Terms, charged: Mapping[int, tuple[Portion, ...]]) -> tuple[Portion, ...]:
    """Who bears how much of a line; ``charged`` holds who bore the charge of a core, by the line of its part."""
    split = next((one for one in terms.splits if line.no and one.no == line.no), None)
    weights = [(line.pays, Fraction(1))]
    if line.amount < 0 and line.of in charged:
        weights = [(portion.payer, Fraction(portion.amount)) for portion in charged[line.of]]
    elif split:
        weights = [(share.payer, exact(share.percent) or Fraction(0)) for share in split.shares]
    amounts = spread(line.amount, [weight for _, weight in weights])
    return tuple(Portion(payer=name, amount=amount) for (name, _), amount in zip(weights, amounts, strict=True))


def _share(items: Iterable[Line], terms: Terms) -> list[Line]:
    """Lines with the portions of their payers; a returned core goes back to whoever bore its charge."""
    shared: list[Line] = []
    charged: dict[int, tuple[Portion, ...]] = {}
    for line in items:
        portions = _portions(line, terms, charged)
        if line.kind == "core" and line.amount > 0:
            charged[line.of] = portions
        shared.append(replace(line, shares=portions, pays=portions[0].payer if len(portions) == 1 else "several"))
    return shared


def _discount(shared: Sequence[Line], terms: Terms, doubts: list[Doubt]) -> list[Line]:
    """The discount spread over the customer's portions in proportion, before tax; never more than they are."""
    kinds = terms.discount_of or ("labour", "fabrication", "part", "fluid", "sublet")
    weights = [
        max(0, sum(share.amount for share in line.shares if share.payer == "customer")) if line.kind in kinds else 0
        for line in shared
    ]
    base = sum(weights)
    asked = cents(terms.discount) or 0
    if terms.discount_percent:
        asked = half_up(Fraction(base) * (exact(terms.discount_percent) or 0) / 100)
    if asked > base:
        doubts.append(Doubt(0, "discount", f"The discount is more than the {plain(base)} it is taken off."))
    taken = spread(min(asked, base), weights)
    if not any(taken):
        return list(shared)
    return [
        replace(
            line,
            discount=off,
            shares=tuple(replace(share, discount=off) if share.payer == "customer" else share for share in line.shares),
        )
        for line, off in zip(shared, taken, strict=True)
    ]


def _payer(name: str, mine: Sequence[Portion], tax: int) -> Payer:
    """What a payer owes before any deductible."""
    amount, discount = sum(share.amount for share in mine), sum(share.discount for share in mine)
    return Payer(payer=name, lines=amount, discount=discount, tax=tax, deductible=0, total=amount - discount + tax)


def _payers(lines: Sequence[Line], owed: Sequence[Tax], terms: Terms) -> tuple[Payer, ...]:
    """What each payer owes, in the order of the closed list; deductibles move from the covers to the customer."""
    portions = [share for line in lines for share in line.shares]
    payers: dict[str, Payer] = {}
    for name in PAYERS:
        tax = sum(one.amount for one in owed if one.payer == name)
        payers[name] = _payer(name, [share for share in portions if share.payer == name], tax)
    for cover in terms.covers:
        covered, customer = payers[cover.payer], payers["customer"]
        moved = max(0, min(cents(cover.deductible) or 0, covered.total))
        payers[cover.payer] = replace(
            covered, deductible=-moved, total=covered.total - moved, name=cover.name or covered.name
        )
        payers["customer"] = replace(customer, deductible=customer.deductible + moved, total=customer.total + moved)
    bearing = {share.payer for share in portions} | {"customer"}
    return tuple(payer for name, payer in payers.items() if name in bearing or payer.total)


def _uncovered(lines: Sequence[Line], terms: Terms) -> Iterable[Doubt]:
    """Terms that speak of an entry the bill has no line for, and billed lines the customer never sees."""
    there = {line.no for line in lines}
    for group, word in ((terms.overlaps, "An overlap"), (terms.cores, "A returned core"), (terms.splits, "A split")):
        for one in group:
            if one.no not in there:
                yield Doubt(one.no, "terms", f"{word} names entry {one.no}, which is not on the bill.")
    for line in lines:
        if line.shop_only and line.borne_by("customer"):
            yield Doubt(line.no, "hidden", f"Entry {line.no} is billed to the customer but marked shop only.")
