"""What is told the other way round: a state, a status, a way, the order of time, who did what to whom."""

from collections.abc import Iterator, Sequence

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Told
from ticket.story.judge.answer import Finding
from ticket.story.judge.ground import Ground, Piece, denied
from ticket.story.judge.statement import FIGURE, MARK, SIDE, WORD, Statement, Token
from ticket.story.judge.tables import phrase, stem

_THING = ("thing", "matter")


def turned(told: Statement, ground: Ground) -> Iterator[Finding]:
    """Every class of them."""
    for sentence in told.sentences:
        said = [token for clause in sentence for token in clause]
        for clause in sentence:
            yield from _opposites(clause, said, told, ground)
            yield from _status(clause, told, ground)
        if said:
            yield from _order_of_time(said, ground)
            yield from _roles(said, ground)
    yield from _ways(told, ground)


def _opposites(clause: Sequence[Token], said: Sequence[Token], told: Statement, ground: Ground) -> Iterator[Finding]:
    """A word whose opposite was typed of the same thing, and which itself was typed nowhere."""
    behind = denied(clause)[1]
    near = {one.root for one in clause}
    if {one.text for one in clause} & told.lists.words("denies") - told.lists.opposites.keys():
        return
    for i, token in enumerate(clause):
        others = told.lists.opposites.get(stem(token.text), frozenset()) if token.kind in (WORD, SIDE) else frozenset()
        if not others or i in behind or token.root in ground.words or ground.says_itself(token.text):
            continue
        for piece in ground.nearest(clause, said):
            for at, typed in enumerate(piece.tokens):
                fits = typed.kind in (WORD, SIDE) and stem(typed.text) in others and typed.root not in near
                if fits and at not in piece.denied[1]:
                    yield Finding("turned", f"“{typed.text}” was typed, not “{token.text}”.", token.start, token.end)
                    return


def _status(clause: Sequence[Token], told: Statement, ground: Ground) -> Iterator[Finding]:
    """A code is told with the status it was typed with."""
    start, end = clause[0].start, clause[-1].end
    text = told.low[start:end]
    codes = [entry for entry in ground.of_kind("code") if isinstance(entry.fact, Code)]
    named = [one for one in codes if isinstance(one.fact, Code) and _bare(one.fact.code) in _bare(text)]
    for entry in named or (codes if len(codes) == 1 else ()):
        line = ground.written[entry.no].lower()
        groups = told.lists.data["status"]
        typed = {name for name, words in groups.items() if phrase(words).search(line)}
        for name, words in groups.items() if typed else ():
            hit = phrase(words).search(text)
            same = any(phrase(groups[one]).search(text) for one in typed)
            if hit and name not in typed and not same and not any(one.kind == "no" for one in clause):
                yield Finding("turned", "The code was typed with another status.", start + hit.start(), start + hit.end())
                return


def _bare(text: str) -> str:
    return text.lower().replace(" ", "").replace("-", "")


def _ways(told: Statement, ground: Ground) -> Iterator[Finding]:
    """Somebody was spoken to in the way that was typed."""
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
    for line in _lines(ground):
        typed = _changes(line)
        for first, last in mine - typed:
            if (last, first) in typed:
                yield Finding("turned", "The readings were typed in the other order of time.", said[0].start, said[-1].end)
                return
    for token, behind in zip(said, said[1:], strict=False):
        other = {"before": "after", "after": "before"}.get(token.text)
        anchor = next((one for one in said[said.index(behind) :][:3] if one.is_a(*_THING) or not one.words), None)
        if other is None or anchor is None or token.root in ground.words:
            continue
        if any(_follows(piece, other, anchor) for piece in ground.pieces):
            yield Finding("turned", f"“{other}” was typed, not “{token.text}”.", token.start, token.end)


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


_Change = tuple[object, object]


def _changes(given: Sequence[Token]) -> frozenset[_Change]:
    """Pairs of figures of which the first was read before the last: "from 9 to 4", "4 now", "9 before, 4 after"."""
    figures = [i for i, token in enumerate(given) if token.kind == FIGURE and not token.text.isalpha()]
    tags: dict[int, str] = {}
    for at, i in enumerate(figures):
        stop = figures[at + 1] if at + 1 < len(figures) else len(given)
        ahead = [token.text for token in given[i + 1 : min(stop, i + 4)]]
        led = [token.text for token in given[max(0, i - 2) : i] if token.kind != FIGURE]
        if "before" in ahead:
            tags[i] = "first"
        elif _behind(ahead, i + 1, stop) or "now" in led or led[-1:] == ["to"]:
            tags[i] = "last"
        elif _FIRST & set(led):
            tags[i] = "first"
    found: set[_Change] = set()
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
        caused = token.text in _CAUSES
        if not (_acts(token) or caused):
            continue
        before, after = _things(said[:i]), _things(said[i + 1 :])
        passive = any(one.is_a("be") for one in said[max(0, i - 3) : i])
        if passive and not any(one.text == "by" for one in said[i + 1 :]):
            continue
        if passive or token.text in _REASONS:
            before, after = after, before
        for entry, line in _typed_lines(ground):
            for at, typed in enumerate(line):
                link = isinstance(entry.fact, Cause) and _links(line, at)
                if not (typed.root == token.root and _acts(typed)) and not (caused and link):
                    continue
                first, last = _things(line[:at]), _things(line[at + 1 :])
                if typed.text in _REASONS:
                    first, last = last, first
                if (before - after) & (last - first) and (after - before) & (first - last):
                    if not (before & first) and not (after & last):
                        yield Finding("turned", "It was typed the other way round.", said[0].start, said[-1].end)
                        return


_REASONS = frozenset({"because", "due", "from"})
_CAUSES = frozenset("caused causes causing made makes led leads because due let lets".split())


def _acts(token: Token) -> bool:
    return token.is_a("doing", "work") and not token.is_a("state", "quality", *_THING)


def _links(line: Sequence[Token], at: int) -> bool:
    """A verb in a cause with something in front of it and behind."""
    token = line[at]
    verb = token.form_of("doing") in ("third", "past") and not token.is_a("thing")
    return (verb or token.text in _CAUSES) and 0 < at < len(line) - 1


def _things(given: Sequence[Token]) -> set[str]:
    return {token.root for token in given if token.kind == WORD and token.is_a(*_THING) and not token.is_a("place")}


def _typed_lines(ground: Ground) -> Iterator[tuple[Entry, list[Token]]]:
    lines: dict[int, tuple[Entry, list[Token]]] = {}
    for piece in ground.pieces:
        if piece.entry is not None and piece.where in ("found", "cause", "proof", "maybe"):
            lines.setdefault(piece.entry.no, (piece.entry, []))[1].extend(piece.tokens)
    yield from lines.values()



