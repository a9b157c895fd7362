"""A picture by its content: what an entry holds of it, how a line names it, how a document carries it."""

from base64 import b64decode, b64encode
from binascii import Error
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, cached_property
from hashlib import sha256
from typing import Any

from ticket.job.errors import DataError
from ticket.job.field_specs import specs
from ticket.job.kinds import Fact
from ticket.job.regex import Regex

DIGITS = 12
"""Digits of a digest by which a line names a picture."""
MOST = 2_000_000
"""Bytes of a picture as it is kept."""
_DIGEST = Regex(r"[0-9a-f]{64}")
_NAME = Regex(rf"[0-9a-f]{{{DIGITS},64}}")


@dataclass(frozen=True)
class Picture:
    """A picture as it is kept: a JPEG without anything but its pixels."""

    content: bytes

    @cached_property
    def digest(self) -> str:
        """SHA-256 of the content in hex: what the entry holds, and so the chain of the journal."""
        return sha256(self.content).hexdigest()


def is_digest(text: str) -> bool:
    """Whether a text is the whole digest of a picture."""
    return _DIGEST.fullmatch(text) is not None


def is_name(text: str) -> bool:
    """Whether a text names a picture that was taken already, instead of a file."""
    return _NAME.fullmatch(text) is not None


def name_of(picture: str) -> str:
    """How a line says a picture: the beginning of its digest; a file that was not taken yet as it was typed."""
    return picture[:DIGITS] if is_digest(picture) else picture


def picture_fields(kind: type[Fact]) -> tuple[str, ...]:
    """The fields of a kind that hold a picture."""
    return _picture_fields(kind)  # type: ignore[arg-type]


@cache
def _picture_fields(kind: type[Fact]) -> tuple[str, ...]:
    return tuple(spec.name for spec in specs(kind) if spec.shape == "picture")


def pictures_in(fact: Fact) -> tuple[str, ...]:
    """The digests of the pictures of a fact, or what was typed in their place."""
    return tuple(value for name in picture_fields(type(fact)) if (value := getattr(fact, name)))


def to_json(pictures: Iterable[Picture]) -> dict[str, str]:
    """Pictures for a document: their content in Base64 (RFC 4648) by digest."""
    return {one.digest: b64encode(one.content).decode("ascii") for one in pictures}


def from_json(data: Any) -> tuple[Picture, ...]:
    """The pictures of a document. Raises :class:`DataError` for one whose content does not fit its digest."""
    if not isinstance(data, dict):
        raise DataError("pictures", "expected an object")
    found = []
    for digest, text in data.items():
        try:
            picture = Picture(b64decode(text, validate=True))
        except (Error, TypeError, ValueError):
            raise DataError(f"pictures/{digest}", "expected text in Base64") from None
        if picture.digest != digest:
            raise DataError(f"pictures/{digest}", "the picture is not the one its entry was written with")
        found.append(picture)
    return tuple(found)
