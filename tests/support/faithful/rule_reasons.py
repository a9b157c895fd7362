"""F14, F15, F17 and F19: reasons, comparisons, answers and hedges rest on the entries that carry them."""

from collections.abc import Iterator
from fractions import Fraction
from functools import cache

from support.faithful.figures import QUANTITY, scan
from support.faithful.finding import Finding
from support.faithful.grounds import Grounds, Piece
from support.faithful.labour import typed_at
from support.faithful.language import Language, load
from support.faithful.tokens import Hit, Text, cut, find, spanned
from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Later, Maybe, Ruled, Told, Used
from ticket.job.text import fold
from ticket.story.facts.certainty import not_found

_REACH = 40  # words of a reason that are looked at
_PROSE = ("text", "what", "seen", "reason", "because", "words")  # fields whose doubts are told with them
_MANY = 20  # sentences of one text that are held against each other


def _places(text: Text, grounds: Grounds, *path: str) -> set[int]:
    """The words taken up by the phrases of a list."""
    hits = find(text, grounds.language, grounds.language.list(*path))
    return {i for hit in hits for i in range(hit.first, hit.last)}


def _said(hit: Hit) -> str:
    return " ".join(hit.phrase)


def reasons(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """Because, so and their like (F14)."""
    language = grounds.language
    exempt = _places(text, grounds, "reasons", "except")
    licensed = (
        "cause" in grounds.kinds
        or any(fact.reason or fact.refs for fact in grounds.facts(Ruled))
        or any(fact.because for fact in grounds.facts(Later))
    )
    backward = language.list("reasons", "backward")
    for hit in find(text, language, language.list("reasons", "words")):
        if hit.first in exempt or grounds.typed(_said(hit)):
            continue
        start, end = spanned(text, hit)
        if not licensed:
            yield Finding("F14", f"No source gives a reason for “{text.raw[start:end]}”.", start, end)
        elif _said(hit) not in backward and not _supported(text, hit, grounds):
            yield Finding("F14", "The reason given stands in no source.", start, end)


def _supported(text: Text, hit: Hit, grounds: Grounds) -> bool:
    """At least half the words of the reason, or the verdict of a reading, stand in the sources."""
    language = grounds.language
    verdicts = _verdict_words(language.code) if grounds.readings else frozenset()
    called: dict[str, list[str]] = language.data["reasons"]["called"]
    verdicts |= {word for name, words in called.items() if name in grounds.keys for word in words}
    held = strange = 0
    for i in range(hit.last, min(hit.last + _REACH, len(text.words))):
        if text.sentence[i] != text.sentence[hit.first] or ";" in text.raw[text.words[i - 1].end : text.words[i].start]:
            break
        if text.quoted[i]:
            return True
        if text.stems[i] in grounds.stems or text.keys[i] in verdicts:
            held += text.keys[i] not in language.empty
        elif text.keys[i] not in language.empty:
            strange += 1
    return held >= strange


@cache
def _verdict_words(code: str) -> frozenset[str]:
    language = load(code)
    names = ("low", "high", "good")
    return frozenset(word for name in names for phrase in language.list("verdicts", name) for word in phrase.split())


def comparisons(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """Again, still, now, down from (F15)."""
    language = grounds.language
    exempt = _places(text, grounds, "compares", "except")
    if "later" in grounds.kinds:
        exempt |= _places(text, grounds, "compares", "waits")
    down, up = language.list("down_from"), language.list("up_from")
    pairs = [(entry, first) for entry in grounds.entries if (first := grounds.first(entry)) is not None]
    compared = bool(pairs) or any(grounds.is_earlier(entry) for entry in grounds.entries) or bool(grounds.earlier)
    requested, asking = language.list("compares", "request_words"), _requests(text, grounds)
    hits = list(find(text, language, language.list("compares", "words")))
    carried = _carried(grounds) if hits else set()
    for hit in hits:
        said = _said(hit)
        if hit.first in exempt:
            continue
        start, end = spanned(text, hit)
        if said in language.list("compares", "lasting") and pairs and not grounds.typed(said):
            yield from _lasting(text, hit, pairs, grounds)
        elif said in down or said in up:
            if not pairs and not grounds.typed(said):
                yield Finding(
                    "F15", "Two readings are compared that were not taken under the same conditions.", start, end
                )
            elif pairs and not grounds.typed(said):
                yield from _direction(text, hit, language, down=said in down)
        elif not (
            compared
            or said in carried
            or grounds.typed(said)
            or (said in requested and text.sentence[hit.first] in asking)
        ):
            yield Finding("F15", f"“{said}” compares with something that is not cited.", start, end)


def _carried(grounds: Grounds) -> set[str]:
    """Words such as again and back that belong to the work typed: "refit" is "put back"."""
    carried: set[str] = set()
    for piece in grounds.pieces:
        if piece.entry is not None and piece.entry.kind in ("did", "proof", "found", "later", "offer"):
            for text in piece.texts:
                for i in range(len(text.words)):
                    carried.update(word for _, work in typed_at(text, i, grounds.language) for word in work.rest)
    if any(fact.back for fact in grounds.facts(Used)):
        carried.update(grounds.language.list("compares", "returned"))  # old parts against their core charge
    if any(fact.moment.startswith("after") for fact in grounds.facts(Code)):
        carried.update(grounds.language.list("compares", "repeated"))  # codes read after the work were read before it
    return carried


def _requests(text: Text, grounds: Grounds) -> set[int]:
    """The sentences that ask for something about deferred work: these may say again."""
    if "later" not in grounds.kinds:
        return set()
    asked = find(text, grounds.language, grounds.language.list("compares", "requests"))
    return {text.sentence[hit.first] for hit in asked}


def _lasting(text: Text, hit: Hit, pairs: list[tuple[Entry, Entry]], grounds: Grounds) -> Iterator[Finding]:
    """Still too low only where it was too low before."""
    language = grounds.language
    words = set(text.keys[hit.last : hit.last + 2])
    for verdict in ("low", "high"):
        if any(set(phrase.split()) == words for phrase in language.list("verdicts", verdict)):
            if not any(verdict in grounds.verdicts(first) for _, first in pairs):
                yield Finding("F15", "“Still”: the reading before was not so.", *spanned(text, hit))
            return


def _direction(text: Text, hit: Hit, language: Language, *, down: bool) -> Iterator[Finding]:
    """Down from a larger figure, up from a smaller one."""
    start, end = spanned(text, hit)
    figures = [figure for figure in scan(text.raw, language) if figure.value is not None]
    before = [figure for figure in figures if figure.end <= start and figure.kind == QUANTITY]
    behind = [figure for figure in figures if figure.start >= end]
    if before and behind:
        now, then = before[-1].signed or Fraction(0), behind[0].signed or Fraction(0)
        if (now >= then) if down else (now <= then):
            yield Finding("F15", "The reading moved the other way.", start, end)


def answers(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """You said, you agreed: only with a contact, its answer and its scope (F17)."""
    language = grounds.language
    told: list[Told] = grounds.facts(Told)
    exempt = _places(text, grounds, "answers", "except")
    narrow = _places(text, grounds, "answers", "narrow")
    wide = {
        text.sentence[hit.first]: spanned(text, hit)
        for hit in find(text, language, language.list("answers", "wide"))
        if hit.first not in narrow and not grounds.typed(_said(hit))
    }
    for hit in find(text, language, language.list("answers", "words")):
        if hit.first in exempt or grounds.typed(_said(hit)):
            continue
        start, end = spanned(text, hit)
        if not told:
            if not ("says" in grounds.kinds and _said(hit) in language.list("answers", "asked")):
                yield Finding("F17", "No contact is cited that says so.", start, end)
            continue
        yield from _answer(text, hit, grounds, wide)
    for phrase, way in language.data["answers"]["ways"].items():
        for hit in find(text, language, [phrase]):
            if told and not any(fact.way == way or grounds.typed(phrase) for fact in told):
                start, end = spanned(text, hit)
                yield Finding("F17", f"The contact was not {phrase}.", start, end)


def _answer(text: Text, hit: Hit, grounds: Grounds, wide: dict[int, tuple[int, int]]) -> Iterator[Finding]:
    language = grounds.language
    start, end = spanned(text, hit)
    told: list[Told] = grounds.facts(Told)
    said = " ".join(text.keys[hit.first : hit.last + 2])
    given = {answer.answer for fact in told for answer in fact.answers}
    spoken = fold(" ".join(fact.words for fact in told)).replace(",", " ").split()
    for word, phrases in (("yes", language.list("answers", "yes")), ("no", language.list("answers", "no"))):
        if any(phrase in said for phrase in phrases) and word not in given and word not in spoken:
            yield Finding("F17", f"The answer was not {word}.", start, end)
            return
    if text.sentence[hit.first] in wide:
        yield Finding("F17", "The answer told is wider than the one given.", *wide[text.sentence[hit.first]])


def hedges(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """What is only likely, possible or suspected is told so (F19)."""
    language = grounds.language
    hedged = {text.sentence[hit.first] for hit in find(text, language, language.list("hedges", "words"))}
    for entry in grounds.entries:
        if (isinstance(entry.fact, Cause) and not not_found(entry.fact) and grounds.rung(entry.fact) == "likely") or (
            isinstance(entry.fact, Maybe) and grounds.reader == "customer"
        ):
            yield from _stated(text, grounds, entry, hedged)
    yield from _typed_hedges(text, grounds, hedged)
    yield from _quarrel(text, grounds)


def _stated(text: Text, grounds: Grounds, entry: Entry, hedged: set[int]) -> Iterator[Finding]:
    """A doubtful cause is stated in a sentence that holds no hedge."""
    language = grounds.language
    others = {
        stem for piece in grounds.pieces if piece.entry is not entry for one in piece.texts for stem in one.stems
    }  # fmt: skip
    own = {
        word.stem for piece in grounds.pieces if piece.entry is entry and piece.field == "text"
        for one in piece.texts for word in one.words if word.key not in language.empty
    } - others  # fmt: skip
    for i, stem in enumerate(text.stems):
        if stem in own and text.sentence[i] not in hedged and not text.quoted[i]:
            word = text.words[i]
            if text.raw[word.start + 1 : word.start + 2] == ":":
                continue  # "C: we do not know": the letter of a concern is no word of the cause
            yield Finding("F19", "This is likely or possible on the ticket, and told as certain.", word.start, word.end)
            return
    if entry.kind == "cause":
        sure = (*language.list("hedges", "asserts"), *language.list("hedges", "confirmed"))
        for hit in find(text, language, sure):
            if text.sentence[hit.first] not in hedged:
                yield Finding("F19", "The cause is not proved, and told as if it were.", *spanned(text, hit))
                return


def _typed_hedges(text: Text, grounds: Grounds, hedged: set[int]) -> Iterator[Finding]:
    """A typed "seems" or "prob" stays with the words it was typed with."""
    language = grounds.language
    typed = language.list("hedges", "typed")
    hedging = {language.stem(phrase.rstrip("~")) for phrase in typed}
    for piece in grounds.pieces:
        if piece.entry is None or piece.field not in _PROSE or piece.entry.kind in ("says", "cause", "maybe"):
            continue
        doubtful = {piece.typed.clause[hit.first] for hit in find(piece.typed, language, typed, quoted=True)}
        if not doubtful:
            continue
        unsure = {
            word.stem
            for i, word in enumerate(piece.typed.words)
            if word.key not in language.empty and piece.typed.clause[i] in doubtful
        } - hedging
        unsure -= _plain_words(piece, grounds, doubtful)
        for i, stem in enumerate(text.stems):
            if stem in unsure and text.sentence[i] not in hedged and not text.quoted[i]:
                word = text.words[i]
                yield Finding("F19", "A doubt that was typed is missing.", word.start, word.end)
                break


def _plain_words(doubted: Piece, grounds: Grounds, clauses: set[int]) -> set[str]:
    """Words that were also typed without the doubt, in the same text or in another."""
    plain = {word.stem for i, word in enumerate(doubted.typed.words) if doubted.typed.clause[i] not in clauses}
    return plain.union(*(piece.typed.stems for piece in grounds.pieces if piece is not doubted))


def _quarrel(text: Text, grounds: Grounds) -> Iterator[Finding]:
    """It was not X, and it may be X."""
    if not {"ruled", "maybe"} <= grounds.kinds:
        return
    language = grounds.language
    possible = set(language.list("hedges", "risk")) | {"maybe", "possibly", "perhaps"}
    negations = set(language.list("negation", "words"))
    keys: dict[int, set[str]] = {}
    content: dict[int, set[str]] = {}
    for i, number in enumerate(text.sentence):
        keys.setdefault(number, set()).add(text.keys[i])
        if text.keys[i] not in language.empty and text.keys[i] not in negations:
            content.setdefault(number, set()).add(text.stems[i])
    doubted = [number for number in content if keys[number] & possible][:_MANY]
    denied = [number for number in content if keys[number] & negations and not keys[number] & possible][:_MANY]
    for number in doubted:
        for other in denied:
            if content[other] <= content[number]:
                first = text.words[text.sentence.index(min(number, other))].start
                yield Finding("F19", "It was not so, and it may be so: both cannot be told.", first, len(text.raw))
                return


def same_thing(one: str, other: str, language: Language) -> bool:
    """True where the words of one suspicion are all among those of the other."""
    first, second = (
        {word.stem for word in cut(text, language).words if word.key not in language.empty} for text in (one, other)
    )
    return bool(first) and bool(second) and (first <= second or second <= first)
