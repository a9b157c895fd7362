"""Charges a local rule forbids or ties to conditions, and duties that go with the work."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from fractions import Fraction

from ticket.job.numbers import exact
from ticket.money.prices import Fee, PriceList
from ticket.rules.pack import Pack, Source, chain, first, source
from ticket.rules.pack_rows import ChargeRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Charge:
    """Whether a charge may be made.

    Attributes:
        allowed: it may stand on the paper as it is.
        unmet: what would have to be so first.
        words: a sentence the paper must carry with it.
        source: the rule behind it; ``None`` where no rule was read.
    """

    allowed: bool
    unmet: tuple[str, ...] = ()
    words: str = ""
    source: Source | None = None
    note: str = ""


def may_charge(pack: Pack, charge: str, amount: int, met: Collection[str] = ()) -> Charge:
    """Whether a charge of so many cents may be made, given the conditions that are met (``rows.CONDITIONS``).

    A sentence that must stand on the estimate does not refuse the charge: it comes back in ``words``, to be printed.
    """
    found = first(pack, "charges", fits=lambda row: row.charge == charge)
    if found is None:
        return Charge(allowed=True)
    where, row = found
    unmet = tuple(_unmet(row, amount, met))
    return Charge(
        allowed=row.rule == "allowed" and not unmet,
        unmet=unmet,
        words=row.words,
        source=source(where, row),
        note=row.note,
    )


def _unmet(row: ChargeRow, amount: int, met: Collection[str]) -> Iterator[str]:
    if row.rule == "forbidden":
        yield f"no line for {row.charge}"
    yield from (need for need in row.needs if need not in met and need != "words on estimate")
    below, fixed = exact(row.below), exact(row.amount)
    if below is not None and amount >= below * 100:
        yield f"less than {row.below}"
    if fixed is not None and amount != fixed * 100:
        yield f"{row.amount} for each"


def fee_conditions(fee: Fee, prices: PriceList) -> frozenset[str]:
    """The conditions a fee meets by the way the price list declares it."""
    met = {
        "amount not percent": not fee.percent,
        "waste id printed": bool(prices.details.waste_id),
        "law and sum named": bool(fee.law and fee.amount),
        "itemised on invoice": True,
    }
    return frozenset(condition for condition, holds in met.items() if holds)


def fee_charges(pack: Pack, prices: PriceList, met: Collection[str] = ()) -> tuple[tuple[Fee, Charge], ...]:
    """Every fee of a price list under a pack; the same line is banned here, needs a sentence there.

    ``met`` holds conditions the papers meet. A fee by the piece is asked about by the piece.
    """
    return tuple(
        (fee, may_charge(pack, fee.charge, _sum(fee), {*met, *fee_conditions(fee, prices)})) for fee in prices.fees
    )


def _sum(fee: Fee) -> int:
    value = (exact(fee.amount or fee.cap) or Fraction(0)) * 100
    return value.numerator // value.denominator


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """A duty in words, with where it stands."""

    duty: str
    source: Source


def duties(pack: Pack, topic: str) -> tuple[Duty, ...]:
    """What a pack and those it inherits from say about a topic that no figure decides."""
    return tuple(
        Duty(duty=row.duty, source=source(one, row)) for one in chain(pack) for row in one.duties if row.topic == topic
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsDuty:
    """What is owed about the parts taken off: the duty, whether this part must be given back, what to print."""

    duty: str
    give_back: bool
    say: str
    source: Source


def parts_duty(pack: Pack, *, asked: bool = False, declined: bool = False, kinds: Collection[str] = ()) -> PartsDuty:
    """Whether a part must be given back.

    Args:
        pack: the local rules.
        asked: the customer asked for the parts (in writing, where the law wants that).
        declined: the customer does not want them.
        kinds: which exemptions fit the part: ``exchange``, ``warranty``, ``heavy``, ``soaked``, ``free``.
    """
    where, row = next((one, row) for one in chain(pack) for row in one.parts)
    exempt = bool(set(row.exempt) & set(kinds))
    wanted = not declined if row.duty in ("give back", "unless declined", "offer") else asked and row.duty != "show"
    return PartsDuty(
        duty=row.duty, give_back=wanted and not exempt, say=row.say if exempt else "", source=source(where, row)
    )
