"""Units of the trade: which spellings are accepted, and exact conversion between those of one dimension.

The table is ``units.tsv`` beside this file, with the source of every factor. It is read on first use.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path

NAMES: tuple[str, ...]
"""Every accepted spelling, longest first; made on first use."""


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit.

    Attributes:
        name: the spelling the program itself uses, plain ASCII, such as ``kOhm``.
        dimension: what it measures; only units of one dimension convert.
        factor: size in the base unit of the dimension.
        offset: what is added after the factor (temperatures only).
        one: as told to a customer after exactly 1, such as ``volt``.
        many: the same after any other number, such as ``volts``.
        sign: as printed, such as ``kΩ``.
        glued: no space stands before the sign.
    """

    name: str
    dimension: str
    factor: Fraction
    offset: Fraction
    one: str
    many: str
    sign: str
    glued: bool


@dataclass(frozen=True, slots=True)
class _Table:
    exact: dict[str, Unit]
    blind: dict[str, Unit | None]  # None where two units differ in nothing but case
    names: tuple[str, ...]


def _fraction(text: str) -> Fraction:
    if text.isdecimal():
        return Fraction(int(text))
    top, _, bottom = text.partition("/")
    return Fraction(top) / Fraction(bottom) if bottom else Fraction(top)


def _rows() -> Iterator[tuple[Unit, list[str]]]:
    text = Path(__file__).with_name("units.tsv").read_text(encoding="utf-8")
    lines = [line for line in text.split("\n") if line and not line.startswith("#")]
    for line in lines[1:]:
        name, aliases, dimension, factor, offset, one, many, sign, glued, _source = line.split("\t")
        unit = Unit(name, dimension, _fraction(factor), _fraction(offset), one, many, sign, glued == "yes")
        yield unit, [name, *(alias for alias in aliases.split(", ") if alias)]


@cache
def _table() -> _Table:
    exact: dict[str, Unit] = {}
    blind: dict[str, Unit | None] = {}
    for unit, spellings in _rows():
        for spelling in spellings:
            exact[spelling] = unit
            folded = spelling.casefold()
            blind[folded] = unit if blind.get(folded, unit) is unit else None
    return _Table(exact, blind, tuple(sorted(exact, key=lambda name: (-len(name), name))))


def __getattr__(name: str) -> tuple[str, ...]:
    """``NAMES`` on first use, so that importing this module reads no file."""
    if name == "NAMES":
        return _table().names
    raise AttributeError(name)


def find(text: str) -> Unit | None:
    """The unit of that spelling: as written first, then in any case if only one unit fits.

    A single letter must be written as listed: ``M`` is no metre and ``S`` no second. ``mohm`` fits both a
    thousandth and a million of an ohm, so it fits neither.
    """
    table = _table()
    text = " ".join(text.split())
    unit = table.exact.get(text)
    if unit is None and len(text) > 1:
        unit = table.blind.get(text.casefold())
    return unit


def same(a: str, b: str) -> bool:
    """True where both spellings name one unit; spellings that are no unit must be equal."""
    one, other = find(a), find(b)
    if one is None or other is None:
        return one is other and a.strip() == b.strip()
    return one is other


def convert(value: Fraction, from_unit: str, to_unit: str) -> Fraction | None:
    """A value in another unit, exactly; ``None`` when a unit is unknown or measures something else."""
    return _change(value, from_unit, to_unit, point=True)


def convert_gap(value: Fraction, from_unit: str, to_unit: str) -> Fraction | None:
    """A difference (tolerance, spread, gauge step) in another unit: as :func:`convert`, without the offset.

    9 degrees Fahrenheit of tolerance are 5 degrees Celsius, not minus 12.8.
    """
    return _change(value, from_unit, to_unit, point=False)


def _change(value: Fraction, from_unit: str, to_unit: str, *, point: bool) -> Fraction | None:
    if same(from_unit, to_unit):
        return value
    one, other = find(from_unit), find(to_unit)
    if one is None or other is None or one.dimension != other.dimension:
        return None
    base = value * one.factor + (one.offset - other.offset if point else 0)
    return base / other.factor
