"""From entries to lines: labour, parts, fluids, work bought outside, cores, and the fees of the price list."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from ticket.job.entry import Entry
from ticket.job.kinds import Did, Used
from ticket.job.numbers import exact
from ticket.job.text import fold
from ticket.money.amount import HIGHEST, cents, half_up, plain, price, written
from ticket.money.bill_line import Doubt, Line
from ticket.money.labour_hours import clocked, doubt_of, net, readable, tenths
from ticket.money.price_markup import table_price
from ticket.money.prices import Fee, Part, PriceList, Rate
from ticket.money.sale_units import factor, measured
from ticket.money.terms import Terms

Built = Line | Doubt


def _number(typed: str) -> Fraction | None:
    """A quantity as typed; ``None`` where it is no count or measure a bill could rest on."""
    value = exact(typed) if len(typed) <= 24 and typed[:1] not in ("<", ">") else None
    return value if value is not None and 0 <= value <= HIGHEST else None


def _product(quantity: Fraction, unit_price: Fraction) -> int:
    return half_up(quantity * unit_price * 100)


def labour(entry: Entry, fact: Did, prices: PriceList, terms: Terms) -> Iterator[Built]:
    """The line of one labour entry, with what is doubtful about it.

    Billed hours win over the clock; without them the clock's minutes together are billed in tenths.
    """
    minutes = clocked(fact.clock, entry.at)
    clock = tenths(minutes) if minutes is not None and fact.clock else None
    hours = _number(fact.hours) if fact.hours else clock
    rate = prices.rate(fact.rate)
    yield from _labour_doubts(entry, fact, minutes, hours, rate)
    yield _labour_line(entry, fact, clock, hours, rate, terms)


def _labour_doubts(
    entry: Entry, fact: Did, minutes: int | None, hours: Fraction | None, rate: Rate | None
) -> Iterator[Doubt]:
    if minutes is None and not (fact.hours and all(map(readable, fact.clock))):
        yield Doubt(entry.no, "clock", doubt_of(fact.clock, entry.at))
    if hours is None and fact.hours:
        yield Doubt(entry.no, "hours", f"{fact.hours!r} is no number of hours.")
    if rate is None and hours:
        named = f"The price list has no rate class {fact.rate!r}." if fact.rate else "The price list has no rate."
        yield Doubt(entry.no, "rate", named)


def _labour_line(
    entry: Entry, fact: Did, clock: Fraction | None, hours: Fraction | None, rate: Rate | None, terms: Terms
) -> Line:
    overlap = next((one for one in terms.overlaps if one.no == entry.no), None)
    worked = net(hours or Fraction(0), (overlap and _number(overlap.cut)) or Fraction(0), "")
    each = price(rate.price) if rate else None
    known = rate or Rate(name=fact.rate, price="", kind="labour")
    line = Line(
        no=entry.no,
        kind=known.kind,
        text=fact.text,
        amount=_product(worked.billed, each) if each is not None else 0,
        quantity="" if hours is None else written(worked.billed),
        unit="h",
        price=known.price,
        pays=fact.pays or "customer",
        rate=known.name,
        clock="" if clock is None else written(clock),
        unpriced=bool(hours) and each is None,
        shop_only=entry.shop_only,
    )
    if overlap is None:
        return line
    return replace(line, book=written(worked.book), cut=written(worked.cut), reason=overlap.reason)


def _listed(fact: Used, known: Part | None) -> tuple[Fraction | None, str]:
    """The price for one unit and that unit, as the price list knows it."""
    if known is None:
        return None, ""
    return price(known.price), known.unit


def _from_cost(fact: Used, known: Part | None, prices: PriceList) -> tuple[Fraction | None, str]:
    """The price for one unit that the shop's table makes of its cost, and that unit."""
    cost, unit = price(fact.cost), fact.unit
    if cost is None and known is not None:
        cost, unit = price(known.cost), known.unit
    table = prices.table(prices.sublet_table if fact.condition == "sublet" else prices.part_table)
    if cost is None or table is None:
        return None, unit
    return Fraction(table_price(table, cost), 100), unit


def _unit_price(fact: Used, prices: PriceList) -> tuple[Fraction | None, str]:
    """Price for one unit and the unit: as typed (``21.40/L`` names its unit), as listed, or from the cost."""
    if fact.price:
        figure, _, per = fact.price.partition("/")
        if exact(per.strip()) is not None:  # "1/2" is half a unit of the currency, not a price for one "2"
            figure, per = fact.price, ""
        return price(figure), per.strip() or fact.unit
    known = prices.part(fact.part)
    value, unit = _listed(fact, known)
    return (value, unit) if value is not None else _from_cost(fact, known, prices)


