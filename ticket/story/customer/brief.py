"""The state of each concern, first in the story, and how much is still to do."""

from ticket.job.kinds import Cause, Did, Found, Proof, Says, Used
from ticket.job.values import Ref
from ticket.story import concerns as state
from ticket.story import outcome
from ticket.story.catalogue import say
from ticket.story.context import Job, counted, sources
from ticket.story.customer.deferred import open_items, urgent
from ticket.story.hedge import confirmed
from ticket.story.sentence import Lit, Phrase
from ticket.story.words.observed import observed
from ticket.story.writer import Writer


def tell_brief(job: Job, writer: Writer) -> None:
    """One sentence or two for each concern, then what is still to do."""
    several = len(job.letters) > 1
    for letter in job.letters:
        for i, (refs, name) in enumerate(stand(job, letter)):
            said = say(name)
            if several and i == 0:
                said = say("head.concern", letter=Lit(letter), text=said)
            if refs:
                writer.add(refs, said)
    _open(job, writer)


def stand(job: Job, letter: str) -> list[tuple[tuple[Ref, ...], str]]:
    """The ids of the sentences that tell how a concern stands, each with what it rests on."""
    now = state.state_of(job, letter)
    causes = [entry for entry, _ in job.each(Cause, letter)]
    works = [entry for entry, _ in job.each(Did, letter)]
    proofs = [entry for entry, _ in job.each(Proof, letter)]
    complaints = [entry for entry, _ in job.each(Says, letter)]
    parts = [entry for entry, _ in job.each(Used, letter)]
    likely = "" if all(confirmed(job, entry) for entry in causes) else ".likely"
    if now == state.NOT_LOOKED_AT:
        return [(sources(*(complaints or list(job.entries[:1]))), "short.not looked at")]
    if now == state.NOT_REPRODUCED:
        return [(sources(*complaints, *_tries(job, letter)), "short.not reproduced")]
    if now == state.NOT_FOUND:
        seen = [entry for entry, _ in job.each(Found, letter)]
        name = "short.not found" if job.closing else "short.not found.yet"
        return [(sources(*(seen or complaints or works or parts or proofs)), name)]
    if now == state.NOT_PROVED:
        return [(sources(*causes), "short.not proved")]
    if now in (state.WAITS, state.DECLINED) and causes:
        return [(sources(*causes), "short.waits.likely" if likely else "short.waits")]
    if now in (state.WAITS, state.DECLINED):
        return [(sources(*(complaints or list(job.entries[:1]))), "short.declined")]
    if now == state.DONE or not causes:
        return _done(job, letter, now)
    if now == state.WORKED:
        return [(sources(*causes, *works), f"short.worked{likely}")]
    if now in (state.FAILED, state.WORKED_FAILED):
        return [(sources(*works, *proofs), _failed(now))]
    name = {state.PUT_RIGHT: "short.fixed", state.TEST_OPEN: "short.open test"}.get(now, "short.untested")
    return [(sources(*causes, *works, *(proofs if now in (state.PUT_RIGHT, state.TEST_OPEN) else ())), name + likely)]


def _failed(now: str) -> str:
    return "short.failed" if now == state.FAILED else "short.worked.failed"


def _done(job: Job, letter: str, now: str) -> list[tuple[tuple[Ref, ...], str]]:
    """What was done where no cause was looked for, or none was found."""
    works = [entry for entry, _ in job.each(Did, letter)]
    if works:
        failed = state.tested(job, letter) == outcome.FAILED
        proofs = [entry for entry, _ in job.each(Proof, letter)]
        if failed:
            sure = now == state.FAILED or (now == state.DONE and state.sure_repair(job, letter))
            return [(sources(*works, *proofs), _failed(state.FAILED if sure else state.WORKED_FAILED))]
        return [(sources(*works), "short.done")]
    seen = [entry for entry, _ in job.each(Found, letter)]
    return [(sources(*seen), "short.checked")] if seen else []


def _tries(job: Job, letter: str) -> list[Ref]:
    """Findings that were trials: what was done to make it happen."""
    return [
        Ref(entry.no)
        for entry, fact in job.each(Found, letter)
        if fact.run is None and observed(", ".join(part for part in (fact.what, fact.seen) if part)).how == "trial"
    ]


def _open(job: Job, writer: Writer) -> None:
    items = open_items(job)
    if not items:
        return
    refs = sources(*(entry for entry, _ in items))
    pressing = [entry for entry, fact in items if urgent(fact)]
    first = items[0][0]
    count = counted(first, "text", len(items))
    if len(items) == 1:
        writer.add(refs, say("short.open.one.now" if pressing else "short.open.one", count=count))
    elif len(pressing) == len(items):
        writer.add(refs, say("short.open.all", count=count))
    elif pressing:
        some: Phrase = (counted(pressing[0], "text", len(pressing)),)
        writer.add(refs, say("short.open.now", count=count, urgent=some))
    else:
        writer.add(refs, say("short.open", count=count))
