"""An estimate as text of at most 80 columns. Pure: from the record to lines."""

from collections.abc import Iterator

from ticket.cli.bill_text import missing_text, money_line, paragraph, rules_text
from ticket.money.amount import grouped
from ticket.rules.estimate import Estimate, Standing


def estimate_text(found: Estimate, title: str) -> Iterator[str]:
    """The offers with their answers, what they come to, what was agreed, and how much room is left."""
    yield from paragraph(title, 0, 2)
    yield ""
    for offer in found.offers:
        yield from _offer(offer)
    if not found.offers:
        yield "Nothing is offered yet."
    if found.fees:
        yield from paragraph(f"On top where they fall: {'; '.join(found.fees)}.", 0, 2)
    yield ""
    yield from _sums(found)
    for one in found.uncovered:
        yield from paragraph(one.text, 0, 2)
    yield from missing_text("estimate", found.missing)
    yield from rules_text(found.rules, found.notice)


def _offer(offer: Standing) -> Iterator[str]:
    kind = "later: " if offer.kind == "later" else ""
    if offer.price is None:
        yield from paragraph(f"{offer.no:>3}  {kind}{offer.text} (no price named)", 0, 5)
    else:
        yield from money_line(f"{offer.no:>3}  {kind}{offer.text}", offer.price, 0, 5)
    parts = [f"{offer.hours} h" if offer.hours else "", f"parts {grouped(offer.parts)}" if offer.parts else ""]
    parts += [offer.judgement, f"version {offer.version}" if offer.version > 1 else "", _answer(offer)]
    yield from paragraph("; ".join(part for part in parts if part), 5, 2)
    for one in offer.earlier:
        price = "no price" if one.price is None else grouped(one.price)
        yield from paragraph(f"before (entry {one.no}): {one.text}, {price}", 5, 2)


def _answer(offer: Standing) -> str:
    if not offer.answer:
        return "no answer yet"
    who = f" by {offer.who}" if offer.who else ""
    when = f", {offer.at:%Y-%m-%d %H:%M}" if offer.at else ""
    return f"answered {offer.answer}{who}{when} [{offer.told}]"


def _sums(found: Estimate) -> Iterator[str]:
    if found.offered is not None:
        yield from money_line("Offered and not declined", found.offered)
    if found.approved is not None:
        yield from money_line("Agreed, as a ceiling" if found.ceiling else "Agreed", found.approved)
    yield from money_line(f"Billed as it stands ({found.basis})", found.billed)
    if found.room is not None:
        left = "May still be added before the customer must be asked" if found.room >= 0 else "Above what is allowed by"
        yield from money_line(left, abs(found.room))
    yield from paragraph(f"{found.verdict.capitalize()}. {found.reason}", 0, 2)
