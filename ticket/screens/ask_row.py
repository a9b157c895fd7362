"""The rule between the entries and the line: how many questions are open, and the key that opens them. Pure."""

from collections.abc import Sequence

from ticket.gaps.gap import BLOCKING, Gap
from ticket.grid.rows import Row, Span
from ticket.grid.signs import RULE, UNREAD
from ticket.screens.actions import key_for
from ticket.screens.sides import length


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
