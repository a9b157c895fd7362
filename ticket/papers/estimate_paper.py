"""The written estimate: what the customer told, each work with its price, what the law wants said, where to sign."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from ticket.job.kinds import Says
from ticket.job.text import one_line
from ticket.money.amount import cents
from ticket.money.prices import Fee, PriceList
from ticket.papers.copy import filled, statements, unproved
from ticket.papers.copy_contents import CopyContents, capital, joined
from ticket.papers.fill_in import fill_in
from ticket.papers.head import covers, facts, sender
from ticket.papers.sheet import (
    Block,
    Column,
    Facts,
    Heading,
    Items,
    Paragraph,
    Said,
    Sheet,
    Signatures,
    Table,
    Total,
)
from ticket.papers.typed_words import to_do
from ticket.rules.estimate_fields import NOT_REFUSED, OfferSum

RULES_LANGUAGE = "en"  # the rule packs are written in it


@dataclass(frozen=True, slots=True, kw_only=True)
class EstimateContents:
    """Everything a written estimate is made of, by value.

    Attributes:
        copy: the ticket, what surrounds it, and the words of the paper.
        offers: what is offered.
        prices: the shop's price list.
        version: of this ticket's estimate, from 1 on.
        at: when it was handed out.
        former: the version before it, and its moment.
        lacks: fields the law wants and nothing fills.
        kinds: the kinds of part the law lists.
        choices: what the customer chooses between before the work.
        words: sentences the law wants on the estimate.
    """

    copy: CopyContents
    offers: tuple[OfferSum, ...]
    prices: PriceList
    version: int
    at: datetime
    former: datetime | None = None
    lacks: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


def estimate_paper(made: EstimateContents) -> Sheet:
    """The written estimate as a paper."""
    contents, label = made.copy, made.copy.label
    named = label("estimate", number=contents.case.ticket.number)
    version = label("estimate.version", version=made.version)
    blocks: tuple[Block, ...] = (
        *unproved(contents), *filled(_head(made)), *filled(covers(contents)), *_complaints(contents), *_offers(made),
        *_fees(made), *_law(made), *statements(contents), *fill_in(label, made.lacks, made.kinds),
        *_choices(made),
        Signatures((label("sign.shop"), label("sign.estimate"))),
    )  # fmt: skip
    return Sheet(
        title=f"{named}, {version}",
        kind=label("estimate.kind"),
        sender=sender(contents),
        at=made.at,
        blocks=blocks,
        language=contents.language,
        size=contents.case.settings.paper,
        page=label("page", page="{page}", pages="{pages}"),
        back=label("ground.back"),
        foot=joined((contents.case.settings.shop, named, version), " · "),
    )


def _head(made: EstimateContents) -> Facts:
    """The date and time the law wants, then the vehicle and the customer; who repaired it nobody knows yet."""
    contents, label = made.copy, made.copy.label
    pairs = [(label("estimate.made"), contents.moment(made.at))]
    if made.former is not None:
        former = label("estimate.former", version=made.version - 1, day=contents.day(made.former))
        pairs.append((label("estimate.replaces"), former))
    later = {label(name) for name in ("closed", "diagnosed", "repaired")}
    return Facts((*pairs, *(pair for pair in facts(contents).pairs if pair[0] not in later)))


def _complaints(contents: CopyContents) -> tuple[Block, ...]:
    told = [entry for entry in contents.entries if isinstance(entry.fact, Says)]
    if not told:
        return ()
    label = contents.label
    said = (
        Said(label("estimate.quoted", text=one_line(getattr(entry.fact, "text", ""))), (str(entry.no),))
        for entry in told
    )
    return Heading(label("estimate.told")), Items(tuple((one,) for one in said))


def _offers(made: EstimateContents) -> tuple[Block, ...]:
    contents, label = made.copy, made.copy.label
    offers = [one for one in made.offers if contents.entry(one.no)]
    if not offers:
        return Heading(label("estimate.offers")), Paragraph((Said(label("estimate.none")),))
    columns = (
        Column(label("estimate.work")), Column(label("estimate.hours"), figures=True),
        Column(label("estimate.labour"), figures=True), Column(label("estimate.parts"), figures=True),
        Column(label("estimate.price"), figures=True), Column(label("estimate.answer")),
    )  # fmt: skip
    rows = tuple(_row(contents, one) for one in offers)
    table = Table(label("estimate.caption"), columns, rows, tuple(_totals(made, offers)))
    return Heading(label("estimate.offers")), table, Paragraph(tuple(_basis(made, offers)))


def _row(contents: CopyContents, one: OfferSum) -> tuple[str, ...]:
    label = contents.label
    return (
        capital(to_do(contents, one.no, one.text)),
        one.hours,
        contents.money(one.labour),
        contents.money(one.parts),
        label("estimate.untold") if one.price is None else contents.money(one.price),
        label.or_typed("answer", one.answer) if one.answer else label("estimate.open"),
    )


def _totals(made: EstimateContents, offers: list[OfferSum]) -> Iterator[Total]:
    """What was not refused, added up: labour and parts where all are told apart, tax where all of it is known."""
    label = made.copy.label
    counted = [one for one in offers if one.answer in NOT_REFUSED]
    prices = [one.price for one in counted if one.price is not None]
    if not prices:
        return
    whole, tax = sum(prices), _sum_known(one.tax for one in counted)
    for name, part in (("kind.labour", "labour"), ("estimate.parts", "parts")):
        found = _sum_known(getattr(one, part) for one in counted)
        yield from _total(made, label(name), found)
    tax_line = tuple(_total(made, label("payers.tax"), tax or None))
    if made.prices.quotes != "before tax" or not made.prices.places:
        yield from tax_line
        named = label("estimate.total.priced" if len(prices) < len(counted) else "estimate.total")
        yield from _total(made, named, whole, grand=True)
        return
    yield from _total(made, label("estimate.total.before"), whole, grand=tax is None)
    if tax is not None:
        yield from tax_line
        yield from _total(made, label("estimate.total.with"), whole + tax, grand=True)


def _total(made: EstimateContents, name: str, amount: int | None, *, grand: bool = False) -> Iterator[Total]:
    """A line below the table; nothing where nobody knows its sum."""
    if amount is not None:
        yield Total(name, (made.copy.money(amount), ""), grand=grand)


def _sum_known(amounts: Iterable[int | None]) -> int | None:
    """The sum where every part of it is known."""
    found = list(amounts)
    return None if None in found else sum(one or 0 for one in found)


def _basis(made: EstimateContents, offers: list[OfferSum]) -> Iterator[Said]:
    """What the prices hold, what an hour costs, and what an empty cell means."""
    contents, label = made.copy, made.copy.label
    placed = not made.prices.places or bool(made.prices.where_taxed(contents.terms.place))
    place = made.prices.tax_place(made.prices.where_taxed(contents.terms.place))
    if place and place.taxes:
        taxes = "; ".join(
            label("estimate.tax", name=tax.name, percent=tax.percent, what=_classes(contents, tax.on))
            for tax in place.taxes
        )
        yield Said(label("estimate.ontop" if made.prices.quotes == "before tax" else "estimate.holds", taxes=taxes))
    else:
        yield Said(label("estimate.untaxed" if placed else "estimate.unplaced"))
    rate = made.prices.rate("")
    if rate and any(one.hours for one in offers):
        yield Said(label("estimate.rate", price=contents.money(cents(rate.price))))
    if placed and any(one.price is not None and not one.told_apart for one in offers):
        yield Said(label("estimate.apart"))


def _classes(contents: CopyContents, classes: tuple[str, ...]) -> str:
    return ", ".join(contents.label.or_typed("line", one) for one in classes)


def _fees(made: EstimateContents) -> tuple[Block, ...]:
    label = made.copy.label
    fees = [fee for fee in made.prices.fees if fee.pays == "customer"]
    if not fees:
        return ()
    said = (Said(label("estimate.fee", name=fee.name, what=_fee(made.copy, fee))) for fee in fees)
    return Heading(label("estimate.fees")), Items(tuple((one,) for one in said))


def _fee(contents: CopyContents, fee: Fee) -> str:
    label, sum_of = contents.label, contents.money(cents(fee.amount) if fee.amount else 0)
    what = sum_of
    if fee.percent:
        what = label("estimate.fee.of", percent=fee.percent, what=_classes(contents, fee.of))
    elif fee.each:
        what = label("estimate.fee.each", sum=sum_of, what=", ".join(fee.each))
    return label("estimate.fee.cap", what=what, cap=contents.money(cents(fee.cap))) if fee.cap else what


def _english(contents: CopyContents) -> str:
    """The language of words of the rule packs, where it is not the paper's."""
    return "" if contents.language == RULES_LANGUAGE else RULES_LANGUAGE


def _law(made: EstimateContents) -> tuple[Block, ...]:
    """Sentences the law wants word for word: they are not translated."""
    if not made.words:
        return ()
    said = (Said(words, language=_english(made.copy)) for words in dict.fromkeys(made.words))
    return Heading(made.copy.label("estimate.law")), Items(tuple((one,) for one in said))


def _choices(made: EstimateContents) -> tuple[Block, ...]:
    if not made.choices:
        return ()
    label, language = made.copy.label, _english(made.copy)
    said = (Said(label("estimate.box", text=text), language=language) for text in made.choices)
    return Heading(label("estimate.choice")), Items(tuple((one,) for one in said))
