"""The units parts and fluids are sold by, so that a price for a litre fits an amount in quarts."""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path

_PIECES = frozenset({"", "x", "pc", "pcs", "each", "ea"})


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of trade: what it measures and its exact size in that dimension's base unit."""

    name: str
    dimension: str
    size: Fraction


@cache
def _units() -> dict[str, Unit]:
    lines = (Path(__file__).parent / "units.tsv").read_text("utf-8").splitlines()
    rows = [line.split("\t") for line in lines if line and not line.startswith("#")]
    return {name: Unit(name, dimension, Fraction(size)) for name, dimension, size, _ in rows}


def find(name: str) -> Unit | None:
    """The unit of that name, in its exact case or, where only one fits, in any; ``None`` for pieces and others."""
    units = _units()
    if name in units:
        return units[name]
    folded = [unit for key, unit in units.items() if key.casefold() == name.casefold()]
    return folded[0] if len(folded) == 1 else None


def measured(name: str) -> bool:
    """True for a unit of volume or mass: what it measures out is a fluid (or a gas), not a piece."""
    unit = find(name)
    return unit is not None and unit.dimension in ("volume", "mass")


def factor(of: str, per: str) -> Fraction | None:
    """How many ``per`` one ``of`` is: ``factor("qt", "L")`` is 0.946352946; ``None`` where they do not compare."""
    if of == per or (of in _PIECES and per in _PIECES):
        return Fraction(1)
    one, other = find(of), find(per)
    if one is None or other is None or one.dimension != other.dimension:
        return None
    return one.size / other.size
