"""F8 to F13 and F20: words that promise, widen, frighten or blame stand in a text only where they were typed."""

from collections.abc import Iterator
from typing import Any

from support.faithful.figures import scan
from support.faithful.finding import Finding
from support.faithful.grounds import Grounds
from support.faithful.tokens import Hit, Text, find, spanned
from ticket.job.kinds import Found, Later, Offer, Proof, Used

_ITEM = 8  # words behind a condition that may name its part


def words(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """Words of the closed lists that no source holds."""
    for rule in grounds.language.data["typed"]:
        exempt = {i for hit in find(text, grounds.language, rule["except"]) for i in range(hit.first, hit.last)}
        for hit in find(text, grounds.language, rule["words"]):
            if hit.first in exempt or grounds.typed(" ".join(_as_listed(hit))):
                continue
            if _allowed(rule["rule"], hit, text, grounds):
                continue
            start, end = spanned(text, hit)
            said = text.raw[start:end]
            yield Finding(rule["rule"], f"“{said}” {rule['why']}.", start, end)
    yield from _conditions(text, grounds)
    yield from _risks(text, grounds)
    yield from _urgency(text, grounds)


def _as_listed(hit: Hit) -> list[str]:
    """The phrase in a form that matches all its inflections."""
    return [f"{part[1:]}~" if part.startswith("~") else part for part in hit.phrase]


def _allowed(rule: str, hit: Hit, text: Text, grounds: Grounds) -> bool:
    word = " ".join(hit.phrase)
    if rule == "F10":
        return _one_differs(grounds) or _too_low(hit, text, grounds)
    if rule == "F11":
        return _complete(word, hit, text, grounds)
    if rule == "F12":
        stopped = any(fact.judgement == "do not drive" for fact in grounds.facts(Later))
        return stopped and word in grounds.language.list("complete", "stopped")
    return False


def _one_differs(grounds: Grounds) -> bool:
    """The cited readings are a group of which one member alone differs."""
    verdicts = [reading.verdict for reading in grounds.readings]
    return len(verdicts) > 1 and any(verdicts.count(one) == 1 for one in set(verdicts)) and len(set(verdicts)) == 2


def _too_low(hit: Hit, text: Text, grounds: Grounds) -> bool:
    """The word stands right beside a reading that is too low: "only 12.3 volts", "610 rpm only"."""
    start, end = spanned(text, hit)
    beside = (
        figure.digits
        for figure in scan(text.raw, grounds.language)
        if not text.raw[min(end, figure.end) : max(start, figure.start)].strip()
    )
    digits = next(beside, "")
    return {one.verdict for one in grounds.readings if one.typed.lstrip("+").replace(",", "") == digits} == {"low"}


def _complete(word: str, hit: Hit, text: Text, grounds: Grounds) -> bool:
    """ "All" with the number of cited readings; "none" for no codes; "nothing" for a price of nought."""
    listed = grounds.language.data["complete"]
    if word in listed["counted"] and hit.last < len(text.words):
        told = grounds.language.numbers.get(text.keys[hit.last])
        return told is not None and told == len(grounds.readings)
    if word in listed["no_codes"]:
        return any(getattr(fact, "code", "") == "none" for fact in grounds.facts())
    if word in listed["free"]:
        amounts = [getattr(fact, name, "") for fact in grounds.facts() for name in ("estimate", "total", "price")]
        return any(amount and not amount.strip("$€£ 0.") for amount in amounts)
    return False


def _conditions(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """Each part is told in its own condition (F13)."""
    used = [fact for fact in grounds.facts(Used) if fact.condition]
    rule: Any = next(rule for rule in grounds.language.data["typed"] if rule["rule"] == "F13")
    names = {name for fact in used for name in (fact.condition,)} & set(rule["words"])
    if not used:
        return
    stems = [_named(grounds, fact) for fact in used]
    told: set[int] = set()
    for hit in find(text, grounds.language, sorted(names)):
        near = set(_item(text, hit, grounds))
        shared = [len(near & mine) for mine in stems]
        best = [i for i, count in enumerate(shared) if count and count == max(shared)]
        told.update(best)
        if (
            best
            and " ".join(hit.phrase) not in {used[i].condition for i in best}
            and not any(hit.phrase[0] in _keys(grounds, used[i]) for i in best)
        ):
            start, end = spanned(text, hit)
            if " ".join(text.raw[:start].split()[-2:]).endswith(("We", "We also")):
                continue  # "We used one new fan motor": what we did, not how old the part was
            yield Finding("F13", f"“{' '.join(hit.phrase)}” is not the condition of that part.", start, end)
    if grounds.kinds == {"used"} and grounds.reader == "customer":
        for i, fact in enumerate(used):
            mentioned = len(stems[i] & set(text.stems)) * 2 > len(stems[i])
            told_as = (fact.condition, *grounds.language.data["conditions"]["told"].get(fact.condition, ()))
            if mentioned and fact.condition != "new" and not any(True for _ in find(text, grounds.language, told_as)):
                yield Finding(
                    "F13", f"The part is {fact.condition}, and the sentence does not say so.", 0, len(text.raw)
                )


def _item(text: Text, hit: Hit, grounds: Grounds) -> Iterator[str]:
    """The words behind a condition that may name its part: up to a comma or "and"."""
    for i in range(hit.last, min(hit.last + _ITEM, len(text.words))):
        if text.clause[i] != text.clause[hit.first] or text.keys[i] == grounds.language.data["and"]:
            return
        yield text.stems[i]


def _named(grounds: Grounds, fact: Used) -> set[str]:
    """The words of a part's description, short forms spelled out."""
    mine = [p for p in grounds.pieces if p.entry and p.entry.fact is fact and p.field == "text"]
    return {stem for piece in mine for text in piece.texts for stem in text.stems}


def _keys(grounds: Grounds, fact: Used) -> set[str]:
    return {key for piece in grounds.pieces if piece.entry and piece.entry.fact is fact for key in piece.typed.keys}


def _risks(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """What may happen is told as something that may happen (F12)."""
    language = grounds.language
    hedges = language.list("hedges", "risk")
    told = {text.sentence[hit.first] for hit in find(text, language, hedges)}
    others = {stem for piece in grounds.pieces if piece.field != "risk" for one in piece.texts for stem in one.stems}
    for piece in grounds.pieces:
        if piece.field != "risk" or not any(True for _ in find(piece.typed, language, hedges)):
            continue
        own = {word.stem for word in piece.spelled.words if word.key not in language.empty} - others
        said: dict[int, list[int]] = {}
        for i, stem in enumerate(text.stems):
            if stem in own and not text.quoted[i]:
                said.setdefault(text.sentence[i], []).append(i)
        for sentence, places in said.items():
            if sentence not in told and len({text.stems[i] for i in places}) > 1:
                start, end = text.words[places[0]].start, text.words[places[-1]].end
                yield Finding("F12", "What may happen is told as if it will.", start, end)


def _urgency(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """Deferred work waits as long as the shop judged, no longer and no shorter (F12)."""
    given = {fact.judgement for fact in grounds.facts(Later, Offer)}
    if not given or grounds.reader != "customer":
        return
    listed: dict[str, list[str]] = grounds.language.data["urgency"]
    for hit in find(text, grounds.language, listed):
        said = " ".join(hit.phrase)
        if not given & set(listed[said]) and not grounds.typed(said):
            yield Finding("F12", f"“{said}” is not what the shop judged.", *spanned(text, hit))


def typed_good(found: Found | Proof, grounds: Grounds) -> bool:
    """True where a finding calls itself good in words."""
    language = grounds.language
    for piece in grounds.pieces:
        if piece.entry is not None and piece.entry.fact is found and piece.field in ("seen", "what"):
            good = any(True for _ in find(piece.typed, language, language.list("verdicts", "typed_good")))
            bad = any(True for _ in find(piece.typed, language, language.list("verdicts", "typed_bad")))
            denied = any(True for _ in find(piece.typed, language, language.list("negation", "words")))
            if good and not bad and not denied and piece.field == "seen":
                return True
    return False
