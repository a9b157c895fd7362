"""Papers of the front desk: the written estimate, the invoice, receipts, the lists of a day, and mail to be sent."""

from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date, datetime

from ticket.job.errors import InputError, NotFoundError
from ticket.job.kinds import Told
from ticket.job.promise import promised_day, promised_minute
from ticket.job.ticket import Ticket
from ticket.job.wall import local_day
from ticket.machine import environment
from ticket.money.agreement import agreement, told_at
from ticket.money.amount import cents
from ticket.money.bill import Bill
from ticket.money.invoice_series import series_of
from ticket.money.payment import payment_way
from ticket.papers.copy_contents import CopyContents
from ticket.papers.day_lists import DayDeposit, DayLine, DayTotals, Promised
from ticket.papers.estimate_paper import EstimateContents
from ticket.papers.estimate_paper import estimate_paper as sheet_of_estimate
from ticket.papers.invoice import InvoiceHead
from ticket.papers.invoice import invoice as sheet_of_invoice
from ticket.papers.mail import Letterhead, offer_message, ready_message
from ticket.papers.receipt import Deposit
from ticket.papers.receipt import receipt as sheet_of_receipt
from ticket.papers.sheet import Sheet
from ticket.papers.typed_words import to_do
from ticket.rules.account import Account
from ticket.rules.charge_rules import fee_charges
from ticket.rules.estimate_fields import NOT_REFUSED, offer_sums, on_estimate
from ticket.rules.owed import estimate_owed
from ticket.rules.paper_duties import BY_SIGNING, missing, part_kinds, present
from ticket.shop.copy_making import contents_around
from ticket.shop.extras import with_extras
from ticket.shop.kept_settings import read_kept_settings
from ticket.shop.money import account_of, pack, prices
from ticket.shop.opening import Shop
from ticket.shop.readable import readable, seen
from ticket.shop.reading import case_around
from ticket.store.issued_papers import IssuedEstimate, IssuedInvoice

ESTIMATE = "estimate"
_ON_PAPER = {"itemised on estimate", "told in the estimate"}
_CUSTOMER = "customer"
_BY_HAND = ("choice", "shop signature")  # every estimate has a place for them


def estimate_versions(shop: Shop, number: int) -> tuple[IssuedEstimate, ...]:
    """The versions of a ticket's estimate that were handed out. Raises :class:`NotFoundError` for no such ticket."""
    shop.store.ticket(number)
    return shop.store.proofs.issued.estimates(number)


def estimate_sheet(shop: Shop, number: int, *, language: str = "", version: int = 0) -> Sheet:
    """The written estimate of a ticket, kept as a version: whoever prints it hands it out.

    One that says what the version before it says is that version again; otherwise the next number is given. A version
    is made again from the journal, as ticket, settings and prices stood then.

    Args:
        shop: the open shop.
        number: the ticket.
        language: of the paper; empty for the shop's own, or the one a version was handed out in.
        version: an earlier version; 0 for the estimate as it stands.

    Raises:
        NotFoundError: no such ticket or version.
        InputError: an unknown language.
    """
    issued = shop.store.proofs.issued
    held = issued.estimates(number)
    if version:
        if not 0 < version <= len(held):
            raise NotFoundError(f"Ticket {number} has {len(held)} versions of its estimate, and no version {version}.")
        return _former_sheet(shop, number, held, held[version - 1], language)
    ticket = shop.store.ticket(number)
    language = language or shop.settings.language
    if held and held[-1].shop == shop.store.proofs.uid():
        last, former = held[-1], _moment_before(held, held[-1])
        now = _estimate(shop, ticket, language, version=last.version, at=last.moment, former=former)
        if now == _former_sheet(shop, number, held, last, language):
            return now
    contents_around(shop, case_around(shop, ticket, ()), _CUSTOMER, (), language=language)  # refuses before it writes
    made = issued.add_estimate(number, language, shop.person)
    former = held[-1].moment if held else None
    return _estimate(shop, ticket, language, version=made.version, at=made.moment, former=former)


