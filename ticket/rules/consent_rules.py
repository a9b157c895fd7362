"""Whether a consent was given and recorded the way the local rules ask."""

from dataclasses import dataclass

from ticket.money.agreement import Agreement, Contact
from ticket.rules.pack import Pack, Source, first, source
from ticket.rules.pack_rows import RECORD

# The ways of the notation as the laws name them. Speech is the least form, so an oral consent law takes any of them.
_CHANNELS = {
    "phone": {"phone", "voice"},
    "in person": {"voice"},
    "radio": {"voice"},
    "in writing": {"writing", "signature", "voice"},
    "letter": {"writing", "voice"},
    "email": {"email", "electronic", "writing", "voice"},
    "text message": {"text message", "electronic", "writing", "voice"},
}
_BY_NUMBER = frozenset({"phone", "letter", "email", "text message"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Consent:
    """A consent as it was recorded.

    Attributes:
        channel: one of the ways of a contact (``phone``, ``in person`` ...), empty where not recorded.
        have: which fields were recorded, of ``rows.RECORD``.
    """

    channel: str
    have: frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """Something a rule asks for and that is not there, with where the rule stands."""

    missing: str
    source: Source


def consent_of(contact: Contact, agreed: Agreement) -> Consent:
    """The consent that a contact of the ticket records; its date, time and order number always stand there."""
    offers = [offer for offer in agreed.offers if offer.no in contact.yes_to]
    have = {
        "date": True,
        "time": True,
        "order number": True,
        "who authorised": contact.who,
        "who recorded": contact.taken_by,
        "channel": contact.way,
        "number or address": contact.address,
        "work added": offers,
        "cost added": [offer for offer in offers if offer.price is not None] or contact.total is not None,
        "new total": contact.approved is not None,
    }
    return Consent(channel=contact.way, have=frozenset(key for key, value in have.items() if value))


def consent_faults(pack: Pack, consent: Consent, case: str = "extra") -> tuple[Fault, ...]:
    """What is missing for a consent to count: the way it was given, and every field that must be recorded.

    A number or address must be there only where one was used: nobody dials a customer who stands at the counter.
    """
    found = first(pack, "consent", fits=lambda row: row.case == case)
    if found is None:
        return ()
    where, row = found
    faults = []
    if row.channels and consent.channel and not _CHANNELS.get(consent.channel, {"other"}) & set(row.channels):
        faults.append(f"a consent by {' or '.join(row.channels)}")
    used = consent.channel in _BY_NUMBER
    asked = [*row.record, *(row.if_used if used else ())]
    faults += [field for field in RECORD if field in asked and field not in consent.have]
    return tuple(Fault(missing=missing, source=source(where, row)) for missing in faults)
