"""Bytes that mean one thing only: canonical JSON, salted promises, and the chain of the journal."""

import json
import json.encoder
from collections.abc import Mapping
from hashlib import sha256
from typing import Any

CANON = "ticket-journal-1"
GENESIS = bytes(32)  # stands before the first row

Part = bytes | str | int | None

# One for all: making it anew for every value takes longer than using it, and the encoder makes what it is written in
# anew for every value, where the interpreter has that in C.
_ENCODER = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)
_IN_C = getattr(json.encoder, "c_make_encoder", None)
_PIECES = _IN_C and _IN_C(
    None, _ENCODER.default, json.encoder.encode_basestring, None, ":", ",", True, False, False
)  # fmt: skip


def canonical_text(value: Any) -> str:
    """JSON with sorted keys and no spaces. Numbers in it are integers; measured ones are text as typed."""
    return "".join(_PIECES(value, 0)) if _PIECES else _ENCODER.encode(value)


def canonical(value: Any) -> bytes:
    """The same in UTF-8."""
    return canonical_text(value).encode()


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
