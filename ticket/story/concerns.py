"""The state of each concern in words: computed, never typed."""

from dataclasses import dataclass

from ticket.job.answers import DECIDED, standing_with
from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Did, Found, Later, Maybe, Offer, Proof, Ruled, Says, Used
from ticket.job.values import Ref
from ticket.story.context import SHARED, Job
from ticket.story.hedge import confirmed
from ticket.story.outcome import DOUBTFUL, PASSED, mends, outcome, repaired
from ticket.story.outcome import FAILED as NOT_PASSED

NOT_LOOKED_AT, NOT_REPRODUCED, NOT_FOUND = "not looked at", "not reproduced", "cause not found"
NOT_PROVED, PUT_RIGHT, WAITS, DECLINED = "cause known but not proved", "put right", "waits", "declined"
UNTESTED, FAILED, DONE = "repaired, not tested yet", "repaired, the test was not passed", "work done"
TEST_OPEN, WORKED = "repaired, the test leaves it open", "worked on, no repair for certain"
WORKED_FAILED = "worked on, the test was not passed"

_SERVICE = frozenset("service due inspection maintenance check-up checkup oil rotation seasonal".split())


@dataclass(frozen=True, slots=True)
class ConcernState:
    """Where one concern stands.

    Attributes:
        letter: of the concern; empty where the ticket has none.
        state: one of the names at the top of this module.
        words: the same, to show.
        says: the complaint that opened it, where there is one.
    """

    letter: str
    state: str
    words: str
    says: Ref | None = None


def states(case: Case) -> tuple[ConcernState, ...]:
    """The state of every concern, in order of their letters; the shop's view, hidden entries included."""
    job = Job(case, "shop")
    return tuple(_of(job, letter) for letter in job.letters) if job.entries else ()


def state_of(job: Job, letter: str) -> str:
    """The state of one concern as this reader may know it."""
    if not any(True for kind in (Found, Code, Ruled, Cause, Maybe, Did, Used, Proof) for _ in job.each(kind, letter)):
        return _undone(job, letter, NOT_LOOKED_AT)
    mended = [entry for entry, fact in job.each(Did, letter) if mends(fact)]
    causes = [entry for entry, _ in job.each(Cause, letter)]
    unseen = any(fact.reproduced == "not reproduced" for _, fact in job.each(Says, letter))
    if unseen and not causes:
        return NOT_REPRODUCED  # work on a suspicion puts nothing right that nobody saw
    if mended:
        return _mended(job, letter)
    if causes:
        sure = all(confirmed(job, entry) for entry in causes)
        return _undone(job, letter, WAITS if sure else NOT_PROVED)
    if maintenance(job, letter):
        return DONE
    return _undone(job, letter, NOT_FOUND)


def maintenance(job: Job, letter: str) -> bool:
    """A visit for service: the words say so, and nothing was suspected, found to be the cause or ruled out."""
    if any(True for kind in (Code, Maybe, Ruled, Cause) for _ in job.each(kind, letter)):
        return False
    said = " ".join(fact.text for _, fact in job.each(Says, letter)).lower().replace(";", " ").replace(",", " ")
    return bool(_SERVICE & set(said.split()))


def tested(job: Job, letter: str) -> str:
    """How the tests ended: failed where one did, else doubtful where one leaves it open; empty without any."""
    ends = {outcome(job, entry, fact) for entry, fact in job.each(Proof, letter)}
    return next((end for end in (NOT_PASSED, DOUBTFUL, PASSED) if end in ends), "")


def sure_repair(job: Job, letter: str) -> bool:
    """Whether work that put something right for certain was done, and not only on what the customer said no to."""
    parts = [fact.text for _, fact in job.each(Used)]
    offers = [Ref(entry.no) for entry, _ in job.each(Offer, letter)]
    declined = {ref for ref in offers if refused(job, ref) is not None}
    for _, fact in job.each(Did, letter):
        mine = set(fact.refs) & set(offers) or set(offers)
        if repaired(fact, parts) and not (mine and mine <= declined):
            return True
    return False


def refused(job: Job, ref: Ref) -> Entry | None:
    """The contact in which the customer said no to an offer or a deferred item, unless a later one said yes."""
    return _answered(job, ref, "no")


def accepted(job: Job, ref: Ref) -> Entry | None:
    """The contact in which the customer said yes to it last."""
    return _answered(job, ref, "yes")


def undecided(job: Job, ref: Ref) -> Entry | None:
    """The contact in which the customer wanted to think about it."""
    return _answered(job, ref, "thinks")


def settled_unseen(job: Job, ref: Ref) -> bool:
    """Whether this reader may not know what was decided: the contact is hidden, or another payer said yes alone."""
    mine = job.answered.get(ref.no)
    if mine is not None and mine.answer in DECIDED:
        return job.entry(Ref(mine.told)) is None
    others = (standing_with(job.contacts, payer) for payer in dict.fromkeys(said.payer for said in job.contacts))
    return any(ref.no in found and found[ref.no].answer == "yes" for found in others)


def given(job: Job, entry: Entry, word: str) -> tuple[Ref, ...]:
    """What one contact answered so: what it names, and what an answer that names nothing reached."""
    said = next((said for said in job.contacts if said.entry is entry), None)
    refs = [ref for ref, answer in said.given.items() if answer == word] if said is not None else []
    living = [ref for ref in refs if ref.ticket or job.entry(ref) is not None]
    return tuple(dict.fromkeys(job.seen(living)))


def _answered(job: Job, ref: Ref, word: str) -> Entry | None:
    found = job.answered.get(ref.no)
    return job.entry(Ref(found.told)) if found is not None and found.answer == word else None


def _of(job: Job, letter: str) -> ConcernState:
    state = state_of(job, letter)
    says = next((Ref(entry.no) for entry, _ in job.each(Says, letter)), None)
    return ConcernState("" if letter == SHARED else letter, state, state, says)


def _mended(job: Job, letter: str) -> str:
    if not any(True for _ in job.each(Cause, letter)) and maintenance(job, letter):
        return DONE
    result = tested(job, letter)
    if not sure_repair(job, letter):
        return WORKED_FAILED if result == NOT_PASSED else WORKED
    return {"": UNTESTED, NOT_PASSED: FAILED, DOUBTFUL: TEST_OPEN, PASSED: PUT_RIGHT}[result]


def _undone(job: Job, letter: str, otherwise: str) -> str:
    """Declined or waiting, where what was offered or deferred says so."""
    items = [Ref(entry.no) for kind in (Offer, Later) for entry, _ in job.each(kind, letter)]
    if items and all(refused(job, ref) is not None for ref in items):
        return DECLINED
    return otherwise
