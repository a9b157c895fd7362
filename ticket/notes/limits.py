"""Limits written as the bracket behind a reading: ``min 22.0 per maker``, ``-3 to 0``, ``9.6 +/- 0.2``."""

from ticket.job.values import Limits
from ticket.notes.pen import Pen


def write_limits(limits: Limits, unit: str, pen: Pen) -> str:
    """The inside of the bracket, as a finding is read with it."""
    parts = []
    named = f" {limits.unit}" if limits.unit else ""
    if limits.low and limits.high:
        parts.append(f"{limits.low} to {limits.high}{named}")
    elif limits.low or limits.high:
        parts.append((f"min {limits.low}" if limits.low else f"max {limits.high}") + named)
    if limits.nominal:
        parts.append((f"{limits.nominal} +/- {limits.tol}" if limits.tol else limits.nominal) + named)
    if limits.spread:
        own = not limits.spread_unit or limits.spread_unit == unit
        parts.append(f"spread {limits.spread}" if own else f"spread {limits.spread} {limits.spread_unit}")
    text = ", ".join(parts)
    if limits.source:
        text += f" per {pen.text('source', limits.source)}"
    return text
