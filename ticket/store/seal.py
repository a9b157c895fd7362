"""The digest a signature rests on: it covers the ticket document, so paper and dump can be checked against it."""

from hashlib import sha256
from typing import Any

from ticket.job.codec import Json, free_paths, private_paths
from ticket.job.ticket import Ticket
from ticket.job.ticket_document import to_document
from ticket.store.canonical import canonical, promise
from ticket.store.erasable import MASK, Words, split
from ticket.store.stored_values import HEADER_FIELDS, HEADER_WORDS, get, is_private, mark_wording, put

_LATER = (
    "status",
    "closed",
    "signed_by",
    "seal",
    "rev",
    "digest",
)  # known once signed, or rising


def parts(ticket: Ticket) -> tuple[Json, dict[str, str]]:
    """The facts of the ticket document, and its free and customer texts by their path."""
    document: Json = {name: item for name, item in to_document(ticket).items() if name not in _LATER}
    for field in HEADER_FIELDS:
        text = get(document["header"], field)
        if text is not None and (is_private(field) or field in HEADER_WORDS):
            put(document["header"], field, Words(text))
    for entry in document["entries"]:
        names = free_paths(entry["kind"]) + private_paths(entry["kind"])
        entry["fact"] = {name: Words(item) if name in names else item for name, item in entry["fact"].items()}
        if "reason" in entry:
            entry["reason"] = Words(entry["reason"])
    if "rewordings" in document:
        document["rewordings"] = [mark_wording(one) for one in document["rewordings"]]
    return split(document)


def digests(ticket: Ticket, salt: bytes) -> dict[str, str]:
    """``facts``: SHA-256 of the facts in canonical bytes. ``words``: the same of the texts, salted."""
    facts, words = parts(ticket)
    return {"facts": sha256(canonical(facts)).hexdigest(), "words": promise(salt, canonical(words)).hex()}


def holds(ticket: Ticket, body: Any, salt: bytes | None) -> bool:
    """Whether a seal's row fits the ticket; its texts are compared as long as none of them was blanked."""
    facts, words = parts(ticket)
    if sha256(canonical(facts)).hexdigest() != body.get("facts"):
        return False
    if salt is None or MASK in words.values():
        return True
    return bool(promise(salt, canonical(words)).hex() == body.get("words"))
