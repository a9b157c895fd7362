"""Questions about the order of things: order, yes, work, test, signature (E10; auditor's list, rows 1, 10 and 17)."""

from collections.abc import Iterator

from ticket.gaps.gap import ADVICE, BLOCKING, Gap, Rule
from ticket.gaps.ticket_lookup import claimed, each, with_it
from ticket.job.case import Case
from ticket.job.kinds import Did, Later, Proof, Says, Told
from ticket.job.wall import calendar_day, local_day
from ticket.story.facts.labour_kinds import mends


def told_out_of_order(case: Case) -> Iterator[Gap]:
    """A contact that answers stands between the opening of the ticket and today, by its typed date."""
    opened = local_day(case.ticket.opened)
    for entry, fact in each(case, Told):
        when = fact.at.partition(" ")[0] if "-" in fact.at else ""
        if not when or not fact.answers:
            continue
        day = calendar_day(when)
        if day is None:
            yield Gap("told-out-of-order", BLOCKING, f"{when} is no day. On which day was the answer given?", entry.no)
        elif not opened <= day <= case.today:
            place = "before the ticket was opened" if day < opened else "in the future"
            question = f"The answer is dated {when}, {place}. Is the date right?"
            yield Gap("told-out-of-order", BLOCKING, question, entry.no)


def later_date_past(case: Case) -> Iterator[Gap]:
    """Work is put off to a day that is still to come (W14)."""
    for entry, fact in each(case, Later):
        day = calendar_day(fact.date)
        if fact.date and day is None:
            yield Gap("later-date-past", BLOCKING, f"{fact.date} is no day. Which day is meant?", entry.no)
        elif day is not None and not fact.answer and day <= local_day(entry.at):
            yield Gap("later-date-past", BLOCKING, f"{fact.date} has passed already. Which day is meant?", entry.no)


def proof_before_repair(case: Case) -> Iterator[Gap]:
    """A test that shows the repair worked comes after it; only the order of the lines is known."""
    for entry, fact in each(case, Did):
        if not mends(fact):
            continue
        proofs = [other.no for other in with_it(case, entry) if isinstance(other.fact, Proof)]
        if proofs and max(proofs) < entry.no:
            question = (
                f"The last test, entry {max(proofs)}, stands before this work. Was it tested again? Add: proof: ..."
            )
            yield Gap("proof-before-repair", ADVICE, question, entry.no)
            return


def complaint_after_work(case: Case) -> Iterator[Gap]:
    """For a payer, the complaint is dated before the work (auditor's list, row 1)."""
    begun = min((entry.at for entry, _ in each(case, Did)), default=None)
    if begun is None or not claimed(case):
        return
    for entry, _ in each(case, Says):
        if entry.at > begun:
            question = "This complaint was typed after work had begun. When did the customer say it?"
            yield Gap("complaint-after-work", ADVICE, question, entry.no)


def changed_after_signing(case: Case) -> Iterator[Gap]:
    """What is added after signing is an amendment with its reason (F.S. 559.920(6), no altering of records)."""
    closed = case.ticket.closed
    for entry in case.ticket.living:
        if closed is not None and entry.at > closed and not (entry.amended and entry.reason):
            question = "This was written after the ticket was signed, without a reason. Amend it: ticket amend"
            yield Gap("changed-after-signing", BLOCKING, question, entry.no)


RULES: tuple[Rule, ...] = (
    told_out_of_order,
    later_date_past,
    proof_before_repair,
    complaint_after_work,
    changed_after_signing,
)
