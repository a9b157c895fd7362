"""What a value typed into a field of the header reads as, so that a distance never becomes an e-mail address. Pure."""

from dataclasses import dataclass

from ticket.job.header_fields import HEADER_FIELDS
from ticket.job.regex import Regex
from ticket.job.vin import LENGTH, tidy

_EMAIL = Regex(r"[^\s@]+@[^\s@]+\.[^\s@]+\Z")
_DISTANCE = Regex(
    r"(?:\d{1,3}(?:,\d{3})+|\d+(?:\.\d+)?\s*k(?=\Z|\s|m)|\d[\d,.]*\s*(?=mi|km|h))"
    r"\s*(?:mi|miles?|kms?|kilomet(?:er|re)s?|h|hrs?|hours?)?\Z"
)
_PLATE = Regex(r"(?i:[a-z]{2,3}[ -]?[0-9]{3,4}|[a-z]{2}[0-9]{2} ?[a-z]{3}|[0-9]{1,3}[ -]?[a-z]{3})\Z")
_PHONE = Regex(r"\+?[\d\s().-]{7,20}\Z")

VEHICLE_NUMBER, E_MAIL, DISTANCE, PHONE = "a vehicle number", "an e-mail", "a distance", "a phone number"
_BELONGS = {VEHICLE_NUMBER: ("vin",), E_MAIL: ("email",), DISTANCE: ("odometer", "odometer-out"), PHONE: ("phone",)}
_REFUSED = {
    "plate": (VEHICLE_NUMBER, E_MAIL, DISTANCE),
    "vehicle": (VEHICLE_NUMBER, E_MAIL, DISTANCE, PHONE),
    "vin": (E_MAIL, DISTANCE),
    "odometer": (VEHICLE_NUMBER, E_MAIL),
    "odometer-out": (VEHICLE_NUMBER, E_MAIL),
    "customer": (VEHICLE_NUMBER, E_MAIL, DISTANCE, PHONE),
    "phone": (VEHICLE_NUMBER, E_MAIL, DISTANCE),
    "email": (VEHICLE_NUMBER, DISTANCE, PHONE),
    "address": (VEHICLE_NUMBER, E_MAIL, DISTANCE),
    "ready-by": (VEHICLE_NUMBER, E_MAIL, DISTANCE),
}
"""What each field never holds. A plate may look like a phone number, and plates are short; it refuses none of those."""


@dataclass(frozen=True, slots=True)
class Misfit:
    """A value that stands in the wrong field.

    Attributes:
        sort: what it reads as, with its article.
        why: two or three words for the place beside the field.
        belongs: the fields it may belong in, likeliest first; none where it is only no value of this field.
    """

    sort: str
    why: str
    belongs: tuple[str, ...] = ()


def sort_of(text: str) -> str:
    """What a text can hardly help being; empty where it may be anything."""
    typed = text.strip()
    if _EMAIL.match(typed):
        return E_MAIL
    if _DISTANCE.match(typed.lower()):
        return DISTANCE
    if _may_be_vin(typed):
        return VEHICLE_NUMBER
    if _PHONE.match(typed) and sum(sign.isdecimal() for sign in typed) >= 7:
        return PHONE
    return ""


def _may_be_vin(typed: str) -> bool:
    """Seventeen letters and figures, blanks left out, and no word among them: "2018 Brindle Marrow" has as many."""
    number = tidy(typed)
    named = any(len(word) > 3 and word.isalpha() for word in typed.split()[1:])
    if named or len(number) != LENGTH or not (number.isalnum() and number.isascii()):
        return False
    return any(sign.isdecimal() for sign in number) and any(sign.isalpha() for sign in number)


def misfit(name: str, text: str) -> Misfit | None:
    """Why a value does not belong in a field of the header; ``None`` where it may."""
    title = HEADER_FIELDS[name].title if name in HEADER_FIELDS else name
    sort = sort_of(text)
    if sort and sort in _REFUSED.get(name, ()):
        return Misfit(sort, f"{sort}, not {_article(title)}", _BELONGS[sort])
    if name == "email" and text.strip() and sort != E_MAIL:
        return Misfit("", "no e-mail: name@place.com")
    return None


def may_be_plate(text: str) -> bool:
    """Whether a short text of letters and figures may be a plate: a vehicle is called by its make and model."""
    return bool(_PLATE.match(text.strip()))


def _article(title: str) -> str:
    return f"{'an' if title[:1] in 'aeiou' else 'a'} {title}"
