"""Findings and verifications: text, a run of readings, text."""

import re
from dataclasses import replace

from ticket.job.entry import Remark, Role
from ticket.job.kinds import Found, Proof
from ticket.job.regex import Regex
from ticket.job.values import Measurement, Ref
from ticket.notes.finding.measurement import measurement_of
from ticket.notes.finding.statement import read_statement
from ticket.notes.heads import Head, join
from ticket.notes.pen import Pen
from ticket.notes.runs import FOLLOWERS, write_run
from ticket.notes.shapes import REF, Context
from ticket.notes.spans import Body, is_span, quote
from ticket.readings.measured_groups import groups, subject
from ticket.readings.measured_groups import seen as all_seen
from ticket.readings.positions import places

READ_TOGETHER = frozenset({"what", "measurements", "run", "seen"})
"""The fields of a finding that are one text: whoever changes one of them changes them all."""

_NOW = Regex(rf"\s*({REF})\s+now\b\s*:?", re.I)
_TWO_SPANS = Regex(r"\s*(\0+)\s*,\s*(\0+)\s*\Z")
_LOOKS_LIMITED = Regex(r"\b(?:min|max|spread|spec|limit)\b|[0-9]", re.I)
_FOLLOWER = Regex(rf"(?:{'|'.join(FOLLOWERS)})\b", re.I)


def read_found(body: Body, context: Context) -> Head:
    """A text and the measurements in it."""
    return read_text(body, context, again=False)


def read_proof(body: Body, context: Context) -> Head:
    """The same, with ``N now`` in front where entry N is measured again."""
    match = _NOW.match(body.bare)
    if match is None:
        return read_text(body, context, again=False, tested=True)
    head = read_text(body.cut(match.end()), context, again=True, tested=True)
    ticket, _, no = match[1].rpartition("/")
    head.fields["of"] = Ref(int(no), int(ticket or 0))
    return head


def read_ruled(body: Body, _context: Context) -> Head:
    """What it is not; a reading behind a comma shows it: ``wiring, 0.3 ohm (max 1)``."""
    at = body.bare.find(",")
    behind = body.cut(at + 1)
    if at > 0 and read_statement(behind.bare).readings:
        return Head({"text": body.cut(0, at).text, "reason": behind.text})
    return Head({"text": body.text})


def read_text(body: Body, context: Context, *, again: bool, tested: bool = False) -> Head:
    """The text of a finding or a verification, without what it measures again."""
    two = _TWO_SPANS.match(body.bare)
    if two and is_span(body.raw[slice(*two.span(1))]) and is_span(body.raw[slice(*two.span(2))]):
        return Head({"what": body.cut(*two.span(1)).text, "seen": body.cut(*two.span(2)).text})
    body = body.strip()
    held, seen, remarks, roles = measured(body, context, again=again, tested=tested)
    if not held:
        return Head({"what": body.text}, list(remarks))
    return Head({"what": body.raw, "measurements": held, "seen": seen}, list(remarks), roles=roles)


def measured(
    body: Body, context: Context, again: bool = False, tested: bool = False
) -> tuple[tuple[Measurement, ...], str, tuple[Remark, ...], tuple[Role, ...]]:
    """The measurements a text states, what of it belongs to none of them, what is open, and where each piece stands.

    Args:
        body: the text of a finding without outer spaces; positions of the measurements count from its start.
        context: whether it is still being typed.
        again: it measures an entry again, so a figure may stand without its unit.
        tested: it is a test, which tells times and distances without measuring them.
    """
    statement = read_statement(body.bare, again=again, tested=tested)
    remarks = [
        Remark(
            doubt.text, body.at + doubt.start, body.at + doubt.end, "unread" if doubt.unread else "question",
            doubt.blocks, doubt.answers,
        )
        for doubt in statement.doubts
    ]  # fmt: skip
    if not context.live:
        remarks.extend(_unclosed_bracket(body))
    seen = ", ".join(body.cut(*place).text for place in statement.seen) if statement.readings else ""
    roles = tuple(Role(body.at + start, body.at + end, word) for start, end, word in statement.roles)
    return tuple(measurement_of(reading, body) for reading in statement.readings), seen, tuple(remarks), roles


def holds_limited_reading(body: Body) -> bool:
    """Whether a reading with limits stands anywhere in the piece."""
    return any(reading.limits is not None for reading in read_statement(body.bare).readings)


def _unclosed_bracket(body: Body) -> tuple[Remark, ...]:
    """A remark on a bracket that opens behind the last closed one, looks like limits and never closes."""
    at = body.bare.rfind("(")
    if at < 0 or ")" in body.bare[at:] or not _LOOKS_LIMITED.search(body.bare, at, at + 60):
        return ()
    return (Remark("This bracket is not closed.", body.at + at, body.at + len(body.bare)),)


def same_finding(read: Found | Proof, meant: Found | Proof) -> bool:
    """Whether a line was read as what an older ticket's fact says, which holds a run between two texts."""
    if meant.measurements or type(read) is not type(meant):
        return False
    rest = {"what": "", "measurements": (), "run": None, "seen": ""}
    return replace(read, **rest) == replace(meant, **rest) and _told(read) == _told(meant)  # type: ignore[arg-type]


def _told(fact: Found | Proof) -> tuple[object, ...]:
    """What a fact says, whichever way it holds it."""
    placed = (
        (group.what, group.run.unit, group.run.limits, value.number, places(value.label))
        for group in groups(fact)
        for value in group.run.values
    )
    return subject(fact), all_seen(fact), *placed


def write_found(fact: Found, pen: Pen) -> str:
    """The head of a finding."""
    return text_of(fact, pen)


def write_proof(fact: Proof, pen: Pen) -> str:
    """The head of a verification."""
    return join(f"{fact.of} now" if fact.of else "", text_of(fact, pen))


def text_of(fact: Found | Proof, pen: Pen) -> str:
    """The text of a finding without what measures again: as typed, or made of the parts an older ticket holds."""
    if fact.run is None:
        if fact.seen and not fact.measurements and (fact.what or not _again(fact)):
            return f"{quote(fact.what)}, {quote(fact.seen)}"
        alone = fact.what or fact.seen
        return pen.text("what" if fact.what else "seen", alone) if alone else ""
    what, seen = pen.text("what", fact.what), pen.text("seen", fact.seen)
    text = join(what if fact.what else "", write_run(fact.run, pen))
    if not fact.seen:
        return text
    return f"{text} {seen}" if _FOLLOWER.match(seen) else f"{text}, {seen}"


def _again(fact: Found | Proof) -> bool:
    return isinstance(fact, Proof) and fact.of is not None
