"""The last row of every screen: which key does what, as many as fit. Pure."""

from ticket.grid.rows import Span
from ticket.screens.actions import hinted
from ticket.screens.sides import ends, spaced


def key_row(subject: str, width: int) -> tuple[Span, ...]:
    """The keys of a screen on so many cells behind a blank one; the last of them stands at the right edge."""
    pairs = [(Span(key, "key"), Span(f" {label}", "quiet")) for key, label in hinted(subject, width)]
    return (Span(" "), *ends(spaced(pairs[:-1]), pairs[-1], width)) if pairs else ()
