"""The terms of a bill as the ticket states them: header, labour, parts and contacts."""

from collections.abc import Iterator

from ticket.job.errors import DataError
from ticket.job.kinds import Did, Told, Used
from ticket.job.numbers import exact
from ticket.job.ticket import Discount, Header, Ticket
from ticket.money.amount import cents, plain, written
from ticket.money.bill_line import Doubt
from ticket.money.json_shapes import verify
from ticket.money.prices import LINES
from ticket.money.terms import CoreReturn, Cover, Overlap, Share, Split, Terms

Piece = Overlap | CoreReturn | Split | Cover


def terms_of(ticket: Ticket) -> Terms:
    """What a ticket states about money beyond the lines of its entries; what cannot be used is left out."""
    pieces = tuple(piece for piece in _pieces(ticket) if not isinstance(piece, Doubt))
    discount = _discount(ticket.header.discount)
    return Terms(
        place=ticket.header.tax_place,
        discount=discount.amount,
        discount_percent=discount.percent,
        discount_of=discount.of,
        discount_reason=ticket.header.discount.reason,
        deposit=_deposit(ticket),
        overlaps=tuple(piece for piece in pieces if isinstance(piece, Overlap)),
        cores=tuple(piece for piece in pieces if isinstance(piece, CoreReturn)),
        splits=tuple(piece for piece in pieces if isinstance(piece, Split)),
        covers=tuple(piece for piece in pieces if isinstance(piece, Cover)),
    )


def term_doubts(ticket: Ticket) -> tuple[Doubt, ...]:
    """What :func:`terms_of` left out because it cannot be used, and hours cut without a reason."""
    return (*(piece for piece in _pieces(ticket) if isinstance(piece, Doubt)), *_sum_doubts(ticket))


def _pieces(ticket: Ticket) -> Iterator[Piece | Doubt]:
    for entry in ticket.living:
        fact = entry.fact
        if isinstance(fact, Did) and fact.less:
            reason = fact.shared.strip() or "no reason was typed"
            yield _checked(Overlap(no=entry.no, cut=_decimal(fact.less), reason=reason))
            if not fact.shared.strip():
                yield Doubt(entry.no, "overlap", "Why are the hours shared? Add: ; shared: ...")
        if isinstance(fact, Used) and fact.back:
            yield _checked(CoreReturn(no=entry.no, quantity=_decimal(fact.back)))
        if isinstance(fact, Did | Used) and fact.split:
            shares = tuple(Share(payer=share.payer, percent=_decimal(share.percent)) for share in fact.split)
            yield _checked(Split(no=entry.no, shares=shares))
    yield from _covers(ticket.header)


def _covers(header: Header) -> Iterator[Piece | Doubt]:
    for payer, cover in (("warranty", header.warranty), ("contract", header.contract)):
        if cover.name or cover.deductible or cover.approval:
            deductible = _money(cover.deductible)
            if cover.deductible and not deductible:
                yield Doubt(0, "terms", f"{cover.deductible!r} is no deductible.")
            yield _checked(Cover(payer=payer, name=cover.name, deductible=deductible, approval=cover.approval))


def _checked(piece: Piece) -> Piece | Doubt:
    """The piece, or the doubt that keeps it from counting."""
    try:
        verify(piece)
    except DataError as error:
        words = {Overlap: "The hours shared", CoreReturn: "The cores that came back", Split: "The split"}
        return Doubt(getattr(piece, "no", 0), "terms", f"{words.get(type(piece), 'The cover')}: {error.reason}.")
    return piece


def _decimal(typed: str) -> str:
    """A number of the notation (``1 1/2``, ``.5``) as documents of money write it; as typed where it is none."""
    value = exact(typed) if len(typed) <= 24 else None
    return typed if value is None else written(value)


def _money(typed: str) -> str:
    """A typed sum with two places; empty where it is none."""
    value = cents(typed) if typed else None
    return "" if value is None else plain(value)


def _discount(typed: Discount) -> Discount:
    """The discount in the form of documents; nothing where it cannot be used."""
    if typed == Discount():
        return typed
    found = Discount(
        amount=_money(typed.amount),
        percent=_decimal(typed.percent) if typed.percent else "",
        of=tuple(word for word in typed.of if word in LINES),
    )
    try:
        verify(Terms(discount=found.amount, discount_percent=found.percent, discount_of=found.of))
    except DataError:
        return Discount()
    return found if found.of or not typed.of else Discount()


def _deposit(ticket: Ticket) -> str:
    """What was paid beforehand at all contacts together."""
    paid = [cents(entry.fact.deposit) or 0 for entry in ticket.living if isinstance(entry.fact, Told)]
    return plain(sum(paid)) if any(paid) else ""


def _sum_doubts(ticket: Ticket) -> Iterator[Doubt]:
    header = ticket.header
    typed = header.discount.amount or header.discount.percent
    found = _discount(header.discount)
    if typed and not (found.amount or found.percent):
        yield Doubt(0, "discount", f"{typed!r} is no discount that can be taken off.")
    for entry in ticket.living:
        if isinstance(entry.fact, Told) and entry.fact.deposit and cents(entry.fact.deposit) is None:
            yield Doubt(entry.no, "sum", f"{entry.fact.deposit!r} is no sum of money.")
