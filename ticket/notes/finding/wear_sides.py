"""On which side a thing passes its one limit: what wears off falls below it, what wears out rises above it.

The tables are common practice, no source, but where one is named.
"""

from collections.abc import Iterator

from ticket.notes.finding.stated import Reading
from ticket.notes.finding.tokens import GivenLimits

_WEARS_DOWN = (
    "pad", "lining", "linings", "shoe", "rotor", "disc", "disk", "tread", "thick", "brush", "friction", "tyre", "tire",
)  # fmt: skip
_WEARS_UP = (
    "drum", "play", "runout", "run-out", "gap", "clearance", "travel", "stroke", "stretch", "draw", "leak", "backlash",
    "drop", "slack", "moisture", "water", "drain", "soot", "drift", "imbalance", "difference", "variation",
        "lash", "force", "effort", "bore", "taper", "wear", "elongation", "sag", "free", "pushrod", "loss", "lost",
    "ripple", "delta", "smoke", "warp", "conductiv", "rock", "looseness", "endfloat", "end-float", "end float",
    "endplay", "restriction", "backpressure",
    "bent", "parasitic", "error", "drag", "deviation", "wobble", "deflection", "lateral", "radial",
)  # fmt: skip
_SIZES = frozenset({"length", "height"})
_EMITTED = frozenset({"co", "hc", "nox", "opacity"})
"""What is emitted has a largest value alone (UN Regulation No. 83 and the laws on roadworthiness tests)."""
_NO_DISC = ("discharg", "discon", "discol", "discov")
_TOOLS = frozenset({"tester", "gauge", "pump", "tool"})
_MOST_IS_THE_LIMIT = frozenset({"time", "current", "temperature"})
"""Of these one limit is the largest, whatever was measured: a time, a draw, a heat."""
_FREEZING = frozenset({"coolant", "antifreeze", "freeze", "freezing", "washer", "fluid", "glycol", "mix"})


def wear_side(reading: Reading) -> str:
    """The side on which a thing passes its limit: what wears off falls below it, what wears out rises above it."""
    words = [token.text for token in reading.subject]
    if any(word in _TOOLS for word in words):
        return ""
    if {"back", "pressure"} <= set(words):
        return "high"
    if not _SIZES.isdisjoint(words):
        return ""  # "spring free length 312, limit 318": how long or high it is says nothing of its wear
    worn = [side for word in reversed(words) for side in _sides_of(word)]
    down, up = "low" in worn[:1], "high" in worn[:1]  # the last noun says what was measured: disc runout, drum lining
    if reading.amount.dimension == "length":
        up = up or any(word.removesuffix("s").endswith("joint") for word in words)  # what is measured of it is its play
    if not (down or up):
        up = reading.amount.dimension in _MOST_IS_THE_LIMIT and not _FREEZING.intersection(words)
    return "" if down == up else "low" if down else "high"


def _sides_of(word: str) -> Iterator[str]:
    """On which sides what is called by this word passes its limit."""
    if word.startswith(_WEARS_DOWN) and not word.startswith(_NO_DISC):
        yield "low"
    if word.startswith(_WEARS_UP) or word in _EMITTED:
        yield "high"


def side_of_new(reading: Reading, given: GivenLimits) -> str:
    """``49.3 mm, new 50.8, wear limit 49.0``: it wears from what it was new towards its limit."""
    new = reading.limits.nominal if reading.limits else None
    if new is None or given.wear is None or None in (new.value, given.wear.value) or new.value == given.wear.value:
        return ""
    return "low" if (given.wear.value or 0) < (new.value or 0) else "high"


def needed_side(reading: Reading, given: GivenLimits) -> str:
    """What it needs is the least; of a point of freezing it is the warmest, and of wear nobody knows what is meant."""
    words = {token.text for token in reading.subject}
    if _FREEZING & words and reading.amount.dimension in ("temperature", ""):
        return "high" if given.wear and given.wear.signed else ""
    if reading.amount.dimension in ("time", "length", "temperature") or any(w.startswith(_WEARS_UP) for w in words):
        return "low" if any(word.startswith(_WEARS_DOWN) for word in words) else ""
    return "low"
