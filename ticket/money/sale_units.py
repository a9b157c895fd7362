"""How a price for one unit fits an amount in another: the units of the trade, as parts and fluids are sold by them."""

from fractions import Fraction

from ticket.readings.units import convert_gap, find

_PIECES = frozenset({"", "x", "pc", "pcs", "each", "ea"})


def measured(name: str) -> bool:
    """True for a unit of volume or mass: what it measures out is a fluid (or a gas), not a piece."""
    unit = find(name)
    return unit is not None and unit.dimension in ("volume", "mass")


def factor(of: str, per: str) -> Fraction | None:
    """How many ``per`` one ``of`` is: ``factor("qt", "L")`` is 0.946352946; ``None`` where they do not compare."""
    if of == per or (of in _PIECES and per in _PIECES):
        return Fraction(1)
    return convert_gap(Fraction(1), of, per)
