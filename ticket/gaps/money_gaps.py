"""Questions about money: what was agreed, what is billed, and what the local rules want on paper."""

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from ticket.gaps.gap import ADVICE, BLOCKING, Gap
from ticket.money.amount import grouped
from ticket.rules.paper_duties import BY_SIGNING

if TYPE_CHECKING:
    from ticket.rules.account import Account

MoneyRule = Callable[["Account"], Iterator[Gap]]


def bill_above_approved(account: "Account") -> Iterator[Gap]:
    """No payer is billed more than was agreed and the local rules allow."""
    for side in account.sides:
        limit = side.verdict.allowed
        if limit is not None and side.verdict.billed > limit.allowed:
            whose = "" if side.payer == "customer" else f"{side.payer}: "
            question = f"{whose}{side.verdict.reason} What was said to it? Add: told: ..., yes; total ..."
            yield Gap("bill-above-approved", BLOCKING, question)


def bill_not_approved(account: "Account") -> Iterator[Gap]:
    """No work is billed that is still being thought over; a no and a missing answer have rules of their own."""
    for side in account.sides:
        open_answers = {offer.answer for offer in side.agreement.offers if offer.kind == "offer"} - {"yes"}
        if side.verdict.entries and open_answers == {"thinks"}:
            yield Gap("bill-not-approved", BLOCKING, side.verdict.reason, side.verdict.entries[0])


def sum_not_agreed(account: "Account") -> Iterator[Gap]:
    """Somebody who pays has said yes to a sum; without a price list no offer by hours has one."""
    for side in account.sides if account.priced else ():
        if side.verdict.word != "within" and side.verdict.allowed is None and not side.verdict.entries:
            whose = "" if side.payer == "customer" else f"{side.payer}: "
            yield Gap("sum-not-agreed", ADVICE, f"{whose}{side.verdict.reason} Add: told: ..., yes; total ...")


def labour_in_sum(account: "Account") -> Iterator[Gap]:
    """Without a price list labour has no price; where a sum was agreed somebody says whether that holds it."""
    side = account.customer
    hours = [line for line in account.bill.lines if line.unpriced and line.unit == "h" and line.pays != "shop"]
    approved = side.agreement.approved
    if not account.priced and hours and approved is not None and side.verdict.billed < approved:
        sums = f"{grouped(approved)} was agreed and the bill is {grouped(side.verdict.billed)}"
        question = (
            f"These hours have no price, and {sums}. Is the labour in that sum? "
            "A labour rate would price it: in the settings, or ticket shop prices FILE."
        )
        yield Gap("labour-in-sum", ADVICE, question, hours[0].no)


def consent_incomplete(account: "Account") -> Iterator[Gap]:
    """The record of a yes holds what the local rules want written down."""
    lacking: dict[int, list[str]] = {}
    for no, fault in account.consent:
        lacking.setdefault(no, []).append(fault.missing)
    for no, fields in lacking.items():
        source = next(fault.source for entry, fault in account.consent if entry == no)
        question = f"The record of this yes lacks: {', '.join(fields)} ({source.words})."
        yield Gap("consent-incomplete", ADVICE, question, no)


def paper_incomplete(account: "Account") -> Iterator[Gap]:
    """The invoice carries what a rule forbids it to be given out without; what signing gives is not asked for first."""
    lacking = [field for field in account.blocking if field.field not in BY_SIGNING]
    for rules in dict.fromkeys(field.source.rules for field in lacking):
        mine = [field for field in lacking if field.source.rules == rules]
        words = "; ".join(field.words for field in mine)
        question = f"The invoice may not be given out without: {words} ({mine[0].source.words})."
        yield Gap("paper-incomplete", BLOCKING, question)


def fee_refused(account: "Account") -> Iterator[Gap]:
    """No fee stands on the bill that the local rules refuse."""
    for fee, charge in account.refused:
        source = f" ({charge.source.words})" if charge.source else ""
        question = f"{fee.name} may not be charged like this: {'; '.join(charge.unmet)}{source}."
        yield Gap("fee-refused", BLOCKING, question)


def bill_doubtful(account: "Account") -> Iterator[Gap]:
    """Every line of the bill is clear; a shop without a price list is not asked about prices."""
    for doubt in account.doubts:
        if account.priced or doubt.about not in ("rate", "price"):
            level = BLOCKING if doubt.about == "tax" else ADVICE  # every sum that was agreed to may be another one
            yield Gap(f"bill-{doubt.about}", level, doubt.text, doubt.no or None)


RULES: tuple[MoneyRule, ...] = (
    bill_above_approved,
    bill_not_approved,
    sum_not_agreed,
    labour_in_sum,
    consent_incomplete,
    paper_incomplete,
    fee_refused,
    bill_doubtful,
)