def _moment_before(held: tuple[IssuedEstimate, ...], one: IssuedEstimate) -> datetime | None:
    return held[one.version - 2].moment if one.version > 1 else None


def _former_sheet(
    shop: Shop, number: int, held: tuple[IssuedEstimate, ...], one: IssuedEstimate, language: str
) -> Sheet:  # fmt: skip
    if one.shop != shop.store.proofs.uid():
        raise NotFoundError(
            f"Version {one.version} was handed out by the shop that this one was rescued from: its journal is not here."
        )
    issued = shop.store.proofs.issued
    with _as_of(shop, one.seq) as then:
        ticket = issued.ticket_at(number, one.seq)
        return _estimate(
            then, ticket, language or one.language, version=one.version, at=one.moment, former=_moment_before(held, one)
        )


@contextmanager
def _as_of(shop: Shop, seq: int) -> Iterator[Shop]:
    """The shop with settings, prices and rules as they stood at a row of the journal."""
    then = replace(shop, _kept=with_extras(read_kept_settings(shop.store.proofs.issued.settings_at(seq))))
    try:
        environment.use_zone(then.settings.zone)
        yield then
    finally:
        environment.use_zone(shop.settings.zone)


def _contents(shop: Shop, ticket: Ticket, language: str, reader: str = _CUSTOMER) -> CopyContents:
    return contents_around(shop, case_around(shop, ticket, ()), reader, (), language=language)


def _estimate(
    shop: Shop, ticket: Ticket, language: str, *, version: int, at: datetime, former: datetime | None
) -> Sheet:  # fmt: skip
    listed, rules = prices(shop, ticket), pack(shop)
    contents = _contents(shop, ticket, language)
    offers = offer_sums(ticket, contents.agreements[0], listed)
    open_ones = [one.price for one in offers if one.answer in NOT_REFUSED]
    cost = sum(price or 0 for price in open_ones) if open_ones and None not in open_ones else None
    side, account = contents.agreements[0], account_of(shop, ticket)
    have = on_estimate(_present(shop, ticket, account), ticket, side, listed)
    lacking = [*account.missing_estimate, *missing(rules, "order", have, deposit=account.bill.deposit)]
    words = tuple(charge.words for _, charge in fee_charges(rules, listed, _ON_PAPER) if charge.words)
    return sheet_of_estimate(
        EstimateContents(
            copy=contents,
            offers=offers,
            prices=listed,
            version=version,
            at=at,
            former=former,
            lacks=tuple(one.field for one in lacking if one.field not in _BY_HAND),
            kinds=part_kinds(rules, ESTIMATE),
            choices=estimate_owed(rules, cost, requested=True).choices,
            words=words,
        )
    )


# -- invoices and receipts ---------------------------------------------------------------------------------------


def invoice_sheet(
    shop: Shop, number: int, reader: str = _CUSTOMER, *, language: str = "", draft: bool = False
) -> Sheet:
    """The invoice of a signed ticket under its number, which it gets the first time; a draft gets none.

    A ticket that was amended since gets a new number, and its invoice says which one it corrects.

    Raises:
        NotFoundError: no such ticket.
        InputError: it is not signed, or the series of the shop cannot be read.
    """
    ticket = shop.store.ticket(number)
    if ticket.status != "signed" and not draft:
        raise InputError(
            f"An invoice is of a signed ticket: ticket sign {number}, or add --draft for one without number."
        )
    contents = _contents(shop, ticket, language, reader)
    lacks = tuple(one.field for one in account_of(shop, ticket).missing_invoice if one.field not in BY_SIGNING)
    made: IssuedInvoice | None = None
    if not draft:
        series = series_of(shop.settings.invoices, shop.today.year)
        made = shop.store.proofs.issued.add_invoice(
            number, ticket.seal, series.text, series.first, series.width, shop.person
        )  # fmt: skip
    head = InvoiceHead(
        number=made.number if made else "",
        at=made.moment if made else None,
        corrects=made.corrects if made else "",
        lacks=lacks,
        kinds=part_kinds(pack(shop), "invoice"),
    )
    return sheet_of_invoice(contents, head)


