"""A receipt for a sum that was paid before the work is billed."""

from dataclasses import dataclass
from datetime import datetime

from ticket.papers.copy import filled, statements, unproved
from ticket.papers.copy_contents import CopyContents, joined
from ticket.papers.fill_in import fill_in
from ticket.papers.head import facts, sender
from ticket.papers.sheet import Block, Facts, Paragraph, Said, Sheet, Signatures


@dataclass(frozen=True, slots=True, kw_only=True)
class Deposit:
    """A sum paid at one contact.

    Attributes:
        no: the entry of the contact; with the ticket it is the number of the receipt.
        amount: in cents.
        before: all deposits of the ticket up to and with this one.
        approved: the sum agreed to by then; ``None`` for none.
        way: cash, card, cheque or transfer; empty where the contact does not say.
    """

    no: int
    who: str
    at: datetime
    taken_by: str
    amount: int
    before: int
    approved: int | None
    way: str = ""


def receipt(contents: CopyContents, deposit: Deposit, lacks: tuple[str, ...] = ()) -> Sheet:
    """The receipt; ``lacks`` are fields the law wants on one and nothing fills."""
    label, ticket = contents.label, contents.case.ticket
    number = f"{ticket.number}/{deposit.no}"
    named, who = label("receipt", number=number), deposit.who or ticket.header.customer.name
    money = contents.money
    pairs = (
        (label("receipt.from"), who),
        (label("receipt.sum"), money(deposit.amount)),
        (label("receipt.on"), contents.moment(deposit.at)),
        (label("receipt.way"), label(f"paid.{deposit.way}") if deposit.way else ""),
        (label("receipt.by"), deposit.taken_by),
        (label("receipt.agreed"), money(deposit.approved)),
        (label("receipt.before"), money(deposit.before) if deposit.before != deposit.amount else ""),
    )
    about = {label(name) for name in ("vehicle", "plate", "vin", "address")}
    vehicle = tuple(pair for pair in facts(contents).pairs if pair[0] in about)
    job = (label("receipt.job"), str(ticket.number))
    said = label("receipt.words", sum=money(deposit.amount), name=who or label("receipt.nobody"))
    blocks: tuple[Block, ...] = (
        *unproved(contents), *filled(Facts((*(pair for pair in pairs if pair[1]), job, *vehicle))),
        Paragraph((Said(said, (str(deposit.no),)),)), *statements(contents),
        *fill_in(label, (*lacks, *(() if deposit.way else ("paid",)))), Signatures((label("sign.shop"),)),
    )  # fmt: skip
    return Sheet(
        title=named,
        kind=label("receipt.kind"),
        sender=sender(contents),
        at=deposit.at,
        blocks=blocks,
        language=contents.language,
        size=contents.case.settings.paper,
        page=label("page", page="{page}", pages="{pages}"),
        back=label("ground.back"),
        foot=joined((contents.case.settings.shop, named), " · "),
    )
