"""From a reading of the parser to the measurement that a finding holds."""

import re
from collections.abc import Sequence
from dataclasses import replace

from ticket.job.regex import Regex
from ticket.job.values import Limits, Measurement, Span
from ticket.notes.finding.stated import Reading
from ticket.notes.finding.tokens import GivenLimits, Places, Token
from ticket.notes.spans import Body
from ticket.readings.units import find, same

_AND_FRONT = ("front", "rear")


def measurement_of(reading: Reading, body: Body) -> Measurement:
    """The measurement; one that is asked about keeps its value and has no limits, so that nothing judges it.

    Args:
        reading: what was read.
        body: the text it was read in.
    """
    amount = reading.amount
    unit = _unit(reading)
    judged = reading.limits is not None and not reading.asked and not amount.asked
    return Measurement(
        value=amount.text,
        unit=unit,
        to=amount.to,
        than=amount.than,
        at=_places(reading.places),
        of=_spans(
            body.bare,
            reading.subject[1:] if reading.subject[:1] and reading.subject[0].letter == "o" else reading.subject,
        ),
        when=_spans(body.bare, [token for token in reading.when if token not in reading.subject]),
        limits=_limits(reading.limits, unit, body) if judged and reading.limits else None,
        uncertainty=amount.pm,
    )


def _unit(reading: Reading) -> str:
    if reading.amount.unit or not reading.amount.bare:
        return reading.amount.unit
    counted = ("count", "cnt", "misfire")
    return "count" if any(token.text.startswith(counted) for token in reading.subject) else ""


def _places(places: Places) -> tuple[str, ...]:
    """The positions in words; a side and an end are one: left front."""
    words = dict(places)
    side, end = words.get("side", ""), words.get("end", "")
    both = f"{side} {end}" if side in ("left", "right") and end in _AND_FRONT else ""
    out: list[str] = []
    for direction, word in places:
        if both and direction in ("side", "end"):
            if both not in out:
                out.append(both)
        else:
            out.append(word)
    return tuple(out)


_SMALL = Regex(
    r"\s*(?:(?:at|of|to|on|in|by|for|from|the|a|and|between|across|with|without|through)\s+|[+&/-]\s*)?\Z", re.I
)


def _spans(text: str, tokens: Sequence[Token]) -> tuple[Span, ...]:
    """Where tokens stand; neighbours with nothing but a space or a small word between them are one piece."""
    spans: list[Span] = []
    for token in sorted(tokens, key=lambda one: one.start):
        if token.text.startswith("\0"):
            spans.append(Span(token.start + 1, token.end - 1))  # inside its quote marks
            continue
        if spans and token.start >= spans[-1].end and _SMALL.match(text, spans[-1].end, token.start):
            spans[-1] = replace(spans[-1], end=token.end)
        elif not spans or token.start >= spans[-1].end:
            spans.append(Span(token.start, token.end))
    return tuple(spans)


def _limits(given: GivenLimits, unit: str, body: Body) -> Limits:
    """Limits as they were typed, with their unit where that is not the reading's."""
    typed = next((amount.unit for amount in given.amounts if not amount.bare), unit)
    one, other = find(typed), find(unit)
    foreign = one is not None and other is not None and not same(typed, unit) and one.dimension == other.dimension
    fields = {
        name: amount
        for name, amount in (
            ("low", given.low),
            ("high", given.high),
            ("nominal", given.nominal),
            ("tol", given.tolerance),
        )
        if amount is not None
    }
    texts = {name: amount.text for name, amount in fields.items()}
    spread = given.spread
    return Limits(
        low=texts.get("low", ""),
        high=texts.get("high", ""),
        nominal=texts.get("nominal", ""),
        tol=texts.get("tol", ""),
        spread=spread.text if spread else "",
        spread_unit=(spread.unit or unit) if spread else "",
        source=given.source if isinstance(given.source, str) else body.cut(*given.source).text,
        unit=typed if foreign else "",
    )
