"""What is said of open questions: the rule with their count, and how the pointed one is answered. Pure."""

from collections.abc import Sequence

from ticket.gaps.gap import BLOCKING, Gap
from ticket.grid.rows import Row, Span
from ticket.grid.signs import RULE, UNREAD
from ticket.job.header_fields import HEADER_FIELDS
from ticket.screens.actions import key_for
from ticket.screens.sides import length

ANSWERED_BY_CALL = "offer-unanswered"
"""The question that the page of the call answers."""


def ask_row(gaps: Sequence[Gap], width: int, *, signed: bool = False) -> Row:
    """The rule with its count; a plain one where nothing is asked."""
    blocking = sum(gap.level == BLOCKING for gap in gaps)
    if not gaps:
        return Row((Span(RULE * width, "rule"),))
    before = f", {blocking} before signing" if blocking and not signed else ""
    spans = (
        Span(f"{RULE * 2} ", "rule"), Span(f"{UNREAD} {len(gaps)} to ask{before}", "ask"), Span("  "),
        Span(key_for("gaps"), "key"), Span(" "),
    )  # fmt: skip
    return Row((*spans, Span(RULE * max(width - length(spans), 0), "rule")))


def field_asked(gap: Gap) -> str:
    """The field of the header that a question is about, by the first words of its name."""
    return max((name for name in HEADER_FIELDS if gap.id.startswith(f"{name}-")), key=len, default="")


def answered_how(gap: Gap | None) -> str:
    """What Enter does on a question, in words; empty where none is pointed at."""
    if gap is None:
        return ""
    if gap.id == ANSWERED_BY_CALL:
        return f"Enter opens the call, as {key_for('call')} does."
    if gap.line:
        back = f"; {key_for('edit')} brings entry {gap.entry} back" if gap.entry else ""
        return f"Enter begins the line that answers it{back}."
    if gap.entry:
        return f"Enter brings entry {gap.entry} back to the line."
    return f"Enter opens vehicle and customer, as {key_for('header')} does."
