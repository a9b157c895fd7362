"""A ticket as a plain text file: header lines before the first entry, then one line an entry."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from ticket.job.entry import Draft, Remark
from ticket.job.numbers import NUMBER
from ticket.job.text import clean, one_line
from ticket.job.ticket import DISTANCE_UNITS, Header, Ticket
from ticket.job.values import Quantity
from ticket.notes.read import read
from ticket.notes.write import write

_VEHICLE = {"vehicle": "label", "plate": "plate", "vin": "vin"}
_CUSTOMER = {"customer": "name", "phone": "phone", "email": "email", "address": "address"}
_ODOMETER = {"odometer in": "odometer_in", "odometer out": "odometer_out"}
_PROMISE = "ready by"
WORDS = (*_VEHICLE, *_CUSTOMER, *_ODOMETER, _PROMISE)
_LINE = re.compile(rf"\s*({'|'.join(WORDS)})\s*:\s*(.*?)\s*\Z", re.I)
_READING = re.compile(rf"({NUMBER})\s*({'|'.join(DISTANCE_UNITS)})\Z", re.I)


@dataclass(frozen=True, slots=True)
class TicketFile:
    """What a plain ticket file says.

    Attributes:
        remarks: about header lines; those about entries stand on their drafts. Positions count in the whole text.
    """

    header: Header
    drafts: tuple[Draft, ...]
    remarks: tuple[Remark, ...] = ()


def read_file(text: str, *, people: Sequence[str] = (), rates: Sequence[str] = ()) -> TicketFile:
    """A plain ticket file. Total: what is no header line is an entry.

    Header lines stand before the first entry and nowhere else, so that a complaint which begins with
    ``customer:`` cannot overwrite the customer.
    """
    header = Header()
    remarks: list[Remark] = []
    lines = clean(text).split("\n")
    position = 0
    for count, line in enumerate(lines):
        match = _LINE.match(line)
        if line.strip() and match is None:
            body = "\n".join(lines[count:])
            return TicketFile(header, read(body, people, rates), tuple(remarks))
        if match is not None:
            changed = _changed(header, match.group(1).lower(), match.group(2))
            if changed is None:
                text_of = f"{match.group(2)!r} is no odometer reading: write it with mi or km."
                remarks.append(Remark(text_of, position, position + len(line)))
            else:
                header = changed
        position += len(line) + 1
    return TicketFile(header, (), tuple(remarks))


def _changed(header: Header, word: str, value: str) -> Header | None:
    if word in _VEHICLE:
        return replace(header, vehicle=replace(header.vehicle, **{_VEHICLE[word]: value}))
    if word in _CUSTOMER:
        return replace(header, customer=replace(header.customer, **{_CUSTOMER[word]: value}))
    if word == _PROMISE:
        return replace(header, ready_by=value)
    match = _READING.match(value)
    if match is None:
        return None
    reading = Quantity(match.group(1), match.group(2).lower())
    return replace(header, odometer_in=reading) if word == "odometer in" else replace(header, odometer_out=reading)


def write_file(ticket: Ticket) -> str:
    """A ticket as a plain file: its header, then its living entries in the order of their numbers.

    Numbers are given anew when the file is read, so a ticket with struck entries has them as remarks for the shop:
    references keep their targets.
    """
    header = ticket.header
    lines = [
        f"{word}: {one_line(getattr(header.vehicle, name))}"
        for word, name in _VEHICLE.items()
        if getattr(header.vehicle, name)
    ]
    lines += [
        f"{word}: {one_line(getattr(header.customer, name))}"
        for word, name in _CUSTOMER.items()
        if getattr(header.customer, name)
    ]
    lines += [f"{word}: {reading}" for word, name in _ODOMETER.items() if (reading := getattr(header, name))]
    lines += [f"{_PROMISE}: {one_line(header.ready_by)}"] if header.ready_by else []
    lines += [""] if lines else []
    number = 0
    for entry in ticket.entries:
        lines += ["# struck"] * (entry.no - number - 1)
        line = write(entry.fact, concern=entry.concern, shop_only=entry.shop_only)
        lines.append(f"# struck: {one_line(line)}" if entry.struck else line)
        number = entry.no
    return "\n".join(lines) + "\n"
