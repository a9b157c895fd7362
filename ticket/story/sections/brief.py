"""The state of each concern, first in the story, and how much is still to do."""

from ticket.job.kinds import Cause, Did, Found, Proof, Says, Used
from ticket.job.values import Ref
from ticket.readings.groups import measures, seen
from ticket.story import concerns as state
from ticket.story import outcome
from ticket.story.context import Job, sources
from ticket.story.hedge import confirmed
from ticket.story.sections.talk import Talk
from ticket.story.sections.waiting import open_items, urgent
from ticket.story.sections.writer import Writer
from ticket.story.sentence import Lit
from ticket.story.words.observed import observed


def tell_brief(talk: Talk, writer: Writer) -> None:
    """How each concern stands, then how much is still to do."""
    job = talk.job
    for letter in job.letters:
        for i, (refs, name) in enumerate(stand(job, letter)):
            said = talk.say(name)
            if len(job.letters) > 1 and i == 0:
                said = talk.say("head.concern", letter=(Lit(letter),), text=said)
            if refs:
                writer.add(refs, said)
    _open(talk, writer)


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
        found = [entry for entry, _ in job.each(Found, letter)]
        name = "short.not found" if job.closing else "short.not found.yet"
        return [(sources(*(found or complaints or works or parts or proofs)), name)]
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
    found = [entry for entry, _ in job.each(Found, letter)]
    return [(sources(*found), "short.checked")] if found else []


def _tries(job: Job, letter: str) -> list[Ref]:
    """Findings that were trials: what was done to make it happen."""
    return [
        Ref(entry.no)
        for entry, fact in job.each(Found, letter)
        if not measures(fact) and observed(seen(fact)).how == "trial"
    ]


def _open(talk: Talk, writer: Writer) -> None:
    items = open_items(talk.job)
    if not items:
        return
    pressing = [item for item in items if urgent(item)]
    stops = any(item.fact.judgement == "do not drive" for item in items)
    kind = "short.open" if not pressing else "short.open.all" if len(pressing) == len(items) else "short.open.some"
    cls = talk.title("short.open.class")  # of the word for what is still to do
    count = talk.count(items[0].entry, "text", len(items), cls)
    some = talk.count(pressing[0].entry, "text", len(pressing), cls) if pressing else ()
    refs = sources(*(item.entry for item in items))
    writer.add(refs, talk.say("short.open.stop" if stops else kind, len(items), count=count, urgent=some))
