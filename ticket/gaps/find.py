"""All the rules, and the one call that asks them."""

from typing import TYPE_CHECKING

from ticket.gaps import (
    asking,
    clock,
    codes,
    diagnosis,
    earlier,
    header,
    inside,
    met_again,
    money,
    order,
    parts,
    payer,
    repair,
    rewording,
    shown,
    unread,
    wording,
)
from ticket.gaps.gap import BLOCKING, Gap, Rule
from ticket.job.case import Case

if TYPE_CHECKING:
    from ticket.rules.account import Account

RULES: tuple[Rule, ...] = (
    *header.RULES,
    *earlier.RULES,
    *asking.RULES,
    *diagnosis.RULES,
    *codes.RULES,
    *repair.RULES,
    *parts.RULES,
    *clock.RULES,
    *order.RULES,
    *shown.RULES,
    *payer.RULES,
    *unread.RULES,
    *wording.RULES,
    *inside.RULES,
    rewording.rewording_outdated,
    met_again.phrase_met_thrice,
)


def find_gaps(case: Case, account: "Account | None" = None) -> tuple[Gap, ...]:
    """Every gap of a ticket: blocking ones first, then in the order of the entries they point at.

    ``account`` is the money of the same ticket; without it nothing is asked about money.
    """
    gaps = [gap for rule in RULES for gap in rule(case)]
    if account is not None:
        gaps += [gap for ask in money.RULES for gap in ask(account)]
    return tuple(sorted(gaps, key=lambda gap: (gap.level != BLOCKING, gap.entry or 0, gap.id)))


def blocking(gaps: tuple[Gap, ...]) -> tuple[Gap, ...]:
    """The gaps that signing has to answer."""
    return tuple(gap for gap in gaps if gap.level == BLOCKING)
