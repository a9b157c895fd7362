"""A bill and what the rules say of it, as text of at most 80 columns. Pure: from an account to lines."""

import textwrap
from collections.abc import Iterable, Iterator

from ticket.job.text import one_line
from ticket.money.amount import grouped
from ticket.money.bill import Bill
from ticket.money.bill_line import Line
from ticket.rules.account import Account, Side
from ticket.rules.applied import Applied
from ticket.rules.paper_duties import Missing

WIDTH = 80
_MONEY = 12


def money_line(text: str, amount: int, indent: int = 0, hang: int = 2) -> Iterator[str]:
    """A text with an amount at the right edge; a long text runs over, the amount stands on its first line."""
    room = WIDTH - _MONEY - indent - 1
    lines = textwrap.wrap(one_line(text), room, break_long_words=True) or [""]
    yield f"{' ' * indent}{lines[0]:<{room}} {grouped(amount):>{_MONEY}}"
    rest = textwrap.wrap(" ".join(lines[1:]), room - hang)
    yield from (f"{' ' * (indent + hang)}{line}" for line in rest)


def paragraph(text: str, indent: int = 0, hang: int = 0) -> list[str]:
    """A text broken at 80 columns."""
    first, rest = " " * indent, " " * (indent + hang)
    lines = textwrap.wrap(one_line(text), WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)
    return lines or [""]


def bill_text(account: Account, title: str) -> Iterator[str]:
    """The whole bill: lines, totals, who pays what, what was agreed, what the rules say, what is missing."""
    made = account.bill
    yield from paragraph(title, 0, 2)
    yield ""
    for line in made.lines:
        yield from money_line(_words(line), line.amount)
        yield from _about(line)
    if not made.lines:
        yield "Nothing is billed yet."
    yield ""
    yield from _totals(made)
    yield from _payers(made)
    yield ""
    for side in account.sides:
        yield from _side(side)
    yield from _problems(account)
    yield from rules_text(account.rules, account.notice)


def _words(line: Line) -> str:
    quantity = f"{line.quantity} {line.unit}".strip() if line.unit != "x" or line.quantity != "1" else ""
    each = f"at {line.price}," if line.price and line.kind != "core" and quantity else ""
    parts = [quantity, each, line.part if line.kind != "core" else "", line.text]
    condition = f", {line.condition}" if line.condition and line.kind != "core" else ""
    return " ".join(part for part in parts if part) + condition


def _about(line: Line) -> Iterator[str]:
    """What stands under a line: shared hours, discount, another payer, a price nobody knows."""
    if line.cut:
        yield from paragraph(f"{line.book} h less {line.cut} h: {line.reason}", 4, 2)
    if line.discount:
        yield f"    discount {grouped(line.discount)}"
    if line.pays == "several":
        yield from paragraph(", ".join(f"{share.payer} {grouped(share.amount)}" for share in line.shares), 4, 2)
    elif line.pays != "customer":
        yield f"    {line.pays} pays; 0.00 to the customer"
    if line.unpriced:
        yield "    no price is known"


def _totals(made: Bill) -> Iterator[str]:
    sums = (("Labour", made.labour), ("Parts and fluids", made.parts), ("Work outside", made.sublet),
            ("Cores", made.cores), ("Fees", made.fees))  # fmt: skip
    for name, amount in sums:
        if amount:
            yield from money_line(name, amount)
    if made.discount:
        yield from money_line(f"Discount{f' ({made.discount_reason})' if made.discount_reason else ''}", -made.discount)
    for tax in made.taxes:
        if tax.amount:
            rate = f" {tax.percent} %" if tax.percent else ""
            payer = f", {tax.payer}" if tax.payer != "customer" else ""
            yield from money_line(f"{tax.name.capitalize()}{rate} of {grouped(tax.base)}{payer}", tax.amount)
    yield from money_line(f"Total{f' {made.currency}' if made.currency else ''}", made.total)


def _payers(made: Bill) -> Iterator[str]:
    if len(made.payers) > 1:
        for payer in made.payers:
            name = f"{payer.payer} ({payer.name})" if payer.name else payer.payer
            share = f", deductible {grouped(payer.deductible)} included" if payer.deductible > 0 else ""
            yield from money_line(f"{name} pays{share}", payer.total, 2)
    if made.deposit:
        yield from money_line("Paid before", -made.deposit)
        if made.unpriced:
            yield "Left to pay: not known, a line has no price."
        else:
            yield from money_line("Left to pay" if made.due >= 0 else "To be given back", abs(made.due))


def _side(side: Side) -> Iterator[str]:
    agreed, name = side.agreement, "" if side.payer == "customer" else f"{side.payer}: "
    for contact in agreed.contacts:
        if "yes" in contact.answers and contact.approved is not None:
            most = "up to " if contact.ceiling is not None else ""
            who = f"{contact.who} " if contact.who else ""
            way = f"{contact.way} " if contact.way.startswith("in ") else f"by {contact.way} " if contact.way else ""
            agreed_to = f"{most}{grouped(contact.approved)}, {who}{way}{contact.at:%Y-%m-%d %H:%M}"
            yield from paragraph(f"{name}Agreed: {agreed_to} [{contact.no}]", 0, 2)
    judged = side.verdict
    yield from paragraph(f"{name}{judged.word.capitalize()}. {judged.reason} (Sums {judged.basis}.)", 0, 2)


def _problems(account: Account) -> Iterator[str]:
    """What keeps the paper back, and what a person should look at."""
    for field in account.blocking:
        yield from paragraph(f"The invoice may not be given out without {field.words}: {field.source.citation}.", 0, 2)
    for fee, charge in account.refused:
        where = f": {charge.source.citation}" if charge.source else ""
        yield from paragraph(f"{fee.name} may not be charged like this ({'; '.join(charge.unmet)}){where}.", 0, 2)
    if not account.priced:
        yield "The shop has no price list yet: ticket shop prices FILE."
    for doubt in account.doubts:
        spot = f" [{doubt.no}]" if doubt.no else ""
        yield from paragraph(f"To look at: {doubt.text}{spot}", 0, 2)


def missing_text(paper: str, fields: Iterable[Missing]) -> Iterator[str]:
    """What a paper lacks by the local rules, in one paragraph."""
    words = "; ".join(field.words for field in fields)
    if words:
        yield from paragraph(f"The {paper} still lacks: {words}.", 0, 2)


def rules_text(rules: Iterable[Applied], notice: str) -> Iterator[str]:
    """Every rule that bears on the job, with its citation and how far it may be relied on."""
    yield ""
    yield "What the local rules say:"
    for rule in rules:
        yield from paragraph(f"- {rule.text} ({rule.citation}; {rule.standing}, {rule.as_of}) [{rule.id}]", 0, 2)
    yield ""
    yield from paragraph(notice)
