"""Questions about findings, readings and the cause."""

import re
from collections.abc import Iterator, Sequence

from ticket.gaps.gap import ADVICE, BLOCKING, Gap, Rule
from ticket.gaps.named_in_work import head, place_clash, renewed, things
from ticket.gaps.ticket_lookup import answered_by, bad_values, claimed, each, serviced, with_it
from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Did, Fact, Found, Later, Maybe, Note, Offer, Proof, Ruled, Says
from ticket.job.likeness import content_words, shared
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.job.values import Run
from ticket.readings.measured_groups import groups, prose, words_of
from ticket.readings.pairing import judge_entry, measured
from ticket.readings.positions import place_key
from ticket.story.facts.labour_kinds import looks_only, mends

_GOOD = Regex(r"\b(ok|okay|good|in order|within (limits|spec)|in spec|normal|pass(ed|es)?|fine)\b", re.I)
_LIMITS = Regex(
    r"\((?=[^()\d]{0,40}\d)[^()]{0,80}?(?:\bm(?:in|ax)\b|\bto\b|\+/-|\bspread\b|\bper (?:maker|shop|law)\b)"
)
_BAD = Regex(
    r"\b(bad|too (low|high|thin|small|big|weak)|out of (limits|spec)|fail(ed|s)?|n/?g|no good|worn out)\b", re.I
)


def cause_unproved(case: Case) -> Iterator[Gap]:
    """A cause names the findings that prove it."""
    for entry, fact in each(case, Cause):
        if not fact.refs:
            level = ADVICE if fact.sure == "likely" else BLOCKING
            found = [other for other in with_it(case, entry) if isinstance(other.fact, Found)]
            out = [other for other in found if bad_values(case.ticket, other)]
            such = (out or found)[-1].no if found else 0
            how = f"Write their numbers behind it, such as: ; from {such}" if found else "Add: found: ..."
            yield Gap("cause-unproved", level, f"Which findings show this cause? {how}", entry.no)


def cause_missing(case: Case) -> Iterator[Gap]:
    """Work for a code or a reading out of limits rests on a cause, concern by concern (E04; auditor's list, row 2)."""
    asked: set[str] = set()
    for entry, fact in each(case, Did):
        if entry.concern in asked or not mends(fact) or serviced(case, entry):
            continue
        mine = with_it(case, entry)
        trouble = [other for other in mine if _is_trouble(case, other)]
        said = [other for other in mine if isinstance(other.fact, Says)]
        known = any(
            isinstance(other.fact, Cause | Maybe) or _waits_for_cause(other.fact, [*trouble, *said]) for other in mine
        )
        if trouble and not known:
            asked.add(entry.concern)
            question = "What was the cause? Add: cause: ... or, where it was not found, maybe: ..."
            yield Gap("cause-missing", ADVICE, question, entry.no)


def _is_trouble(case: Case, entry: Entry) -> bool:
    fact = entry.fact
    stored = isinstance(fact, Code) and fact.code != "none"
    return stored or (isinstance(fact, Found) and bool(bad_values(case.ticket, entry)))


def _waits_for_cause(fact: Fact, trouble: Sequence[Entry]) -> bool:
    """Whether deferred work is on what was out of order or complained about; tires say nothing of a sensor."""
    if not isinstance(fact, Later):
        return False
    words = content_words(fact.text) | content_words(fact.because)
    named = any(words & content_words(words_of(entry.fact)) for entry in trouble)
    return (
        named or bool(_LOOKS_ON.search(fact.text)) or bool({ref.no for ref in fact.refs} & {one.no for one in trouble})
    )


_LOOKS_ON = Regex(r"\b(?:diagnos\w*|find|trace|investigat\w*|cause)\b", re.I)


def cause_without_concern(case: Case) -> Iterator[Gap]:
    """Where several complaints stand, a cause says which of them it explains (auditor's list, row 2)."""
    several = sum(True for _ in each(case, Says)) > 1
    for entry, _ in each(case, Cause):
        if several and not entry.concern:
            yield Gap("cause-without-concern", ADVICE, "Which complaint does this cause explain?", entry.no)


def ruled_yet_done(case: Case) -> Iterator[Gap]:
    """What was ruled out is not replaced all the same (W20)."""
    for entry, fact in each(case, Did):
        for part in renewed(fact.text):
            for other, ruled in each(case, Ruled):
                same = any(head(part) and head(part) == head(thing) for thing in things(ruled.text))
                less = content_words(part) <= content_words(ruled.text)
                if same and less and not place_clash(fact.text, ruled.text):
                    question = f"Entry {other.no} rules this out. Why was it replaced all the same?"
                    yield Gap("ruled-yet-done", BLOCKING, question, entry.no)


def finding_unanswered(case: Case) -> Iterator[Gap]:
    """A reading out of limits leads to a cause, an offer, work, deferred work or a second measurement."""
    for entry, _ in each(case, Found):
        bad = bad_values(case.ticket, entry)
        if not bad or any(not isinstance(other.fact, Note) for other in answered_by(case, entry.no)):
            continue
        words = words_of(entry.fact)
        told = any(
            isinstance(other.fact, Did | Offer | Later | Cause | Ruled)
            and not getattr(other.fact, "refs", ())
            and shared(words, words_of(other.fact)) > 0
            for other in case.ticket.living
        )
        if not told:
            yield Gap(
                "finding-unanswered",
                BLOCKING,
                f"This reading is {' and '.join(dict.fromkeys(bad))}. What follows? Add: cause: ... or offer: ...",
                entry.no,
            )


