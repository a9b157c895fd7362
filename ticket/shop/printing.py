"""Papers of a ticket: the copy for a reader, or the story alone, in one of the forms."""

from ticket.papers.copy import copy, story_paper
from ticket.papers.forms import written
from ticket.papers.matter import Matter
from ticket.shop.billing import account_of, prices
from ticket.shop.shop import Shop
from ticket.story.build import build


def paper(
    shop: Shop, number: int, reader: str, form: str, *, language: str = "en", sources: bool = False, width: int = 80
) -> str | bytes:
    """The whole copy of a ticket for one reader.

    Args:
        shop: the shop.
        number: the ticket.
        reader: ``customer``, ``payer`` or ``shop``.
        form: one of :data:`ticket.papers.forms.FORMS`.
        language: of the labels.
        sources: show what each sentence rests on.
        width: longest line of plain text.

    Raises:
        NotFoundError: there is no such ticket.
        InputError: an unknown reader, form or language, or a PDF where typst is missing.
    """
    return written(copy(matter(shop, number, reader, language=language, sources=sources)), form, width)


def story(
    shop: Shop, number: int, reader: str, form: str, *, language: str = "en", sources: bool = False, width: int = 80
) -> str | bytes:
    """The story alone; arguments and errors as for :func:`paper`."""
    return written(story_paper(matter(shop, number, reader, language=language, sources=sources)), form, width)


def matter(shop: Shop, number: int, reader: str, *, language: str = "en", sources: bool = False) -> Matter:
    """Everything the copy for one reader is made of. Raises :class:`NotFoundError` and :class:`InputError`."""
    case = shop.case(number)
    account = account_of(shop, case.ticket)
    asked = ((gap.entry, gap.question) for gap in shop.gaps_of(case)) if reader == "shop" else ()
    return Matter(
        case=case,
        story=build(case, reader),
        bill=account.bill,
        agreements=tuple(side.agreement for side in account.sides),
        terms=account.terms,
        details=prices(shop).details,
        questions=tuple(asked),
        language=language,
        sources=sources,
    )
