"""The digest a signature rests on: it covers the ticket document, so paper and dump can be checked against it."""

from hashlib import sha256
from typing import Any

from ticket.job.codec import Json, free_paths, private_paths
from ticket.job.ticket import Ticket
from ticket.job.ticket_document import to_document
from ticket.store.canonical import canonical, promise
from ticket.store.erasable import MASK, Words, split
from ticket.store.state import TicketState
from ticket.store.stored_values import HEADER_FIELDS, HEADER_WORDS, SIDES, get, is_private, mark_wording, put

_LATER = (
    "status",
    "closed",
    "signed_by",
    "seal",
    "rev",
    "digest",
)  # known once signed, or rising


def parts(ticket: Ticket) -> tuple[Json, dict[str, Words]]:
    """The facts of the ticket document, and its free and customer texts by their path."""
    document: Json = {name: item for name, item in to_document(ticket).items() if name not in _LATER}
    _mark(document["header"])
    for entry in document["entries"]:
        names = free_paths(entry["kind"]) + private_paths(entry["kind"])
        entry["fact"] = {name: Words(item) if name in names else item for name, item in entry["fact"].items()}
        if "reason" in entry:
            entry["reason"] = Words(entry["reason"])
    if "rewordings" in document:
        document["rewordings"] = [mark_wording(one) for one in document["rewordings"]]
    if "corrections" in document:
        document["corrections"] = [_marked(one) for one in document["corrections"]]
    return split(document)


def _mark(header: Json) -> None:
    for field in HEADER_FIELDS:
        text = get(header, field)
        if text is not None and (is_private(field) or field in HEADER_WORDS):
            put(header, field, Words(text))


def _marked(correction: Json) -> Json:
    for side in SIDES:
        _mark(correction[side])
    return correction | {"reason": Words(correction["reason"])}


def digests(ticket: Ticket, state: TicketState) -> dict[str, str]:
    """``facts``: SHA-256 of the facts in canonical bytes. ``texts``: the same of what is promised of each text."""
    facts, words = parts(ticket)
    promised = {path: _promised(state, path) for path in words}
    return {"facts": sha256(canonical(facts)).hexdigest(), "texts": sha256(canonical(promised)).hexdigest()}


def holds(ticket: Ticket, state: TicketState, body: Any, salt: bytes | None) -> bool:
    """Whether a seal's row fits the ticket; its texts are compared as far as what is promised of them is known."""
    facts, words = parts(ticket)
    if sha256(canonical(facts)).hexdigest() != body.get("facts"):
        return False
    if "texts" in body:
        promised = {path: _promised(state, path) for path in words}
        return not all(promised.values()) or sha256(canonical(promised)).hexdigest() == body["texts"]
    if salt is None or MASK in words.values():
        return True
    return bool(promise(salt, canonical(words)).hex() == body.get("words"))


def _promised(state: TicketState, path: str) -> str:
    """What the journal promises of the text at a path of the document; empty where a row of format 1 was blanked."""
    held = held_at(state, path)
    if isinstance(held, dict):  # a customer's value is promised where it is kept
        return str(held["promise"])
    return held.committed if isinstance(held, Words) else ""


def held_at(state: TicketState, path: str) -> Any:
    """What stands at a path of the document: a marked text, or the identity of a customer's value."""
    first, *rest = path.split("/")
    if first == "header":
        held: Any = get(state.header, "/".join(rest))
    elif first == "entries":
        entry = state.entries[sorted(state.entries)[int(rest[0])]]
        held = entry.reason if rest[1] == "reason" else entry.data[rest[2]]
    else:
        slots = state.corrections if first == "corrections" else state.wordings
        held = slots[sorted(slots)[int(rest[0])]]
        for step in rest[1:]:
            held = held[int(step)] if isinstance(held, list) else held[step]
    return held