def invoice_number(shop: Shop, number: int) -> str:
    """The number of a ticket's newest invoice; empty where it has none."""
    held = shop.store.proofs.issued.invoices(number)
    return held[-1].number if held else ""


def deposits_of(shop: Shop, ticket: Ticket) -> tuple[Deposit, ...]:
    """The sums that were paid beforehand at the contacts of a ticket, in their order."""
    agreed = {one.no: one for one in agreement(ticket, prices(shop, ticket), zone=None).contacts}
    found: list[Deposit] = []
    for entry in ticket.living:
        fact = entry.fact
        amount = cents(fact.deposit) if isinstance(fact, Told) and fact.deposit else None
        if isinstance(fact, Told) and amount:
            contact = agreed.get(entry.no)
            found.append(
                Deposit(
                    no=entry.no, who=fact.who, at=told_at(fact, entry, None) or entry.at,
                    taken_by=fact.by or entry.person, amount=amount, before=sum(one.amount for one in found) + amount,
                    approved=contact.approved if contact else None, way=payment_way(fact.words),
                )
            )  # fmt: skip
    return tuple(found)


def receipt_sheet(shop: Shop, number: int, no: int = 0, *, language: str = "") -> Sheet:
    """The receipt for a deposit: of one contact, or of the newest that brought one.

    Raises:
        NotFoundError: no such ticket.
        InputError: nothing was paid there.
    """
    ticket = shop.store.ticket(number)
    found = deposits_of(shop, ticket)
    chosen = next((one for one in reversed(found) if no in (0, one.no)), None)
    if chosen is None:
        where = f"Entry {no} of ticket" if no else "Ticket"
        raise InputError(f"{where} {number} holds no deposit: told: ..., yes; total 400; deposit 150.")
    account = account_of(shop, ticket)
    have = _present(shop, ticket, account)
    have |= {"total", "price basis"} if chosen.approved is not None else set()
    lacks = tuple(one.field for one in missing(pack(shop), "receipt", have, deposit=chosen.amount))
    return sheet_of_receipt(_contents(shop, ticket, language), chosen, lacks)


def _present(shop: Shop, ticket: Ticket, account: Account) -> frozenset[str]:
    """The fields of a paper that a ticket and its bill can fill."""
    side = account.customer.agreement
    return present(
        ticket, account.bill, side, prices(shop, ticket), shop=shop.settings.shop, people=shop.people,
        terms=account.terms,
    )  # fmt: skip


# -- lists of a day ----------------------------------------------------------------------------------------------


def promised(shop: Shop, day: date) -> tuple[Promised, ...]:
    """Open jobs promised for a day, those that are late, and those whose promise names no day."""
    found = []
    for row in shop.store.rows(signed=False):
        if row.damaged or not row.ready_by:
            continue
        when, minute = promised_day(row.ready_by, local_day(row.opened)), promised_minute(row.ready_by)
        if when is None or when <= day:
            header = seen(shop, row.number).header
            found.append(
                Promised(
                    ticket=row.number, typed=header.ready_by, day=when, minute=minute, vehicle=header.vehicle.label,
                    plate=header.vehicle.plate, customer=header.customer.name, phone=header.customer.phone,
                    status=row.status,
                )
            )  # fmt: skip
    last = 24 * 60
    return tuple(
        sorted(found, key=lambda one: (one.day or date.max, last if one.minute is None else one.minute, one.ticket))
    )


