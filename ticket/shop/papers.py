"""Papers of a ticket: the copy for a reader, or the story alone, in one of the forms."""

from collections.abc import Sequence
from dataclasses import replace

from ticket.followups.forecast import Forecast
from ticket.followups.thread import Thread
from ticket.job.entry import Entry
from ticket.job.errors import ConflictError, InputError
from ticket.job.picture import name_of
from ticket.job.ticket import Ticket, Vehicle
from ticket.machine.picture_viewer import show
from ticket.papers.copy import copy, story_paper
from ticket.papers.copy_contents import CopyContents
from ticket.papers.formats import written
from ticket.papers.reminder import Reminder, letter, short_text, weeks_until
from ticket.papers.sheet import Notice, Sheet
from ticket.papers.typed_words import to_do, told_reason
from ticket.shop import desk_papers as desk
from ticket.shop.copy_making import contents_around, held_by
from ticket.shop.due_board import forecast_for
from ticket.shop.kept_later import keep_later
from ticket.shop.masking import masked_sheet
from ticket.shop.opening import Shop
from ticket.shop.reading import case_of
from ticket.shop.signed_papers import signed_sheet
from ticket.story.facts.systems import kind_of

__all__ = ["contents_of", "desk", "held_by", "in_other_measures", "paper", "sheet", "story", "view_picture"]


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
    if not shop.hidden:
        keep_later(shop, number)
    made = signed_sheet(shop, number, reader, language=language, sources=sources, today=today) or copy(
        contents_of(shop, number, reader, language=language, sources=sources)
    )
    return masked_sheet(made, shop.store.ticket(number)) if shop.hidden else made


def in_other_measures(shop: Shop, number: int, made: CopyContents) -> Sheet:
    """The copy with measures told otherwise than the shop tells them; of a signed ticket it says what it is not."""
    paper = copy(made)
    if not shop.store.proofs.kept_papers(number):
        return paper
    return replace(paper, blocks=(Notice(made.label("record.today", what="units")), *paper.blocks))


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
    if shop.hidden:
        raise InputError("A picture may tell whose vehicle it is: an auditor is shown none.")
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
    weeks, due = weeks_until(forecast_for(shop, thread.ref) or Forecast(), shop.today)
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
        stop=_stop(header.vehicle) if fact.judgement == "do not drive" else "",
    )
    language = contents.language
    return short_text(made, language) if form == "text" else letter(made, language, shop.today, shop.settings.dates)


def _stop(vehicle: Vehicle) -> str:
    """The sentence that forbids the use of a vehicle: a trailer is pulled, a machine used, not driven."""
    kind = kind_of(vehicle)
    return f"reminder.stop.{kind}" if kind else "reminder.stop"
