"""Questions about work, parts, proof and what waits."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ticket.gaps.gap import ADVICE, BLOCKING, Gap, Rule
from ticket.gaps.named_in_work import place_clash, place_shared
from ticket.gaps.ticket_lookup import answered_by, bad_values, each, small, with_it, words_with_places
from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Did, Later, Offer, Proof, Says, Told, Used
from ticket.job.likeness import shared
from ticket.job.offer_answers import DECIDED, standing
from ticket.job.values import Ref
from ticket.readings.measured_groups import prose, words_of
from ticket.story.context import Job
from ticket.story.facts.labour_kinds import mends
from ticket.story.facts.proved import OPEN, PASSED, came_back, may_be_back, not_tested, outcome

if TYPE_CHECKING:
    from ticket.rules.uncovered_work import UncoveredWork

_RENEWED = ("replac", "repl ", "fit ", "fitted", "install")


def part_missing(case: Case) -> Iterator[Gap]:
    """Work that says something was replaced has a part line for it."""
    parts = [fact for _, fact in each(case, Used)]
    for entry, fact in each(case, Did):
        renewed = any(word in fact.text.casefold() for word in _RENEWED)
        if renewed and not any(shared(fact.text, part.text) for part in parts):
            question = "Which part was fitted? Add: used: 1 x NUMBER description"
            yield Gap("part-missing", BLOCKING, question, entry.no)


def part_unexplained(case: Case) -> Iterator[Gap]:
    """A part is explained by a line of labour, or says which offer it belongs to."""
    work = " ".join(fact.text for _, fact in each(case, Did))
    for entry, fact in each(case, Used):
        if fact.refs or (work and (small(fact) or shared(fact.text, work))):
            continue  # "; for 11" names the work it belongs to
        yield Gap("part-unexplained", ADVICE, "Which work was this used for?", entry.no)


def sides_differ(case: Case) -> Iterator[Gap]:
    """Cause, work and parts are at the place of what they rest on: side, axle, cylinder, upper or lower (W16)."""
    for entry in case.ticket.living:
        if not isinstance(entry.fact, Cause | Did | Offer | Later):
            continue
        words = words_of(entry.fact)
        others = [
            (ref.no, words_with_places(other.fact))
            for ref in entry.fact.refs
            if (other := _here(case, ref)) is not None
        ]
        clashing = [no for no, text in others if place_clash(words, text)]
        if clashing and not any(place_shared(words, text) for no, text in others if no not in clashing):
            question = f"Entry {clashing[0]} names another side or place. Which is right?"
            yield Gap("sides-differ", BLOCKING, question, entry.no)


def _here(case: Case, ref: Ref) -> Entry | None:
    return None if ref.ticket else case.ticket.entry(ref.no)


def cause_not_answered(case: Case) -> Iterator[Gap]:
    """A cause that was found leads to work, an offer or deferred work of its concern (E05)."""
    for entry, _ in each(case, Cause):
        if not any(isinstance(other.fact, Did | Offer | Later) for other in with_it(case, entry)):
            yield Gap(
                "cause-not-answered",
                BLOCKING,
                "The cause is known. What was done about it? Add: did: ... or offer: ... or later: ...",
                entry.no,
            )


def repair_not_proved(case: Case) -> Iterator[Gap]:
    """A repair is tested."""
    mended = [entry for entry, fact in each(case, Did) if mends(fact)]
    concerned = any(True for _ in each(case, Cause)) or any(True for _ in each(case, Code))
    if mended and concerned and not any(True for _ in each(case, Proof)):
        yield Gap("repair-not-proved", BLOCKING, "How do we know the repair worked? Add: proof: ...", mended[-1].no)


def code_not_read_again(case: Case) -> Iterator[Gap]:
    """A stored code is read again after the repair."""
    if not any(mends(fact) for _, fact in each(case, Did)):
        return
    again = any(
        "code" in prose(fact).casefold() or "scan" in prose(fact).casefold() for _, fact in each(case, Proof)
    ) or any(fact.moment.startswith("after") or fact.status == "cleared" for _, fact in each(case, Code))
    for entry, fact in each(case, Code):
        if not again and fact.code != "none" and not fact.moment.startswith("after"):
            yield Gap(
                "code-not-read-again",
                BLOCKING,
                f"Were the codes read again after the repair ({fact.code})? Add: proof: codes read again, ...",
                entry.no,
            )


def proof_failed(case: Case) -> Iterator[Gap]:
    """A test that failed is followed by something."""
    for entry, fact in each(case, Proof):
        failed = fact.result == "failed" or bad_values(case.ticket, entry, case.earlier)
        later = any(
            other.no > entry.no and isinstance(other.fact, Did | Later | Offer | Cause) for other in case.ticket.living
        ) or answered_by(case, entry.no)
        if failed and not later:
            yield Gap("proof-failed", BLOCKING, "The test shows it is not in order yet. What follows?", entry.no)


def proof_came_back(case: Case) -> Iterator[Gap]:
    """A test whose words say that the trouble is back, or that there was no test, is not told as a good one."""
    said = tuple(fact.text for _, fact in each(case, Says))
    for entry, fact in each(case, Proof):
        if not fact.result and (came_back(fact, said) or not_tested(fact)):
            question = "The words say it came back or was not tested. Write the result: ; failed or ; passed"
            yield Gap("proof-came-back", BLOCKING, question, entry.no)
        elif not fact.result and may_be_back(fact):
            question = "Do the words say that it is in order? Write the result: ; passed or ; failed"
            yield Gap("proof-came-back", BLOCKING, question, entry.no)


def proof_open(case: Case) -> Iterator[Gap]:
    """A test whose words do not say how it ended is asked for its result, where no other one passed."""
    job = Job(case, "shop")
    ended = {entry.no: outcome(job, entry, fact) for entry, fact in each(case, Proof)}
    for no in (no for no, how in ended.items() if how == OPEN and PASSED not in ended.values()):
        question = "Does this show that it is in order? Write the result behind it: ; passed or ; failed"
        yield Gap("proof-open", BLOCKING, question, no)


def later_incomplete(case: Case) -> Iterator[Gap]:
    """Deferred work says why it may wait, what may happen and when to come back."""
    for entry, fact in each(case, Later):
        if fact.answer:
            continue
        pressing = fact.judgement in ("do now", "do not drive")
        missing = [
            name
            for name, there in (
                ("why (because ...)", fact.because),
                ("what may happen (risk: ...)", fact.risk),
                ("when to come back (in 1500 mi or 2 months)", fact.due or fact.date or fact.watch),
            )
            if not there
        ]
        recheck = fact.text.casefold().startswith(("read", "check", "recheck", "measure", "tighten", "re-check"))
        if recheck:
            missing = [name for name in missing if not name.startswith("what may")]
        if missing:
            level = BLOCKING if pressing or not (fact.due or fact.date or fact.watch) else ADVICE
            yield Gap("later-incomplete", level, f"Deferred work lacks {' and '.join(missing)}.", entry.no)


def safety_unanswered(case: Case) -> Iterator[Gap]:
    """What should not wait was put to the customer."""
    spoken = any(True for _ in each(case, Told))
    for entry, fact in each(case, Later):
        if fact.judgement in ("do now", "do not drive") and not fact.answer and not spoken:
            yield Gap(
                "safety-unanswered",
                BLOCKING,
                "Was the customer told that this should not wait? Add: told: ...",
                entry.no,
            )


def declined_without_risk(case: Case) -> Iterator[Gap]:
    """Pressing work that was declined is put off with its risk, so that the customer has it in writing (E08)."""
    refused = {no for no, one in standing(case.ticket).items() if one.answer == "no"}
    for entry, fact in each(case, Offer):
        if entry.no not in refused or fact.judgement not in ("do now", "do not drive"):
            continue
        if not any(shared(fact.text, later.text) and later.risk for _, later in each(case, Later)):
            line = f"later: {fact.text}; {fact.judgement}; for {entry.no}; risk: ..."
            question = f"This should not wait, and the answer was no. What may happen? Add: {line}"
            yield Gap("declined-without-risk", BLOCKING, question, entry.no)


def offer_unanswered(case: Case) -> Iterator[Gap]:
    """An offer has its answer before the ticket is signed."""
    decided = {no for no, one in standing(case.ticket).items() if one.answer in DECIDED}
    for entry, _ in each(case, Offer):
        if entry.no not in decided:
            done = any(isinstance(other.fact, Did) for other in answered_by(case, entry.no))
            level = BLOCKING if done else ADVICE
            yield Gap(
                "offer-unanswered",
                level,
                f"What did the customer answer to offer {entry.no}? Add: told: ..., yes {entry.no}",
                entry.no,
            )


def agreed_not_done(case: Case) -> Iterator[Gap]:
    """Work that was agreed to is done, put off or given up before the ticket is signed; a ticket may wait for parts."""
    if case.ticket.status == "waiting for parts":
        return
    agreed = {no for no, one in standing(case.ticket).items() if one.answer == "yes"}
    carried = [entry.fact for entry in case.ticket.living if isinstance(entry.fact, Did | Used | Later)]
    for entry, fact in each(case, Offer):
        if entry.no not in agreed or any(other.fact in carried for other in answered_by(case, entry.no)):
            continue
        if not any(shared(fact.text, words_of(other)) for other in carried):
            question = f"Offer {entry.no} was agreed to. Was it done, put off or given up? Add: did: ... or later: ..."
            yield Gap("agreed-not-done", BLOCKING, question, entry.no)


def declined_yet_done(case: Case) -> Iterator[Gap]:
    """No work is done on an offer that was answered no."""
    for one in _uncovered(case, "declined"):
        question = f"The answer to offer {one.offer} was no (entry {one.told}). Why was it done?"
        yield Gap("declined-yet-done", BLOCKING, question, one.no)


def work_before_yes(case: Case) -> Iterator[Gap]:
    """Work on an offer starts after its yes, by the shop's clock."""
    for one in _uncovered(case, "early"):
        question = f"The clock starts before the yes to offer {one.offer} at {one.at:%H:%M}. Which is right?"
        yield Gap("work-before-yes", BLOCKING, question, one.no)


def _uncovered(case: Case, about: str) -> "Iterator[UncoveredWork]":
    from ticket.rules.uncovered_work import uncovered_work  # money is loaded only where it is asked about

    return (one for one in uncovered_work(case.ticket, None) if one.about == about)


RULES: tuple[Rule, ...] = (
    part_missing,
    part_unexplained,
    sides_differ,
    cause_not_answered,
    repair_not_proved,
    code_not_read_again,
    proof_failed,
    proof_came_back,
    proof_open,
    later_incomplete,
    safety_unanswered,
    declined_without_risk,
    offer_unanswered,
    agreed_not_done,
    declined_yet_done,
    work_before_yes,
)
