"""The state of each concern in a few words, for lists of the shop: computed from its opening, never typed."""

from dataclasses import dataclass

from ticket.job.case import Case
from ticket.job.kinds import Says
from ticket.job.values import Ref
from ticket.story.context import SHARED, Job
from ticket.story.facts.first_sentence import opening

_WORDS = {
    "untouched": "not looked at",
    "unseen": "not reproduced",
    "again.unseen": "not reproduced",
    "recheck": "looked at again",
    "recheck.good": "looked at again, in order",
    "recheck.bad": "looked at again, not in order",
    "serviced": "work done",
    "done": "work done",
    "done.tested": "work done",
    "checked": "work done",
    "seen": "looked at",
    "tested": "looked at",
    "known": "worked on, no repair for certain",
    "repaired": "repaired",
    "not proved": "cause known but not proved",
    "fixed": "put right",
    "untested": "repaired, not tested yet",
    "open test": "repaired, the test leaves it open",
    "partly": "partly repaired",
    "partly.part": "partly repaired",
    "worked": "worked on, no repair for certain",
    "worked.tested": "worked on, no repair for certain",
    "suspected.worked": "worked on, no repair for certain",
    "suspected.tested": "worked on, no repair for certain",
    "again.worked": "worked on, no repair for certain",
    "again.tested": "worked on, no repair for certain",
    "back.again": "worked on, the trouble is back",
    "failed": "worked on, the test was not passed",
    "tested.bad": "the test was not passed",
    "no": "repair declined",
    "no.worked": "the rest declined",
    "offered.no": "declined",
    "waits": "waits",
    "held": "waits",
    "part": "waits for a part",
    "part.worked": "waits for a part",
    "part.plain": "waits for a part",
    "thinks": "waits for an answer",
    "unanswered": "waits for an answer",
    "offered": "waits for an answer",
    "offered.thinks": "waits for an answer",
}
"""What is shown for each kind of opening; every other one is a cause that is not found."""
NOT_FOUND = "cause not found"


@dataclass(frozen=True, slots=True)
class ConcernState:
    """Where one concern stands.

    Attributes:
        letter: of the concern; empty where the ticket has none.
        words: one of the words at the top of this module.
        says: the complaint that opened it, where there is one.
    """

    letter: str
    words: str
    says: Ref | None = None


def states(case: Case) -> tuple[ConcernState, ...]:
    """The state of every concern, in order of their letters; the shop's view, hidden entries included."""
    job = Job(case, "shop")
    return tuple(_of(job, letter) for letter in job.letters) if job.entries else ()


def cause_unknown(job: Job, letter: str) -> bool:
    """Whether nobody knows yet what a concern comes from, and nothing has put it right."""
    return _WORDS.get(opening(job, letter).kind, NOT_FOUND) in (NOT_FOUND, "not reproduced")


def not_reproduced(job: Job, letter: str) -> bool:
    """Whether a concern could not be made to happen, and no cause was found."""
    return opening(job, letter).kind in ("unseen", "again.unseen")


def _of(job: Job, letter: str) -> ConcernState:
    words = _WORDS.get(opening(job, letter).kind, NOT_FOUND)
    says = next((Ref(entry.no) for entry, _ in job.each(Says, letter)), None)
    return ConcernState("" if letter == SHARED else letter, words, says)
