"""A header from typed fields and back: what flags and the form have in common."""

import re
from collections.abc import Mapping
from dataclasses import replace

from ticket.job.errors import InputError
from ticket.job.header_fields import HEADER_FIELDS
from ticket.job.header_texts import CUSTOMER, VEHICLE, whose_texts
from ticket.job.numbers import NUMBER
from ticket.job.regex import Regex
from ticket.job.text import clean
from ticket.job.ticket import DISTANCE_UNITS, ODOMETER_REASONS, Cover, Discount, Header
from ticket.job.values import PAYERS, SUMS_TOLD, Quantity
from ticket.notes.header_lines import COVER_FORM, DISCOUNT_FORM, cover_in, cover_text, discount_in, discount_text
from ticket.notes.tokens import plain_number

_HOURS = ("h", "hr", "hrs", "hour", "hours")  # of machines that count running hours
_READING = Regex(rf"({NUMBER})(k)?\s*(mi|miles?|kms?|kilomet(?:er|re)s?|{'|'.join(_HOURS)})?\Z", re.I)


def odometer(text: str, unit: str) -> Quantity | None:
    """An odometer reading as typed; ``unit`` (``mi`` or ``km``) where the text names none; ``None`` for no text.

    Fleets' ``187k`` is 187,000; a machine's ``5,120 h`` are running hours.

    Raises:
        InputError: no number, or a unit that is none of an odometer's.
    """
    if not text.strip():
        return None
    match = _READING.match(text.strip())
    if match is None:
        raise InputError(
            f"{text!r} is no odometer reading: write it with its unit, such as '100214 mi' or '161000 km'."
        )
    named = (match[3] or unit).lower()
    reading = plain_number(f"{match[1]}k") if match[2] else match[1]
    kept = "h" if named in _HOURS else DISTANCE_UNITS[0] if named.startswith("m") else DISTANCE_UNITS[1]
    return Quantity(reading, kept) if reading else None


def changed_header(header: Header, typed: Mapping[str, str], unit: str) -> Header:
    """A header with the typed fields changed; fields not named stay.

    Args:
        header: as it stands.
        typed: by the names of :data:`ticket.job.header_fields.HEADER_FIELDS`.
        unit: distance unit of the shop, for a reading without one.

    Raises:
        InputError: an odometer reading, discount or cover that is none.
    """
    given = {name: clean(text).strip() for name, text in typed.items()}
    if "plate" in given:
        given["plate"] = given["plate"].upper()  # no plate anywhere has small letters: a hand in a hurry does
    return replace(
        header,
        vehicle=replace(header.vehicle, **{field: given[name] for name, field in VEHICLE.items() if name in given}),
        customer=replace(header.customer, **{field: given[name] for name, field in CUSTOMER.items() if name in given}),
        odometer_in=odometer(given["odometer"], unit) if "odometer" in given else header.odometer_in,
        odometer_out=odometer(given["odometer-out"], unit) if "odometer-out" in given else header.odometer_out,
        ready_by=given.get("ready-by", header.ready_by),
        discount=_discount(given["discount"]) if "discount" in given else header.discount,
        tax_place=given.get("tax-place", header.tax_place),
        warranty=_cover("warranty", given["warranty"]) if "warranty" in given else header.warranty,
        contract=_cover("contract", given["contract"]) if "contract" in given else header.contract,
        **{field: _one_of(name, given[name]) for name, (field, _, _) in _ONE_OF.items() if name in given},
    )


_ONE_OF = {
    "odometer-reason": ("odometer_reason", ODOMETER_REASONS, "no reason for an odometer reading"),
    "sums-told": ("sums_told", SUMS_TOLD, "no way to tell sums"),
    "pays": ("pays", PAYERS, "nobody who pays"),
}
"""Fields that hold one of some words: the field, the words, and what any other text is."""


def _one_of(name: str, text: str) -> str:
    """The word that is meant; its beginning will do. Raises :class:`InputError` else."""
    field, words, otherwise = _ONE_OF[name]
    said = " ".join(text.lower().split())
    if not said:
        return str(getattr(Header(), field))
    for word in words:
        if word.startswith(said):
            return word
    raise InputError(f"{text!r} is {otherwise}: one of {', '.join(words)}.")


def _discount(text: str) -> Discount:
    found = discount_in(text)
    if found is None:
        raise InputError(f"{text!r} is no discount: write {DISCOUNT_FORM}.")
    return found


def _cover(word: str, text: str) -> Cover:
    found = cover_in(text)
    if found is None:
        raise InputError(f"{text!r} names no {word}: write {COVER_FORM}.")
    return found


def typed_header(header: Header) -> dict[str, str]:
    """A header as the texts of its fields, in their one order."""
    texts = (
        whose_texts(header)
        | {
            "ready-by": header.ready_by,
            "discount": discount_text(header.discount),
            "tax-place": header.tax_place,
            "warranty": cover_text(header.warranty),
            "contract": cover_text(header.contract),
        }
        | {name: getattr(header, field) for name, (field, _, _) in _ONE_OF.items()}
    )
    return {name: texts[name] for name in HEADER_FIELDS}
