"""A ticket as a plain text file: header lines before the first entry, then one line an entry."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile

from ticket.job.entry import Draft, Remark
from ticket.job.kinds import Cause, Did, Fact, Later, Offer, Proof, Ruled, Told, Used
from ticket.job.numbers import NUMBER
from ticket.job.regex import Regex
from ticket.job.text import clean, one_line
from ticket.job.ticket import DISTANCE_UNITS, ODOMETER_REASONS, Cover, Customer, Discount, Header, Ticket, Vehicle
from ticket.job.values import PAYERS, SUMS_TOLD, Quantity, Ref
from ticket.notes.header_lines import COVER_FORM, DISCOUNT_FORM, cover_in, cover_text, discount_in, discount_text
from ticket.notes.lead import lead_of
from ticket.notes.pen import Pen
from ticket.notes.read import read
from ticket.notes.shapes import LONGEST_NUMBER
from ticket.notes.spans import Body
from ticket.notes.tokens import plain_number
from ticket.notes.write import write

_VEHICLE = {"vehicle": "label", "plate": "plate", "vin": "vin"}
_CUSTOMER = {"customer": "name", "phone": "phone", "email": "email", "address": "address"}
_ODOMETER = {"odometer in": "odometer_in", "odometer out": "odometer_out"}
_TEXTS = {"ready by": "ready_by", "tax place": "tax_place"}
_ONE_OF = {
    "odometer reason": ("odometer_reason", ODOMETER_REASONS),
    "sums told": ("sums_told", SUMS_TOLD),
    "pays": ("pays", PAYERS),
}
"""Header lines that hold one of some words."""
_COVERS = ("warranty", "contract")
_FORMS = {"discount": DISCOUNT_FORM} | dict.fromkeys(_COVERS, COVER_FORM)
WORDS = (*_VEHICLE, *_CUSTOMER, *_ODOMETER, *_TEXTS, *_ONE_OF, *_FORMS)
"""The words of header lines, in the order they are written."""

_METER = {"hours in": "odometer in", "hours out": "odometer out", "odometer": "odometer in"}
_LEAD = Regex(rf"\s*({'|'.join((*WORDS, *_METER))}) ?:", re.I | re.A)
_ANY_LEAD = Regex(r"\s*[a-z][a-z /]{1,24}:", re.I | re.A)
_MILES = {"miles": "mi", "mile": "mi", "h": "h", "hr": "h", "hrs": "h", "hours": "h"} | {
    unit: unit for unit in DISTANCE_UNITS
}
_READING = Regex(rf"({NUMBER}(?:k(?= ?[a-z]))?) ?({'|'.join(_MILES)})", re.I)


@dataclass(frozen=True, slots=True)
class TicketFile:
    """What a plain ticket file says.

    Attributes:
        header: what its header lines state.
        drafts: its entries, in order.
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
    found: dict[str, str] = {}
    remarks: list[Remark] = []
    aside: list[str] = []
    text = clean(text)
    position = 0
    while position < len(text):
        stop = text.find("\n", position)
        stop = len(text) if stop < 0 else stop
        line = text[position:stop]
        match = _LEAD.match(line)
        if match is None and line.strip():
            if not _stands_in_head(line, text[stop:]):
                break
            problem = "This is no line of a head that is known; it stays as a remark for the shop behind all others."
            remarks.append(Remark(problem, position, stop))
            aside.append(f"\n# {line.strip()}")
        if match is not None:
            word = " ".join(match[1].lower().split())
            if word in _METER:
                line = f"{line} h" if word.startswith("hours") and line[-1:].isdecimal() else line
                word = _METER[word]
            if word in found:
                remarks.append(Remark(f"{word}: stands here twice; the first is kept.", position, stop))
            elif word in _ODOMETER and _distance(line[match.end() :]) is None:
                problem = f"What follows {word}: is no reading; write it like 48,210 mi or 77,590 km."
                remarks.append(Remark(problem, position, stop))
            elif word in _ONE_OF and " ".join(line[match.end() :].lower().split()) not in _ONE_OF[word][1]:
                problem = f"What follows {word}: is none of {', '.join(_ONE_OF[word][1])}."
                remarks.append(Remark(problem, position, stop))
            elif word in _FORMS and _term(word, line[match.end() :]) is None:
                remarks.append(Remark(f"What follows {word}: cannot be used; write {_FORMS[word]}.", position, stop))
            elif word in _FORMS:
                found[word] = line[match.end() :]
            else:
                found[word] = Body.of(line[match.end() :]).text
        position = stop + 1
    return TicketFile(_header(found), read(text[position:] + "".join(aside), people, rates), tuple(remarks))


