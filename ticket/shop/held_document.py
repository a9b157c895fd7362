"""Holding a ticket document against the journal: its proof, and every value of it against what was signed then."""

from collections.abc import Iterator
from typing import Any

from ticket.job.codec import Json, private_paths
from ticket.job.errors import DataError, InputError
from ticket.job.kinds import KINDS
from ticket.job.read_json import read_json
from ticket.job.text import one_line
from ticket.job.ticket import Ticket
from ticket.job.ticket_document import FORMAT, PROOF, READ, from_document, to_document
from ticket.store import document_proof
from ticket.store.derived import assembled
from ticket.store.erasable import MASK
from ticket.store.kept_heads import RECORD, Journal, Verdict, foreign_verdict, record_verdict
from ticket.store.sealing import ticket_state

_SHOWN = 4  # differing values that are named
_PRIVATE = frozenset(name for kind in KINDS for name in private_paths(kind))
_BESIDE = ("digest", "pictures", PROOF, "shop", READ)  # prove themselves, or follow from the rest


def against_document(db: Journal, text: str, kept: str) -> list[Verdict]:
    """A ticket document: its record, and whether it says what was signed."""
    try:
        document = read_json(text)
        ticket = from_document(document) if isinstance(document, dict) and document.get("format") == FORMAT else None
    except DataError as error:
        raise InputError(f"{one_line(kept)}: {error}.") from None
    if ticket is None or not (found := RECORD.fullmatch(ticket.seal)):
        raise InputError(f"{one_line(kept)} holds no record to look for.")
    proof = document.get(PROOF)
    shop = str(proof.get("shop", "")) if isinstance(proof, dict) else ""
    if (foreign := foreign_verdict(db, shop, "document")) is not None:
        return [foreign]
    digits, broken = _proved(ticket, document, found[2])
    verdict = record_verdict(db, int(found[1]), digits, ours=bool(shop))
    return [verdict] if verdict.row is None else [verdict, _compared(db, verdict.row, document, broken=broken)]


def _proved(ticket: Ticket, document: Json, digits: str) -> tuple[str, bool]:
    """All digits of the row where the proof of a document leads to it, and whether there is one that does not fit."""
    try:
        head = document_proof.check(ticket, document)
    except DataError:
        return digits, True
    return (head.hash if head else digits), False


def _compared(db: Journal, row: int, document: Json, *, broken: bool) -> Verdict:
    """A document, value by value, against the ticket as it was sealed in a row."""
    key = db.execute("SELECT ticket_id FROM journal WHERE seq = ?", [row]).fetchone()[0]
    signed = dict(_values(to_document(assembled(db, ticket_state(db, key, last=row)))))
    given = dict(_values(document))
    hidden = {path for path in {*signed, *given} if MASK in f"{signed.get(path)}{given.get(path)}"}
    wrong = [path for path in {**signed, **given} if path not in hidden and signed.get(path) != given.get(path)]
    if wrong:
        told = "; ".join(f"{path}: {_told(given, path)}, signed: {_told(signed, path)}" for path in wrong[:_SHOWN])
        more = f"; and {len(wrong) - _SHOWN:,} more" if len(wrong) > _SHOWN else ""
        return Verdict(False, f"The document is not what was signed. {told}{more}.")
    but = f", but for {len(hidden):,} masked or erased texts, which were not compared" if hidden else ""
    if broken and not hidden:
        return Verdict(
            False, "The document says what was signed, but its proof was changed: it proves nothing elsewhere."
        )
    return Verdict(True, f"The document says what was signed{but}.", row)


def _values(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Every single value of a document by its path; entries by their numbers, as people name them."""
    if isinstance(value, dict):
        for name, item in value.items():
            if name not in _BESIDE:
                yield from _values(item, f"{path}/{name}" if path else name)
    elif isinstance(value, list):
        for place, item in enumerate(value):
            name = item.get("no", place) if isinstance(item, dict) else place
            yield from _values(item, f"{path}/{name}")
    else:
        yield path, value


def _told(values: Json, path: str) -> str:
    found = values.get(path)
    if found is not None and (path.startswith("header/customer/") or path.rpartition("/")[2] in _PRIVATE):
        return "another"  # whoever audits is not told who customers are
    return one_line(repr(found)[:60]) if found is not None else "nothing"
