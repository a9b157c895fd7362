"""What it costs: the lines of the bill, their sums, and who pays what."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from ticket.money.bill import Bill, Payer
from ticket.money.bill_line import Line
from ticket.papers.copy_contents import CopyContents, capital, joined
from ticket.papers.sheet import Block, Column, Heading, Notice, Table, Total
from ticket.papers.typed_words import done, thing

_CLASSES = {"labour": "labour", "fabrication": "labour", "part": "parts", "fluid": "parts", "sublet": "sublet",
            "core": "core"}  # fmt: skip
_ORDER = ("labour", "parts", "sublet", "core", "fees")


def charges(contents: CopyContents) -> tuple[Block, ...]:
    """The itemised lines with sums and taxes, then who pays what where that is more than one sum."""
    bill = contents.bill
    lines = _seen(contents, bill) if bill else ()
    if bill is None or not lines:
        return ()
    out: list[Block] = [Heading(contents.label("charges")), _lines(contents, bill, lines)]
    if any(line.unpriced for line in lines):
        out.append(Notice(contents.label("unpriced")))
    out += _payers(contents, bill, lines)
    return tuple(out)


def _seen(contents: CopyContents, bill: Bill) -> tuple[Line, ...]:
    """The lines the reader may see: what is billed to the customer is never hidden from anyone."""
    return tuple(
        line for line in bill.lines if contents.reader == "shop" or not line.shop_only or line.borne_by("customer")
    )


def _shared(contents: CopyContents, lines: Sequence[Line]) -> bool:
    """Somebody else than the customer bears a line the reader sees."""
    return any(share.payer != "customer" for line in lines for share in line.shares)


def _lines(contents: CopyContents, bill: Bill, lines: Sequence[Line]) -> Table:
    label, shared, customer = contents.label, _shared(contents, lines), contents.reader == "customer"
    columns = [Column(label("charges.work"))]
    if not customer:
        columns = [Column(label("charges.entry"), figures=True), *columns, Column(label("charges.number"))]
    columns += [Column(label(f"charges.{name}"), figures=True) for name in ("quantity", "each", "amount")]
    if shared:
        columns.append(Column(label("charges.yours"), figures=True) if customer else Column(label("charges.pays")))
    rows = []
    for line in lines:
        row = [_text(contents, line)]
        if not customer:
            row = [str(line.no or ""), *row, line.part]
        row += [_quantity(line), _each(contents, line), _amount(contents, line)]
        if shared:
            row.append(contents.money(line.borne_by("customer") + _off(line)) if customer else _bearers(contents, line))
        rows.append(tuple(row))
    return Table(label("charges.caption"), tuple(columns), tuple(rows), _totals(contents, bill, lines, shared=shared))


def _off(line: Line) -> int:
    """The customer's discount on a line: it is taken off below, not in the line."""
    return sum(share.discount for share in line.shares if share.payer == "customer")


def _text(contents: CopyContents, line: Line) -> str:
    """The line in words, with what the law wants told beside it: number and kind of a part, hours by the clock."""
    words = _words(contents, line)
    customer = contents.reader == "customer"  # the other copies have columns and a table for these
    more = [
        line.part if customer and line.kind != "core" else "",
        contents.label.or_typed("condition", line.condition) if line.kind != "core" else "",
        contents.label("charges.clock", hours=line.clock) if customer and line.clock else "",
        contents.label("charges.cut", hours=line.cut, reason=line.reason) if line.cut else "",
    ]
    if customer and line.pays not in ("customer", "several"):
        more.append(contents.label("charges.paid", payer=contents.payer(line.pays)))
    beside = joined(more)
    text = capital(words or line.part)
    return f"{text} ({beside})" if beside and beside != text else text


def _words(contents: CopyContents, line: Line) -> str:
    if line.kind in ("labour", "fabrication"):
        return done(contents, line.no, line.text)
    if line.kind != "core":
        return thing(contents, line.no, line.text)
    part = contents.case.ticket.entry(line.of)
    named = thing(contents, line.of, getattr(part.fact, "text", "")) if part else ""
    return contents.label("core.charge" if line.amount >= 0 else "core.back", part=named or line.part)


def _quantity(line: Line) -> str:
    return joined((line.quantity, "" if line.unit == "x" else line.unit), "\u00a0")


def _each(contents: CopyContents, line: Line) -> str:
    """The price of one; what an hour costs another payer stays between the shop and that payer (story/inside.tsv)."""
    if (
        contents.reader == "customer"
        and line.kind in ("labour", "fabrication")
        and line.pays in ("warranty", "contract")
    ):
        return ""
    return f"{contents.case.settings.currency}{line.price}" if line.price else ""


def _amount(contents: CopyContents, line: Line) -> str:
    return contents.label("charges.unpriced") if line.unpriced else contents.money(line.amount)