def totals(shop: Shop, day: date) -> DayTotals:
    """What was signed on a day, by its bills, and what was paid beforehand on it."""
    rows = [row for row in shop.store.rows() if not row.damaged and local_day(row.opened) <= day]
    signed = [row.number for row in rows if row.closed is not None and local_day(row.closed) == day]
    alive = [row.number for row in rows if row.closed is None or local_day(row.closed) >= day]
    lines, payers, taxes = [], defaultdict[str, int](int), defaultdict[str, int](int)
    for ticket in readable(shop, sorted(signed)):
        made = account_of(shop, ticket).bill
        lines.append(_day_line(ticket, made, invoice_number(shop, ticket.number)))
        for payer in made.payers:
            payers[payer.payer] += payer.total
        for tax in made.taxes:
            taxes[f"{tax.name}, {tax.percent} %" if tax.percent else tax.name] += tax.amount
    deposits = tuple(_deposits_on(shop, day, sorted(alive)))
    return DayTotals(
        day=day, lines=tuple(lines), payers=tuple(payers.items()), taxes=tuple(taxes.items()), deposits=deposits
    )


def _deposits_on(shop: Shop, day: date, numbers: list[int]) -> Iterator[DayDeposit]:
    for ticket in readable(shop, numbers):
        for one in deposits_of(shop, ticket):
            if local_day(one.at) == day:
                yield DayDeposit(ticket=ticket.number, no=one.no, who=one.who, amount=one.amount)


def _day_line(ticket: Ticket, made: Bill, invoice: str) -> DayLine:
    return DayLine(
        ticket=ticket.number, invoice=invoice, customer=ticket.header.customer.name, labour=made.labour,
        parts=made.parts, other=made.sublet + made.cores + made.fees - made.discount, tax=made.tax, total=made.total,
        unpriced=made.unpriced,
    )  # fmt: skip


# -- mail and messages -------------------------------------------------------------------------------------------


def letterhead(shop: Shop, number: int) -> Letterhead:
    """Who writes to whom about which vehicle. Raises :class:`NotFoundError`."""
    ticket = shop.store.ticket(number)
    header = ticket.header
    return Letterhead(
        shop=shop.settings.shop, phone=prices(shop, ticket).details.phone, customer=header.customer.name,
        email=header.customer.email, vehicle=header.vehicle.label or header.vehicle.plate,
    )  # fmt: skip


def text_message(shop: Shop, number: int, about: str, language: str = "") -> str:
    """What a text message says: that the vehicle is ``ready``, or what is proposed (``estimate``). Nothing is sent.

    Raises:
        NotFoundError: no such ticket.
        InputError: there is no offer without an answer, the vehicle is not ready, or the bill is above what was agreed.
    """
    ticket = shop.store.ticket(number)
    contents = _contents(shop, ticket, language)
    head = letterhead(shop, number)
    if about == ESTIMATE:
        return _asking(shop, ticket, contents, head)
    if ticket.status not in ("ready", "signed"):
        raise InputError(f"Ticket {number} is not ready: ticket set {number} --waits-for ready.")
    side = account_of(shop, ticket).customer.verdict
    if ticket.status != "signed" and side.allowed is not None and side.billed > side.allowed.allowed:
        raise InputError(f"{side.reason} Ask before you name a sum to pay: ticket bill {number}.")
    bill = contents.bill
    due = "" if bill is None or bill.unpriced or bill.due <= 0 else contents.money(bill.due)
    return ready_message(head, due, contents.language)


def _asking(shop: Shop, ticket: Ticket, contents: CopyContents, head: Letterhead) -> str:
    """The offers that wait for an answer, and what they cost where each has a price."""
    offers = offer_sums(ticket, contents.agreements[0], prices(shop, ticket))
    asked = [one for one in offers if not one.answer and contents.entry(one.no)]
    if not asked:
        raise InputError(f"Ticket {ticket.number} holds no offer that waits for an answer.")
    known = prices(shop, ticket)
    untaxed = known.quotes == "before tax" and bool(known.places)
    offered = []
    for one in asked:
        price = "" if one.price is None else contents.money(one.price)
        told = contents.label("message.untaxed", sum=price) if price and untaxed else price
        offered.append((to_do(contents, one.no, one.text), told))
    return offer_message(head, offered, contents.language)
