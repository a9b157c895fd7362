"""Findings and verifications: text, a run of readings, text."""

import re

from ticket.job.kinds import Found, Proof
from ticket.job.values import Ref
from ticket.notes.again import bare_values
from ticket.notes.heads import Head, join
from ticket.notes.leftover import WITHDRAWN
from ticket.notes.pen import Pen
from ticket.notes.questions import unclosed_bracket
from ticket.notes.runs import FOLLOWERS, Reading, reading_in, write_run
from ticket.notes.shapes import REF, Context
from ticket.notes.spans import Body, is_span, quote

_SEPARATOR = re.compile(r"\s*(?:[,;]|\.(?=\s|\Z))?\s*")
_NOW = re.compile(rf"\s*({REF})\s+now\b\s*:?", re.I)
_TWO_SPANS = re.compile(r"\s*(\0+)\s*,\s*(\0+)\s*\Z")
_FOLLOWER = re.compile(rf"(?:{'|'.join(FOLLOWERS)})\b", re.I)


def read_found(body: Body, context: Context) -> Head:
    """``text run, text``, or text alone."""
    return _read(body, context, again=False)


def read_proof(body: Body, context: Context) -> Head:
    """The same, with ``N now`` in front where entry N is measured again."""
    match = _NOW.match(body.bare)
    if match is None:
        return _read(body, context, again=False)
    head = _read(body.cut(match.end()), context, again=True)
    ticket, _, no = match[1].rpartition("/")
    head.fields["of"] = Ref(int(no), int(ticket or 0))
    return head


def _read(body: Body, context: Context, *, again: bool) -> Head:
    two = _TWO_SPANS.match(body.bare)
    if two and is_span(body.raw[slice(*two.span(1))]) and is_span(body.raw[slice(*two.span(2))]):
        return Head({"what": body.cut(*two.span(1)).text, "seen": body.cut(*two.span(2)).text})
    body = body.strip()
    reading = reading_in(body, again=again)
    if again and reading.run is None and not _taken_back(reading):
        bare = bare_values(body)
        reading = bare if bare.run or bare.remarks else reading
    remarks = list(reading.remarks)
    if not context.live:
        remarks.extend(unclosed_bracket(body))
    if reading.run is None:
        return Head({"seen" if again else "what": body.text}, remarks)
    after = _SEPARATOR.match(body.bare, reading.end)
    seen = body.cut(after.end() if after else reading.end)
    fields = {"what": body.cut(0, reading.start).text, "run": reading.run, "seen": seen.text}
    return Head(fields, remarks)


def _taken_back(reading: Reading) -> bool:
    return any(remark.text in WITHDRAWN for remark in reading.remarks)


def unclear_figures(fact: Found | Proof) -> str:
    """What is asked about the figures of an entry whose reading was taken back; empty where there is nothing to ask."""
    if fact.run is not None:
        return ""
    again = isinstance(fact, Proof) and fact.of is not None
    head = _read(Body.of(f"{fact.what} {fact.seen}"), Context(live=True), again=again)
    return next((remark.text for remark in head.remarks if remark.text in WITHDRAWN), "")


def write_found(fact: Found, pen: Pen) -> str:
    """The head of a finding."""
    return _write(fact, pen, again=False)


def write_proof(fact: Proof, pen: Pen) -> str:
    """The head of a verification."""
    return join(f"{fact.of} now" if fact.of else "", _write(fact, pen, again=fact.of is not None))


def _write(fact: Found | Proof, pen: Pen, *, again: bool) -> str:
    what, seen = pen.text("what", fact.what), pen.text("seen", fact.seen)
    if fact.run is None:
        alone = fact.seen if again else fact.what
        if fact.what if again else fact.seen:
            return f"{quote(fact.what)}, {quote(fact.seen)}"
        return pen.text("seen" if again else "what", alone) if alone else ""
    run = write_run(fact.run, pen)
    text = join(what if fact.what else "", run)
    if not fact.seen:
        return text
    return f"{text} {seen}" if _FOLLOWER.match(seen) else f"{text}, {seen}"
