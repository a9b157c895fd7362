"""All the rules, and the one call that asks them."""

from typing import TYPE_CHECKING

from ticket.gaps import (
    agreed_gaps,
    clock_gaps,
    code_gaps,
    complaint_gaps,
    diagnosis_gaps,
    earlier_visit_gaps,
    header_gaps,
    money_gaps,
    order_gaps,
    part_gaps,
    payer_gaps,
    phrase_gaps,
    picture_gaps,
    place_gaps,
    privacy_gaps,
    reference_gaps,
    repair_gaps,
    rewording_gaps,
    shop_only_gaps,
    unread_gaps,
    wording_gaps,
)
from ticket.gaps.gap import BLOCKING, Gap, Rule
from ticket.job.case import Case

if TYPE_CHECKING:
    from ticket.rules.account import Account

RULES: tuple[Rule, ...] = (
    *header_gaps.RULES,
    *earlier_visit_gaps.RULES,
    *complaint_gaps.RULES,
    *reference_gaps.RULES,
    *diagnosis_gaps.RULES,
    *code_gaps.RULES,
    *repair_gaps.RULES,
    *part_gaps.RULES,
    *agreed_gaps.RULES,
    *clock_gaps.RULES,
    *order_gaps.RULES,
    *picture_gaps.RULES,
    *place_gaps.RULES,
    *payer_gaps.RULES,
    *unread_gaps.RULES,
    *wording_gaps.RULES,
    *shop_only_gaps.RULES,
    *privacy_gaps.RULES,
    rewording_gaps.rewording_outdated,
    phrase_gaps.phrase_met_thrice,
)


def find_gaps(case: Case, account: "Account | None" = None) -> tuple[Gap, ...]:
    """Every gap of a ticket: blocking ones first, then in the order of the entries they point at.

    ``account`` is the money of the same ticket; without it nothing is asked about money.
    """
    gaps = [gap for rule in RULES for gap in rule(case)]
    if account is not None:
        gaps += [gap for ask in money_gaps.RULES for gap in ask(account)]
    return tuple(sorted(gaps, key=lambda gap: (gap.level != BLOCKING, gap.entry or 0, gap.id)))


def blocking(gaps: tuple[Gap, ...]) -> tuple[Gap, ...]:
    """The gaps that signing has to answer."""
    return tuple(gap for gap in gaps if gap.level == BLOCKING)
