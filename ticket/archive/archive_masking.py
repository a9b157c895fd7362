"""Taking customers out of a ticket document before it leaves its shop. Pure.

The customer goes whole, plate and vehicle's number become one keyed digest, and each value taken out is blanked
wherever it stands in the ticket's own texts. Names of three letters and fewer are not looked for, and misspelt ones
cannot be: the archive is pseudonymous, not anonymous, and whoever holds the key can confirm a plate by guessing.
"""

import hmac
from collections.abc import Iterable, Mapping
from typing import Any

from ticket.job.codec import private_paths
from ticket.job.field_specs import specs
from ticket.job.kinds import KINDS
from ticket.job.regex import Regex
from ticket.job.ticket import ODOMETER_REASONS, STATUSES
from ticket.job.values import PAYERS
from ticket.store.erasable import MASK
from ticket.store.same_vehicle import plain

Json = dict[str, Any]
_SIGN = MASK[0]
_LEAST = 4  # letters of a word of a name that is looked for
_WORD = Regex(r"[^\W_]+")


def vehicle_digest(key: bytes, vin: str, plate: str) -> str:
    """One name for a vehicle in every shop, 64 bits; empty where it has neither number nor plate."""
    told = plain(vin) or plain(plate)
    return hmac.new(key, told.encode(), "sha256").hexdigest()[:16] if told else ""


def person_digest(key: bytes, name: str) -> str:
    """One name for a person of a shop, that tells nobody who it is."""
    return f"person {hmac.new(key, name.encode(), 'sha256').hexdigest()[:8]}" if name else ""


def masked(document: Json, key: bytes, *, names: bool = False) -> tuple[Json, str]:
    """A ticket document without its customer, and the digest of its vehicle; the document given is left as it is.

    Args:
        document: of the ticket.
        key: of the chain of shops; it stays outside the archive.
        names: let the names of technicians stand.
    """
    header = dict(document.get("header", {}))
    customer = header.pop("customer", {})
    vehicle = dict(header.get("vehicle", {}))
    vin, plate = vehicle.pop("vin", ""), vehicle.pop("plate", "")
    header["vehicle"] = vehicle
    taken = [*customer.values(), vin, plate, *_corrected(document), *_private(document)]
    pattern = _pattern(taken if names else [*taken, *_people(document)])
    entries = [_entry(entry, pattern) for entry in document.get("entries", ())]
    kept = {name: value for name, value in document.items() if name not in _LEFT_OUT}
    found = kept | {"header": _blanked(header, pattern), "entries": entries}
    return found if names else _without_people(found, key), vehicle_digest(key, vin, plate)


def _without_people(document: Json, key: bytes) -> Json:
    """Technicians by their digests."""
    entries = []
    for entry in document["entries"]:
        fact = entry["fact"] | ({"by": person_digest(key, entry["fact"]["by"])} if entry["fact"].get("by") else {})
        entries.append(entry | {"person": person_digest(key, entry["person"]), "fact": fact})
    signed = {"signed_by": person_digest(key, document["signed_by"])} if document.get("signed_by") else {}
    return document | {"entries": entries} | signed


_LEFT_OUT = (
    "digest",
    "proof",
    "pictures",
    "rewordings",
    "corrections",
    "elsewhere",
)  # of the whole document, of other words of it


def _corrected(document: Json) -> Iterable[str]:
    """What stood on the ticket before it was corrected names somebody too."""
    for one in document.get("corrections", ()):
        vehicle = one["was"].get("vehicle", {})
        yield from (*one["was"].get("customer", {}).values(), vehicle.get("vin", ""), vehicle.get("plate", ""))


def _private(document: Json) -> Iterable[str]:
    for entry in document.get("entries", ()):
        for name in private_paths(entry["kind"]):
            yield entry["fact"].get(name, "")


def _people(document: Json) -> Iterable[str]:
    """Technicians, who may be named in texts too."""
    yield document.get("signed_by", "")
    for entry in document.get("entries", ()):
        yield from (entry["person"], entry["fact"].get("by", ""))


def _entry(entry: Json, pattern: "Regex | None") -> Json:
    hidden = set(private_paths(entry["kind"]))
    fact = {name: MASK if name in hidden and value else value for name, value in entry["fact"].items()}
    told = {name: value for name, value in entry.items() if name not in ("fact", "read")}
    found: Json = _blanked(told | {"fact": fact}, pattern)
    return found


def _pattern(values: Iterable[str]) -> "Regex | None":
    """What finds the values and the longer words of the names among them."""
    import re

    whole = {value.strip() for value in values if len(value.strip()) >= _LEAST}
    words = {word for value in whole for word in _WORD.findall(value) if len(word) >= _LEAST and not word.isdecimal()}
    wanted = sorted(whole | words, key=len, reverse=True)
    return Regex(rf"(?<!\w)(?:{'|'.join(map(re.escape, wanted))})(?!\w)", re.I) if wanted else None


def _blanked(value: Any, pattern: "Regex | None") -> Any:
    if isinstance(value, str):
        if value in _CLOSED:
            return value
        # As many signs as were there: readings point into the text by their places.
        return pattern.sub(lambda found: _SIGN * len(found[0]), value) if pattern is not None else value
    if isinstance(value, Mapping):
        return {name: item if name in _KEPT else _blanked(item, pattern) for name, item in value.items()}
    return [_blanked(item, pattern) for item in value] if isinstance(value, list) else value


_CLOSED = frozenset(
    {choice for kind in KINDS.values() for spec in specs(kind) for choice in spec.choices}
    | {*PAYERS, *ODOMETER_REASONS, *STATUSES}
)
"""Words of closed lists: a payer ``warranty`` is no name, whoever the customer is."""
_KEPT = (
    "kind",
    "at",
    "person",
    "by",
    "signed_by",
    "no",
    "number",
    "unit",
    "code",
    "sub",
    "part",
    "measurements",
    "run",
)
