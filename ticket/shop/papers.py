"""Papers of a ticket: the copy for a reader, or the story alone, in one of the forms."""

from ticket.job.entry import Entry
from ticket.job.errors import InputError
from ticket.job.picture import name_of
from ticket.machine.picture_viewer import show
from ticket.papers.copy import copy, story_paper
from ticket.papers.copy_contents import CopyContents
from ticket.papers.formats import written
from ticket.papers.sheet import Sheet
from ticket.shop.copy_making import contents_around, held_by
from ticket.shop.opening import Shop
from ticket.shop.reading import case_of
from ticket.shop.signed_papers import signed_sheet

__all__ = ["contents_of", "held_by", "paper", "sheet", "story", "view_picture"]


def paper(
    shop: Shop, number: int, reader: str, form: str, *, language: str = "", sources: bool = False, width: int = 80,
    today: bool = False,
) -> str | bytes:  # fmt: skip
    """The whole copy of a ticket for one reader; of a signed one the very paper that was signed.

    Args:
        shop: the shop.
        number: the ticket.
        reader: ``customer``, ``payer`` or ``shop``.
        form: one of :data:`ticket.papers.formats.FORMS`.
        language: of sentences and labels; empty for the shop's own, or the one it was signed in.
        sources: show what each sentence rests on.
        width: longest line of plain text.
        today: of a signed ticket, what today's settings would make of it, which is not what was signed.

    Raises:
        NotFoundError: there is no such ticket.
        InputError: an unknown reader, form or language, or a PDF where typst is missing.
    """
    made = sheet(shop, number, reader, language=language, sources=sources, today=today)
    return written(made, form, width)


def sheet(
    shop: Shop, number: int, reader: str, *, language: str = "", sources: bool = False, today: bool = False
) -> Sheet:
    """The blocks of a paper; arguments and errors as for :func:`paper`."""
    return signed_sheet(shop, number, reader, language=language, sources=sources, today=today) or copy(
        contents_of(shop, number, reader, language=language, sources=sources)
    )


def story(
    shop: Shop, number: int, reader: str, form: str, *, language: str = "", sources: bool = False, width: int = 80
) -> str | bytes:
    """The story alone; arguments and errors as for :func:`paper`."""
    return written(story_paper(contents_of(shop, number, reader, language=language, sources=sources)), form, width)


def contents_of(shop: Shop, number: int, reader: str, *, language: str = "", sources: bool = False) -> CopyContents:
    """Everything the copy for one reader is made of. Raises :class:`NotFoundError` and :class:`InputError`."""
    overruled = shop.store.overruled(number) if reader == "shop" else ()
    return contents_around(shop, case_of(shop, number), reader, overruled, language=language, sources=sources)


def view_picture(shop: Shop, number: int, entry: Entry) -> str:
    """Hand the picture of an entry to the system's viewer; one sentence that says so.

    Raises:
        InputError: the entry holds no picture, or there is no viewer here.
        NotFoundError: the picture is gone or was changed.
    """
    picture = next((picture for _, picture in held_by(shop, (entry,))), None)
    if picture is None:
        raise InputError(f"Entry {entry.no} holds no picture.")
    name = name_of(picture.digest)
    show(picture.content, f"{name}.jpg", f"ticket picture {number} {entry.no} -o FILE")
    return f"The picture {name} is shown beside the terminal."
