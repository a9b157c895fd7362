"""Questions about fault codes: sub-code, status and unit as stored, and what was made of them."""

from collections.abc import Iterator, Sequence

from ticket.faults.code_meaning import meaning
from ticket.faults.table import with_own
from ticket.gaps.gap import ADVICE, BLOCKING, Gap, Rule
from ticket.gaps.named_in_work import has_place, place_clash, place_shared
from ticket.gaps.ticket_lookup import claimed, each, with_it, words_with_places
from ticket.job.case import Case
from ticket.job.kinds import Cause, Code, Did, Found, Later, Maybe, Offer, Proof, Ruled
from ticket.job.likeness import content_words
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
            yield Gap("code-untouched", ADVICE, f"What was looked at for {fact.code}? Add: found: ...", entry.no)


def code_place_differs(case: Case) -> Iterator[Gap]:
    """What was looked at and done for a code with a position of its own is at that position, not at another alone.

    The position is the code table's. Whatever another stored code of the same thing stands for belongs to that code.
    """
    stored = [(fact.code, _thing_of(case, fact)) for _, fact in _stored(case)]
    named = [(code, words) for code, words in stored if has_place(words)]
    told = list(_dealt_with(case))
    for code, words in named:
        no = _elsewhere(words, [other for _, other in named if other != words], told)
        if no:
            question = f"{code} stands for {words}, and entry {no} names another place. Which is right?"
            yield Gap("code-place-differs", BLOCKING, question, no)


def _elsewhere(words: str, others: Sequence[str], told: Sequence[tuple[int, str]]) -> int:
    """The first entry that speaks of a thing at another place, where none speaks of it at its own; 0 for none."""
    about = [(no, text) for no, text in told if _names(text, words) and has_place(text)]
    if any(_at(text, words) for _, text in about):
        return 0
    return next((no for no, text in about if place_clash(text, words) and not _is_of(text, others)), 0)


def _dealt_with(case: Case) -> Iterator[tuple[int, str]]:
    """What was looked at, done, offered or put off: the entry, and its words with the places of its readings."""
    for entry in case.ticket.living:
        if isinstance(entry.fact, Found | Ruled | Cause | Proof | Did | Offer | Later):
            yield entry.no, words_with_places(entry.fact)


def _is_of(text: str, things: Sequence[str]) -> bool:
    """Whether a text speaks of one of some things at its place."""
    return any(_at(text, thing) for thing in things if _names(text, thing))


def _thing_of(case: Case, fact: Code) -> str:
    """What a code speaks of with its place, in the technician's words of the tables; empty where they do not know."""
    known = meaning(fact.code, fact.sub, with_own(case.codes))
    return (known.trade or known.words).partition(":")[0]


def _names(text: str, thing: str) -> bool:
    """Whether a text speaks of a thing: by two of its words, since one alone is a word of many things."""
    words = content_words(thing)
    return len(words & content_words(text)) >= min(2, len(words)) > 0


def _at(text: str, thing: str) -> bool:
    return place_shared(text, thing) and not place_clash(text, thing)


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
    code_place_differs,
    cleared_not_driven,
)
