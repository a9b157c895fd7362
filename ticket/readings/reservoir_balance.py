"""Two neighbouring reservoirs: which single explanation do the amounts in them support?

Linear data reconciliation with two measured changes (weighted least squares): each explanation predicts how much is
missing or too much on either side; the misfit is the chi-square of what it leaves unexplained. An outside leak and
an earlier short fill predict the same amounts, so no balance can separate them, and two faults at once can explain
anything: both are said in the result, never hidden.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import erfc, exp, hypot, sqrt

from ticket.job.numbers import step
from ticket.job.values import Limits, Quantity, Run, Value
from ticket.readings.digits import number
from ticket.readings.units import convert, convert_gap, find
from ticket.readings.verdict import judge

DRAINED, TOOK, LET_OUT, LEVEL = "drained", "took", "let out", "level"

# Assumptions of this program, no published source; each is overridden by a typed "+/-" or "at ... degC".
EXPANSION = 7e-4  # per kelvin, mineral gear oil; a handbook figure from memory
KNOWN_HEAT = 5.0  # kelvin, standard uncertainty of a typed temperature
UNKNOWN_HEAT = 25.0  # kelvin, when none was typed and 20 degrees are assumed
FILL_SHARE, FILL_LEAST = (
    0.02,
    3e-5,
)  # how exactly a reservoir gets filled: share of the amount, at least m3 (or 0.03 kg)

# Upper 5 % points of chi-square with one and with two degrees of freedom (any table of the distribution).
_CRITICAL = {1: 3.841, 2: 5.991}


@dataclass(frozen=True, slots=True)
class Reservoir:
    """One side of a balance, as typed.

    Attributes:
        name: what people call it.
        measure: ``drained`` (all that was in it, against what belongs in it), ``took`` (what it needed to be full),
            ``let out`` (what ran out above the full mark) or ``level`` (a height against its mark).
        amount: what was measured.
        amount_pm: typed half-width of the measurement, empty when none.
        expected: what belongs in it, for ``drained``.
        expected_pm: typed half-width of the expected amount.
        heat: temperature of the drained fluid.
        limits: allowed heights, for ``level``; without them anything below 0 is low and above 0 is over.
    """

    name: str
    measure: str
    amount: Quantity
    amount_pm: str = ""
    expected: Quantity | None = None
    expected_pm: str = ""
    heat: Quantity | None = None
    limits: Limits | None = None


@dataclass(frozen=True, slots=True)
class Balance:
    """Two reservoirs that share a seal, and whether the outside was ``wet``, ``dry`` or not looked at (empty)."""

    first: Reservoir
    second: Reservoir
    outside: str = ""


@dataclass(frozen=True, slots=True)
class AmountChange:
    """What is missing (below 0) or too much, in one unit, with its standard uncertainty."""

    delta: float
    u: float


@dataclass(frozen=True, slots=True)
class Explanation:
    """One way the fluid may have gone, alone.

    Attributes:
        id: ``nothing``, ``first lost``, ``second lost``, ``first over``, ``second over``, ``first to second`` or
            ``second to first``.
        fits: whether it alone explains the amounts; ``None`` where levels cannot say.
        misfit: chi-square of what it leaves unexplained; ``None`` for levels.
        freedom: degrees of freedom of the misfit.
        chance: probability of so large a misfit if the explanation were true.
        amount: how much it would have moved, in the unit of the first reservoir.
        amount_u: standard uncertainty of that.
    """

    id: str
    fits: bool | None
    misfit: float | None = None
    freedom: int = 1
    chance: float | None = None
    amount: float | None = None
    amount_u: float | None = None


@dataclass(frozen=True, slots=True)
class BalanceCause:
    """A cause behind an explanation that fits.

    Attributes:
        id: ``outside leak``, ``earlier short fill``, ``earlier over-fill`` or ``passing seal``.
        of: name of the reservoir it concerns; for a seal, the one that gave.
        standing: ``supported`` (by amounts), ``pointed to`` (by levels) or ``open``; for an outside leak also
            ``seen`` or ``not seen``, as typed: no balance tells it from an earlier short fill.
    """

    id: str
    of: str
    standing: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a balance supports, excludes and leaves open.

    Attributes:
        state: ``normal``; ``supported`` (by amounts one explanation fits and no other); ``points to`` (the same by
            levels, which never show how much moved); ``cannot tell`` (several fit); ``none alone`` (no single one
            fits: two things happened, or a figure is wrong).
        by: ``amounts`` or ``levels``.
        unit: unit of the amounts.
        explanations: all of them, best fit first.
        causes: what stands behind those that fit.
        ask: facts that would decide more: ``measure again``, ``outside``, ``last fill``, ``fluid kind``, ``recheck``.
        heat_assumed: names of the reservoirs whose temperature was not given.
    """

    state: str
    by: str
    unit: str
    explanations: tuple[Explanation, ...]
    causes: tuple[BalanceCause, ...]
    ask: tuple[str, ...]
    heat_assumed: tuple[str, ...] = ()

    @property
    def single(self) -> str:
        """Id of the one explanation that fits while no other does; empty where there is none."""
        alone = self.state in ("supported", "points to")
        return next((item.id for item in self.explanations if item.fits), "") if alone else ""


