"""The proof a signed ticket takes along: from its document to the row that sealed it, and to the key that signed that.

Whoever has the public key needs nobody's word: facts and texts lead to the body of the row, the body to its hash, and
the hash to the signature.
"""

import base64
from dataclasses import replace
from hashlib import sha256
from typing import Any

from sqlite_utils import Database

from ticket.job.codec import Json, decode
from ticket.job.errors import DataError
from ticket.job.read_json import read_json
from ticket.job.ticket import Elsewhere, Ticket
from ticket.job.ticket_document import PROOF
from ticket.store import seal, sealing, signed_heads
from ticket.store.canonical import canonical, commitment, promise, row_hash, seal_text
from ticket.store.erasable import MASK, Words
from ticket.store.signed_heads import Head
from ticket.store.state import TicketState

_ROW = ("at", "person", "sitting", "ticket", "verb", "of", "body")


def make(db: Database, key: int, ticket: Ticket) -> Json | None:
    """The proof of a signed ticket; ``None`` where its seal is of a time before rows were signed, or no key was there.

    Args:
        db: the database.
        key: the internal id of the ticket.
        ticket: as it stands.
    """
    row = db.execute(
        "SELECT j.seq, j.at, j.person_id, j.sitting, j.ticket_id, j.verb, j.of, j.body, j.promise, s.key, s.sig,"
        " (SELECT hash FROM journal WHERE seq = j.seq - 1) FROM journal AS j JOIN signature AS s ON s.seq = j.seq"
        " WHERE j.ticket_id = ? AND j.seq = ? AND json_extract(j.body, '$.texts') IS NOT NULL",
        [key, int(ticket.seal.partition("-")[0] or 0)],
    ).fetchone()
    head = signed_heads.head_of(db, row[0]) if row else None
    if row is None or head is None:
        return None
    seq, *cells, kept, name, sig, before = row
    state = sealing.ticket_state(db, key)
    texts = {path: _opening(db, state, path) for path in seal.parts(ticket)[1]}
    return {
        "shop": head.shop, "seq": seq, "before": before.hex(), "row": dict(zip(_ROW, cells, strict=True)),
        "promise": kept.hex() if kept else None, "number": head.number, "texts": texts, "key": name,
        "public": signed_heads.public_keys(db)[name]["public"], "sig": base64.b64encode(sig).decode(),
    }  # fmt: skip


def _opening(db: Database, state: TicketState, path: str) -> Json:
    """What opens the promise of one text: its salt, or the promise itself where the text is gone."""
    held = seal.held_at(state, path)
    if isinstance(held, dict):
        row = db.execute("SELECT salt FROM identity WHERE id = ?", [held["identity"]]).fetchone()
        return {"value": row[0].hex()} if row and row[0] is not None else {"gone": held["promise"]}
    if isinstance(held, Words) and held.salt:
        return {"salt": held.salt}
    return {"gone": held.commitment if isinstance(held, Words) else ""}


def check(ticket: Ticket, document: Json) -> Head | None:
    """Follow the proof of a document to the row that sealed it.

    Args:
        ticket: as read from the document.
        document: the document.

    Returns:
        The row with its signature, which fits; ``None`` where the document brings no proof.

    Raises:
        DataError: what it says is not what was signed.
    """
    proof = document.get(PROOF)
    if proof is None:
        return None
    try:
        return _checked(ticket, document, proof)
    except (KeyError, TypeError, ValueError, AttributeError, IndexError) as error:
        raise _WRONG from error


_WRONG = DataError("", "what it says is not what was signed")


def _checked(ticket: Ticket, document: Json, proof: Json) -> Head:
    row = proof["row"]
    body = read_json(row["body"])
    came = document.get("elsewhere")
    plain = replace(ticket, elsewhere=decode(Elsewhere, came) if came is not None else None)
    facts, words = seal.parts(plain)
    promised = {path: _promised(proof["texts"][path], str(text)) for path, text in words.items()}
    digest = row_hash(
        bytes.fromhex(proof["before"]), proof["seq"], row["at"].encode(), row["person"], row["sitting"].encode(),
        row["ticket"], row["verb"].encode(), row["of"], row["body"].encode(),
        bytes.fromhex(proof["promise"]) if proof["promise"] else None,
    )  # fmt: skip
    public = base64.b64decode(proof["public"], validate=True)
    head = Head(
        proof["shop"], proof["seq"], digest.hex(), row["at"], proof["number"], proof["key"], proof["sig"]
    )  # fmt: skip
    holds = (
        sha256(canonical(facts)).hexdigest() == body["facts"]
        and sha256(canonical(promised)).hexdigest() == body["texts"]
        and set(proof["texts"]) == set(words)
        and (body["signer"], body["closed"], body["rev"]) == (ticket.signed_by, document["closed"], ticket.rev)
        and (ticket.status, ticket.seal) == ("signed", seal_text(proof["seq"], digest))
        and set(proof) == {"shop", "seq", "before", "row", "promise", "number", "texts", "key", "public", "sig"}
        and set(row) == set(_ROW)
        and (body["key"], base64.b64encode(public).decode()) == (proof["key"], proof["public"])
        and signed_heads.key_id(public) == proof["key"]
        and base64.b64encode(base64.b64decode(proof["sig"], validate=True)).decode() == proof["sig"]
        and signed_heads.fits(head, proof["public"])
    )
    if not holds:
        raise ValueError("it does not fit")
    return head


def _promised(opening: Any, text: str) -> str:
    ((how, value),) = opening.items()
    if how == "gone":
        if text != MASK:
            raise ValueError("a text stands where it was erased")
        return str(value)
    return promise(bytes.fromhex(value), text.encode()).hex() if how == "value" else commitment(value, text)
