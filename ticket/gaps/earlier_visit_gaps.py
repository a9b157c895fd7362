"""Questions about earlier tickets of the vehicle: what waits, what came back, what was done before."""

from collections.abc import Iterator

from ticket.followups.recheck import recheck
from ticket.followups.thread import MEASURED
from ticket.followups.threads import threads
from ticket.gaps.gap import ADVICE, Gap, Rule
from ticket.gaps.named_in_work import head, place_clash, renewed, things
from ticket.gaps.ticket_lookup import each, serviced, small
from ticket.job.case import Case
from ticket.job.entry import refs_of
from ticket.job.kinds import Cause, Code, Did, Offer, Says, Used
from ticket.job.likeness import content_words, shared
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.story.facts.labour_kinds import mends

_ALIKE = 2  # shared words that make two complaints the same


def _answers(ticket: Ticket) -> Iterator[Ref]:
    """Every entry of another ticket that a living entry of this one speaks of."""
    for entry in ticket.living:
        for _, ref in refs_of(entry.fact):
            if ref.ticket:
                yield ref


def _linked(case: Case) -> set[str]:
    """The tickets this one says it has to do with."""
    back = {fact.back_from for _, fact in each(case, Says) if fact.back_from}
    return back | {str(ref.ticket) for ref in _answers(case.ticket)}


def _recent(case: Case) -> Iterator[tuple[Ticket, int]]:
    """Earlier tickets within the come-back window that nothing here speaks of, with their age in days."""
    linked = _linked(case)
    for ticket in case.earlier:
        days = (case.ticket.opened - ticket.opened).days
        if 0 <= days <= case.settings.comeback_days and str(ticket.number) not in linked:
            yield ticket, days


def earlier_waiting(case: Case) -> Iterator[Gap]:
    """Deferred work of an earlier visit is looked at or said to wait."""
    before = [ticket for ticket in case.earlier if ticket.opened < case.ticket.opened]
    now = {thread.ref: thread for thread in threads((*before, case.ticket), dict(case.follows))}
    for thread in threads(before, dict(case.follows)):
        looked = any(look.ref.ticket == case.ticket.number for look in now[thread.ref].looks)
        if thread.waits and now[thread.ref].waits and not looked:
            name, text = f"{thread.ref.ticket}/{thread.ref.no}", thread.fact.text
            question = f"“{text}” waits from ticket {name}. Was it looked at? Answer: later: {text}; for {name};"
            yield Gap("earlier-waiting", ADVICE, f"{question} done here, or: looked at, still waits")


def measured_undecided(case: Case) -> Iterator[Gap]:
    """What waits and was measured again gets its answer: settled, or waits on, until when."""
    for thread in threads((case.ticket, *case.earlier), dict(case.follows)):
        here = [look for look in thread.looks if look.ref.ticket == case.ticket.number]
        if thread.waits and here and all(look.what == MEASURED for look in here):
            name = f"{thread.ref.ticket}/{thread.ref.no}"
            found = recheck(thread, (case.ticket, *case.earlier), case.ticket.number)
            again = f"; in {found.next}" if found is not None and found.next is not None else ""
            question = f"“{thread.fact.text}” was measured again. Does it wait on? Answer:"
            answer = f"later: for {name}; looked at, still waits{again}"
            yield Gap("measured-undecided", ADVICE, f"{question} {answer}", here[0].ref.no)


def comeback_unlinked(case: Case) -> Iterator[Gap]:
    """The same code or complaint within the come-back window is said to be a come-back (W21; 67 Pa. Code 301.5(7))."""
    if any(fact.back_from for _, fact in each(case, Says)):
        return
    for ticket, days in _recent(case):
        if not any(isinstance(entry.fact, Did) and mends(entry.fact) for entry in ticket.living):
            continue
        again = _same_code(case, ticket) or _same_complaint(case, ticket)
        if again is not None:
            no, words = again
            question = f"{words} on ticket {ticket.number} {days} days ago. Is this a come-back?"
            yield Gap("comeback-unlinked", ADVICE, f"{question} Add to the complaint: ; back from {ticket.number}", no)
            return


def _same_code(case: Case, ticket: Ticket) -> tuple[int, str] | None:
    before = {fact.code for fact in (e.fact for e in ticket.living) if isinstance(fact, Code)} - {"none"}
    return next(((e.no, f"{fact.code} was") for e, fact in each(case, Code) if fact.code in before), None)


def _same_complaint(case: Case, ticket: Ticket) -> tuple[int, str] | None:
    said = [entry.fact.text for entry in ticket.living if isinstance(entry.fact, Says)]
    for entry, fact in each(case, Says):
        if not serviced(case, entry) and any(shared(fact.text, text) >= _ALIKE for text in said):
            return entry.no, "Much the same was said"
    return None


def repaired_before(case: Case) -> Iterator[Gap]:
    """An earlier repair of the same thing within the come-back window is mentioned (auditor's list, row 13)."""
    recent = list(_recent(case))
    for entry in case.ticket.living if recent else ():
        if not isinstance(entry.fact, Cause | Offer | Did) or serviced(case, entry):
            continue
        now = things(entry.fact.text) if isinstance(entry.fact, Cause) else renewed(entry.fact.text)
        for ticket, days in recent:
            done = _done(ticket, now, entry.fact.text)
            if done:
                question = f"“{done}” was done on ticket {ticket.number} {days} days ago. Does this have to do with it?"
                yield Gap("repaired-before", ADVICE, f"{question} Say so in the complaint or a note.", entry.no)
                return


def _done(ticket: Ticket, now: tuple[str, ...], text: str) -> str:
    """The earlier piece of work that renewed one of these things; small pieces and fluids do not count."""
    for entry in ticket.living:
        if not isinstance(entry.fact, Did):
            continue
        for part in renewed(entry.fact.text):
            big = not small(Used(text=part)) and "filter" not in part
            same = any(head(part) == head(thing) and content_words(part) <= content_words(thing) for thing in now)
            if big and same and not place_clash(entry.fact.text, text):
                return entry.fact.text
    return ""


RULES: tuple[Rule, ...] = (
    earlier_waiting,
    measured_undecided,
    comeback_unlinked,
    repaired_before,
)