def weigh(balance: Balance) -> Outcome:
    """Weigh the amounts, or where there are none the levels, of two neighbouring reservoirs."""
    unit = balance.first.amount.unit
    first, second = change_of(balance.first, unit), change_of(balance.second, unit)
    if first and second:
        by, explanations = "amounts", explain(first, second)
    else:
        by, unit, explanations = "levels", "", by_level(state_of(balance.first), state_of(balance.second))
    state = _state(explanations, "supported" if by == "amounts" else "points to")
    causes = _causes(balance, explanations, state) if state != "normal" else ()
    assumed = tuple(
        side.name
        for side in (balance.first, balance.second)
        if by == "amounts" and side.measure == DRAINED and side.heat is None and _dimension(side) == "volume"
    )
    return Outcome(state, by, unit, explanations, causes, _ask(balance, causes, state), assumed)


def explain(first: AmountChange, second: AmountChange) -> tuple[Explanation, ...]:
    """Every single explanation of two changes: ``nothing`` first where it fits, then the best fit.

    Both uncertainties must be more than 0.
    """
    x, y = first.delta / first.u, second.delta / second.u
    all_of_it = x * x + y * y
    both = 1 / first.u**2 + 1 / second.u**2
    across = (second.delta / second.u**2 - first.delta / first.u**2) / both
    left_over = (first.delta + second.delta) ** 2 / (first.u**2 + second.u**2)
    found = [
        _judged("nothing", all_of_it, 2, 0.0, hypot(first.u, second.u)),
        _one_way("first lost", -first.delta, y * y, all_of_it, first.u),
        _one_way("second lost", -second.delta, x * x, all_of_it, second.u),
        _one_way("first over", first.delta, y * y, all_of_it, first.u),
        _one_way("second over", second.delta, x * x, all_of_it, second.u),
        _one_way("first to second", across, left_over, all_of_it, 1 / sqrt(both)),
        _one_way("second to first", -across, left_over, all_of_it, 1 / sqrt(both)),
    ]
    return tuple(sorted(found, key=lambda item: (not item.fits, item.id != "nothing", item.misfit)))


def _one_way(name: str, amount: float, misfit: float, without: float, u: float) -> Explanation:
    """An amount cannot be negative: then nothing moved this way, and the misfit is that of no movement."""
    if amount > 0:
        return _judged(name, misfit, 1, amount, u)
    return Explanation(
        name, fits=False, misfit=without, freedom=1, chance=erfc(sqrt(without / 2)), amount=0.0, amount_u=u
    )


def _judged(name: str, misfit: float, freedom: int, amount: float, u: float) -> Explanation:
    chance = erfc(sqrt(misfit / 2)) if freedom == 1 else exp(-misfit / 2)
    return Explanation(name, misfit <= _CRITICAL[freedom], misfit, freedom, chance, amount, u)


def by_level(first: str, second: str) -> tuple[Explanation, ...]:
    """What ``low``, ``right`` and ``over`` levels alone can say.

    A loss too small to lower a wide reservoir visibly may still fill a narrow neighbour, so a seal is never excluded
    while one side is right and the other is not.
    """
    states = (first, second)
    if "" in states:
        names = (
            "nothing",
            "first lost",
            "second lost",
            "first over",
            "second over",
            "first to second",
            "second to first",
        )
        return tuple(Explanation(name, None) for name in names)
    one_right = states.count("right") == 1
    found = [
        Explanation("nothing", states == ("right", "right")),
        Explanation("first lost", states == ("low", "right")),
        Explanation("second lost", states == ("right", "low")),
        Explanation("first over", states == ("over", "right")),
        Explanation("second over", states == ("right", "over")),
        _through("first to second", first, second, one_right=one_right),
        _through("second to first", second, first, one_right=one_right),
    ]
    return tuple(sorted(found, key=lambda item: {True: 0, None: 1, False: 2}[item.fits]))


def _through(name: str, giver: str, taker: str, *, one_right: bool) -> Explanation:
    if giver == "low" and taker == "over":
        return Explanation(name, fits=True)
    possible = one_right and (giver == "low" or taker == "over")
    return Explanation(name, None if possible else False)


