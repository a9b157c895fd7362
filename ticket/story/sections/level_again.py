"""Why a level is read again: after a right fill, one that falls again fits a leak, one that stays does not."""

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Found, Later
from ticket.readings.measured_groups import names
from ticket.readings.pairing import Compared, judge_entry, measured, taken_last
from ticket.story.context import Job
from ticket.story.facts.certainty import confirmed


def level_again(job: Job, entry: Entry, later: Later) -> list[Entry]:
    """The findings of levels that stood too low, were filled right and have no proved cause; else none."""
    if "level" not in later.text.lower():
        return []
    letters = set(job.letters_of(entry))
    low = [one for one, fact in job.each(Found) if _low(job, one, fact) and set(job.letters_of(one)) & letters]
    settled = any(confirmed(job, one) for one, _ in job.each(Cause) if set(job.letters_of(one)) & letters)
    return low if any(_filled(job, one) for one in low) and not settled else []


def _low(job: Job, entry: Entry, fact: Found) -> bool:
    if not any("level" in name.lower() for name in names(fact)):
        return False
    return any(verdict.word == "low" for verdict in judge_entry(job.ticket, entry, job.case.earlier))


def _filled(job: Job, low: Entry) -> bool:
    """Whether each level that stood too low was read again, and stood right the last time."""
    ticket, earlier = job.ticket, job.case.earlier
    again = taken_last(ticket, low)
    found = measured(ticket, low, earlier).groups
    levels = ["level" in taken.what.lower() for taken in found for _ in taken.run.values]
    judged = zip(again, levels, judge_entry(ticket, low, earlier), strict=True)
    wanted = [last for last, level, verdict in judged if level and verdict.word == "low"]
    return bool(wanted) and all(last is not None and _right(job, last) for last in wanted)


def _right(job: Job, last: Compared) -> bool:
    entry = job.entry(last.ref)
    return entry is not None and judge_entry(job.ticket, entry, job.case.earlier)[last.at].word not in ("low", "high")
