"""A balance typed in one line, inside the text of a finding.

    balance: fan drive drained 1.02 L of 1.40 at 60 degC; engine drained 1.58 L of 1.20; outside dry
    balance: fan drive took 0.38 L; engine let out 0.35 +/- 0.05 L
    balance: fan drive level -14 mm (-3 to 0); engine level +6 mm (max 0)

Each reservoir is: its name, ``drained`` AMOUNT ``of`` AMOUNT, or ``took``, ``let out`` or ``level`` AMOUNT; ``+/-``
behind a figure gives its half-width, ``at`` a temperature. Last, ``outside dry`` or ``outside wet``. The semicolons
may be missing. Anything else is no balance.
"""

import re
from fractions import Fraction

from ticket.job.kinds import Found
from ticket.job.numbers import NUMBER, SIGNED
from ticket.job.regex import Regex
from ticket.job.values import Limits, Quantity, Run
from ticket.readings.digits import number
from ticket.readings.reservoir_balance import DRAINED, LEVEL, Balance, Reservoir
from ticket.readings.units import convert, find

_LONGEST = 400  # characters; also keeps the expressions below in linear time
_PM = rf"(?: ?(?:\+/-|\+-|±) ?({NUMBER}))?"
_UNIT = r"(imp fl oz|imp [a-z]{2,3}|fl oz|[A-Za-z]{1,12})"
_START = Regex(r"balance ?: ?", re.IGNORECASE)
_SIDE = Regex(
    rf"([^;,:()]{{1,60}}?) (drained|took|let out|level) ({SIGNED}){_PM} ?{_UNIT}\b"
    rf"(?: of ({NUMBER}){_PM}(?: ?(?!at\b|outside\b){_UNIT}\b)?)?"
    rf"(?: at ({SIGNED}) ?(°C|°F|[A-Za-z]{{1,4}})(?![A-Za-z]))?(?: \(([^()]{{1,40}})\))?(?: ?[;,](?: and)? ?| |$)",
    re.IGNORECASE,
)
_MARKS = Regex(r'"| =(?= )')  # a line written with marks keeps its parts apart; a balance has parts of its own
_OUTSIDE = Regex(r"outside (?:is |was )?(dry|wet)\.?\Z", re.IGNORECASE)
_RANGE = Regex(rf"({SIGNED}) ?(?:to|\.\.\.?) ?({SIGNED})\Z")
_ONE_SIDED = Regex(rf"(min|max) ({SIGNED})\Z", re.IGNORECASE)
_COLDEST, _HOTTEST = -60, 200  # degrees Celsius a fluid may have


def parse_balance(text: str) -> Balance | None:
    """The balance a text states, or ``None`` when it states none. Total, in linear time."""
    if len(text) > _LONGEST:
        return None
    text = " ".join(text.split())
    start = _START.match(text)
    if start is None:
        return None
    at = start.end()
    sides: list[Reservoir] = []
    while len(sides) < 2:
        match = _SIDE.match(text, at)
        side = _side(match) if match else None
        if match is None or side is None:
            return None
        sides.append(side)
        at = match.end()
    rest = text[at:]
    outside = _OUTSIDE.match(rest)
    if (rest and not outside) or sides[0].name.casefold() == sides[1].name.casefold():
        return None
    return Balance(sides[0], sides[1], outside.group(1).lower() if outside else "")


def balance_of(fact: Found) -> Balance | None:
    """The balance a finding states, also where its reader took one of the figures for a reading."""
    if fact.measurements:
        return parse_balance(_MARKS.sub("", fact.what))
    parts = (fact.what, _run_text(fact.run) if fact.run else "", fact.seen)
    return parse_balance(" ".join(part for part in parts if part))


def _run_text(run: Run) -> str:
    figures = " ".join(f"{value.label} {value.number}".strip() for value in run.values)
    limits = run.limits
    text = f"{figures} {run.unit}"
    if limits is None:
        return text
    if limits.low and limits.high:
        return f"{text} ({limits.low} to {limits.high})"
    return f"{text} (min {limits.low})" if limits.low else f"{text} (max {limits.high})" if limits.high else text


def _measured_so(measure: str, dimension: str, value: Fraction | None) -> bool:
    """Whether an amount may be told this way: a level is a length, all else a volume or mass that is not negative."""
    if measure == LEVEL:
        return dimension == "length" and value is not None
    return dimension in ("volume", "mass") and value is not None and value >= 0


def _dimension(unit: str) -> str:
    known = find(unit)
    return known.dimension if known else ""


def _heat(typed: str | None, unit: str) -> Quantity | None:
    """A temperature that a fluid can have; ``None`` where none is typed, or nobody would believe it."""
    warm = Quantity(typed, unit) if typed else None
    return warm if warm and _believable(warm) else None


def _side(match: "re.Match[str]") -> Reservoir | None:
    name, measure, amount, amount_pm, unit, expected, expected_pm, expected_unit, heat, heat_unit, bracket = (
        match.groups()
    )
    measure = measure.lower()
    dimension = _dimension(unit)
    if not _measured_so(measure, dimension, number(amount)) or (measure == DRAINED) != (expected is not None):
        return None
    limits = _limits(bracket) if bracket and measure == LEVEL else None
    if bracket and limits is None:
        return None
    full = _expected(expected, expected_unit or unit, dimension) if expected else None
    warm = _heat(heat, heat_unit)
    if (expected and full is None) or (heat and warm is None):
        return None
    return Reservoir(
        name.strip(), measure, Quantity(amount, unit), amount_pm or "", full, expected_pm or "", warm, limits
    )


def _expected(typed: str, unit: str, dimension: str) -> Quantity | None:
    known, value = find(unit), number(typed)
    return Quantity(typed, unit) if known and known.dimension == dimension and value else None


def _believable(heat: Quantity) -> bool:
    typed = number(heat.number)
    celsius = None if typed is None else convert(typed, heat.unit, "degC")
    return celsius is not None and _COLDEST <= celsius <= _HOTTEST


def _limits(text: str) -> Limits | None:
    text = re.sub(r",? per [^,]{1,30}\Z", "", text.strip())
    both, one = _RANGE.match(text), _ONE_SIDED.match(text)
    if both:
        return Limits(low=both.group(1), high=both.group(2))
    if one:
        return Limits(low=one.group(2)) if one.group(1).lower() == "min" else Limits(high=one.group(2))
    return None
