"""Whether a bill stands within what was agreed: the agreement, the bill and the local rules in one answer."""

from dataclasses import dataclass, replace

from ticket.job.kinds import Did, Used
from ticket.job.text import fold
from ticket.job.ticket import Ticket
from ticket.money.agreement import Agreement
from ticket.money.amount import grouped
from ticket.money.bill import Bill
from ticket.rules.overrun import Allowed, Situation, allowed
from ticket.rules.pack import Pack

WITHIN, ASK_FIRST, NOT_APPROVED = "within", "ask first", "not approved"

_DIAGNOSIS = ("diagnos", "find the cause", "troubleshoot")


@dataclass(frozen=True, slots=True, kw_only=True)
class AgreementVerdict:
    """Whether a bill may be presented.

    Attributes:
        word: ``within``, ``ask first`` or ``not approved``.
        billed: what the payer is to pay, in cents, on the basis the estimates were given in.
        approved: what was agreed to; ``None`` where no sum was.
        allowed: how far the local rules let the bill go; ``None`` where no sum was agreed.
        basis: ``with tax`` or ``before tax``: both sums are measured alike.
        entries: entries billed for work nobody agreed to.
        reason: one sentence.
    """

    word: str
    billed: int
    approved: int | None
    allowed: Allowed | None
    basis: str
    reason: str
    entries: tuple[int, ...] = ()


def verdict(
    ticket: Ticket,
    bill: Bill,
    agreed: Agreement,
    pack: Pack,
    *,
    quotes: str = "with tax",
    options: Situation | None = None,
) -> AgreementVerdict:
    """Whether what a payer is billed stands within what they agreed to.

    Args:
        ticket: the ticket, for what each line carries out.
        bill: its bill.
        agreed: what the payer agreed to.
        pack: the local rules.
        quotes: whether the sums told were ``with tax`` or ``before tax`` (``PriceList.quotes``): like is compared
            with like.
        options: what is known of the situation; the case follows from the answers unless it is given.
    """
    billed = bill.told_to(agreed.payer, quotes)
    uncovered = _not_agreed(ticket, bill, agreed)
    limit = None
    if agreed.approved is not None:
        limit = allowed(agreed.approved, pack, _situation(agreed, options))
    word, reason = _judge(billed, agreed, limit, uncovered)
    if billed <= 0 and bill.unpriced:
        reason = "Nothing is billed: a line has no price."
    return AgreementVerdict(
        word=word,
        billed=billed,
        approved=agreed.approved,
        allowed=limit,
        basis=quotes,
        reason=reason,
        entries=uncovered,
    )


def _judge(billed: int, agreed: Agreement, limit: Allowed | None, uncovered: tuple[int, ...]) -> tuple[str, str]:
    if billed <= 0:
        return WITHIN, "Nothing is left to pay."
    if uncovered:
        return NOT_APPROVED, f"Entry {', '.join(map(str, uncovered))} bills work that nobody said yes to."
    if not agreed.said_yes:
        return NOT_APPROVED, "Nobody has said yes to the work."
    if limit is None:
        return ASK_FIRST, "There is a yes, but no sum was agreed."
    if billed > limit.allowed:
        agreed_to = f"{grouped(limit.estimate)} was agreed and {grouped(limit.allowed)} is the most without asking"
        return ASK_FIRST, f"The bill is {grouped(billed)}; {agreed_to}."
    return WITHIN, f"The bill is {grouped(billed)}; up to {grouped(limit.allowed)} may be charged."


def _situation(agreed: Agreement, options: Situation | None) -> Situation:
    """The case as the answers show it: a limit set by the payer, or a diagnosis after which the repair was declined."""
    situation = options or Situation()
    if situation.case != "estimate":
        return situation
    if agreed.ceiling:
        return replace(situation, case="price limit")
    said_yes = [offer for offer in agreed.offers if offer.answer == "yes"]
    only_diagnosis = said_yes and all(any(word in fold(offer.text) for word in _DIAGNOSIS) for offer in said_yes)
    if only_diagnosis and agreed.answered("no"):
        return replace(situation, case="diagnosis only")
    return situation


def _not_agreed(ticket: Ticket, bill: Bill, agreed: Agreement) -> tuple[int, ...]:
    """Entries the payer is billed for that carry out offers of which none has their yes."""
    answers = {offer.no: offer.answer for offer in agreed.offers}
    found = []
    for no in sorted({line.no for line in bill.lines if line.borne_by(agreed.payer) > 0}):
        entry = ticket.entry(no)
        refs = entry.fact.refs if entry and isinstance(entry.fact, Did | Used) else ()
        offers = [ref.no for ref in refs if ref.ticket in (0, ticket.number) and ref.no in answers]
        if offers and not any(answers[offer] == "yes" for offer in offers):
            found.append(no)
    return tuple(found)
