"""A fact or a header as the database holds it: plain JSON, with customer values behind an identity.

``{"identity": 7, "promise": "..."}`` stands where the customer's name or number stood; the value itself is one
row of the identity table and can be erased. The journal holds the same form, with free text marked as words.
"""

import dataclasses
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from ticket.job.codec import Json, decode, decode_fact, encode, encode_fact, free_paths, private_paths
from ticket.job.kinds import Fact
from ticket.job.reworded_sentence import Rewording
from ticket.job.ticket import Correction, Cover, Customer, Discount, Header, Vehicle
from ticket.store.erasable import Words

SIDES = ("was", "now")
"""Of a correction: the corrected fields of a header before and after."""

Identify = Callable[[str, str], Json]  # (part, value) -> {"identity", "promise"}; adds the row
Reveal = Callable[[int], str]  # identity -> value, or the mask

_PARTS: dict[str, type[Any]] = {
    "vehicle": Vehicle, "customer": Customer, "discount": Discount, "warranty": Cover, "contract": Cover,
}  # fmt: skip
HEADER_FIELDS = tuple(
    name
    for item in dataclasses.fields(Header)
    for name in (
        [f"{item.name}/{part.name}" for part in dataclasses.fields(_PARTS[item.name])]
        if item.name in _PARTS
        else [item.name]
    )
)
CORRECTABLE = tuple(
    field for field in HEADER_FIELDS if field.partition("/")[0] in ("vehicle", "customer")
    or field.startswith("odometer_")
)  # fmt: skip
"""Fields that may be corrected after signing: whose vehicle it is, and what its odometer said. No sum hangs on them."""
HEADER_WORDS = (
    "vehicle/label", "vehicle/plate", "ready_by", "discount/reason", "warranty/name", "warranty/approval",
    "contract/name", "contract/approval",
)  # fmt: skip


def is_private(field: str) -> bool:
    """Whether a header field identifies the customer."""
    return field.startswith("customer/")


_PRIVATE = tuple(filter(is_private, HEADER_FIELDS))


def tidy(fact: Fact) -> Fact:
    """The fact with clean texts; raises :class:`~ticket.job.errors.DataError` where it breaks its declaration."""
    return decode_fact(fact.kind, encode_fact(fact))


def tidy_header(header: Header) -> Header:
    """The header with clean texts."""
    return decode(Header, encode(header), "header")


def store_fact(fact: Fact, identify: Identify) -> Json:
    """A fact as stored."""
    data = encode_fact(fact)
    for name in private_paths(fact.kind):
        if data.get(name):
            data[name] = identify(f"{fact.kind}.{name}", data[name])
    return data


def reveal_fact(kind: str, data: Json, reveal: Reveal) -> Fact:
    """A stored fact with its customer values put back."""
    return decode_fact(kind, {name: _revealed(value, reveal) for name, value in data.items()})


def mark_fact(kind: str, data: Json) -> Json:
    """A stored fact with its free text marked."""
    free = free_paths(kind)
    return {name: Words(value) if name in free else value for name, value in data.items()}


def store_header(header: Header, identify: Identify) -> Json:
    """A header as stored."""
    data: Json = encode(header)
    for field in _PRIVATE:
        if value := get(data, field):
            put(data, field, identify(field.replace("/", "."), value))
    return data


def reveal_header(data: Json, reveal: Reveal) -> Header:
    """A stored header with its customer values put back."""
    plain = dict(data)
    if "customer" in plain:
        plain["customer"] = {name: _revealed(value, reveal) for name, value in plain["customer"].items()}
    return decode(Header, plain, "header")


def store_correction(correction: Correction, identify: Identify, person: int | str) -> Json:
    """A correction as stored, its writer as the id of somebody of the shop."""
    data: Json = encode(decode(Correction, encode(correction)))
    sides = {side: store_header(getattr(correction, side), identify) for side in SIDES}
    return data | sides | {"person": person}


def reveal_correction(data: Json, reveal: Reveal, names: Mapping[int, str]) -> Correction:
    """A stored correction with its customer values put back."""
    was, now = (reveal_header(data[side], reveal) for side in SIDES)
    plain = {name: item for name, item in data.items() if name not in SIDES}
    return replace(
        decode(Correction, plain | {"was": {}, "now": {}, "person": names[data["person"]]}), was=was, now=now
    )


def mark_correction(data: Json) -> Json:
    """A stored correction with its texts marked."""
    return data | {side: mark_header(data[side]) for side in SIDES} | {"reason": Words(data["reason"])}


def mark_header(data: Json) -> Json:
    """A stored header with its free text marked."""
    marked: Json = {name: dict(value) if isinstance(value, dict) else value for name, value in data.items()}
    for field in HEADER_WORDS:
        value = get(marked, field)
        if value is not None:
            put(marked, field, Words(value))
    return marked


def get(data: Json, field: str) -> Any:
    """A header field by its path, ``None`` where it is not given."""
    first, _, second = field.partition("/")
    return data.get(first, {}).get(second) if second else data.get(first)


def put(data: Json, field: str, value: Any) -> None:
    """Set a header field by its path; ``None`` takes it away, and an empty part with it."""
    first, _, second = field.partition("/")
    inner = dict(data.get(first, {})) if second else data
    name = second or first
    if value is None:
        inner.pop(name, None)
    else:
        inner[name] = value
    if second:
        data[first] = inner
        if not inner:
            del data[first]


def store_wording(rewording: Rewording, person: int | str) -> Json:
    """A rewording as stored, with clean texts, its writer as the id of somebody of the shop."""
    data: Json = encode(decode(Rewording, encode(rewording)))
    del data["by"]
    return data | {"person": person}


def mark_wording(data: Json) -> Json:
    """A stored rewording with its texts marked; digests of entries too, since they could be guessed from."""
    marked: Json = {name: Words(data[name]) for name in ("original", "text", "unproved") if name in data}
    marked |= {name: _mark_basis(data[name]) for name in ("rests_on", "cites") if name in data}
    if "merges" in data:
        marked["merges"] = [
            {"original": Words(one["original"]), "rests_on": _mark_basis(one["rests_on"])} for one in data["merges"]
        ]
    return data | marked


def _mark_basis(basis: list[Json]) -> list[Json]:
    return [one | {"digest": Words(one["digest"])} if "digest" in one else one for one in basis]


_DEEPER = (dict, list)  # most values are texts, and every entry is walked whenever its ticket is read


def identities(value: Any) -> list[Json]:
    """Every identity a stored value points at."""
    if isinstance(value, dict):
        if value.keys() == {"identity", "promise"}:
            return [value]
        return [found for item in value.values() if isinstance(item, _DEEPER) for found in identities(item)]
    if isinstance(value, list):
        return [found for item in value if isinstance(item, _DEEPER) for found in identities(item)]
    return []


def _revealed(value: Any, reveal: Reveal) -> Any:
    return reveal(value["identity"]) if isinstance(value, dict) and "identity" in value else value
