"""How much may be charged above what was agreed, and from which sum on consent is needed again."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from ticket.job.numbers import exact
from ticket.money.amount import cents, grouped
from ticket.rules.owed import outside
from ticket.rules.pack import Pack, chain, source
from ticket.rules.pack_rows import OverrunRow, ScopeRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """What else decides how much may be charged.

    Attributes:
        case: what was agreed: ``estimate``, ``no estimate``, ``price limit`` or ``diagnosis only``.
        asked_to_be_called: the customer asked to be called before any excess.
        estimate_asked: the customer asked for the estimate.
    """

    case: str = "estimate"
    asked_to_be_called: bool = False
    estimate_asked: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowed:
    """How far a bill may go; sums in cents.

    Attributes:
        rules: pack and row that decided, such as ``US-FL/overrun``.
        estimate: what was agreed.
        allowed: the most that may be charged without asking again.
        consent_from: the least for which consent is needed.
        status: ``C`` read in the law, ``S`` in a secondary text, ``M`` from memory.
        before_tax: the law measures both before sales tax.
        source: citation and status as they are shown.
        asked: the pack that was asked; another it inherits from may have decided.
        beyond: for each rule that was asked first and does not reach the sum, where it begins or ends, with its source.
    """

    rules: str
    estimate: int
    allowed: int
    consent_from: int
    citation: str
    status: str
    before_tax: bool = False
    source: str = ""
    note: str = ""
    asked: str = ""
    beyond: tuple[str, ...] = ()


def allowed(estimate: int, pack: Pack, options: Situation | None = None) -> Allowed:
    """How much may be charged when so many cents were agreed; where no law reaches the sum, nothing above them.

    limit = base + min(cap, combine(percent x base, amount)); a ceiling, so it is rounded down to the cent. Where
    consent is needed *at* the limit, the last cent below it is allowed.
    """
    situation = options or Situation()
    reaching = (one for one in chain(pack) if not any(outside(estimate, scope) for scope in one.scope))
    rows = ((one, row) for one in reaching for row in one.overrun if _fits(row, estimate, situation))
    found = next(rows, None)
    if found is None:  # the neutral pack has a row for every case, so only an unknown case comes here
        raise ValueError(f"unknown case {situation.case!r}")
    where, row = found
    limit = _limit(row, estimate, situation)
    most = ceil(limit) - 1 if row.consent == "at" and row.combine != "none" else floor(limit)
    base = 0 if row.case == "no estimate" else estimate
    most = max(most, base)
    told = source(where, row)
    return Allowed(
        rules=told.rules,
        estimate=estimate,
        allowed=most,
        consent_from=most + 1,
        citation=row.citation,
        status=row.status,
        before_tax=row.before_tax,
        source=told.words,
        note=row.note,
        asked=pack.id,
        beyond=tuple(_beyond(pack, where, estimate, situation)),
    )


def compare(estimate: int, packs: Iterable[Pack], options: Situation | None = None) -> tuple[Allowed, ...]:
    """The same question under several packs, the strictest first."""
    return tuple(sorted((allowed(estimate, pack, options) for pack in packs), key=lambda one: (one.allowed, one.rules)))


def _fits(row: OverrunRow, estimate: int, situation: Situation) -> bool:
    if row.case != situation.case or (row.asked_only and not situation.estimate_asked):
        return False
    low, high = exact(row.start or "0") or Fraction(0), exact(row.below)
    return low * 100 <= estimate and (high is None or estimate < high * 100)


def _start(row: OverrunRow) -> Fraction:
    """The sum in cents from which a row holds; below any estimate where it names none."""
    return (exact(row.start) or Fraction(0)) * 100 if row.start else Fraction(-1)


def _beyond(pack: Pack, decided: Pack, estimate: int, situation: Situation) -> Iterator[str]:
    """Where the rules begin and end that stand before the one that decided, and do not reach the sum."""
    for one in chain(pack):
        if one is decided:
            return
        mine = [row for row in one.overrun if row.case == situation.case]
        for scope in one.scope if mine else ():
            if words := _bounds(scope, estimate):
                yield f"{one.id}/{scope.id} does not reach this sum: {words} ({source(one, scope).words})."
        if mine and all(_start(row) > estimate for row in mine):
            row = min(mine, key=_start)
            begins = f"it begins at {grouped(cents(row.start) or 0)}"
            yield f"{one.id}/{row.id} does not reach this sum: {begins} ({source(one, row).words})."


def _bounds(scope: ScopeRow, estimate: int) -> str:
    if not outside(estimate, scope):
        return ""
    low, high = cents(scope.not_above), cents(scope.not_over)
    below = low is not None and estimate <= low
    return f"it begins above {grouped(low or 0)}" if below else f"it ends at {grouped(high or 0)}"


def _limit(row: OverrunRow, estimate: int, situation: Situation) -> Fraction:
    base = Fraction(0) if row.case == "no estimate" else Fraction(estimate)
    by_percent = base * (exact(row.percent) or 0) / 100
    by_amount = (exact(row.amount) or Fraction(0)) * 100
    more = {
        "lesser": min(by_percent, by_amount),
        "greater": max(by_percent, by_amount),
        "percent": by_percent,
        "amount": by_amount,
        "none": Fraction(0),
    }[row.combine]
    if row.void_if == "asked to be called" and situation.asked_to_be_called:
        more = Fraction(0)
    cap = exact(row.cap)
    return base + (more if cap is None else min(more, cap * 100))
