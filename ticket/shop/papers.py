"""Papers of a ticket: the copy for a reader, or the story alone, in one of the forms."""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress

from ticket.gaps.gap import Gap
from ticket.job.entry import Entry
from ticket.job.errors import InputError, NotFoundError
from ticket.job.picture import Picture, name_of, pictures_in
from ticket.job.ticket import Ticket
from ticket.machine.picture_viewer import show
from ticket.papers.copy import copy, story_paper
from ticket.papers.copy_contents import CopyContents
from ticket.papers.formats import written
from ticket.shop.money import account_of, prices
from ticket.shop.opening import Shop
from ticket.shop.reading import case_of, gaps_of
from ticket.store.overruled_gaps import Overruled
from ticket.story.build import build


def paper(
    shop: Shop, number: int, reader: str, form: str, *, language: str = "", sources: bool = False, width: int = 80
) -> str | bytes:
    """The whole copy of a ticket for one reader.

    Args:
        shop: the shop.
        number: the ticket.
        reader: ``customer``, ``payer`` or ``shop``.
        form: one of :data:`ticket.papers.formats.FORMS`.
        language: of sentences and labels; empty for the shop's own.
        sources: show what each sentence rests on.
        width: longest line of plain text.

    Raises:
        NotFoundError: there is no such ticket.
        InputError: an unknown reader, form or language, or a PDF where typst is missing.
    """
    return written(copy(contents_of(shop, number, reader, language=language, sources=sources)), form, width)


def story(
    shop: Shop, number: int, reader: str, form: str, *, language: str = "", sources: bool = False, width: int = 80
) -> str | bytes:
    """The story alone; arguments and errors as for :func:`paper`."""
    return written(story_paper(contents_of(shop, number, reader, language=language, sources=sources)), form, width)


def contents_of(shop: Shop, number: int, reader: str, *, language: str = "", sources: bool = False) -> CopyContents:
    """Everything the copy for one reader is made of. Raises :class:`NotFoundError` and :class:`InputError`."""
    case = case_of(shop, number)
    account = account_of(shop, case.ticket)
    asked = open_questions(gaps_of(shop, case), shop.store.overruled(number)) if reader == "shop" else ()
    return CopyContents(
        case=case,
        story=build(case, reader, language or case.settings.language),
        bill=account.bill,
        agreements=tuple(side.agreement for side in account.sides),
        terms=account.terms,
        details=prices(shop, case.ticket).details,
        questions=asked,
        sources=sources,
        pictures=_pictures(shop, case.ticket),
    )


def _pictures(shop: Shop, ticket: Ticket) -> dict[str, bytes]:
    """The pictures of a ticket by digest; one that is gone or was changed is left to its line, and audit names it."""
    found: dict[str, bytes] = {}
    for entry in ticket.living:
        with suppress(NotFoundError):
            found |= {picture.digest: picture.content for _, picture in held_by(shop, (entry,))}
    return found


def open_questions(gaps: Sequence[Gap], overruled: Iterable[Overruled]) -> tuple[tuple[int | None, str], ...]:
    """What is still to ask, with the reason behind a question that was left open when the ticket was signed."""
    reasons = {item.gap: item for item in overruled}
    asked = [(gap.entry, " ".join((gap.question, *_signed(reasons.get(gap.id))))) for gap in gaps]
    gone = reasons.keys() - {gap.id for gap in gaps}
    return (*asked, *((None, f"{gap_id}: {' '.join(_signed(reasons[gap_id]))}") for gap_id in sorted(gone)))


def _signed(item: Overruled | None) -> tuple[str, ...]:
    return (f"Signed in spite of it: {item.reason} ({item.by}).",) if item else ()


def held_by(shop: Shop, entries: Sequence[Entry]) -> Iterator[tuple[Entry, Picture]]:
    """The entries that hold a picture, each with it. Raises :class:`NotFoundError` where one is gone or was changed."""
    for entry in entries:
        for digest in pictures_in(entry.fact):
            yield entry, shop.store.picture(digest)


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
