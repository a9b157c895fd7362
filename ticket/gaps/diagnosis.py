"""Questions about complaint, findings and cause."""

import re
from collections.abc import Iterator

from ticket.gaps.gap import ADVICE, BLOCKING, Gap
from ticket.gaps.look import answered_by, bad_values, each, text_of
from ticket.job.case import Case
from ticket.job.entry import refs_of
from ticket.job.kinds import Cause, Code, Did, Found, Later, Maybe, Note, Offer, Proof, Ruled, Says, Told
from ticket.job.likeness import shared
from ticket.readings.pairing import judge_entry

_GOOD = re.compile(r"\b(ok|okay|good|in order|within (limits|spec)|in spec|normal|pass(ed|es)?|fine)\b", re.I)
_LIMITS = re.compile(
    r"\((?=[^()\d]{0,40}\d)[^()]{0,80}?(?:\bm(?:in|ax)\b|\bto\b|\+/-|\bspread\b|\bper (?:maker|shop|law)\b)"
)
_ANSWER = re.compile(r"\b(yes|no|not|ok|agree|declin|but|only)", re.I)
_BAD = re.compile(
    r"\b(bad|too (low|high|thin|small|big|weak)|out of (limits|spec)|fail(ed|s)?|n/?g|no good|worn out)\b", re.I
)


def complaint_missing(case: Case) -> Iterator[Gap]:
    """A ticket with work on it says why the vehicle is here."""
    if case.ticket.living and not any(True for _ in each(case, Says)):
        yield Gap("complaint-missing", ADVICE, "Why is the vehicle here? Add it in the customer's words: says: ...")


def complaint_untouched(case: Case) -> Iterator[Gap]:
    """Each concern has at least one finding, reading of codes, test or piece of work behind it."""
    entries = case.ticket.living
    looked = Code | Found | Ruled | Proof | Cause | Did
    several = sum(isinstance(entry.fact, Says) for entry in entries) > 1
    for entry, fact in each(case, Says):
        if fact.reproduced == "not reproduced":
            continue
        mine = (
            other
            for other in entries
            if isinstance(other.fact, looked) and (not several or set(other.concerns) & set(entry.concerns))
        )
        if not any(mine):
            letter = f" {entry.concern}" if entry.concern else ""
            yield Gap("complaint-untouched", BLOCKING, f"What was looked at for complaint{letter}?", entry.no)


def not_reproduced_untried(case: Case) -> Iterator[Gap]:
    """A complaint the shop could not make happen says what was tried."""
    for entry, fact in each(case, Says):
        tried = any(isinstance(other.fact, Found | Proof) for other in case.ticket.living)
        if fact.reproduced == "not reproduced" and not tried:
            yield Gap(
                "not-reproduced-untried",
                BLOCKING,
                "What was tried to make it happen, and under which conditions?",
                entry.no,
            )


def reference_missing(case: Case) -> Iterator[Gap]:
    """What an entry rests on is there, and was not taken back."""
    living = {entry.no for entry in case.ticket.living}
    known = {entry.no for entry in case.ticket.entries}
    for entry in case.ticket.living:
        for no in sorted({ref.no for _, ref in refs_of(entry.fact) if not ref.ticket} - living):
            if no in known and any(other.replaces == no for other in case.ticket.living):
                continue
            what = "was struck" if no in known else "is not there"
            yield Gap(
                "reference-missing", BLOCKING, f"It points to entry {no}, which {what}. Which one is meant?", entry.no
            )


def cause_unproved(case: Case) -> Iterator[Gap]:
    """A cause names the findings that prove it."""
    for entry, fact in each(case, Cause):
        if not fact.refs:
            level = ADVICE if fact.sure == "likely" else BLOCKING
            yield Gap("cause-unproved", level, "Which findings show this cause? Add them: from 3 4", entry.no)


def cause_missing(case: Case) -> Iterator[Gap]:
    """Parts were fitted for a complaint, yet no cause is written down."""
    complaint = any(isinstance(entry.fact, Code) and entry.fact.code != "none" for entry in case.ticket.living)
    bad = any(bad_values(case.ticket, entry) for entry, _ in each(case, Found))
    if (complaint or bad) and not any(True for _ in each(case, Cause)) and any(True for _ in each(case, Did)):
        deferred = any(isinstance(entry.fact, Later) for entry in case.ticket.living)
        open_doubt = any(isinstance(entry.fact, Maybe) for entry in case.ticket.living)
        if not deferred and not open_doubt:
            yield Gap("cause-missing", ADVICE, "What was the cause? If it was not found, say so: maybe: ...")


