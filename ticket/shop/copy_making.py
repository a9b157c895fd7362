"""What a copy for one reader is made of, gathered around a case that is at hand."""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress

from ticket.gaps.gap import Gap
from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.errors import NotFoundError
from ticket.job.picture import Picture, pictures_in
from ticket.job.ticket import Ticket
from ticket.papers.copy_contents import CopyContents
from ticket.shop.money import account_of, prices
from ticket.shop.opening import Shop
from ticket.shop.reading import gaps_of
from ticket.store.overruled_gaps import Overruled
from ticket.story.build import build


def contents_around(
    shop: Shop, case: Case, reader: str, overruled: Iterable[Overruled], *, language: str = "", sources: bool = False,
    checked: bool | None = None,
) -> CopyContents:  # fmt: skip
    """Everything the copy of a case is made of; ``checked`` where the row that signs it is not written yet.

    Raises :class:`InputError` for an unknown reader or language.
    """
    if checked is None:
        checked = bool(case.ticket.seal) and shop.store.proofs.name_checked(case.ticket.number)
    account = account_of(shop, case.ticket)
    asked = open_questions(gaps_of(shop, case), overruled) if reader == "shop" else ()
    return CopyContents(
        case=case,
        story=build(case, reader, language or case.settings.language),
        bill=account.bill,
        agreements=tuple(side.agreement for side in account.sides),
        terms=account.terms,
        details=prices(shop, case.ticket).details,
        questions=asked,
        sources=sources,
        pictures=pictures_of(shop, case.ticket),
        scratch=shop.scratch,
        shop=shop.store.proofs.uid(),
        checked=checked,
    )


def pictures_of(shop: Shop, ticket: Ticket) -> dict[str, bytes]:
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
    """The entries that hold a picture, each with it; none for an auditor: a plate or a face tells whose it is.

    Raises:
        NotFoundError: one is gone or was changed.
    """
    for entry in () if shop.hidden else entries:
        for digest in pictures_in(entry.fact):
            yield entry, shop.store.picture(digest)
