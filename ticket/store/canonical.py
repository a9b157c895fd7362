"""Bytes that mean one thing only: canonical JSON, salted promises, and the chain of the journal."""

import json
from collections.abc import Mapping
from hashlib import sha256
from typing import Any

CANON = "ticket-journal-1"
GENESIS = bytes(32)  # stands before the first row

Part = bytes | str | int | None

# One for all: making it anew for every value takes longer than using it.
_ENCODER = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def canonical(value: Any) -> bytes:
    """JSON with sorted keys, no spaces, UTF-8. Numbers in it are integers; measured ones are text as typed."""
    return _ENCODER.encode(value).encode()


def promise(salt: bytes, content: bytes) -> bytes:
    """SHA-256 of salt and content: proves the content while it is there, and tells nothing once both are gone."""
    return sha256(salt + content).digest()


def commitment(salt: str, text: str) -> str:
    """What stays of one text of a row of format 2 when it is blanked: SHA-256, in hex, of its own salt and the text."""
    return sha256(b"ticket-text-2" + salt.encode() + b"\0" + text.encode()).hexdigest()


def committed(words: Mapping[str, Any]) -> bytes:
    """The promise of a row of format 2, over the commitment of each of its texts.

    One text may go and all others stay proved. ``words`` holds by path each text behind its salt, or the commitment of
    one that was blanked.
    """
    kept = {path: one if isinstance(one, str) else commitment(*one) for path, one in words.items()}
    return sha256(canonical(kept)).digest()


def packed(*parts: Part) -> bytes:
    """Parts with their type (``b s i -``) and length in front, so that no two lists share their bytes."""
    out = bytearray()
    for part in parts:
        if part is None:
            kind, raw = b"-", b""
        elif isinstance(part, bytes):
            kind, raw = b"b", part
        elif isinstance(part, int):
            kind, raw = b"i", str(part).encode()
        else:
            kind, raw = b"s", part.encode()
        out += kind + len(raw).to_bytes(8, "big") + raw
    return bytes(out)


def text(raw: bytes) -> bytes:
    """Already encoded text as :func:`packed` would write it; lets an audit hash bytes that are no UTF-8."""
    return b"s" + len(raw).to_bytes(8, "big") + raw


def row_hash(
    previous: bytes, seq: int, at: bytes, person: int, sitting: bytes, ticket: int | None,
    verb: bytes, of: int | None, body: bytes, kept: bytes | None,
) -> bytes:  # fmt: skip
    """The hash of one journal row; ``kept`` is its promise. Texts come as the bytes that are stored."""
    return sha256(
        packed(CANON, previous, seq) + text(at) + packed(person) + text(sitting) + packed(ticket)
        + text(verb) + packed(of) + text(body) + packed(kept)
    ).digest()  # fmt: skip


def seal_text(seq: int, digest: bytes) -> str:
    """A row of the journal in print: its sequence and the first sixteen hex digits of its hash."""
    return f"{seq}-{digest.hex()[:16]}"
