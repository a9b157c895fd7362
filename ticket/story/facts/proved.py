"""How a test ended: by its mark, its readings, and its words held against the complaint.

The opening of a story says that something was tested on this answer alone. Doubt is an answer of its own: then the
opening leaves the result to what is told below, and a question asks for it.
"""

import re
from collections.abc import Iterator

from ticket.job.entry import Entry
from ticket.job.kinds import Code, Did, Proof, Says
from ticket.job.likeness import shared
from ticket.job.regex import Regex
from ticket.language.lexicon import look
from ticket.language.subjects import GOOD, clauses
from ticket.story.context import Job
from ticket.story.facts.labour_kinds import looks_only
from ticket.story.readings import as_left, readings

PASSED, FAILED, DOUBTFUL, BACK, UNTESTED, OPEN = "passed", "failed", "doubtful", "back", "untested", "open"
"""``failed`` by its mark or a reading, ``back`` by words that say the trouble is there; ``untested`` by words too.

``open`` says neither: a reading that nothing judges, words that nobody lists.
"""

_CAME_BACK = Regex(
    r"(?i)\b(?:c[ao]me back|is back|back (?:after|at|again|within|on)|returned|reappear\w*|"
    r"still (?:there|present|stored|active|noisy|leaks?|leaking|do(?:es|ing)?|mak(?:es?|ing)|ha(?:s|ve|d)|"
    r"the same)|(?:stored|set) again|fail(?:s|ed)|persist\w*|"
    r"not (?:fixed|repaired|cured|solved|any better|better)|no better|"
    r"(?:did not|didn't|didn’t) (?:help|cure|fix|solve))\b"
)
_NOT_TESTED = Regex(
    r"(?i)\b(?:not (?:yet )?(?:(?:road )?tested|driven|run|started|tried)|untested|no time|pending|tomorrow|"
    r"(?:did not|didn't|didn’t|could not|couldn't|couldn’t|to|will|needs?|wants?|should) (?:be |an? )?"
    r"(?:(?:road )?test(?:ed)?|try|tried))\b"
)
_ONCE_MORE = Regex(r"(?i)\b(?:still|again|persists|remains|continues)\b")
_MAY_BE_BACK = Regex(
    r"(?i)\b(?:still|again|remain\w*|continu\w*|unchanged|no (?:change|improvement|difference)|"
    r"same(?! as (?:the )?(?:\w+ )?others?\b)|"
    r"intermittent\w*|sometimes|occasional\w*|slight\w*|almost)\b"
)
"""Words that may tell of what is still wrong, and as well of what is still right."""
_STEADY = ("remain", "unchanged", "no ", "same")
_NEGATION = Regex(r"(?i)\b(?:no|not|never|none|nor|without)\b|n['’]t\b")
_DENIED = Regex(r"(?i)\b(?:no|none|zero|without)(?: more| further| other| new)? ([a-z]+)")
_NOT_MISSED = frozenset("stored code codes dtc dtcs message messages warning warnings light lamp alarm".split())
_CLAUSE = Regex(r"[,;.]|\bbut\b|\band\b")
_WORD = Regex(r"[a-z]+")
_IN_ORDER = frozenset("off within holds holding works working steady straight smooth".split())
_RUNS = frozenset("runs starts started charges shifts cranks turns".split())
_LOOKED = frozenset("read ran run drove driven filled done inspection check test diagnosis".split())


def came_back(fact: Proof, complaints: tuple[str, ...] = ()) -> bool:
    """Whether the words of a test say that the trouble is back: plainly, or "still" beside a word of the complaint."""
    if any(_unsaid(clause, match) for clause, match in _found(_CAME_BACK, fact)):
        return True
    return any(
        not _NEGATION.search(clause) and not _good(clause, match[0].lower())
        for clause, match in _found(_ONCE_MORE, fact)
        if any(shared(clause, said) for said in complaints)
    )


def not_tested(fact: Proof) -> bool:
    """Whether its words say that there was no test."""
    return any(True for _ in _found(_NOT_TESTED, fact))


