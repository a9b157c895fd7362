"""A document that is loaded, made into rows: by this process or by another, to the same end."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from ticket.job.errors import DataError, InputError
from ticket.job.ticket import Elsewhere, Ticket
from ticket.job.ticket_document import from_document, pictures_of
from ticket.machine.picture_file import checked
from ticket.store.arrivals import Arrival, Making, arrival
from ticket.store.document_proof import check
from ticket.store.signed_heads import Head


@dataclass(frozen=True, slots=True)
class Came:
    """A ticket of a document.

    Attributes:
        name: what to call the document.
        rows: the ticket as rows.
        head: the row that sealed it, where the document proves one.
        elsewhere: what is known of its signature; ``None`` where it was not signed.
    """

    name: str
    rows: Arrival
    head: Head | None
    elsewhere: Elsewhere | None


def read_document(name: str, document: Any, seed: bytes, made_with: Making, trusted: Mapping[str, str]) -> Came:
    """The ticket of a document, with its pictures; a signed one with what can be proved of it.

    Args:
        name: what to call it.
        document: as JSON values.
        seed: bytes that nobody can guess, for this ticket alone.
        made_with: what the rows of this load are made with.
        trusted: the shops whose keys are known here, by the names of the keys.

    Raises:
        InputError: naming document, place and reason.
    """
    try:
        ticket = from_document(document)
        ticket, head = _proved(ticket, document, trusted) if ticket.status == "signed" else (ticket, None)
        pictures = [checked(one) for one in pictures_of(document)]
    except DataError as error:
        raise InputError(f"{name}: {error}; nothing was loaded.") from None
    return Came(name, arrival(ticket, made_with, seed, pictures, decoded=True), head, ticket.elsewhere)


def _proved(ticket: Ticket, document: Any, trusted: Mapping[str, str]) -> tuple[Ticket, Head | None]:
    """A ticket that was signed elsewhere: proved by a key of a shop known here, or a copy that nobody can prove.

    Raises:
        DataError: its signature does not fit.
    """
    head = check(ticket, document)
    proof = "verified" if head and head.key in trusted else "unverified"
    return replace(ticket, elsewhere=replace(ticket.elsewhere or Elsewhere(""), proof=proof)), head
