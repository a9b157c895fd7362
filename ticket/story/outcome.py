"""What labour and tests show of themselves: whether a repair was made for certain, and how a test ended.

The opening of a story claims a repair, and that it was tested, on these answers alone. Doubt is an answer of its own:
then the opening claims neither, and a question asks for the result.
"""

import re
from collections.abc import Iterable, Iterator
from functools import cache

from ticket.job.entry import Entry
from ticket.job.kinds import Did, Proof
from ticket.job.regex import Regex
from ticket.readings.pairing import judge_entry
from ticket.story.context import Job
from ticket.story.words.labour import in_order, tasks
from ticket.story.words.lexicon import nouns, states, works

PASSED, FAILED, DOUBTFUL = "passed", "failed", "doubtful"

# Labour of these kinds looks, reads, or takes off and puts back; it mends nothing.
_LOOKING = frozenset({"check", "measure", "look", "clear", "take"})
_UNDONE = Regex(
    r"(?i)(?:n't|n’t)\b|\b(?:unable|cannot|declin\w*|refus\w*|deni\w*|unsuccessful\w*|failed to|quot\w*|estimat\w*|"
    r"not (?:done|completed?|finished|possible|repaired|replaced|fixed|carried))\b"
)
"""Words that take back all a line of labour says: nobody wanted it, it could not be done, or it was only priced."""
_DENIES = Regex(
    r"(?i)\b(?:no|not|never|none|without|attempt\w*|tried|recommend\w*|advis\w*|needs?|should|pending|waiting)\b"
)
"""Words beside which the work of one clause is not told as done: it was denied, tried, wished for or put off."""

_CAME_BACK = Regex(
    r"(?i)\b(?:c[ao]me back|is back|back (?:after|at|again|within|on)|returned|reappear\w*|not (?:yet )?tested|"
    r"no time|still (?:there|present|stored|active|noisy|leaks?|leaking|do(?:es|ing)?|mak(?:es?|ing)|ha(?:s|ve|d)|"
    r"the same)|(?:stored|set) again|failed|persist\w*|not (?:fixed|repaired|cured|solved|any better|better)|no better|"
    r"(?:did not|didn't|didn’t) (?:help|cure|fix|solve))\b"
)
_MAY_BE_BACK = Regex(
    r"(?i)\b(?:still|again|remain\w*|continu\w*|unchanged|no (?:change|improvement|difference)|same|"
    r"intermittent\w*|sometimes|occasional\w*|slight\w*|almost)\b"
)
"""Words that may tell of what is still wrong, and as well of what is still right."""
_STEADY = ("remain", "unchanged", "no ", "same")
_NEGATION = Regex(r"(?i)\b(?:no|not|never|none|nor|without)\b|n['’]t\b")
_CLAUSE = Regex(r"[,;.]|\bbut\b|\band\b")
_WORD = Regex(r"[a-z]+")
_IN_ORDER = frozenset("off within holds holding works working steady straight smooth".split())
_LOOKED = frozenset("read ran run drove driven filled done inspection check test diagnosis".split())


def mends(fact: Did) -> bool:
    """Labour that may put something right: what questions are asked about. Unknown words count as mending."""
    known, unknown = tasks(fact.text)
    return bool(unknown) or any(work.kind not in _LOOKING for task in known for work in task.works)


def repaired(fact: Did, parts: Iterable[str] = ()) -> bool:
    """Labour that put something right for certain: a verb of mending is known, and nothing beside it denies it.

    ``parts`` are the descriptions of the parts used: they decide what "R&R" was.
    """
    if _UNDONE.search(fact.text):
        return False
    told = ", ".join(clause.strip() for clause in re.split("[,;]", fact.text) if not _DENIES.search(clause))
    kinds = {
        kind
        for item in in_order(told, parts)
        for kind in ([_leading(item)] if isinstance(item, str) else [work.kind for work in item.works])
    }
    return bool(kinds - _LOOKING - {"", "job"}) or ("job" in kinds and not _looks(told))


def came_back(fact: Proof) -> bool:
    """Whether the words of a test say that the trouble is back, or that there was no test."""
    return any(_unsaid(clause, match) for clause, match in _found(_CAME_BACK, fact))


def may_be_back(fact: Proof) -> bool:
    """Whether its words may say so: "still", "again" and the like beside no word that is known to be good."""
    return any(
        _unsaid(clause, match) and not _good(clause, match[0].lower()) for clause, match in _found(_MAY_BE_BACK, fact)
    )


def outcome(job: Job, entry: Entry, fact: Proof) -> str:
    """How a test ended: by its mark, its readings, and the words; doubtful where these leave it open."""
    verdicts = {verdict.word for verdict in judge_entry(job.ticket, entry, job.case.earlier)}
    if fact.result == "failed" or verdicts & {"low", "high"} or (not fact.result and came_back(fact)):
        return FAILED
    if "undecided" in verdicts or (not fact.result and may_be_back(fact)):
        return DOUBTFUL
    return PASSED


def _found(pattern: Regex, fact: Proof) -> Iterator[tuple[str, re.Match[str]]]:
    for clause in _CLAUSE.split(f"{fact.what}, {fact.seen}"):
        yield from ((clause, match) for match in pattern.finditer(clause))


def _unsaid(clause: str, match: re.Match[str]) -> bool:
    """Nothing in front of the words takes them back: "has not come back"."""
    return not _NEGATION.search(clause, 0, match.start())


def _good(clause: str, word: str) -> bool:
    """Whether a clause with such a word tells of something in order, or only of looking once more."""
    words = _WORD.findall(clause.lower())
    kinds = {nouns()[one].kind for one in words if one in nouns() and one not in word}
    if word.startswith(_STEADY) and kinds and not kinds & {"fault", "trouble"}:
        return True  # "ride height unchanged": a thing or a quantity stayed as it was
    if word == "again" and any(_looking(one) for one in words):
        return True
    return any(one in _IN_ORDER or (one in states() and states()[one].sense == "good") for one in words)


def _looking(word: str) -> bool:
    stems = (word, word.removesuffix("ed"), word.removesuffix("d"), word.removesuffix("ned"))
    return word in _LOOKED or any(stem in works() and works()[stem].kind in _LOOKING for stem in stems)


def _looks(text: str) -> bool:
    return any(_looking(word) for word in _WORD.findall(text.lower()))


@cache
def _typed_past() -> dict[str, str]:
    """The kind of work by the past of its verb, as technicians type it too: "replaced"."""
    return {work.past.partition(" ")[0]: work.kind for work in works().values()}


def _leading(piece: str) -> str:
    """The kind of work that the first word of unknown words names; empty for none."""
    word = piece.lower().split(" ")[0]
    return works()[word].kind if word in works() else _typed_past().get(word, "")
