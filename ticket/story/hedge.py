"""How sure a cause is: the evidence picks the word, not the writer."""

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Found, Proof
from ticket.job.regex import Regex
from ticket.readings.balance_line import balance_of
from ticket.readings.groups import measures, prose
from ticket.readings.pairing import judge_entry
from ticket.story.context import Job
from ticket.story.words.observed import observed

_HEDGE = Regex(
    r"(?i)\A\s*(?:(?:most|very)\s+)?(?:prob(?:ably|able)?|likely|maybe|perhaps|possibl[ey]|susp(?:ected|ect)?)\.?(?=[\s:,])[:,]?\s*"
)


def without_hedge(text: str) -> tuple[str, bool]:
    """The text without a hedge in front ("prob stuck thermostat"), and whether there was one."""
    match = _HEDGE.match(text)
    return (text[match.end() :], True) if match and match.end() < len(text) else (text, False)


def confirmed(job: Job, entry: Entry) -> bool:
    """Whether a cause rests on a finding that is out of limits or saw the fault itself, and no hedge was typed."""
    fact = entry.fact
    if not isinstance(fact, Cause) or fact.sure == "likely" or without_hedge(fact.text)[1]:
        return False
    return any(_shows(job, found) for ref in job.seen(fact.refs) if (found := job.entry(ref)) is not None)


def computed(job: Job, entry: Entry) -> bool:
    """Whether a cause rests on nothing but balances of two reservoirs: then the readings fit it, and no more."""
    fact = entry.fact
    if not isinstance(fact, Cause):
        return False
    found = [job.entry(ref) for ref in job.seen(fact.refs)]
    facts = [one.fact for one in found if one is not None]
    return bool(facts) and all(isinstance(one, Found) and balance_of(one) is not None for one in facts)


def _shows(job: Job, entry: Entry) -> bool:
    fact = entry.fact
    if isinstance(fact, Code):
        return False
    if not isinstance(fact, Found | Proof):
        return False
    if isinstance(fact, Found) and balance_of(fact) is not None:
        return False
    if measures(fact):
        words = [verdict.word for verdict in judge_entry(job.ticket, entry, job.case.earlier)]
        return any(word in ("low", "high") for word in words) or bool(fact.seen)
    seen = observed(prose(fact))
    return seen.sense != "good"
