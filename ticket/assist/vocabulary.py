"""The notation's own words at the cursor, and what the ticket's numbers and customer suggest. Pure."""

import re
from collections.abc import Iterable, Iterator
from decimal import Decimal, InvalidOperation
from functools import cache

from ticket.assist.typing_context import TypingContext
from ticket.job.field_specs import FieldSpec, specs
from ticket.job.kinds import ANSWERS, CONDITIONS, KINDS, MOMENTS, STATUSES, Found, Later, Offer, Proof
from ticket.job.offer_answers import DECIDED, standing
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.notes.pen import Pen
from ticket.notes.segments import fields_of
from ticket.readings.measured_groups import groups, measures

_START = Regex(r"((?:[A-Z](?:\+[A-Z])* +)?)([a-z]{1,6})\Z")
_OF = Regex(r"([0-9]{1,6}) now\b(.*[0-9])\Z", re.S)
_MARKS = frozenset(';"')
_HEAD_LISTS = {"code": (*STATUSES, *MOMENTS), "used": CONDITIONS, "told": ANSWERS}


def kind_words(typed: str) -> Iterator[str]:
    """The words of the kinds that begin as typed, with colon and space."""
    match = _START.match(typed)
    if match:
        yield from (f"{match[1]}{word}: " for word in KINDS if word.startswith(match[2]) and word != match[2])


def closed_lists(kind: str, body: str) -> Iterator[str]:
    """Rests of the kind's own words behind the last comma of its head: ``, st`` gives ``ored``."""
    head, comma, piece = body.rpartition(",")
    piece = piece.lstrip()
    if comma and piece and ";" not in piece and head:
        yield from (choice[len(piece) :] for choice in _HEAD_LISTS.get(kind, ()) if choice.startswith(piece))


def from_numbers(kind: str, typed: str, ticket: Ticket) -> Iterator[str]:
    """Whole heads that the ticket's own entries and customer suggest, for contacts and for measuring again."""
    wanted = fold(typed)
    if kind == "told":
        yield from (head for head in _contacts(ticket) if fold(head).startswith(wanted))
    elif kind == "proof":
        again = _OF.match(typed)
        if again:
            entry = ticket.entry(int(again[1]))
            held = groups(entry.fact) if entry and isinstance(entry.fact, Found | Proof) else ()
            yield from (f"{typed} {unit}" for unit in dict.fromkeys(group.run.unit for group in held) if unit)
        yield from (head for head in _again(ticket) if fold(head).startswith(wanted))


def new_pictures(kind: str, typed: str, known: TypingContext) -> Iterator[str]:
    """Files of the folder of new pictures that begin as typed, the newest first, for a line that begins with one."""
    if any(spec.shape == "picture" for spec in specs(KINDS[kind])):
        wanted = fold(typed).removeprefix('"')
        for name in known.pictures:
            if fold(name).startswith(wanted):
                yield Pen(frozenset({"file"} if _MARKS & set(name) else ())).text("file", name)


def _contacts(ticket: Ticket) -> Iterator[str]:
    customer = ticket.header.customer
    waiting, total = _waiting(ticket)
    answers = [f", yes {waiting}{total}", f", no {waiting}", f", thinks {waiting}"] if waiting else []
    ways = [f"by phone {customer.phone}"] if customer.phone else []
    ways += ["in person", *([f"by text message {customer.phone}"] if customer.phone else [])]
    ways += [f"by email {customer.email}"] if customer.email else []
    ways += ["in writing", "by phone", "by email", "by text message"]
    if customer.name:
        for way in ways:
            yield from (f"{customer.name} {way}{answer}" for answer in (*answers, ", left message", ", no answer", ""))


def _waiting(ticket: Ticket) -> tuple[str, str]:
    """Numbers of the offers nobody has answered, and the sum of their estimates where each has one."""
    answered = {no for no, one in standing(ticket).items() if one.answer in DECIDED}
    offers = [entry for entry in ticket.living if isinstance(entry.fact, Offer) and entry.no not in answered]
    try:
        amounts = [Decimal(entry.fact.estimate.replace(",", "")) for entry in offers if isinstance(entry.fact, Offer)]
    except InvalidOperation:
        amounts = []
    total = f"; total {sum(amounts):.2f}" if amounts and len(amounts) == len(offers) else ""
    return " ".join(str(entry.no) for entry in offers), total


def _again(ticket: Ticket) -> Iterator[str]:
    """Readings not measured again yet, newest first."""
    done = {entry.fact.of.no for entry in ticket.living if isinstance(entry.fact, Proof) and entry.fact.of}
    for entry in reversed(ticket.living):
        if isinstance(entry.fact, Found) and measures(entry.fact) and entry.no not in done:
            yield f"{entry.no} now "


@cache
def _own(kind: str) -> tuple[FieldSpec, ...]:
    return tuple(fields_of(kind))


def field_of(kind: str, segment: str) -> tuple[FieldSpec, str] | None:
    """The field whose word a segment begins with, and what is typed behind the word."""
    for spec in _own(kind):
        if spec.place == "word" and segment.startswith(f"{spec.word} "):
            return spec, segment[len(spec.word) + 1 :].lstrip()
    return None


def field_words(kind: str, segment: str, before: str) -> Iterator[str]:
    """Fields of the kind that a segment may become: the words that lead them, and the flags; used ones left out."""
    wanted = fold(segment)
    for spec in _own(kind):
        if spec.place == "flag":
            if not any(f"; {choice}" in before for choice in spec.choices):
                yield from (choice for choice in spec.choices if wanted and choice.startswith(wanted))
        elif spec.place == "word" and f"; {spec.word} " not in before and wanted and spec.word.startswith(wanted):
            yield f"{spec.word} "


def field_values(spec: FieldSpec, typed: str, known: TypingContext) -> Iterator[str]:
    """Values of a closed list that begin as typed, such as the people of the shop."""
    lists: dict[str, Iterable[str]] = {"person": known.people, "rate": known.rates, "payer": spec.choices}
    wanted = fold(typed)
    yield from (value for value in lists.get(spec.shape, ()) if fold(value).startswith(wanted))
    if spec.name == "total" and (total := _waiting(known.ticket)[1]):
        yield total.removeprefix("; total ")
    if spec.shape == "refs" and not typed:
        waits = [entry.no for entry in known.ticket.living if isinstance(entry.fact, Offer | Later)]
        yield from (str(no) for no in reversed(waits))