def _stands_in_head(line: str, rest: str) -> bool:
    """Whether a line that no word of the notation opens stands among head lines: it moves the number of no entry."""
    if _ANY_LEAD.match(line) is None or lead_of(line).kind:
        return False
    block = takewhile(lambda one: one.strip() and not lead_of(one).kind, rest.removeprefix("\n").split("\n"))
    return any(_LEAD.match(one) for one in block)


def looks_like_ticket(text: str) -> bool:
    """Whether a text is a plain ticket file rather than some other file: a quarter of its lines begin with its words.

    A hand that leaves most words out is still a hand at a ticket; any other kind of file has next to none.
    """
    lines = [line for line in text.split("\n") if line.strip()]
    known = sum(1 for line in lines if _LEAD.match(line) or lead_of(line).kind)
    return bool(lines) and known * 4 >= len(lines)


def _header(found: dict[str, str]) -> Header:
    return Header(
        vehicle=Vehicle(**{name: found.get(word, "") for word, name in _VEHICLE.items()}),
        customer=Customer(**{name: found.get(word, "") for word, name in _CUSTOMER.items()}),
        odometer_in=_distance(found.get("odometer in", "")),
        odometer_out=_distance(found.get("odometer out", "")),
        ready_by=found.get("ready by", ""),
        tax_place=found.get("tax place", ""),
        discount=discount_in(found.get("discount", "")) or Discount(),
        warranty=cover_in(found.get("warranty", "")) or Cover(),
        contract=cover_in(found.get("contract", "")) or Cover(),
        **{field: _one_of(word, found.get(word, "")) for word, (field, _) in _ONE_OF.items()},
    )


def _one_of(word: str, text: str) -> str:
    said = " ".join(text.lower().split())
    field, words = _ONE_OF[word]
    return said if said in words else str(getattr(Header(), field))


def _term(word: str, text: str) -> Discount | Cover | None:
    return discount_in(text) if word == "discount" else cover_in(text)


def _distance(text: str) -> Quantity | None:
    match = _READING.fullmatch(text.strip())
    if match is None or len(match[1]) > LONGEST_NUMBER:
        return None
    number = plain_number(match[1]) if match[1][-1] in "kK" else match[1]
    return Quantity(number, _MILES[match[2].lower()]) if number else None


def write_file(ticket: Ticket) -> str:
    """A ticket as a plain file: its header, then its entries in the order of their numbers.

    Numbers are given anew when the file is read, so references are written as they will be then. An entry that was
    struck or replaced keeps its place as a remark for the shop; a reference to an entry that never was points to
    the ticket it came from.
    """
    lines = [f"{word}: {value}" for word, value in _header_values(ticket.header) if value]
    lines += [""] if lines else []
    living = {entry.no for entry in ticket.living}
    places = {entry.no: place for place, entry in enumerate(ticket.entries, 1)}

    def moved(ref: Ref) -> Ref:
        return ref if ref.ticket else Ref(places[ref.no]) if ref.no in places else Ref(ref.no, ticket.number)

    for entry in ticket.entries:
        line = write(_pointing(entry.fact, moved), concern=entry.concern, shop_only=entry.shop_only)
        if entry.no not in living:
            line = f"# {'struck' if entry.struck else 'replaced'}: {one_line(line)}"
        lines.append(line)
    return "\n".join(lines) + "\n"


def _pointing(fact: Fact, moved: Callable[[Ref], Ref]) -> Fact:
    """The fact with every reference moved."""
    if isinstance(fact, Told):
        return replace(fact, answers=tuple(replace(a, to=tuple(map(moved, a.to))) for a in fact.answers))
    if isinstance(fact, Proof):
        return replace(fact, of=moved(fact.of)) if fact.of else fact
    if isinstance(fact, Ruled | Cause | Offer | Did | Used | Later):
        return replace(fact, refs=tuple(map(moved, fact.refs)))
    return fact


def _header_values(header: Header) -> list[tuple[str, str]]:
    pen = Pen()
    values = [(word, getattr(header.vehicle, name)) for word, name in _VEHICLE.items()]
    values += [(word, getattr(header.customer, name)) for word, name in _CUSTOMER.items()]
    readings = [(word, getattr(header, name)) for word, name in _ODOMETER.items()]
    told = [(word, pen.text(word, value) if value else "") for word, value in values]
    told += [(word, str(reading) if reading else "") for word, reading in readings]
    texts = [(word, getattr(header, name)) for word, name in _TEXTS.items()]
    texts += [(word, _unusual(header, name)) for word, (name, _) in _ONE_OF.items()]
    told += [(word, pen.text(word, value) if value else "") for word, value in texts]
    told += [("discount", discount_text(header.discount))]
    return [*told, *((word, cover_text(getattr(header, word))) for word in _COVERS)]


def _unusual(header: Header, name: str) -> str:
    value = str(getattr(header, name))
    return value if value != getattr(Header(), name) else ""
