"""What a careful person asks about a complaint while its cause is not known."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from ticket.gaps.gap import ADVICE, BLOCKING, Gap, Rule
from ticket.gaps.ticket_lookup import each, serviced, with_it
from ticket.job.case import Case
from ticket.job.kinds import Cause, Code, Did, Found, Proof, Ruled, Says
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.readings.measured_groups import words_of
from ticket.story.context import SHARED, Job

_NOW_AND_THEN = Regex(
    r"\b(?:intermittent\w*|sometimes|at times|now and then|on and off|once in a while|occasional\w*|off and on|"
    r"from time to time|comes and goes)\b"
)
_TRIED = Regex(
    r"\b(?:road test\w*|test drive\w*|drove|driven|wiggle\w*|soak\w*|cold start\w*|idle run|hose test|shak\w*|tapp?\w*|"
    r"overnight|tried|[0-9.,]+ ?(?:min|minutes|h|hours|km|mi|miles|times|starts)|log\w*|record\w*|heat gun)\b"
)
_ALSO = Regex(r"(?:[.;]|\band\b|,) ?(?:also|besides|in addition|another thing|second thing|separately)\b")
_MOST = 3


@dataclass(frozen=True, slots=True)
class _Kind:
    words: re.Pattern[str]
    asks: tuple[str, ...]


def _rows(name: str) -> Iterator[list[str]]:
    text = Path(__file__).with_name(name).read_text(encoding="utf-8")
    lines = [line for line in text.split("\n") if line and not line.startswith("#")]
    return (line.split("\t") for line in lines[1:])


def _shape(words: str) -> re.Pattern[str]:
    return re.compile(rf"\b(?:{'|'.join(re.escape(word) for word in words.split('|') if word)})")


@cache
def _kinds() -> tuple[_Kind, ...]:
    return tuple(_Kind(_shape(words), tuple(asks.split("|"))) for _, words, asks in _rows("complaint_kinds.tsv"))


@cache
def _asks() -> dict[str, tuple[str, re.Pattern[str]]]:
    return {name: (question, _shape(answered)) for name, question, answered in _rows("complaint_asks.tsv")}


def unasked(complaint: str) -> tuple[str, ...]:
    """The questions about its conditions that a complaint leaves open, as words; empty where two or more are told.

    Only those that help to find the cause of its kind of trouble; empty for a kind that is not known.
    """
    text = fold(complaint)
    kind = next((kind for kind in _kinds() if kind.words.search(text)), None)
    if kind is None:
        return ()
    questions = _asks()
    missing = [name for name in kind.asks if not questions[name][1].search(text)]
    return tuple(questions[name][0] for name in missing) if len(missing) > 1 else ()


def complaint_missing(case: Case) -> Iterator[Gap]:
    """A ticket with work on it says why the vehicle is here (MI 257.1334(b), F.S. 559.905(1)(f))."""
    if case.ticket.living and not any(True for _ in each(case, Says)):
        yield Gap("complaint-missing", ADVICE, "Why is the vehicle here, in the customer's words? Add: says: ...")


def complaint_untouched(case: Case) -> Iterator[Gap]:
    """Each concern has at least one finding, reading of codes, test or piece of work behind it."""
    looked = Code | Found | Ruled | Proof | Cause | Did
    if Job(case, "shop").letters == (SHARED,) and any(isinstance(one.fact, looked) for one in case.ticket.living):
        return  # what was looked at stands under the last complaint, and is of all of them
    for entry, fact in each(case, Says):
        if fact.reproduced == "not reproduced":
            continue
        if not any(isinstance(other.fact, looked) for other in with_it(case, entry)):
            letter = f" {entry.concern}" if entry.concern else ""
            yield Gap(
                "complaint-untouched", BLOCKING, f"What was looked at for complaint{letter}? Add: found: ...", entry.no
            )


def complaint_conditions(case: Case) -> Iterator[Gap]:
    """While a complaint was neither seen nor explained, its conditions are asked for (common practice, no source)."""
    for entry, fact in each(case, Says):
        known = any(isinstance(other.fact, Cause) for other in with_it(case, entry))
        if known or fact.reproduced == "reproduced" or fact.back_from or serviced(case, entry):
            continue
        missing = unasked(fact.text)[:_MOST]
        if missing:
            yield Gap("complaint-conditions", ADVICE, f"Ask the customer: {', '.join(missing)}?", entry.no)


def complaint_several(case: Case) -> Iterator[Gap]:
    """Each complaint stands on a line of its own, so that each can be answered (auditor's list, row 1)."""
    for entry, fact in each(case, Says):
        if _ALSO.search(fact.text.lower()):
            question = "This line holds more than one complaint. Give each its own line: says: ..."
            yield Gap("complaint-several", ADVICE, question, entry.no)


def not_reproduced_untried(case: Case) -> Iterator[Gap]:
    """A complaint the shop could not make happen says what was tried."""
    for entry, fact in each(case, Says):
        tried = any(isinstance(other.fact, Found | Proof) for other in with_it(case, entry))
        if fact.reproduced == "not reproduced" and not tried:
            question = "What was tried to make it happen, and under which conditions? Add: found: ..."
            yield Gap("not-reproduced-untried", BLOCKING, question, entry.no)


def intermittent_untried(case: Case) -> Iterator[Gap]:
    """Trouble that comes and goes was tried for, with how long or how far (common practice, no source)."""
    for entry, fact in each(case, Says):
        mine = with_it(case, entry)
        if fact.reproduced or not _NOW_AND_THEN.search(fact.text.lower()):
            continue
        if any(isinstance(other.fact, Cause) for other in mine):
            continue
        looked = [other for other in mine if isinstance(other.fact, Found | Proof)]
        if looked and not any(_TRIED.search(words_of(other.fact).lower()) for other in looked):
            question = (
                "It comes and goes. What was tried to make it happen: how long, how far, hot or cold? Add: found: ..."
            )
            yield Gap("intermittent-untried", ADVICE, question, entry.no)


RULES: tuple[Rule, ...] = (
    complaint_missing,
    complaint_untouched,
    complaint_conditions,
    complaint_several,
    not_reproduced_untried,
    intermittent_untried,
)
