"""The invoice: the copy of a signed ticket under a number of the shop's own series."""

from dataclasses import dataclass, replace
from datetime import datetime

from ticket.papers.copy import copy
from ticket.papers.copy_contents import CopyContents, joined
from ticket.papers.fill_in import fill_in
from ticket.papers.sheet import Facts, Notice, Sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class InvoiceHead:
    """What makes a copy an invoice: its number (empty for a draft), its day, the number it corrects, what it lacks."""

    number: str = ""
    at: datetime | None = None
    corrects: str = ""
    lacks: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()


def invoice(contents: CopyContents, head: InvoiceHead) -> Sheet:
    """The copy for the one who pays, titled and numbered as an invoice."""
    label, made = contents.label, copy(contents)
    ticket = contents.case.ticket.number
    named = label("invoice", number=head.number) if head.number else label("invoice.of", number=ticket)
    pairs = (
        (label("invoice.number"), head.number),
        (label("invoice.date"), contents.day(head.at) if head.at and head.number else ""),
        (label("invoice.corrects"), label("invoice.former", number=head.corrects) if head.corrects else ""),
    )
    known = tuple(pair for pair in pairs if pair[1])
    first = (Facts(known),) if known else (Notice(label("invoice.draft")),)
    return replace(
        made,
        title=named,
        kind=made.title,
        at=head.at or made.at,
        blocks=(*first, *made.blocks, *fill_in(label, head.lacks, head.kinds)),
        foot=joined((contents.case.settings.shop, named, made.title), " · "),
    )
