"""Questions about fault codes: sub-code, status and unit as stored, and what was made of them."""

from collections.abc import Iterator

from ticket.gaps.gap import ADVICE, Gap, Rule
from ticket.gaps.ticket_lookup import claimed, each, with_it
from ticket.job.case import Case
from ticket.job.kinds import Cause, Code, Did, Found, Later, Maybe, Offer, Proof, Ruled
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.readings.measured_groups import words_of

_CLEARED = Regex(r"\bcodes? (?:were )?cleared\b|\bclear(?:ed)? (?:the |all )?codes?\b")
_DRIVEN = Regex(
    r"\b(?:road test\w*|test drive\w*|drove|driven|drive cycle|self-?test\w*|monitors?|[0-9.,]+ ?(?:km|mi|miles)|"
    r"re-?read|read (?:out )?again|run(?:ning)? for|idle run)\b"
)


def _stored(case: Case) -> Iterator[tuple[int, Code]]:
    for entry, fact in each(case, Code):
        if fact.code != "none" and not fact.moment.startswith("after"):
            yield entry.no, fact


def sub_code_missing(case: Case) -> Iterator[Gap]:
    """A code has its sub-code where the control unit tells them (W13; auditor's list, row 4)."""
    telling = {fold(fact.unit) for _, fact in _stored(case) if fact.sub and fact.unit}
    for no, fact in _stored(case):
        if not fact.sub and (fact.code.startswith("SPN") or fold(fact.unit) in telling):
            name = "FMI number" if fact.code.startswith("SPN") else "sub-code"
            yield Gap("sub-code-missing", ADVICE, f"Which {name} did {fact.code} have?", no)


def code_incomplete(case: Case) -> Iterator[Gap]:
    """For a payer, a code has its status and its control unit (auditor's list, row 4)."""
    for no, fact in _stored(case):
        lacking = [name for name, there in (("status", fact.status), ("control unit", fact.unit)) if not there]
        if lacking and claimed(case):
            question = f"The code lacks its {' and '.join(lacking)}. Was a freeze frame saved with it?"
            yield Gap("code-incomplete", ADVICE, question, no)


def code_untouched(case: Case) -> Iterator[Gap]:
    """Something was looked at, suspected or put off for each code (W13)."""
    dealt = Found | Ruled | Cause | Maybe | Later | Proof | Offer
    for entry, fact in each(case, Code):
        if fact.code != "none" and not any(isinstance(other.fact, dealt) for other in with_it(case, entry)):
            yield Gap("code-untouched", ADVICE, f"What was looked at for {fact.code}?", entry.no)


def cleared_not_driven(case: Case) -> Iterator[Gap]:
    """Cleared codes prove nothing until the vehicle ran or was driven, or are read again later (W11)."""
    cleared = next(
        (
            entry.no
            for entry in case.ticket.living
            if (isinstance(entry.fact, Code) and entry.fact.status == "cleared")
            or (isinstance(entry.fact, Did | Proof) and _CLEARED.search(words_of(entry.fact).lower()))
        ),
        None,
    )
    if cleared is None:
        return
    after = (entry.fact for entry in case.ticket.living if isinstance(entry.fact, Proof | Later))
    if not any(_DRIVEN.search(words_of(fact).lower()) or _read_later(fact) for fact in after):
        question = "The codes were cleared. How far was it driven, or how long did it run, before they were read again?"
        yield Gap("cleared-not-driven", ADVICE, question, cleared)


def _read_later(fact: object) -> bool:
    return isinstance(fact, Later) and "code" in fact.text.lower()


RULES: tuple[Rule, ...] = (
    sub_code_missing,
    code_incomplete,
    code_untouched,
    cleared_not_driven,
)
