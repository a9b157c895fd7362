"""Whose vehicle it is, as the texts of a header's fields; and which of them a correction changed."""

from collections.abc import Iterator

from ticket.job.header_fields import CORRECTABLE
from ticket.job.ticket import Correction, Header

VEHICLE = {"vehicle": "label", "plate": "plate", "vin": "vin"}
CUSTOMER = {"customer": "name", "phone": "phone", "email": "email", "address": "address"}
"""Fields of a vehicle and of a customer by the names of :data:`ticket.job.header_fields.HEADER_FIELDS`."""


def whose_texts(header: Header) -> dict[str, str]:
    """The fields of :data:`ticket.job.header_fields.CORRECTABLE` as they are typed; empty where nothing is known."""
    texts = (
        {name: getattr(header.vehicle, field) for name, field in VEHICLE.items()}
        | {name: getattr(header.customer, field) for name, field in CUSTOMER.items()}
        | {
            "odometer": str(header.odometer_in or ""),
            "odometer-out": str(header.odometer_out or ""),
            "odometer-reason": header.odometer_reason,
        }
    )
    return {name: texts[name] for name in CORRECTABLE}


def corrected(correction: Correction) -> Iterator[tuple[str, str, str]]:
    """Each field a correction changed: its name, what stood there, and what stands there since."""
    was, now = whose_texts(correction.was), whose_texts(correction.now)
    return ((name, text, now[name]) for name, text in was.items() if text or now[name])
