"""What was answered, in the words of a contact: yes, no, wait or thinks, and to what."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from ticket.language.lexicon import look
from ticket.notes.phrases import means, phrase_at
from ticket.notes.tokens import Token

NOT = frozenset(
    "not never without hasn't hasnt haven't didn't didnt won't can't cannot isn't wasn't don't doesn't did does".split()
)
"""Words that deny what stands behind them."""
_DENIED = frozenset(
    {
        "not",
        "never",
        "without",
        "hasn't",
        "hasnt",
        "haven't",
        "didn't",
        "didnt",
        "won't",
        "can't",
        "cannot",
        "isn't",
        "wasn't",
        "don't",
        "doesn't",
        "no",
        "if",
        "before",
        "to",
        "be",
        "until",
        "til",
        "till",
        "get",
        "gets",
        "needs",
        "need",
        "when",
        "?",
    }
)
_SPEAKERS = frozenset(
    {
        "he",
        "she",
        "they",
        "cust",
        "customer",
        "it",
        "said",
        "says",
        "say",
        "told",
        "is",
        "was",
        "has",
        "i",
        "we",
        "and",
        "but",
        "then",
        "so",
        "back",
        "w/",
        "with",
        "the",
        "who",
        "also",
        "owner",
        "wife",
        "husband",
        "mgr",
        "manager",
        "boss",
        "fleet",
        "again",
        "gave",
        "to",
        "for",
        "me",
        "us",
        "him",
        "her",
        "on",
        "of",
        "by",
        "as",
        "just",
        "gives",
        "replied",
        "replies",
        "answered",
        "responded",
        "wrote",
    }
)
_PERSONS = frozenset({"he", "she", "they", "was", "is", "has", "he'll", "she'll", "they'll"})
_WISHES = frozenset({"call", "ring", "phone", "text", "contact", "email", "ask", "stop", "check", "first"})
_JOINS = frozenset({"and", "&", "but", "then", "+", "plus", "though", "yet"})
_LONGEST_WISH = 4  # words
_ONE_OF = frozenset({"one", "1", "either", "other", "another", "ones"})
_PRONOUNS = frozenset({"em", "'em", "them", "those", "these", "the", "two", "both"})
_MARKS = frozenset(",;:()–—.!?")


@dataclass(frozen=True, slots=True)
class Said:
    """One answer and the tokens it stands in; ``to`` is the range of its object, ``None`` where it is to all."""

    answer: str
    first: int
    behind: int
    to: tuple[int, int] | None = None


@dataclass(slots=True)
class Speech:
    """Everything a stretch of words says about consent.

    Attributes:
        said: the answers, in order.
        pending: nothing was decided yet, in so many words.
        unclear: tokens of an answer that is denied, conditional, partly or a question.
        reached: what the contact came to where nobody answered: ``no answer`` or ``left message``.
        reached_at: the tokens that say so.
    """

    said: list[Said] = field(default_factory=list)
    pending: bool = False
    unclear: list[tuple[int, int]] = field(default_factory=list)
    reached: str = ""
    reached_at: list[tuple[int, int]] = field(default_factory=list)


def speech_of(tokens: Sequence[Token], start: int, taken: set[int]) -> Speech:
    """The answers from a token on; tokens taken already end an object and begin none."""
    speech = Speech()
    at = start
    while at < len(tokens):
        at = at + 1 if at in taken else _step(tokens, at, start, taken, speech)
    return speech


def _step(tokens: Sequence[Token], at: int, start: int, taken: set[int], speech: Speech) -> int:
    reached = phrase_at("no answer", tokens, at)
    answer = phrase_at("answer", tokens, at)
    pending = phrase_at("pending", tokens, at)
    idle = phrase_at("idle", tokens, at)
    if idle and idle[1] >= max(hit[1] if hit else 0 for hit in (reached, answer, pending)):
        return idle[1]
    if reached and reached[1] > (answer[1] if answer else 0):
        if not speech.reached or reached[0] == "left message":
            speech.reached = reached[0]
        speech.reached_at.append((at, reached[1]))
        return reached[1]
    if pending and pending[1] >= (answer[1] if answer else 0):
        speech.pending = True
        return _part_end(tokens, pending[1])
    if answer is None and _one_of_them(tokens, at):
        speech.unclear.append((at, _part_end(tokens, at)))
        return _part_end(tokens, at)
    if _untold_which(tokens, at):
        speech.unclear.append((at, at + 1))
        return _part_end(tokens, at)
    wish = _wish(tokens, at, taken, speech)
    if answer is None and wish:
        return wish
    if answer is None:
        return _condition(tokens, at, taken, speech) if phrase_at("if", tokens, at) else at + 1
    if idle := phrase_at("idle", tokens, answer[1] - 1):
        return idle[1]  # "said no problem"
    if (at > start and at - 1 not in taken and tokens[at - 1].low in _DENIED) or _denied_before(tokens, at, start):
        speech.unclear.append((at - 1, answer[1]))
        return answer[1]
    if answer[0] == "yes" and _tells_on(tokens, answer[1]):
        speech.unclear.append((at, _part_end(tokens, answer[1])))
        return _part_end(tokens, answer[1])
    return _object(tokens, at, answer, start, taken, speech)


def _one_of_them(tokens: Sequence[Token], at: int) -> bool:
    """``do one of em``: behind a word that decides, one of several that is not named."""
    return (
        at > 0
        and at + 2 < len(tokens)
        and tokens[at].low == "one"
        and tokens[at + 1].low == "of"
        and tokens[at + 2].low in _PRONOUNS
        and tokens[at - 1].low in ("do", "just", "only", "wants", "want", "fix", "have")
    )


def _wish(tokens: Sequence[Token], at: int, taken: set[int], speech: Speech) -> int:
    """``wants the puncture done`` is a yes to it; ``but leave the linkage`` behind a yes is a no. 0 where neither."""
    low = tokens[at].low
    if low == "leave" and speech.said and at and tokens[at - 1].low in ("but", "and", ","):
        first = at + 1
        while first < len(tokens) and means("filler", tokens[first].low):
            first += 1
        end = _object_end(tokens, first, taken)
        if end == first or any(tokens[i].low in ("up", "to", "it", "car", "key", "keys") for i in range(first, end)):
            return 0
        speech.said.append(Said("no", at, end, (first, end)))
        return end
    if low not in ("wants", "want", "have") or _denied_before(tokens, at, 0) or (at and tokens[at - 1].low in NOT):
        return 0
    first, stop = at + 1, _part_end(tokens, at)
    while first < stop and means("filler", tokens[first].low):
        first += 1
    done = next((i for i in range(first, stop) if tokens[i].low in ("done", "fixed", "sorted")), 0)
    if not done or done == first or done - first > _LONGEST_WISH or any(i in taken for i in range(first, done)):
        return 0
    if any(
        tokens[i].low in NOT or phrase_at("answer", tokens, i) or phrase_at("if", tokens, i) for i in range(first, done)
    ):
        return 0
    speech.said.append(
        Said("yes", at, done + 1, None if phrase_at("all", tokens, first) == ("all", done) else (first, done))
    )
    without = phrase_at("except", tokens, done + 1)
    if without and without[1] > done + 2:  # "wants the brakes done but not the bulbs"
        return _but_not(tokens, done + 1, without[1], taken, speech)
    return done + 1


def _but_not(tokens: Sequence[Token], at: int, first: int, taken: set[int], speech: Speech) -> int:
    """What a yes leaves out, in so many words, is a no to it."""
    while first < len(tokens) and means("filler", tokens[first].low):
        first += 1
    end = _object_end(tokens, first, taken)
    if end > first and not _which(tokens, first, end):
        speech.said.append(Said("no", at, end, (first, end)))
    elif end > first:
        speech.unclear.append((at, end))
    return max(end, first)


def _denied_before(tokens: Sequence[Token], at: int, start: int) -> bool:
    """``did not say ok``: a denial up to three words in front, with nothing that parts between."""
    for i in range(at - 1, max(start, at - 3) - 1, -1):
        if tokens[i].low in _MARKS or tokens[i].low in _JOINS:
            return False
        if tokens[i].low in NOT:
            return True
    return False


def _condition(tokens: Sequence[Token], at: int, taken: set[int], speech: Speech) -> int:
    """``if warranty pays`` leaves the answer open; ``if under 500`` is a ceiling, and ``call if more`` is a wish."""
    if at + 1 in taken:
        taken.add(at)
        return at + 1
    if at and tokens[at - 1].low in _WISHES:
        return _part_end(tokens, at)
    speech.unclear.append((at, _part_end(tokens, at + 1)))
    return at + 1


def _untold_which(tokens: Sequence[Token], at: int) -> bool:
    """``didnt catch which``, ``not sure which one``: which of them it was, nobody knows."""
    before = {token.low.replace("'", "").replace("’", "") for token in tokens[max(0, at - 3) : at]}
    return tokens[at].low == "which" and not before.isdisjoint(_NOT_HEARD) and not before.isdisjoint(_HEARD)


_NOT_HEARD = frozenset("didnt not dont couldnt wasnt never no".split())
_HEARD = frozenset("catch hear sure know tell say clear certain".split())


def _part_end(tokens: Sequence[Token], at: int) -> int:
    while at < len(tokens) and tokens[at].low not in ",;":
        at += 1
    return at


def _object(
    tokens: Sequence[Token], at: int, answer: tuple[str, int], start: int, taken: set[int], speech: Speech
) -> int:
    word, first = answer
    behind = first
    if word == "wait" and tokens[at].low == "not" and (put_off := _object_before(tokens, at, start, taken)):
        end = _part_end(tokens, behind)  # "tires not till spring": behind it stands the time
        speech.said.append(Said(word, put_off[0], end, put_off))
        return end
    again = phrase_at("answer", tokens, behind)
    while again and again[0] == word and behind not in taken:  # "ok go ahead"
        behind = again[1]
        again = phrase_at("answer", tokens, behind)
    if behind < len(tokens) and tokens[behind].low == "?":
        speech.unclear.append((at, behind + 1))
        return behind + 1
    first = behind
    while first < len(tokens) and first in taken and first > at and _named_by(tokens, first, taken):
        first += 1
    whole = _whole(tokens, first, taken)
    while (
        not whole
        and first < len(tokens)
        and first not in taken
        and (means("filler", tokens[first].low) or _prices(tokens, first) or _so_with(tokens, first))
        and not phrase_at("except", tokens, first)
    ):
        first += 1
        whole = _whole(tokens, first, taken)
    if whole:
        return _all(tokens, at, word, whole, taken, speech)
    end = _object_end(tokens, first, taken)
    if end > first:
        if _which(tokens, first, end):
            end = _part_end(tokens, end) if end < len(tokens) and tokens[end].low == "not" else end
            speech.unclear.append((at, end))  # "one of them not the other": one doubt
            return end
        if tokens[first].kind == "number" and first + 1 < end and tokens[first + 1].low in ("of", "out", "/"):
            speech.unclear.append((at, end))
            return end
        if phrase_at("all", tokens, first) and means("all", tokens[first].low) == "some":
            speech.unclear.append((at, end))
            return end
        speech.said.append(Said(word, at, end, (first, end)))
        return _rest(tokens, word, end, taken, speech)
    before = _object_before(tokens, at, start, taken)
    if before is not None:
        speech.said.append(Said(word, before[0], behind, before))
    else:
        speech.said.append(Said(word, at, behind))
    return max(_rest(tokens, word, first, taken, speech), behind)


def _prices(tokens: Sequence[Token], at: int) -> bool:
    """``no to the $900 pump``: the sum in front of a thing says which, and ends nothing."""
    noun = tokens[at + 1].low if tokens[at].kind == "money" and at + 1 < len(tokens) else ""
    return any(one.cls == "thing" and one.kind != "general" for one in look(noun))


def _so_with(tokens: Sequence[Token], at: int) -> bool:
    """``go on so with the pads``: the small word in front of "with" ends nothing."""
    return tokens[at].low == "so" and at + 1 < len(tokens) and tokens[at + 1].low in ("with", "w/")


def _tells_on(tokens: Sequence[Token], at: int) -> bool:
    """``said yes he heard it too``: the word agrees to what somebody tells, not to work."""
    if at >= len(tokens) or tokens[at].low not in ("he", "she", "they", "it"):
        return False
    part = range(at + 1, _part_end(tokens, at))
    return not any(phrase_at("answer", tokens, i) or tokens[i].low in ("wants", "want") for i in part)


def _which(tokens: Sequence[Token], first: int, end: int) -> bool:
    """``yes to one of the two``, ``go with that one``, ``not the other``: which of them, nobody can tell."""
    if tokens[first].low in ("that", "this") and first + 1 < end:
        first += 1
    if tokens[end - 1].low in ("one", "ones") and end - first <= _LONGEST_WISH:
        return True  # "not for the expensive one"
    if tokens[first].low not in _ONE_OF:
        return False
    return end == first + 1 or tokens[first + 1].low in ("of", "one", "but", "not", "and", "or")


def _named_by(tokens: Sequence[Token], at: int, taken: set[int]) -> bool:
    """A name taken out of the words, as in ``ok from Rex for the seal``: the object may follow it."""
    return at in taken and tokens[at].kind in ("word", "clock")


def _whole(tokens: Sequence[Token], at: int, taken: set[int]) -> int:
    """The place behind a word for everything, where nothing else follows it."""
    hit = phrase_at("all", tokens, at) if at not in taken else None
    if hit is None or hit[0] == "some":
        return 0
    return hit[1] if _boundary(tokens, hit[1], taken) else 0


def _all(tokens: Sequence[Token], at: int, word: str, behind: int, taken: set[int], speech: Speech) -> int:
    speech.said.append(Said(word, at, behind))
    return _rest(tokens, word, behind, taken, speech)


def _rest(tokens: Sequence[Token], word: str, at: int, taken: set[int], speech: Speech) -> int:
    """``except X``, ``but not X`` behind a yes is a no to X."""
    skip = at + 1 if at < len(tokens) and tokens[at].low == "," and at not in taken else at
    apart = phrase_at("except", tokens, skip) if skip < len(tokens) and skip not in taken else None
    if apart is not None and word == "no" and tokens[skip].low in ("but", "except", "bar", "save"):
        end = _object_end(tokens, apart[1], taken)
        if end > apart[1]:  # "declined everything but oil": a yes to it, or nothing at all
            speech.unclear.append((skip, end))
            return end
    if (
        apart is None
        or word != "yes"
        or (tokens[skip].low == "but" and apart[1] == skip + 1 and _answers(tokens, apart[1]))
    ):
        return at
    first = apart[1]
    while first < len(tokens) and means("filler", tokens[first].low):
        first += 1
    end = _object_end(tokens, first, taken)
    plain_but = tokens[skip].low == "but" and apart[1] == skip + 1
    if end == first or (
        plain_but
        and not (speech.said and speech.said[-1].to is None and end - first <= 4 and not _decides(tokens, first, end))
    ):
        return at
    if _which(tokens, first, end):
        speech.unclear.append((skip, end))
    else:
        speech.said.append(Said("no", skip, end, (first, end)))
    return end


def _decides(tokens: Sequence[Token], first: int, end: int) -> bool:
    return any(
        means("deciding", tokens[i].low)
        or means("ceiling", tokens[i].low)
        or tokens[i].low in ("keep", "call", "do", "is", "be", "has")
        for i in range(first, end)
    )


def _answers(tokens: Sequence[Token], at: int) -> bool:
    while at < len(tokens) and means("filler", tokens[at].low):
        at += 1
    return bool(phrase_at("answer", tokens, at) or phrase_at("pending", tokens, at))


def _boundary(tokens: Sequence[Token], at: int, taken: set[int]) -> bool:
    if at >= len(tokens) or at in taken:
        return True
    token = tokens[at]
    if token.low in _MARKS or (token.low == "-" and tokens[at - 1].end < token.start):
        return True
    if token.low in _JOINS:
        return _answers(tokens, at + 1) or token.low in ("but", "then", "though", "yet")
    return bool(
        means("stop", token.low)
        or phrase_at("if", tokens, at)
        or phrase_at("except", tokens, at)
        or phrase_at("answer", tokens, at)
        or phrase_at("pending", tokens, at)
    )


def _object_end(tokens: Sequence[Token], first: int, taken: set[int]) -> int:
    end = first
    if first < len(tokens) and (tokens[first].kind == "money" or _bare_sum(tokens, first)):
        return first
    while end < len(tokens) and tokens[end].kind != "money" and not _boundary(tokens, end, taken):
        if end > first and _bare_sum(tokens, end) and "." in tokens[end].text:
            break
        end += 1
    return end


def _bare_sum(tokens: Sequence[Token], at: int) -> bool:
    """A figure too large for the number of an entry, with no word behind it that it could count."""
    value = tokens[at].value if tokens[at].kind == "number" and not tokens[at].glued else None
    follows = tokens[at + 1] if at + 1 < len(tokens) else None
    cents = len(tokens[at].text.partition(".")[2]) == 2
    return value is not None and (value >= 100 or cents) and not (follows and follows.kind == "word")


def _object_before(tokens: Sequence[Token], at: int, start: int, taken: set[int]) -> tuple[int, int] | None:
    """``lid yes``: the thing stands in front of the word, in the same comma part."""
    first = at
    while (
        first > start
        and first - 1 not in taken
        and not (tokens[first - 1].low in _MARKS or tokens[first - 1].low in ("-", "but", "and", "&"))
    ):
        first -= 1
    while first < at and (tokens[first].low.partition("'")[0] in _SPEAKERS or means("filler", tokens[first].low)):
        first += 1
    stop = at
    while stop > first and tokens[stop - 1].low in _PERSONS:  # "starter she declined"
        stop -= 1
    stop = stop if stop > first else at
    words = tokens[first:stop]
    spoken = any(word.low in _SPEAKERS | _PERSONS or means("deciding", word.low) for word in words)
    answered = any(phrase_at("answer", tokens, i) for i in range(first, stop))  # "yes yes no (pads, discs, flush)"
    if not words or spoken or answered or len(words) > 5:
        return None
    return first, stop