def finding_unanswered(case: Case) -> Iterator[Gap]:
    """A reading out of limits leads to a cause, an offer, work, deferred work or a second measurement."""
    for entry, _ in each(case, Found):
        bad = bad_values(case.ticket, entry)
        if not bad or any(not isinstance(other.fact, Note) for other in answered_by(case, entry.no)):
            continue
        words = text_of(entry.fact)
        told = any(
            isinstance(other.fact, Did | Offer | Later | Cause | Ruled)
            and not getattr(other.fact, "refs", ())
            and shared(words, text_of(other.fact)) > 0
            for other in case.ticket.living
        )
        if not told:
            yield Gap(
                "finding-unanswered",
                BLOCKING,
                f"This reading is {' and '.join(dict.fromkeys(bad))}. What follows from it?",
                entry.no,
            )


def suspicion_open(case: Case) -> Iterator[Gap]:
    """A suspicion is ruled out, becomes the cause, or is said to be open."""
    for entry, fact in each(case, Maybe):
        settled = any(
            isinstance(other.fact, Ruled | Cause) and shared(fact.text, text_of(other.fact)) > 0
            for other in case.ticket.living
        )
        carried = any(
            isinstance(other.fact, Later) and shared(fact.text, other.fact.text) for other in case.ticket.living
        )
        if not settled and not carried:
            yield Gap("suspicion-open", ADVICE, f"“{fact.text}” was suspected. Was it ruled out or proved?", entry.no)


def ruled_without_reason(case: Case) -> Iterator[Gap]:
    """What was ruled out says what shows it."""
    for entry, fact in each(case, Ruled):
        if not fact.reason and not fact.refs:
            yield Gap("ruled-without-reason", ADVICE, "What shows that this is not it?", entry.no)


def verdict_contradicted(case: Case) -> Iterator[Gap]:
    """The words beside a reading do not say the opposite of its verdict."""
    for entry, fact in each(case, Found):
        if fact.run is None or fact.run.limits is None:
            continue
        words = {verdict.word for verdict in judge_entry(case.ticket, entry)}
        said = f"{fact.what} {fact.seen}"
        if words & {"low", "high"} and "in" not in words and _GOOD.search(fact.seen) and not _BAD.search(said):
            yield Gap(
                "verdict-contradicted",
                BLOCKING,
                f"The reading is {next(iter(words & {'low', 'high'}))}, but the words say it is good. Which is right?",
                entry.no,
            )
        elif words == {"in"} and _BAD.search(fact.seen) and not _GOOD.search(said):
            yield Gap(
                "verdict-contradicted",
                BLOCKING,
                "The reading is within limits, but the words say it is bad. Which is right?",
                entry.no,
            )


def verdict_undecided(case: Case) -> Iterator[Gap]:
    """A reading nobody can judge is measured again or explained."""
    for entry, _ in each(case, Found):
        for verdict in judge_entry(case.ticket, entry):
            if verdict.word == "undecided":
                yield Gap("verdict-undecided", ADVICE, f"Can this be measured again? {verdict.reason}", entry.no)
                break


def limits_not_read(case: Case) -> Iterator[Gap]:
    """Limits that were typed judge a reading; left in the words they would let a bad one pass unseen."""
    for entry in case.ticket.living:
        fact = entry.fact
        if isinstance(fact, Found | Proof) and _LIMITS.search(f"{fact.what} {fact.seen}"):
            question = "These limits judge nothing. Which number do they belong to? Put it right before the bracket."
            yield Gap("limits-not-read", BLOCKING, question, entry.no)


def limits_without_source(case: Case) -> Iterator[Gap]:
    """Limits say where they come from, once the payer is not the customer."""
    payer = any(getattr(entry.fact, "pays", "") in ("warranty", "contract") for entry in case.ticket.living)
    for entry, fact in each(case, Found):
        limits = fact.run.limits if fact.run else None
        if payer and limits and not limits.source:
            yield Gap(
                "limits-without-source",
                ADVICE,
                "Where do these limits come from? Write: per maker, per shop, per law",
                entry.no,
            )


def answer_not_read(case: Case) -> Iterator[Gap]:
    """Words of a contact that were not understood as an answer to an offer are looked at by a person."""
    offered = any(True for _ in each(case, Offer))
    for entry, fact in each(case, Told):
        if (
            offered
            and fact.words
            and not fact.answers
            and re.search(r"\b(yes|no|not|ok|agree|declin|but|only)", fact.words, re.I)
        ):
            yield Gap(
                "answer-not-read", BLOCKING, f"What was answered to which offer? “{fact.words}” was not read.", entry.no
            )
