"""A folder of jobs in shorthand: their tickets, and the characters of what was typed without what the notation adds.

*Shorthand* is a line of a ``.notes`` file without the leading word, the words of fields, the numbers of entries, and
the punctuation around them: what a technician would scribble on a pad. ``cause: seized slider; from 3`` is ``seized
slider``.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from ticket.job.field_specs import specs
from ticket.job.kinds import KINDS
from ticket.job.ticket import Customer, Header, Ticket, Vehicle
from ticket.notes.lead import SHORT, lead_of
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of

_NUMBERS = r"(?:[0-9]+(?:[ ,]+|$))+"
_HEADER = re.compile(r"## (\w+): (.*)")


@dataclass(frozen=True, slots=True)
class Typed:
    """A job of the folder: its ticket, and the line behind each entry in order."""

    name: str
    ticket: Ticket
    lines: tuple[str, ...]


def shorthand(line: str) -> str:
    """What is left of a line when everything the notation adds is taken away."""
    lead = lead_of(line)
    kind = lead.kind or "found"
    words = [spec.word for spec in specs(KINDS[kind]) if spec.word]
    led = re.compile(rf"(?:{'|'.join(map(re.escape, words))})(?=\s|$)\s*") if words else None
    kept = []
    for at, segment in enumerate(line[lead.end :].split(";")):
        piece = segment.strip()
        match = led.match(piece) if led and at else None
        if match and match[0].strip() in ("from", "for", "of"):
            piece = re.sub(rf"^{_NUMBERS}", "", piece[match.end() :]).strip()
        elif match:
            piece = piece[match.end() :].strip()
        if piece:
            kept.append(piece)
    return " ".join(kept)


def ways_to_type(line: str) -> Iterator[str]:
    """The line with and without its leading word, whole or short, and without the entries it rests on."""
    lead = lead_of(line)
    body = line[lead.end :].strip()
    short = next((word for word, kind in SHORT.items() if kind == lead.kind), "")
    before = line[: lead.start]
    for rest in {body, re.sub(rf"; (?:from|for|of) {_NUMBERS}(?=;|$)", "", body).strip()}:
        yield from (before + start + rest for start in {"", f"{lead.kind}: ", f"{short}: "} if start != ": ")


def jobs_in(folder: Path, shop: Shop) -> Iterator[Typed]:
    """The jobs of a folder in order; ``shop`` is only used to make their tickets."""
    for file in sorted(folder.glob("*.notes")):
        text = file.read_text(encoding="utf-8").splitlines()
        about = dict(match.groups() for line in text if (match := _HEADER.match(line)))
        header = Header(
            vehicle=Vehicle(label=about.get("vehicle", "")), customer=Customer(name=about.get("customer", ""))
        )
        number = new_ticket(shop, header)
        lines: list[str] = []
        for line in text:
            if line.strip() and not line.startswith("##"):
                # One line may be several entries, such as two codes: the first costs all of it.
                added = add_lines(shop, number, line)
                lines += [line, *[""] * (len(added) - 1)]
        yield Typed(file.stem, ticket_of(shop, number), tuple(lines))