def _state(explanations: tuple[Explanation, ...], alone: str) -> str:
    if any(item.id == "nothing" and item.fits for item in explanations):
        return "normal"
    if any(item.fits is None for item in explanations):
        return "cannot tell"
    fitting = sum(1 for item in explanations if item.fits)
    return ("none alone", alone)[fitting] if fitting < 2 else "cannot tell"


def _causes(balance: Balance, explanations: tuple[Explanation, ...], state: str) -> tuple[BalanceCause, ...]:
    standing = {"supported": "supported", "points to": "pointed to"}.get(state, "open")
    leak = {"wet": "seen", "dry": "not seen"}.get(balance.outside, "open")
    names = {"first": balance.first.name, "second": balance.second.name}
    causes = []
    for item in explanations:
        side, _, what = item.id.partition(" ")
        if item.fits is False or not what:
            continue
        if what == "lost":
            causes += [
                BalanceCause("outside leak", names[side], leak),
                BalanceCause("earlier short fill", names[side], "open"),
            ]
        else:
            causes.append(
                BalanceCause("earlier over-fill" if what == "over" else "passing seal", names[side], standing)
            )
    return tuple(causes)


def _ask(balance: Balance, causes: tuple[BalanceCause, ...], state: str) -> tuple[str, ...]:
    ids = {cause.id for cause in causes}
    torn = state == "none alone"
    asks = {
        "measure again": torn,
        "outside": (torn or "outside leak" in ids) and not balance.outside,
        "last fill": torn or bool(ids & {"earlier short fill", "earlier over-fill"}),
        "fluid kind": torn or "passing seal" in ids,
        "recheck": bool(ids & {"earlier short fill", "passing seal"}),
    }
    return tuple(name for name, wanted in asks.items() if wanted)


def _dimension(side: Reservoir) -> str:
    unit = find(side.amount.unit)
    return unit.dimension if unit else ""


def state_of(side: Reservoir) -> str:
    """``low``, ``right`` or ``over``; empty where the figures do not decide."""
    if side.measure == LEVEL:
        limits = side.limits or Limits(low="0", high="0")
        verdict = judge(Run((Value(side.amount.number),), side.amount.unit, limits))[0]
        return {"low": "low", "in": "right", "high": "over"}.get(verdict.word, "")
    change = change_of(side, side.amount.unit)
    if change is None:
        return ""
    if abs(change.delta) <= 1.96 * change.u:
        return "right"
    return "low" if change.delta < 0 else "over"


def change_of(side: Reservoir, unit: str) -> AmountChange | None:
    """What is missing or too much in a reservoir at 20 degrees; ``None`` for a level or units that do not fit."""
    amount = _in(side.amount, unit)
    if side.measure == LEVEL or amount is None or _dimension(side) not in ("volume", "mass"):
        return None
    measured_u = _u(side.amount_pm, side.amount, unit)
    if side.measure != DRAINED:
        u = hypot(measured_u, _fill_u(float(amount), unit))
        return AmountChange(float(amount) if side.measure == LET_OUT else -float(amount), u)
    expected = _in(side.expected, unit) if side.expected else None
    if expected is None:
        return None
    full_u = _u(side.expected_pm, side.expected, unit) if side.expected_pm else _fill_u(float(expected), unit)
    heat, heat_u = _heat(side)
    cold = float(amount) / (1 + EXPANSION * (heat - 20)) if heat_u else float(amount)
    return AmountChange(cold - float(expected), hypot(measured_u, full_u, cold * EXPANSION * heat_u))


def _in(quantity: Quantity, unit: str) -> Fraction | None:
    value = number(quantity.number)
    return None if value is None else convert(value, quantity.unit, unit)


def _u(typed: str, amount: Quantity | None, unit: str) -> float:
    """A typed half-width of a rectangle (GUM 4.3.7), else half the last digit typed."""
    half = number(typed) if typed else (step(amount.number) if amount else None)
    width = None if half is None or amount is None else convert_gap(abs(half), amount.unit, unit)
    return float(width or 0) / sqrt(3 if typed else 12)


def _fill_u(amount: float, unit: str) -> float:
    known = find(unit)
    least = 0.0 if known is None else FILL_LEAST / float(known.factor) * (1000 if known.dimension == "mass" else 1)
    return max(abs(amount) * FILL_SHARE, least)


def _heat(side: Reservoir) -> tuple[float, float]:
    """Temperature in degrees Celsius and its uncertainty; a weighed fluid needs neither."""
    if _dimension(side) == "mass":
        return 20.0, 0.0
    heat = _in(side.heat, "degC") if side.heat else None
    return (20.0, UNKNOWN_HEAT) if heat is None else (float(heat), KNOWN_HEAT)
