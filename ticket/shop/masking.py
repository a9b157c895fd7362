"""What an auditor is shown of a ticket: everything but who the customer is.

For showing only: nothing that was masked may be written back, so only commands that read set :attr:`Shop.hidden`.
"""

import dataclasses
import re
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any, TypeVar

from ticket.job.codec import decode_fact, encode_fact, free_paths, private_paths
from ticket.job.entry import Entry
from ticket.job.phone_numbers import PHONE
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.job.ticket import Correction, Customer, Header, Ticket
from ticket.papers.labels import labels
from ticket.papers.sheet import Notice, Sheet
from ticket.store.erasable import MASK
from ticket.store.name_traces import Traces

_WORD = Regex(r"[^\W_]+")
_NUMBER = Regex(r"\+?\(?\d[\d ()./-]{4,}\d")
# Fields of papers that hold no text of the ticket: names of other things, and what the shop says of itself.
_NO_TEXT = ("language", "sources", "digest", "content", "sender", "size", "page", "kind", "record", "shop")

_NEVER = datetime(1970, 1, 2, tzinfo=UTC)

Part = TypeVar("Part")


class Mask:
    """Takes what gives the customers of some tickets away out of texts.

    Args:
        tickets: whose headers, and whose contacts, say what that is.
    """

    def __init__(self, *tickets: Ticket) -> None:
        values = tuple(dict.fromkeys(value for ticket in tickets for value in _values(ticket)))
        makes = frozenset(word for ticket in tickets for word in _makes(ticket))
        values = tuple(one for one in values if one[0] != "told.who" or fold(one[1].strip()) not in makes)
        traces = Traces.of(values)
        own = Traces.of(one for one in values if one[0] == "customer.name").words
        self._traces = dataclasses.replace(traces, words=traces.words - (makes - own))
        whole = sorted((re.escape(value.strip()) for _, value in values if value.strip()), key=len, reverse=True)
        self._whole = re.compile("|".join(rf"(?<!\w){one}(?!\w)" for one in whole), re.I) if whole else None

    def text(self, text: str) -> str:
        """A text with the name and its words, numbers, mail and address masked."""
        if self._whole is not None:
            text = self._whole.sub(MASK, text)
        text = PHONE.sub(MASK, _NUMBER.sub(self._number, text))
        return _WORD.sub(lambda match: MASK if fold(match[0]) in self._traces.words else match[0], text)

    def _number(self, match: re.Match[str]) -> str:
        digits = "".join(filter(str.isdecimal, match[0]))
        return MASK if any(one in digits for one in self._traces.digits) else match[0]

    def value(self, value: Any) -> Any:
        """A JSON value with every text in it masked."""
        if isinstance(value, str):
            return self.text(value)
        if isinstance(value, list):
            return [self.value(item) for item in value]
        return {name: self.value(item) for name, item in value.items()} if isinstance(value, dict) else value

    def part(self, part: Part) -> Part:
        """A part of a paper with every text in it masked."""
        if isinstance(part, str):
            return self.text(part)  # type: ignore[return-value]
        if isinstance(part, tuple):
            return tuple(self.part(item) for item in part)  # type: ignore[return-value]
        if not dataclasses.is_dataclass(part) or isinstance(part, type):
            return part
        held = {field.name: getattr(part, field.name) for field in dataclasses.fields(part)}
        shown = {name: self.part(value) for name, value in held.items() if name not in _NO_TEXT}
        return dataclasses.replace(part, **shown)


def _makes(ticket: Ticket) -> Iterator[str]:
    """The words a vehicle is called by: who warrants it is often called the same, and gives no customer away."""
    yield from (fold(word) for word in _WORD.findall(ticket.header.vehicle.label))


def _values(ticket: Ticket) -> Iterator[tuple[str, str]]:
    """The customer of a ticket and everybody who was spoken to, each behind what the value is."""
    for header in (ticket.header, *(one.was for one in ticket.corrections)):
        for name, value in dataclasses.asdict(header.customer).items():
            if value:
                yield f"customer.{name}", value
    for entry in ticket.entries:
        for name in private_paths(entry.kind):
            if value := getattr(entry.fact, name):
                yield f"{entry.kind}.{name}", value


def mask_of_name(name: str) -> Mask:
    """The mask of somebody of whom nothing but the name is at hand."""
    return Mask(Ticket(1, _NEVER, header=Header(customer=Customer(name))))


def masked(ticket: Ticket) -> Ticket:
    """The ticket as an auditor sees it."""
    mask, shown = Mask(ticket), _header(ticket.header, Mask(ticket))
    wordings = tuple(dataclasses.replace(one, text=mask.text(one.text)) for one in ticket.rewordings)
    entries = tuple(_entry(entry, mask) for entry in ticket.entries)
    fixed = tuple(_correction(one, mask) for one in ticket.corrections)
    return dataclasses.replace(ticket, header=shown, entries=entries, rewordings=wordings, corrections=fixed)


def _header(header: Header, mask: Mask) -> Header:
    customer = Customer(*(MASK if value else "" for value in dataclasses.astuple(header.customer)))
    vehicle = dataclasses.replace(header.vehicle, label=mask.text(header.vehicle.label))
    return dataclasses.replace(header, customer=customer, ready_by=mask.text(header.ready_by), vehicle=vehicle)


def _correction(one: Correction, mask: Mask) -> Correction:
    was, now = (_header(part, mask) for part in (one.was, one.now))
    return dataclasses.replace(one, was=was, now=now, reason=mask.text(one.reason))


def _entry(entry: Entry, mask: Mask) -> Entry:
    data = encode_fact(entry.fact)
    for name in free_paths(entry.kind):
        if name in data:
            data[name] = mask.value(data[name])
    data |= {name: MASK for name in private_paths(entry.kind) if data.get(name)}
    return dataclasses.replace(entry, fact=decode_fact(entry.kind, data), reason=mask.text(entry.reason))


def masked_sheet(paper: Sheet, ticket: Ticket) -> Sheet:
    """A paper as an auditor sees it; of a signed ticket it is not the signed paper any more."""
    shown = Mask(ticket).part(paper)
    notice = Notice(labels(paper.language)("record.masked"))
    return dataclasses.replace(shown, blocks=(notice, *shown.blocks))