def suspicion_open(case: Case) -> Iterator[Gap]:
    """A suspicion is ruled out, becomes the cause, or is said to be open."""
    answers = [words_of(fact) for kind in (Ruled, Cause) for _, fact in each(case, kind)]
    answers += [fact.text for _, fact in each(case, Later)]
    decides = [(entry, fact) for entry, fact in each(case, Later) if not fact.answer and looks_only(fact.text)]
    for entry, fact in each(case, Maybe):
        if any(_decided_by(entry, later, item) for later, item in decides):
            continue  # a second look was agreed on that will tell
        if not any(shared(fact.text, text) > 0 for text in answers):
            yield Gap(
                "suspicion-open",
                ADVICE,
                f"“{fact.text}” was suspected. Ruled out or proved? Add: ruled: ... or cause: ...",
                entry.no,
            )


def _decided_by(suspicion: Entry, later: Entry, item: Later) -> bool:
    """Whether a second look that was put off will decide a suspicion: it names it, or is of the same concern."""
    apart = suspicion.concerns and later.concerns and not set(suspicion.concerns) & set(later.concerns)
    return not apart or any(ref.no == suspicion.no and not ref.ticket for ref in item.refs)


def ruled_without_reason(case: Case) -> Iterator[Gap]:
    """What was ruled out says what shows it."""
    for entry, fact in each(case, Ruled):
        if not fact.reason and not fact.refs:
            yield Gap("ruled-without-reason", ADVICE, "What shows that this is not it?", entry.no)


def verdict_contradicted(case: Case) -> Iterator[Gap]:
    """The words beside a reading do not say the opposite of its verdict."""
    for entry, fact in each(case, Found):
        if not any(group.run.limits for group in groups(fact)):
            continue
        words = {verdict.word for verdict in judge_entry(case.ticket, entry)}
        said = prose(fact)
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
        if isinstance(fact, Found | Proof) and _LIMITS.search(prose(fact)):
            question = "These limits judge nothing. Which number do they belong to? Put it right before the bracket."
            yield Gap("limits-not-read", BLOCKING, question, entry.no)


def limits_without_source(case: Case) -> Iterator[Gap]:
    """Limits say where they come from, once the payer is not the customer."""
    payer = claimed(case)
    for entry, fact in each(case, Found):
        judged = [group.run.limits for group in groups(fact) if group.run.limits]
        if payer and any(not limits.source for limits in judged):
            yield Gap(
                "limits-without-source",
                ADVICE,
                "Where do these limits come from? Write: per maker, per shop, per law",
                entry.no,
            )


def reading_twice(case: Case) -> Iterator[Gap]:
    """Two different values of one thing say which is which: before and after, or which one counts (W19)."""
    first: dict[tuple[str, str, str], tuple[int, Run]] = {}
    for entry, fact in each(case, Found):
        for no in _told_otherwise(entry, fact, first):
            question = f"Entry {no} gives another value for the same thing. Which counts, and when?"
            yield Gap("reading-twice", ADVICE, question, entry.no)


def _told_otherwise(entry: Entry, fact: Found, first: dict[tuple[str, str, str], tuple[int, Run]]) -> list[int]:
    """The entries that hold another value of what an entry measured; what it measures for the first time is kept."""
    found = []
    for group in groups(fact):
        if group.name:
            no, run = first.setdefault((entry.concern, fold(group.name), group.run.unit), (entry.no, group.run))
            found += [no] if _differs(run, group.run) else []
    return list(dict.fromkeys(found))


def _differs(one: Run, other: Run) -> bool:
    """Whether one place has two values; runs of different places tell different things."""
    known = {place_key(value.label): value.number for value in one.values}
    if len(known) < len(one.values) or len(other.values) != len({value.label for value in other.values}):
        return len(one.values) == len(other.values) and one.values != other.values
    return any(known.get(place_key(value.label), value.number) != value.number for value in other.values)


def unit_differs(case: Case) -> Iterator[Gap]:
    """A reading has a unit, and a reading taken again one that converts to that of its limits (E09)."""
    for entry in case.ticket.living:
        if not isinstance(entry.fact, Found | Proof):
            continue
        if any(not group.run.unit and group.run.limits for group in groups(entry.fact)):
            yield Gap("unit-differs", BLOCKING, "In which unit is this reading?", entry.no)
        taken = measured(case.ticket, entry, case.earlier).groups
        for lost in dict.fromkeys(one.lost_unit for one in taken if one.lost_unit):
            question = f"The limits it repeats are in {lost}. In which unit was this measured?"
            yield Gap("unit-differs", BLOCKING, question, entry.no)


RULES: tuple[Rule, ...] = (
    cause_unproved,
    cause_missing,
    cause_without_concern,
    ruled_yet_done,
    finding_unanswered,
    suspicion_open,
    ruled_without_reason,
    verdict_contradicted,
    verdict_undecided,
    limits_not_read,
    limits_without_source,
    reading_twice,
    unit_differs,
)
