"""The running bill against what was agreed, as the first sentence of a ticket. Pure."""

from ticket.grid.rows import Row, Span, wrap
from ticket.job.case import Case
from ticket.money.amount import grouped
from ticket.rules.account import Account, Side
from ticket.rules.agreement_verdict import WITHIN


def bill_rows(account: Account | None, case: Case, width: int) -> list[Row]:
    """What is billed so far, how much of the agreed sum is left, and how far the local rules let it go.

    One sentence a payer; nothing while nothing is billed and no sum was agreed.
    """
    rows: list[Row] = []
    for side in account.sides if account else ():
        if side.verdict.billed or side.verdict.approved is not None:
            style = "ink" if side.verdict.word == WITHIN or side.verdict.approved is None else "bad"
            spans = [Span("Bill: ", "strong"), *_sentence(side, case.settings.currency, style)]
            if account and not account.priced and any(entry.kind == "did" for entry in case.ticket.living):
                spans.append(Span(" Labour is not in it: the shop has no price list.", "quiet"))
            rows += wrap(spans, width, rest="  ")
    return rows


def _sentence(side: Side, sign: str, style: str) -> list[Span]:
    verdict = side.verdict
    who = "" if side.payer == "customer" else f" for {side.payer}"
    so_far = f"so far {sign}{grouped(verdict.billed)}{who}"
    if verdict.approved is None:
        return [Span(f"{so_far}; no sum is agreed yet.")]
    left = verdict.approved - verdict.billed
    kind = "up to" if side.agreement.ceiling else "agreed"
    words = [Span(f"{kind} {sign}{grouped(verdict.approved)}, {so_far}; ")]
    words.append(
        Span(
            f"{sign}{grouped(left)} left" if left >= 0 else f" {sign}{grouped(-left)} over ",
            "strong" if left >= 0 else "bad",
        )
    )
    limit = verdict.allowed
    if limit is not None and limit.allowed > verdict.approved:
        words.append(Span(f"; up to {sign}{grouped(limit.allowed)} without asking again"))
        words.append(Span(f" ({limit.citation})", "quiet"))
    if verdict.word != WITHIN:
        words.append(Span(f"; {verdict.word}", style))
    return [*words, Span(".")]
