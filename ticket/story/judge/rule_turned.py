"""What is told the other way round: a state, a status, a way, the order of time, who did what to whom."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Photo, Told
from ticket.job.regex import Regex
from ticket.story.judge.answer import Finding
from ticket.story.judge.ground import Ground, Piece, denied
from ticket.story.judge.statement import FIGURE, MARK, NO, SIDE, WORD, Statement, Token, abbreviates
from ticket.story.judge.tables import phrase, stem

_THING = ("thing", "matter")
_AGAIN = Regex(r"proof: (\d+) now\b")
_Change = tuple[object, object]


def turned(told: Statement, ground: Ground) -> Iterator[Finding]:
    """Every class of them."""
    for sentence in told.sentences:
        said = [token for clause in sentence for token in clause]
        for clause in sentence:
            yield from _opposites(clause, said, told, ground)
        if said:
            yield from _status(sentence, told, ground)
            yield from _order_of_time(said, ground)
            yield from _roles(said, ground)
    yield from _ways(told, ground)
    yield from _exchanged(told, ground)


def _exchanged(told: Statement, ground: Ground) -> Iterator[Finding]:
    """Two opposites that were typed, each told with what the other was typed with: hot and cold, empty and loaded."""
    parts: list[list[Token]] = [[]]
    for token in told.tokens:
        if token.kind == MARK or token.text in ("and", "but", "while"):
            parts.append([])
        else:
            parts[-1].append(token)
    mine, typed = _company(parts, told), _company([piece.tokens for piece in ground.pieces], told)
    for one, words in mine.items():
        for other in told.lists.opposites[one] & mine.keys() & typed.keys() if one in typed else ():
            a, b = typed[one] - typed[other], typed[other] - typed[one]
            if words & b and not words & a and mine[other] & a and not mine[other] & b:
                yield Finding("turned", "Two opposites have changed places.", 0, len(told.text))
                return


def _company(parts: Sequence[Sequence[Token]], told: Statement) -> dict[str, set[str]]:
    """Of each word that has an opposite, the words beside it."""
    found: dict[str, set[str]] = {}
    for part in parts:
        for token in part:
            name = stem(token.text)
            if token.kind == WORD and name in told.lists.opposites:
                beside = {one.root for one in part if one.kind in (WORD, SIDE) and one is not token}
                found.setdefault(name, set()).update(beside - {stem(one) for one in told.lists.plain})
    return found


def _opposites(clause: Sequence[Token], said: Sequence[Token], told: Statement, ground: Ground) -> Iterator[Finding]:
    """A word whose opposite was typed of the same thing, and which itself was typed nowhere."""
    behind = denied(clause)[1]
    near = {one.root for one in clause}
    well, undoes = told.lists.words("well"), told.lists.words("undoes")
    for i, token in enumerate(clause):
        others = told.lists.opposites.get(stem(token.text), frozenset()) if token.kind in (WORD, SIDE) else frozenset()
        if token.is_a("state") and _bad(token):
            others |= well
        known = token.root in ground.words or token.text == "used" or ground.says_itself(token.text)
        known = known or any(abbreviates(one.text, token.text) for piece in ground.pieces for one in piece.tokens)
        if not others or known or i in behind or any(one.text in undoes for one in clause[max(0, i - 2) : i]):
            continue
        for piece in _about(clause, i, said, ground):
            if piece.where in _BEFORE_WORK and ground.of_kind("did", "proof", "used"):
                continue  # the work may have changed it
            if others & well and any(map(_bad, piece.tokens)):
                continue
            for at, typed in enumerate(piece.tokens):
                good = typed.text in well and any(one.text in _GOOD_FOR for one in piece.tokens[at + 1 : at + 2])
                fits = typed.kind in (WORD, SIDE) and stem(typed.text) in others and typed.root not in near
                if fits and not good and at not in piece.denied[1]:
                    yield Finding("turned", f"“{typed.text}” was typed, not “{token.text}”.", token.start, token.end)
                    return


_BEFORE_WORK = ("found", "says", "cause", "maybe")
_GOOD_FOR = frozenset("to for until till at down up".split())  # "good to -8 C" is no verdict


def _about(clause: Sequence[Token], i: int, said: Sequence[Token], ground: Ground) -> list[Piece]:
    """The pieces with the thing a quality stands in front of; else those its clause or sentence is about."""
    noun = next((one for one in clause[i + 1 : i + 3] if one.is_a(*_THING)), None)
    held = [piece for piece in ground.pieces if noun is not None and noun.root in piece.roots]
    return held or _nearest(clause, said, ground)


def _bad(token: Token) -> bool:
    return any(word.cls == "state" and word.sense == "bad" for word in token.words)


def _nearest(clause: Sequence[Token], said: Sequence[Token], ground: Ground) -> list[Piece]:
    """The pieces a clause is about, or its sentence where it names nothing; with what is typed of no other thing."""
    held = ground.nearest(clause, said) or ground.best(said)
    entries = {one.entry for one in held}
    return [one for one in ground.pieces if one in held or (one.entry in entries and not one.things)]


def _status(
    sentence: Sequence[Sequence[Token]], told: Statement, ground: Ground
) -> Iterator[Finding]:  # fmt: skip
    """A code is told with the status it was typed with: that of its clause, else of the sentence."""
    groups = told.lists.data["status"]
    codes = {_bare(entry.fact.code): entry for entry in ground.of_kind("code") if isinstance(entry.fact, Code)}
    for clause in sentence:
        text = told.low[clause[0].start : clause[-1].end]
        if list(codes) == ["none"] and _CODES.search(text) and not _clear(sentence):
            yield Finding("turned", "No code was stored.", clause[0].start, clause[-1].end)
        named = [entry for code, entry in codes.items() if code in _bare(text)]
        if not named and len(codes) == 1:
            named = list(codes.values())
        elif not any(phrase(words).search(text) for words in groups.values()):
            text = _apart(sentence, codes, told)
        for entry in named:
            line = ground.written[entry.no].lower()
            typed = {name for name, words in groups.items() if phrase(words).search(line)}
            typed -= {name for name in typed if len(typed) > 1 and _no_longer(groups[name], line)}
            gone = {name for name, words in groups.items() if _no_longer(words, text)}
            mine = {name for name, words in groups.items() if phrase(words).search(text)} - gone
            denied_here = typed & gone or not any(one.kind == NO for one in clause)
            if typed and (mine or gone & typed) and not typed & mine and denied_here:
                yield Finding("turned", "The code was typed with another status.", clause[0].start, clause[-1].end)
                return


_CODES = Regex(
    r"\bcodes? .*\b(?:stored|active|present|pending|found|logged|set)\b"
    r"|\b(?:read|found|pulled|showed|shows|logged|held|had|has|was|were|gave|set|stored) "
    r"(?:an?|one|two|three|several|some|old|stored|active|(?:out )?the following) (?:[\w-]+ ){0,2}codes?\b"
)


def _clear(sentence: Sequence[Sequence[Token]]) -> bool:
    """A *no* in it, or a word for an empty memory."""
    return any(
        one.kind == NO or one.text in ("clear", "clean", "free", "empty") for clause in sentence for one in clause
    )


def _no_longer(words: str, text: str) -> bool:
    """A status that is denied: "no longer active", "not active any more"."""
    return any(_ENDED.search(text[: hit.start()]) for hit in phrase(words).finditer(text))


_ENDED = Regex(r"\b(?:no longer|not|never|isn't|wasn't|ceased to be) (?:[a-z]+ )?\Z")


def _apart(sentence: Sequence[Sequence[Token]], codes: Mapping[str, Entry], told: Statement) -> str:
    """The clauses of a sentence that name no code: "two codes were stored: ..."."""
    texts = (told.low[clause[0].start : clause[-1].end] for clause in sentence)
    return " ".join(text for text in texts if not any(code in _bare(text) for code in codes))


def _bare(text: str) -> str:
    return text.lower().replace(" ", "").replace("-", "")


def _ways(told: Statement, ground: Ground) -> Iterator[Finding]:
    """Somebody was spoken to in the way that was typed, and a picture taken when it was."""
    for entry in ground.of_kind("photo"):
        stage = entry.fact.stage if isinstance(entry.fact, Photo) else ""
        other = {"before": "taken_after", "after": "taken_before"}.get(stage)
        if other and (hit := told.lists.said(other, told.low)):
            yield Finding("turned", f"The picture was taken {stage} the work.", *hit.span())
    contacts = [entry for entry in ground.of_kind("told") if isinstance(entry.fact, Told)]
    groups = told.lists.data["ways"]
    lines = " ".join(ground.written[entry.no].lower() for entry in contacts)
    typed = {name for name, words in groups.items() if phrase(words).search(lines)}
    for name, words in groups.items() if typed else ():
        hit = phrase(words).search(told.low) if name not in typed else None
        if hit:
            yield Finding("turned", "Somebody was spoken to in another way.", *hit.span())


def _order_of_time(said: Sequence[Token], ground: Ground) -> Iterator[Finding]:
    """What was read first is not told as what was read last, nor before as after."""
    mine = _changes(said)
    for typed in (*(_changes(line) for line in _lines(ground)), *_taken_again(ground)):
        for first, last in mine - typed:
            if (last, first) in typed:
                yield Finding(
                    "turned", "The readings were typed in the other order of time.", said[0].start, said[-1].end
                )
                return
    for token, behind in pairwise(said):
        other = {"before": "after", "after": "before"}.get(token.text)
        anchor = next((one for one in said[said.index(behind) :][:3] if one.is_a(*_THING) or not one.words), None)
        if other is None or anchor is None or token.root in ground.words:
            continue
        if any(_follows(piece, other, anchor) for piece in ground.pieces):
            yield Finding("turned", f"“{other}” was typed, not “{token.text}”.", token.start, token.end)


def _taken_again(ground: Ground) -> Iterator[frozenset[_Change]]:
    """What was read at first and what a later entry read of it: "3 now 12 mV"."""
    for entry in ground.of_kind("proof"):
        again = _AGAIN.match(ground.written[entry.no])
        first = ground.ticket.entry(int(again[1])) if again else None
        if first is not None:
            old, new = (dict(ground.labelled(one)) for one in (first, entry))
            yield frozenset((a, b) for a in old for b in new if a != b)


def _follows(piece: Piece, word: str, anchor: Token) -> bool:
    at = next((i for i, one in enumerate(piece.tokens) if one.text == word), None)
    return at is not None and any(one.root == anchor.root for one in piece.tokens[at + 1 : at + 4])


def _lines(ground: Ground) -> Iterator[list[Token]]:
    """The tokens of each entry, what its brackets hold left out."""
    entries: dict[Entry | None, list[Token]] = {}
    for piece in ground.pieces:
        if piece.where != "field":
            entries.setdefault(piece.entry, []).extend(piece.tokens)
    yield from entries.values()


_FIRST = frozenset("from was were been instead".split())
_LAST = frozenset({"after", "afterwards", "now"})


def _behind(ahead: Sequence[str], start: int, stop: int) -> bool:
    """A word for the later moment right behind a figure, and not in front of the next one: "13 %, now 21 %"."""
    return any(word in _LAST and start + i + 1 != stop for i, word in enumerate(ahead[:2]))


def _changes(given: Sequence[Token]) -> frozenset[_Change]:
    """Pairs of figures of which the first was read before the last: "from 9 to 4", "4 now", "9 before, 4 after"."""
    figures = [i for i, token in enumerate(given) if token.kind == FIGURE and not token.text.isalpha()]
    tags: dict[int, str] = {}
    for at, i in enumerate(figures):
        stop = figures[at + 1] if at + 1 < len(figures) else len(given)
        ahead = [token.text for token in given[i + 1 : min(stop, i + 4)]]
        led = [token.text for token in given[max(0, i - 2) : i] if token.kind != FIGURE]
        sign = next((word for word in reversed(led) if word in _FIRST | {"now", "to", ">"}), "")
        if "before" in ahead:
            tags[i] = "first"
        elif _behind(ahead, i + 1, stop) or sign == "now" or led[-1:] in (["to"], [">"]):
            tags[i] = "last"
        elif sign in _FIRST:
            tags[i] = "first"
    found: set[_Change] = {
        (given[i].value, given[i].top) for i in figures if given[i].top is not None and given[i - 1].text == "from"
    }
    for i in figures:
        for j in figures:
            a, b = given[i], given[j]
            tagged = (tags.get(i), tags.get(j))
            fits = tagged == ("first", "last")
            fits = fits or (tagged == ("first", None) and "last" not in tags.values())
            fits = fits or (tagged == (None, "last") and "first" not in tags.values())
            if fits and a.value != b.value and (a.unit == b.unit or not (a.unit and b.unit)):
                found.add((a.value, b.value))
    return frozenset(found)


def _roles(said: Sequence[Token], ground: Ground) -> Iterator[Finding]:
    """Who did what to whom: subject and object of a typed verb, cause and consequence, do not change places."""
    for i, token in enumerate(said):
        led = next((one for one in reversed(said[max(0, i - 3) : i]) if one.is_a("be", *_THING)), None)
        passive = led is not None and led.is_a("be")
        by = any(one.text == "by" for one in said[i + 1 :])
        caused = token.text in _CAUSES
        if not (_acts(said, i, passive) or caused):
            continue
        before, after = _things(said[:i]), _things(said[i + 1 :])
        if passive or token.text in _REASONS:
            before, after = after, before
        for entry, line in _typed_lines(ground):
            for at, typed in enumerate(line):
                link = isinstance(entry.fact, Cause) and _links(line, at)
                same = typed.root == token.root and _acts(line, at, False)
                if not same and not (caused and link):
                    continue
                first, last = _things(line[:at]), _things(line[at + 1 :])
                if typed.text in _REASONS or typed.text == "by":
                    first, last = last, first
                if not (after - before) & (first - last):
                    continue
                bare = passive and not by and same and typed.form_of("doing") == "third" and _has_object(line, at)
                crossed = (before - after) & (last - first) and not before & first
                if (bare and not after & last) or (crossed and (by or not passive)):
                    yield Finding("turned", "It was typed the other way round.", said[0].start, said[-1].end)
                    return


def _acts(given: Sequence[Token], at: int, passive: bool) -> bool:
    """A verb that is no thing and no state there; as a third person with its object right behind, whatever else."""
    token = given[at]
    if token.form_of("doing") == "third" and _has_object(given, at):
        return True
    return token.is_a("doing", "work") and not token.is_a(*_THING) and (passive or not token.is_a("state", "quality"))


def _has_object(line: Sequence[Token], at: int) -> bool:
    behind = next((one for one in line[at + 1 :] if not one.is_a("det", "quality")), None)
    return behind is not None and (behind.kind == SIDE or (behind.is_a(*_THING) and not behind.is_a("place")))


_REASONS = frozenset({"because", "due", "from"})
_WHEN = frozenset({"when", "if", "while", "once"})
_CAUSES = frozenset("caused causes causing made makes led leads because due let lets".split())


def _links(line: Sequence[Token], at: int) -> bool:
    """A verb in a cause with something in front of it and behind."""
    token = line[at]
    if any(one.text in _WHEN for one in line[max(0, at - 1) : at + 2]):
        return False  # "noise goes when loaded": a condition, no consequence
    verb = token.form_of("doing") in ("third", "past") and not token.is_a("thing")
    return (verb or token.text in _CAUSES or token.text == "by") and 0 < at < len(line) - 1


def _things(given: Sequence[Token]) -> set[str]:
    things = (token for token in given if token.kind == WORD and token.is_a(*_THING))
    return {token.root for token in things if not token.is_a("place", "state")}


def _typed_lines(ground: Ground) -> Iterator[tuple[Entry, list[Token]]]:
    lines: dict[int, tuple[Entry, list[Token]]] = {}
    for piece in ground.pieces:
        if piece.entry is not None and piece.where in ("found", "cause", "proof", "maybe"):
            lines.setdefault(piece.entry.no, (piece.entry, []))[1].extend(piece.tokens)
    yield from lines.values()
