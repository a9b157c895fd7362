"""What is owed to the customer about the price before the work begins."""

from dataclasses import dataclass
from fractions import Fraction

from ticket.job.numbers import exact
from ticket.rules.pack import Pack, Source, chain, source
from ticket.rules.pack_rows import EstimateRow, ScopeRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Owed:
    """Whether something is owed, what, what the customer may choose between, and how they may do without."""

    owed: bool
    what: str
    choices: tuple[str, ...]
    waiver: str
    source: Source
    note: str = ""


def estimate_owed(pack: Pack, cost: int | None, *, contact: str = "face to face", requested: bool = False) -> Owed:
    """Whether an estimate, a choice or a written authorisation is owed for a job.

    Args:
        pack: the local rules.
        cost: what the job is expected to cost the customer, in cents; ``None`` where nobody knows yet, which
            counts as above every floor.
        contact: ``face to face`` or ``remote``.
        requested: the customer asked for an estimate.

    Where the law does not reach the job at all, the source is the row that says so.
    """
    where, row = next(
        (one, row)
        for one in chain(pack)
        for wanted in (contact, "any")
        for row in one.estimate
        if row.contact == wanted
    )
    scope = where.scope[0] if where.scope else None
    unreached = scope is not None and cost is not None and outside(cost, scope)
    return Owed(
        owed=not unreached and _triggered(row, cost, requested=requested),
        what=row.owed,
        choices=row.choices,
        waiver=row.waiver,
        source=source(where, scope if scope is not None and unreached else row),
        note=row.note,
    )


def outside(cost: int, scope: ScopeRow) -> bool:
    """Whether the law of a pack does not reach a job of so many cents."""
    low, high = exact(scope.not_above), exact(scope.not_over)
    return (low is not None and cost <= low * 100) or (high is not None and cost > high * 100)


def _triggered(row: EstimateRow, cost: int | None, *, requested: bool) -> bool:
    if row.trigger == "never" or (row.trigger == "on request" and not requested):
        return False
    floor = (exact(row.amount) or Fraction(0)) * 100 if row.amount else None
    if row.trigger == "always" or floor is None or cost is None:
        return True
    return cost >= floor if row.trigger == "from" else cost > floor
