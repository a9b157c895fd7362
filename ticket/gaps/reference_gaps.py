"""Questions about references: whether what an entry points at is there, was there, and can be what is meant."""

from collections.abc import Iterator

from ticket.gaps.gap import ADVICE, BLOCKING, Gap, Rule
from ticket.job.case import Case
from ticket.job.entry import refs_of
from ticket.job.kinds import Cause, Fact, Found, Maybe, Proof, Ruled
from ticket.readings.measured_groups import measures

_SHOWS = frozenset({"found", "proof", "code", "photo", "ruled", "cause"})
"""What can show a cause, or that something is none."""
_SAID = frozenset({"told", "note", "used"})
"""What no work is for."""


def unfit(role: str, fact: Fact, no: int, target: Fact) -> str:
    """Why the entry of that number cannot be what a fact points at, by its kind; empty where it can."""
    if role == "answers" and target.kind not in ("offer", "later"):
        return f"Entry {no} is no offer and no deferred work; what was answered?"
    if role == "refs" and isinstance(fact, Cause | Ruled | Maybe) and target.kind not in _SHOWS:
        return f"Entry {no} proves nothing: it is a {target.title}. Which entry is meant?"
    if role == "refs" and target.kind in _SAID:
        return f"Entry {no} is a {target.title}. What is this for?"
    if role == "of" and isinstance(fact, Proof) and measures(fact) and not _holds_reading(target):
        return f"Entry {no} holds no reading: it is a {target.title}. Which reading was taken again?"
    return ""


def _holds_reading(fact: Fact) -> bool:
    return isinstance(fact, Found | Proof) and measures(fact)


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


def reference_unfit(case: Case) -> Iterator[Gap]:
    """What an entry points at is of a kind that can be meant."""
    living = {entry.no: entry.fact for entry in case.ticket.living}
    for entry in case.ticket.living:
        for role, ref in refs_of(entry.fact):
            target = living.get(ref.no) if not ref.ticket else None
            if target is not None and (why := unfit(role, entry.fact, ref.no, target)):
                yield Gap("reference-unfit", BLOCKING, why, entry.no)


def reference_ahead(case: Case) -> Iterator[Gap]:
    """A number that was typed before there was such an entry is looked at once that number is given."""
    living = {entry.no: entry.fact for entry in case.ticket.living}
    for no, target in case.ahead:
        if no in living and target in living:
            question = f"It named entry {target} before there was one. Is this {living[target].title} meant?"
            yield Gap("reference-ahead", ADVICE, question, no)


RULES: tuple[Rule, ...] = (reference_missing, reference_unfit, reference_ahead)
