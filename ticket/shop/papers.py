"""Papers of a ticket: the copy for a reader, or the story alone, in one of the forms."""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress

from ticket.followups.driving import driving, model_year, visits_of
from ticket.followups.forecast import project
from ticket.followups.thread import Thread
from ticket.gaps.gap import Gap
from ticket.job.entry import Entry
from ticket.job.errors import ConflictError, InputError, NotFoundError
from ticket.job.picture import Picture, name_of, pictures_in
from ticket.job.ticket import Ticket
from ticket.machine.picture_viewer import show
from ticket.papers.copy import copy, story_paper
from ticket.papers.copy_contents import CopyContents
from ticket.papers.formats import written
from ticket.papers.reminder import Reminder, letter, short_text, weeks_until
from ticket.papers.typed_words import to_do, told_reason
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


def reminder(shop: Shop, thread: Thread, tickets: Sequence[Ticket], form: str, language: str = "") -> str:
    """A reminder of work that waits, as a short text or a letter; nothing is sent.

    Args:
        shop: the shop.
        thread: the work.
        tickets: all tickets of its vehicle.
        form: one of :data:`ticket.papers.reminder.FORMS`.
        language: empty for the shop's own.

    Raises:
        ConflictError: it no longer waits.
    """
    if not thread.waits:
        raise ConflictError(f"{thread.ref.ticket}/{thread.ref.no} no longer waits: {thread.state}.")
    newest = max(tickets, key=lambda ticket: (ticket.opened, ticket.number))
    contents = contents_of(shop, thread.ref.ticket, "customer", language=language)
    no, fact, header = thread.ref.no, thread.fact, newest.header
    found = project(thread.terms, driving(visits_of(tickets), year=model_year(header.vehicle)))
    weeks, due = weeks_until(found, shop.today)
    made = Reminder(
        shop=shop.settings.shop,
        phone=contents.details.phone,
        customer=header.customer.name,
        vehicle=header.vehicle.label or header.vehicle.plate,
        work=to_do(contents, no, fact.text),
        why=told_reason(contents, no, "because", fact.because),
        risk=told_reason(contents, no, "risk", fact.risk),
        watch=told_reason(contents, no, "watch", fact.watch),
        since=thread.looks[0].day,
        weeks=weeks,
        now=due,
        stop=fact.judgement == "do not drive",
    )
    language = contents.language
    return short_text(made, language) if form == "text" else letter(made, language, shop.today, shop.settings.dates)
