"""How sure a cause is: what was typed and what shows it pick the word, not the writer."""

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Found, Proof, Says
from ticket.job.likeness import content_words, shared
from ticket.job.offer_answers import CUSTOMER, contacts
from ticket.job.regex import Regex
from ticket.job.ticket import Ticket
from ticket.language.subjects import BAD, GOOD, clauses, sense_of
from ticket.readings.measured_groups import measures, prose
from ticket.readings.pairing import judge_entry
from ticket.readings.reservoir_balance_line import balance_of
from ticket.story.context import Job

_HEDGE = Regex(
    r"(?i)\A\s*(?:(?:most|very)\s+)?(?:prob(?:ably|able)?|likely|maybe|perhaps|possibl[ey]|susp(?:ected|ect)?)\.?(?=[\s:,])[:,]?\s*"
)
_NOT_FOUND = Regex(
    r"(?i)\A\s*(?:(?:the )?cause )?(?:"
    r"(?:not|never|none|nothing) (?:yet )?(?:found|known|determined|identified|clear|sure)|unknown|undetermined|"
    r"(?:could not|couldn['’]?t|can['’]?t|cannot|did not|didn['’]?t) (?:be )?"
    r"(?:find|found|tell|say|determine|identify|reproduce|duplicate)|"
    r"no (?:fault|cause|problem|trouble) found|nff|npf|ntf|cnd)\b"
)


def without_hedge(text: str) -> tuple[str, bool]:
    """The text without a hedge in front ("prob stuck thermostat"), and whether there was one."""
    match = _HEDGE.match(text)
    return (text[match.end() :], True) if match and match.end() < len(text) else (text, False)


def confirmed(job: Job, entry: Entry) -> bool:
    """Whether a cause is told as certain: no hedge was typed, and a finding that it names shows the fault.

    One typed as certain needs no more than that the findings it names, if any, do not speak against it: nobody may
    have judged what was read. One not typed so that names no finding is certain where the customer knows it already.
    """
    fact = entry.fact
    if not isinstance(fact, Cause) or fact.sure == "likely" or without_hedge(fact.text)[1]:
        return False
    if not fact.refs:
        return fact.sure == "certain" or known_to_customer(job.ticket, fact)
    found = [one for ref in job.seen(fact.refs) if (one := job.entry(ref)) is not None]
    if fact.sure == "certain" and any(unjudged(job, one) for one in found):
        return True
    return any(shows(job, one) for one in found)


def unjudged(job: Job, entry: Entry) -> bool:
    """Whether a finding or a test holds readings that no limit judged, so that only a person knows what they show."""
    if not isinstance(entry.fact, Found | Proof) or not measures(entry.fact):
        return False
    return any(verdict.word in ("none", "undecided") for verdict in judge_entry(job.ticket, entry, job.case.earlier))


def known_to_customer(ticket: Ticket, cause: Cause) -> bool:
    """Whether the customer knows a cause: said yes on hearing of it, or named it in the complaint.

    To doubt it in writing afterwards, for want of a finding's number, would take back what was said.
    """
    named = content_words(cause.text)
    complaints = (one.fact.text for one in ticket.living if isinstance(one.fact, Says))
    number = next((one.no for one in ticket.living if one.fact is cause), 0)
    return any(0 < len(named) == shared(cause.text, said) for said in complaints) or any(
        contact.payer == CUSTOMER and not contact.entry.struck and contact.entry.no > number
        for contact in contacts(ticket)
        if any(answer.answer == "yes" for answer in contact.fact.answers)
    )


def not_found(cause: Cause) -> bool:
    """Whether what was put down as the cause says that none was found."""
    return _NOT_FOUND.match(cause.text) is not None


def computed(job: Job, entry: Entry) -> bool:
    """Whether a cause rests on nothing but balances of two reservoirs: then the readings fit it, and no more."""
    fact = entry.fact
    if not isinstance(fact, Cause):
        return False
    found = [job.entry(ref) for ref in job.seen(fact.refs)]
    facts = [one.fact for one in found if one is not None]
    return bool(facts) and all(isinstance(one, Found) and balance_of(one) is not None for one in facts)


def shows(job: Job, entry: Entry) -> bool:
    """Whether a finding or a test shows that something is wrong."""
    fact = entry.fact
    if isinstance(fact, Code):
        return False
    if not isinstance(fact, Found | Proof):
        return False
    if isinstance(fact, Found) and balance_of(fact) is not None:
        return False
    if measures(fact):
        words = [verdict.word for verdict in judge_entry(job.ticket, entry, job.case.earlier)]
        stated = sense_of(clauses(prose(fact))) == BAD  # "stuck at 212 F" needs no limit
        return any(word in ("low", "high") for word in words) or bool(fact.seen) or stated
    return sense_of(clauses(prose(fact))) != GOOD