def _bearers(contents: CopyContents, line: Line) -> str:
    if len(line.shares) < 2:
        return contents.payer(line.pays)
    return joined(f"{contents.payer(share.payer)} {contents.money(share.amount)}" for share in line.shares)


class _Sum(NamedTuple):
    """A line below the table: its name, what it comes to, the customer's part of that; ``None`` where unknown."""

    name: str
    whole: int | None
    yours: int | None


def _totals(contents: CopyContents, bill: Bill, lines: Sequence[Line], *, shared: bool) -> tuple[Total, ...]:
    """Sums by class, discount, each tax, and the whole; beside the whole the customer's own where others pay too."""
    sums = [*_classes(contents, lines), *_discount(contents, bill, lines), *_taxes(contents, bill, lines)]
    name = contents.label("total.priced" if any(line.unpriced for line in lines) else "total")
    sums.append(_Sum(name, sum(one.whole or 0 for one in sums), sum(one.yours or 0 for one in sums)))
    both = shared and contents.reader == "customer"

    def cells(one: _Sum) -> tuple[str, ...]:
        whole = contents.label("charges.unpriced") if one.whole is None else contents.money(one.whole)
        return (whole, contents.money(one.yours)) if both else (whole, "") if shared else (whole,)

    return tuple(Total(one.name, cells(one), grand=one is sums[-1]) for one in sums)


def _classes(contents: CopyContents, lines: Sequence[Line]) -> Iterator[_Sum]:
    for name in _ORDER:
        mine = [line for line in lines if _CLASSES.get(line.kind, "fees") == name]
        if mine and all(line.unpriced for line in mine):
            yield _Sum(contents.label(f"kind.{name}"), None, None)
        elif mine:
            yours = sum(line.borne_by("customer") + _off(line) for line in mine)
            yield _Sum(contents.label(f"kind.{name}"), sum(line.amount for line in mine), yours)


def _discount(contents: CopyContents, bill: Bill, lines: Sequence[Line]) -> Iterator[_Sum]:
    off, reason = sum(line.discount for line in lines), bill.discount_reason
    if off:
        yield _Sum(contents.label("discount.for", reason=reason) if reason else contents.label("discount"), -off, -off)


def _taxes(contents: CopyContents, bill: Bill, lines: Sequence[Line]) -> Iterator[_Sum]:
    payers = {share.payer for line in lines for share in line.shares}
    owed = [tax for tax in bill.taxes if tax.payer in payers]
    for name, percent in dict.fromkeys((tax.name, tax.percent) for tax in owed):
        mine = [tax for tax in owed if (tax.name, tax.percent) == (name, percent)]
        shown = contents.label("tax.rate", name=name, percent=percent) if percent else name
        yours = sum(tax.amount for tax in mine if tax.payer == "customer")
        yield _Sum(capital(shown), sum(tax.amount for tax in mine), yours)


def _paying(bill: Bill, lines: Sequence[Line]) -> list[Payer]:
    """The payers whose lines the reader sees, the customer always: a sum of lines that are not seen says nothing."""
    unseen = {share.payer for line in bill.lines if line not in lines for share in line.shares} - {"customer"}
    return [one for one in bill.payers if one.payer not in unseen]


def _payers(contents: CopyContents, bill: Bill, lines: Sequence[Line]) -> list[Block]:
    """Who pays what: where others than the customer pay, or the customer has paid before."""
    label = contents.label
    paying = _paying(bill, lines)
    if len(paying) < 2 and not any(one.deductible for one in paying) and not bill.deposit:
        return []
    names = ("lines", "discount", "tax", "deductible", "total")
    used = [name for name in names if name in ("lines", "total") or any(getattr(one, name) for one in paying)]
    columns = (Column(label("payers.who")), *(Column(label(f"payers.{name}"), figures=True) for name in used))
    rows = tuple(_payer_row(contents, one, used) for one in paying)
    return [Heading(label("payers"), 2), Table(label("payers.caption"), columns, rows, _paid(contents, bill))]


def _payer_row(contents: CopyContents, one: Payer, used: Sequence[str]) -> tuple[str, ...]:
    you = one.payer == "customer" and contents.reader == "customer"
    who = contents.label("payer.you") if you else capital(contents.payer(one.payer, one.name))
    sums = (-one.discount if name == "discount" else getattr(one, name) for name in used)
    return (who, *map(contents.money, sums))


def _paid(contents: CopyContents, bill: Bill) -> tuple[Total, ...]:
    """What was paid beforehand, and what is due then; nothing where nothing was paid."""
    if not bill.deposit:
        return ()
    label, money = contents.label, contents.money
    paid = Total(label("paid"), (money(bill.deposit),))
    if bill.unpriced:
        return (paid,)
    due = label("due" if bill.due >= 0 else "due.back")
    return paid, Total(due, (money(abs(bill.due)),), grand=True)
