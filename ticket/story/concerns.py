"""The state of each concern in words: computed, never typed."""

import re
from dataclasses import dataclass

from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Did, Found, Later, Maybe, Offer, Proof, Ruled, Says, Told, Used
from ticket.job.values import Ref
from ticket.readings.groups import prose
from ticket.readings.pairing import judge_entry
from ticket.story.context import SHARED, Job
from ticket.story.hedge import confirmed
from ticket.story.words.labour import tasks

NOT_LOOKED_AT, NOT_REPRODUCED, NOT_FOUND = "not looked at", "not reproduced", "cause not found"
NOT_PROVED, PUT_RIGHT, WAITS, DECLINED = "cause known but not proved", "put right", "waits", "declined"
UNTESTED, FAILED, DONE = "repaired, not tested yet", "repaired, the test was not passed", "work done"

# Labour of these kinds looks or reads; it mends nothing.
_LOOKING = frozenset({"check", "measure", "look", "clear", "take"})
_SERVICE = frozenset("service due inspection maintenance check-up checkup oil rotation seasonal".split())
_CAME_BACK = re.compile(
    r"(?i)\b(?:c[ao]me back|is back|back (?:after|at|again|within|on)|returned|reappear\w*|not (?:yet )?tested|"
    r"no time|still (?:there|present|stored|active|noisy|leaks?|leaking)|stored again|failed)\b"
)


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


def mends(fact: Did) -> bool:
    """Labour that puts something right, as far as its words are known; unknown words count as mending."""
    known, unknown = tasks(fact.text)
    return bool(unknown) or any(work.kind not in _LOOKING for task in known for work in task.works)


def came_back(fact: Proof) -> bool:
    """Whether the words of a test say that the trouble is back, or that there was no test."""
    return bool(_CAME_BACK.search(prose(fact)))


def passed(job: Job, entry: Entry) -> bool:
    """Whether a proof was passed: not marked failed, and no reading out of its limits."""
    fact = entry.fact
    if isinstance(fact, Proof) and (fact.result == "failed" or (not fact.result and came_back(fact))):
        return False
    return all(verdict.word not in ("low", "high") for verdict in judge_entry(job.ticket, entry, job.case.earlier))


def tested(job: Job, letter: str) -> bool | None:
    """Whether every proof was passed; ``None`` without any."""
    proofs = [entry for entry, _ in job.each(Proof, letter)]
    return all(passed(job, entry) for entry in proofs) if proofs else None


def refused(job: Job, ref: Ref) -> Entry | None:
    """The contact that said no to an offer or a deferred item, unless a later one said yes."""
    return _last_answer(job, ref, "no")


def accepted(job: Job, ref: Ref) -> Entry | None:
    """The contact that said yes to it last."""
    return _last_answer(job, ref, "yes")


def undecided(job: Job, ref: Ref) -> Entry | None:
    """The contact in which the customer wanted to think about it."""
    return _last_answer(job, ref, "thinks")


def yes_of(job: Job) -> dict[int, tuple[Ref, ...]]:
    """What each contact said yes to: what it names, and for a bare yes every offer before it that was still open."""
    offers = [entry.no for entry, _ in job.each(Offer)]
    settled: set[Ref] = set()
    found: dict[int, tuple[Ref, ...]] = {}
    for entry, fact in job.each(Told):
        yes = job.seen(ref for answer in fact.answers if answer.answer == "yes" for ref in answer.to)
        named = set(job.seen(ref for answer in fact.answers for ref in answer.to))
        if any(answer.answer == "yes" and not answer.to for answer in fact.answers):
            still_open = (Ref(no) for no in offers if no < entry.no)
            yes = (*yes, *(ref for ref in still_open if ref not in settled and ref not in named))
        found[entry.no] = yes
        settled.update(yes, job.seen(ref for answer in fact.answers if answer.answer == "no" for ref in answer.to))
    return found


def _last_answer(job: Job, ref: Ref, word: str) -> Entry | None:
    last: tuple[Entry, str] | None = None
    yes = yes_of(job)
    for entry, fact in job.each(Told):
        for answer in fact.answers:
            if ref in job.seen(answer.to):
                last = (entry, answer.answer)
        if ref in yes[entry.no]:
            last = (entry, "yes")
    return last[0] if last is not None and last[1] == word else None


def _of(job: Job, letter: str) -> ConcernState:
    state = state_of(job, letter)
    says = next((Ref(entry.no) for entry, _ in job.each(Says, letter)), None)
    return ConcernState("" if letter == SHARED else letter, state, state, says)


def _mended(job: Job, letter: str) -> str:
    result = tested(job, letter)
    if not any(True for _ in job.each(Cause, letter)) and maintenance(job, letter):
        return DONE
    if result is None:
        return UNTESTED
    return PUT_RIGHT if result else FAILED


def _undone(job: Job, letter: str, otherwise: str) -> str:
    """Declined or waiting, where what was offered or deferred says so."""
    items = [Ref(entry.no) for kind in (Offer, Later) for entry, _ in job.each(kind, letter)]
    if items and all(refused(job, ref) is not None for ref in items):
        return DECLINED
    return otherwise