def may_be_back(fact: Proof) -> bool:
    """Whether its words may say so: "still", "again" and the like beside no word that is known to be good."""
    return any(
        _unsaid(clause, match) and not _good(clause, match[0].lower()) for clause, match in _found(_MAY_BE_BACK, fact)
    )


def outcome(job: Job, entry: Entry, fact: Proof) -> str:
    """How a test ended: one of the names at the top of this module."""
    verdicts = {reading.verdict.word for reading in as_left(readings(job, entry))}
    if fact.result == "failed" or verdicts & {"low", "high"}:
        return FAILED
    if not fact.result and came_back(fact, tuple(said.text for _, said in job.each(Says))):
        return BACK
    if not fact.result and not_tested(fact):
        return UNTESTED
    if "undecided" in verdicts or (not fact.result and may_be_back(fact)):
        return DOUBTFUL
    return PASSED if fact.result or "in" in verdicts or _says_good(job, fact) else OPEN


def _says_good(job: Job, fact: Proof) -> bool:
    """Whether its words say that anything is as it should be: a good state, a fault or the complaint that is denied."""
    said = f"{fact.what}, {fact.seen}"
    if any(clause.sense == GOOD for clause in clauses(said)):
        return True
    complaints = [one.text for _, one in job.each(Says)]
    denied = [match[1] for match in _DENIED.finditer(said)]
    if any(_is_fault(word) or any(shared(word, one) for one in complaints) for word in denied):
        return True
    return any(_in_order(piece) for piece in _CLAUSE.split(said) if not _NEGATION.search(piece))


def _in_order(piece: str) -> bool:
    """Whether a piece says that something does its work: "holds", "starts", unless how it does is told behind it."""
    words = _WORD.findall(piece.lower())
    return any(
        one in _IN_ORDER or (one in _RUNS and not any(found.cls in ("state", "quality") for found in look(behind)))
        for one, behind in zip(words, [*words[1:], ""], strict=False)
    )


def _is_fault(word: str) -> bool:
    """Whether what is denied is nothing to miss: a leak, a code, a message."""
    return word in _NOT_MISSED or any(found.kind in ("fault", "trouble") for found in look(word))


def set_again(job: Job, entry: Entry, fact: Code) -> bool:
    """Whether a fault that was there before is there after the repair."""
    if fact.code == "none" or fact.status == "cleared":
        return False
    if fact.status.endswith(" again"):
        return any(one.no < entry.no for one, _ in job.each(Did))
    return fact.moment.startswith("after") and any(
        one.no < entry.no and (other.code, other.sub) == (fact.code, fact.sub) for one, other in job.each(Code)
    )


def _found(pattern: Regex, fact: Proof) -> Iterator[tuple[str, re.Match[str]]]:
    for clause in _CLAUSE.split(f"{fact.what}, {fact.seen}"):
        yield from ((clause, match) for match in pattern.finditer(clause))


def _unsaid(clause: str, match: re.Match[str]) -> bool:
    """Nothing in front of the words takes them back: "has not come back"."""
    return not _NEGATION.search(clause, 0, match.start())


def _good(clause: str, word: str) -> bool:
    """Whether a clause with such a word tells of something in order, or only of looking once more."""
    words = _WORD.findall(clause.lower())
    kinds = {noun.kind for one in words if one not in word for noun in look(one) if noun.cls in ("thing", "matter")}
    if word.startswith(_STEADY) and kinds and not kinds & {"fault", "trouble"}:
        return True  # "ride height unchanged": a thing or a quantity stayed as it was
    if word == "again" and any(_looking(one) for one in words):
        return True
    if any(_is_fault(match[1].lower()) for match in _DENIED.finditer(clause)):
        return True  # "smoked again, no leak"
    return any(one in _IN_ORDER or any(state.sense == "good" for state in look(one)) for one in words)


def _looking(word: str) -> bool:
    return word in _LOOKED or looks_only(word)
