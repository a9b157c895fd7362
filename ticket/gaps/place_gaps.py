"""Questions about positions: a bad reading at one corner is not answered by work at another, nor taken again."""

from collections.abc import Iterator

from ticket.gaps.gap import BLOCKING, Gap, Rule
from ticket.gaps.ticket_lookup import each
from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.kinds import Did, Found, Later, Offer, Proof
from ticket.job.likeness import content_words, sides_clash
from ticket.readings.measured_groups import groups, words_of
from ticket.readings.pairing import judge_entry
from ticket.readings.taken_over import place_unsaid


def place_unanswered(case: Case) -> Iterator[Gap]:
    """Where readings of several positions are bad, what was done, offered or put off names all of those positions."""
    for entry, fact in each(case, Found):
        bad = _bad_places(case, entry)
        about = [words_of(other.fact) for other in case.ticket.living if _is_about(other, entry, fact)]
        left = [label for label in bad if about and all(sides_clash(text, label) for text in about)]
        if left:
            words = " and ".join(dict.fromkeys(bad[label] for label in left))
            yield Gap(
                "place-unanswered", BLOCKING,
                f"At {', '.join(left)} it is {words}, and all work here is at another place. What follows? "
                "Add: offer: ... or later: ...",
                entry.no,
            )  # fmt: skip


def _bad_places(case: Case, entry: Entry) -> dict[str, str]:
    """``low`` or ``high`` for each labelled reading out of its limits, by its position."""
    verdicts = iter(judge_entry(case.ticket, entry))
    found = {}
    for group in groups(entry.fact) if isinstance(entry.fact, Found) else ():
        for value in group.run.values:
            verdict = next(verdicts)
            if value.label and verdict.word in ("low", "high"):
                found[value.label] = verdict.word
    return found


def _is_about(other: Entry, entry: Entry, fact: Found) -> bool:
    if not isinstance(other.fact, Did | Offer | Later):
        return False
    refs = [ref.no for ref in getattr(other.fact, "refs", ()) if not ref.ticket]
    return entry.no in refs or bool(content_words(words_of(other.fact)) & content_words(words_of(fact)))


def proof_place_missing(case: Case) -> Iterator[Gap]:
    """A test of readings at several positions says at which it was read."""
    for entry, fact in each(case, Proof):
        first = case.ticket.entry(fact.of.no) if fact.of and not fact.of.ticket else None
        if first is None or not isinstance(first.fact, Found):
            continue
        runs = [group.run for group in groups(first.fact)]
        if len(runs) == 1 and any(place_unsaid(group, runs[0]) for group in groups(fact)):
            where = ", ".join(value.label for value in runs[0].values)
            question = (
                f"Where was it read again? Entry {first.no} has {where}. Say each, or all: proof: {first.no} now all"
            )
            yield Gap("proof-place-missing", BLOCKING, f"{question} ...", entry.no)


RULES: tuple[Rule, ...] = (place_unanswered, proof_place_missing)