def used(entry: Entry, fact: Used, prices: PriceList, terms: Terms) -> Iterator[Built]:
    """The lines of one part, fluid or outside work: itself, its core charge, and the core given back."""
    quantity = _number(fact.amount) if fact.amount else Fraction(1)
    if quantity is None:
        yield Doubt(entry.no, "quantity", f"{fact.amount!r} is no quantity.")
        quantity = Fraction(0)
    known = prices.part(fact.part)
    line = Line(
        no=entry.no,
        kind="sublet" if fact.condition == "sublet" else "fluid" if measured(fact.unit) else "part",
        text=fact.text or (known.text if known else ""),
        amount=0,
        quantity=fact.amount or "1",
        unit=fact.unit,
        price="",
        pays=fact.pays or "customer",
        part=fact.part,
        condition=fact.condition,
        unpriced=False,
        shop_only=entry.shop_only,
    )
    line, doubts = _priced_line(line, fact, quantity, prices)
    yield from doubts
    yield line
    yield from _cores(line, fact.core or (known.core if known else ""), quantity, terms)


def _priced_line(line: Line, fact: Used, quantity: Fraction, prices: PriceList) -> tuple[Line, list[Doubt]]:
    """The line of a part with its price, and what is doubtful about that."""
    each, per = _unit_price(fact, prices)
    scale = factor(fact.unit, per)
    if each is None:
        free = not fact.price and fact.condition == "customer's own"
        thing = fact.text or fact.part or "this part"
        found = f"{fact.price!r} is no price." if fact.price else f"No price is known for {thing}."
        return replace(line, unpriced=not free or scale is None), [] if free else [Doubt(line.no, "price", found)]
    line = replace(line, price=_priced(each, per if per != fact.unit else ""))
    if scale is None:
        text = f"It is priced for one {per or 'piece'} but counted in {fact.unit or 'pieces'}."
        return replace(line, unpriced=True), [Doubt(line.no, "unit", text)]
    return replace(line, amount=_product(quantity * scale, each)), []


def _priced(each: Fraction, per: str) -> str:
    exact_cents = each * 100
    text = plain(exact_cents.numerator) if exact_cents.denominator == 1 else written(each)
    return f"{text}/{per}" if per else text


def _cores(line: Line, core: str, quantity: Fraction, terms: Terms) -> Iterator[Built]:
    """The core charge of a part and, where the old one came back, its credit: never more than was charged."""
    if not core:
        return
    each = price(core)
    if each is None:
        yield Doubt(line.no, "core", f"{core!r} is no core charge.")
        return
    charge = replace(
        line, kind="core", text=f"core charge, {line.text}", amount=_product(quantity, each), price=_priced(each, ""),
        of=line.no, unpriced=False,
    )  # fmt: skip
    yield charge
    back = next((one for one in terms.cores if one.no == line.no), None)
    if back is None:
        return
    given = min(quantity, _number(back.quantity) or Fraction(0)) if back.quantity else quantity
    text = f"core returned, {line.text}"
    yield replace(charge, text=text, amount=-_product(given, each), quantity=written(given))


def fees(prices: PriceList, lines: Sequence[Line], borne: Sequence[dict[str, int]]) -> Iterator[Line]:
    """The fees of the price list that fall on some lines; ``borne`` holds what each payer bears of each line."""
    for fee in prices.fees:
        mine = [(line, shares.get(fee.pays, 0)) for line, shares in zip(lines, borne, strict=True)]
        amount, quantity = _fee(fee, mine)
        if amount:
            yield Line(
                no=0, kind=fee.charge, text=fee.name, amount=amount, quantity=quantity,
                price=fee.amount if fee.each else "", pays=fee.pays,
            )  # fmt: skip


def _pieces(each: Iterable[str], lines: Iterable[Line]) -> Fraction:
    """How many pieces the lines hold that are called by one of the words."""
    words = {fold(word) for word in each}
    counted = (_number(line.quantity) or Fraction(0) for line in lines if words & set(fold(line.text).split()))
    return sum(counted, Fraction(0))


def _fee(fee: Fee, lines: Iterable[tuple[Line, int]]) -> tuple[int, str]:
    """The sum of a fee and the pieces it was counted on; it falls on what its payer bears and nothing else."""
    falls_on = [(line, borne) for line, borne in lines if borne > 0 and (line.kind in fee.of or not fee.of)]
    if fee.percent:
        due = half_up(Fraction(sum(borne for _, borne in falls_on)) * (exact(fee.percent) or 0) / 100)
        cap = cents(fee.cap)
        return due if cap is None else min(due, cap), ""
    if not fee.each:
        return (cents(fee.amount) or 0) if falls_on else 0, ""
    pieces = _pieces(fee.each, (line for line, _ in falls_on))
    return _product(pieces, price(fee.amount) or Fraction(0)), written(pieces)
