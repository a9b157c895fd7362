"""What was typed, piece by piece, and what the program worked out from it: everything a wording may rest on."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

from ticket.job.entry import Entry
from ticket.job.field_specs import specs
from ticket.job.kinds import Cause, Code, Did, Found, Later, Maybe, Offer, Proof, Told, Used
from ticket.job.numbers import exact
from ticket.job.offer_answers import DECIDED, contacts
from ticket.job.regex import Regex
from ticket.job.ticket import Ticket
from ticket.notes.shapes import due_text
from ticket.notes.write import write
from ticket.readings.pairing import judge_entry, measured
from ticket.story.judge.statement import FIGURE, MARK, NO, SIDE, WORD, Token, numbers_in, tokens
from ticket.story.judge.tables import tables

PERFORMED = ("did", "proof", "found", "used", "code", "ruled")  # kinds that tell what was done or seen
# Where a field of prose stands; elsewhere under the name of its kind.
_WHERE = {
    "reason": "because", "because": "because", "shared": "because", "risk": "risk", "watch": "risk",
    ("offer", "text"): "remedy", ("later", "text"): "remedy",
    ("code", "unit"): "found", ("code", "frame"): "found", ("photo", "text"): "found",
}  # fmt: skip
_AGAIN = Regex(r"\A\s*(?:\d+/)?\d+ now\b")  # the number of the entry that was measured again
_AFTERNOON = Regex(r"\b(\d{1,2}):(\d{2})\b")
_ROW = Regex(r"\b(\d{1,2})\s?(?:-|to|thru|through)\s?(\d{1,2})\b")  # cylinders 1 to 4
_THINGS = ("thing", "matter")
_SAME_AGAIN = frozenset({"too", "also", "same", "ditto", "likewise", "both"})
ONE_LETTER = {"l": ("left",), "r": ("right", "rear"), "f": ("front",)}  # a side or not: nobody knows which


_Cut = tuple[tuple[Token, ...], tuple[Token, ...]]  # a piece, and the figures of its bracket


@dataclass(frozen=True, eq=False)
class Piece:
    """What was typed between two marks of one field.

    Attributes:
        entry: where it stands.
        where: what field: found, cause, did, risk ...
        tokens: what it says; a bracket with limits is not among them.
        limits: figures of the bracket behind it.
        before: the piece in front of it in the same field.
        hedged: it, or its entry, is a guess.
        computed: the program says so itself; nobody typed it.
    """

    entry: Entry | None
    where: str
    tokens: tuple[Token, ...]
    limits: tuple[Token, ...] = ()
    before: "Piece | None" = None
    hedged: bool = False
    computed: bool = False

    @cached_property
    def roots(self) -> dict[str, list[int]]:
        """Where each word stands."""
        found: dict[str, list[int]] = {}
        for i, token in enumerate(self.tokens):
            if token.kind == WORD:
                found.setdefault(token.root, []).append(i)
        return found

    @cached_property
    def values(self) -> frozenset[Fraction | None]:
        """Its figures, limits included."""
        return frozenset(token.value for token in (*self.tokens, *self.limits) if token.kind == FIGURE)

    @cached_property
    def denied(self) -> tuple[frozenset[int], frozenset[int]]:
        """Places that a *no* stands right in front of, and all places behind one."""
        return denied(self.tokens)

    @cached_property
    def things(self) -> frozenset[str]:
        """Roots of the words that may be things."""
        return frozenset(
            token.root
            for token in self.tokens
            if (token.is_a(*_THINGS) or _unlisted(token)) and token.text not in tables().plain
        )

    @cached_property
    def shares(self) -> bool:
        """Whether it says the same again of another thing and leaves the words out: "rear seal too"."""
        return any(token.text in _SAME_AGAIN for token in self.tokens)

    def subject(self) -> "frozenset[str]":
        """Things it may be about: its own, or those of the piece in front where it has none before its first state."""
        own = self.things
        opens = next((token for token in self.tokens if token.kind == WORD), None)
        verb = opens is not None and opens.is_a("doing", "state") and opens.form_of("thing") != "many"
        if self.before is not None and opens is not None and "third" in (opens.form_of("doing"), opens.form_of("link")):
            return own | self.before.subject()
        if self.before is not None and verb and opens is not None and opens.text.endswith("ing"):
            return own | self.before.subject()
        if self.before is not None and (not own or opens is None or not (opens.is_a(*_THINGS) or _unlisted(opens))):
            return own | self.before.subject()
        return own


def _with_subject(piece: Piece) -> Piece | None:
    """A piece behind one with a single thing and no place, whose thing it goes on about."""
    opens = next((token for token in piece.tokens if token.kind == WORD), None)
    before = piece.before
    if before is None or piece.where not in _GOES_ON or opens is None or _unlisted(opens):
        return None
    if opens.is_a(*_THINGS) and "third" not in (opens.form_of("doing"), opens.form_of("link")):
        return None
    known = _with_subject(before)
    if known is None and any(token.is_a("place") and token.text != "of" for token in before.tokens):
        return None
    held = known or before
    group: list[Token] = []
    for token in held.tokens:
        if held.where == "remedy" and token.form_of("work") == "base" and not group:
            continue
        if token.kind in (FIGURE, NO) or not (token.kind == SIDE or token.is_a(*_THINGS) or _unlisted(token)):
            break
        group.append(token)
    return Piece(piece.entry, piece.where, (*group, *piece.tokens), piece.limits, None, piece.hedged) if group else None


_GOES_ON = ("found", "cause", "risk", "because", "maybe", "says")


def _unlisted(token: Token) -> bool:
    return token.kind == WORD and not token.words and len(token.text) > 2


def denied(given: Sequence[Token]) -> tuple[frozenset[int], frozenset[int]]:
    """Places that a *no* stands right in front of, and all places behind one up to the next mark or *but*."""
    right: set[int] = set()
    behind: set[int] = set()
    open_, next_ = False, False
    for i, token in enumerate(given):
        zero = token.kind == FIGURE and token.value == 0 and not token.unit
        if token.kind == NO or zero:
            open_ = next_ = True
        elif (token.kind == MARK and token.text not in "()") or token.text in ("but", "and"):
            next_ = False
            open_ = open_ and token.text in ("/", "and")
        elif token.text in ("or", "nor"):
            next_ = open_
        elif open_ and token.kind in (WORD, SIDE, FIGURE):
            behind.add(i)
            if next_ and token.kind == WORD and not _binds(token):
                right.add(i)
                next_ = False
    return frozenset(right), frozenset(behind)


def _binds(token: Token) -> bool:
    light = token.is_a("be", "has", "det", "degree", "modal") and not token.is_a("doing", "state")
    return light or token.text in ("come", "came", "been", "test", "yet", "any")


@dataclass(frozen=True, slots=True)
class Reading:
    """A value with the verdict that was computed for it; ``low``, ``high``, ``in`` or empty."""

    value: Fraction
    verdict: str


@dataclass(frozen=True, eq=False)
class Ground:
    """All that a wording may rest on.

    Attributes:
        ticket: the ticket.
        entries: those cited.
        earlier: earlier tickets they may stand on.
        facts: what the program computed for the sentence: counts, meanings, dates, totals.
        own: what it says in words of its own: those of the catalogue, and whole sentences without a typed word.
        derived: of the facts, those that stand in no line.
    """

    ticket: Ticket
    entries: tuple[Entry, ...]
    earlier: tuple[Ticket, ...] = ()
    facts: tuple[str, ...] = ()
    own: tuple[str, ...] = ()
    derived: tuple[str, ...] = ()
    kinds: frozenset[str] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "kinds", frozenset(entry.kind for entry in self.entries))

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """Every typed piece of the cited entries; of a contact no answer that was given to what is not cited."""
        return tuple(
            piece
            for entry in self.entries
            for elsewhere in (self._answered_elsewhere(entry),)
            for piece in _pieces(entry)
            if piece.where != "field" or " ".join(token.text for token in piece.tokens) not in elsewhere
        )

    def answered_here(self, entry: Entry) -> frozenset[str]:
        """What a contact decided of the cited offers and deferred items of this ticket."""
        said = next((one for one in contacts(self.ticket) if one.entry is entry), None)
        cited = {one.no for one in self.entries if self.ticket.entry(one.no) is one}
        given = said.given.items() if said is not None else ()
        return frozenset(answer for ref, answer in given if not ref.ticket and ref.no in cited) & frozenset(DECIDED)

    def _answered_elsewhere(self, entry: Entry) -> frozenset[str]:
        here = self.answered_here(entry) if isinstance(entry.fact, Told) else frozenset()
        return frozenset(DECIDED) - here if here else frozenset()

    @cached_property
    def whole(self) -> tuple[Piece, ...]:
        """Pieces that leave out what they are about, with the thing named in front: "frozen, will not retract"."""
        return tuple(one for piece in self.pieces if (one := _with_subject(piece)) is not None)

    @cached_property
    def computed(self) -> tuple[Piece, ...]:
        """What the program says of its own."""
        return tuple(
            Piece(None, "fact", part, computed=True) for fact in self.derived for part, _ in _cut(tokens(fact, "fact"))
        )

    @cached_property
    def written(self) -> dict[int, str]:
        """Each entry as its line, without what it cost the shop."""
        return {entry.no: re.sub(r"\bcost:? \S+", "", write(entry.fact)) for entry in self.entries}

    @cached_property
    def words(self) -> frozenset[str]:
        """Roots of all words of the cited lines, and of what the program computed."""
        texts = [(line, "found") for line in self.written.values()] + [(fact, "fact") for fact in self.facts]
        typed = {token.root for text, where in texts for token in tokens(text, where)}
        return frozenset(typed | {token.root for piece in self.pieces for token in piece.tokens})

    @cached_property
    def figures(self) -> tuple[Token, ...]:
        """Every figure of the cited lines and of what the program computed, limits included."""
        found = [
            token
            for piece in self.pieces
            for token in (*piece.tokens, *piece.limits)
            if token.kind == FIGURE
        ]  # fmt: skip
        for text in (*self.written.values(), *self.facts):
            found += [token for token in tokens(text, "used") if token.kind == FIGURE]
        return tuple(found)

    @cached_property
    def digits(self) -> frozenset[Fraction]:
        """Numbers that stand in labels, codes, fractions of counts and dates."""
        found: set[Fraction] = set()
        for text in (*self.written.values(), *self.facts, *self._positions(), *self._clock()):
            plain = re.sub(r"\d+[- ]\d+/(?:2|4|8|16|32|64)\b|\d+/(?:2|4|8|16|32|64)\b", " ", text)
            found |= numbers_in(plain.replace(",", ""))
            for low, high in _ROW.findall(plain):
                found |= set(map(Fraction, range(int(low), min(int(high), int(low) + 16))))
        return frozenset(found)

    def _clock(self) -> Iterator[str]:
        """The times of talks as a clock of twelve hours says them: 16:40 is twenty to five, or 4:40."""
        for entry in self.entries:
            hit = _AFTERNOON.search(entry.fact.at) if isinstance(entry.fact, Told) else None
            if hit:
                yield f"{(int(hit[1]) - 1) % 12 + 1}:{hit[2]}"

    def _positions(self) -> Iterator[str]:
        """Of values side by side, where a line writes "cyl" once for all."""
        for entry in self.entries:
            if isinstance(entry.fact, Found | Proof) and entry.fact.run is not None:
                yield from (value.label for value in entry.fact.run.values)

    @cached_property
    def sides(self) -> frozenset[str]:
        """Every side that was typed, and those that a lone letter may stand for."""
        texts = [*self.written.values(), *self.facts]
        read = [token for text in texts for token in tokens(text)]
        read += [token for piece in self.pieces for token in piece.tokens]
        letters = {side for token in read for side in ONE_LETTER.get(token.text, ())}
        return frozenset({token.root for token in read if token.kind == SIDE} | letters)

    @cached_property
    def readings(self) -> tuple[Reading, ...]:
        """The values that were read and what was computed of them."""
        return tuple(one for entry in self.entries for one in self.read_in(entry))

    def read_in(self, entry: Entry) -> Iterator[Reading]:
        """The values of one entry, each with its verdict."""
        if not isinstance(entry.fact, Found | Proof):
            return
        verdicts = iter(judge_entry(self.ticket, entry, self.earlier))
        for taken in measured(self.ticket, entry, self.earlier).groups:
            for value in taken.run.values:
                verdict = next(verdicts, None)
                number = exact(value.number)
                if number is not None and verdict is not None:
                    yield Reading(number, verdict.word if verdict.word in ("low", "high", "in") else "")

    def labelled(self, entry: Entry) -> Iterator[tuple[Fraction, str]]:
        """The values of an entry with the position each was read at."""
        if isinstance(entry.fact, Found | Proof):
            for taken in measured(self.ticket, entry, self.earlier).groups:
                for value in taken.run.values:
                    number = exact(value.number)
                    if number is not None:
                        yield number, value.label

    def says_itself(self, words: str) -> bool:
        """Whether the program says these words of its own."""
        return any(_stands(words, text.lower()) for text in (*self.facts, *self.own))

    def typed(self, *words: str) -> bool:
        """Whether one of these words or phrases stands in a cited line."""
        return any(_stands(word, line) for line in self.lines for word in words)

    @cached_property
    def lines(self) -> tuple[str, ...]:
        """Each cited line in small letters, as typed and with short forms resolved."""
        plain = [line.lower() for line in self.written.values()]
        told = [" ".join(token.text for token in piece.tokens) for piece in self.pieces]
        return (*plain, *told)

    def of_kind(self, *kinds: str) -> tuple[Entry, ...]:
        """The cited entries of these kinds."""
        return tuple(entry for entry in self.entries if entry.kind in kinds)

    def best(self, said: Sequence[Token]) -> tuple[Piece, ...]:
        """The typed pieces that share most words and figures with a clause; none where nothing is shared."""
        scored = _shared(said, self.pieces)
        most = max((score for score, _ in scored), default=0)
        return tuple(piece for score, piece in scored if score == most and most > 0)

    def nearest(self, clause: Sequence[Token], sentence: Sequence[Token]) -> tuple[Piece, ...]:
        """The best pieces for a clause; of equals those that share most with its whole sentence.

        A clause of one noun ("and the engine") fits every field that names the thing.
        """
        scored = _shared(sentence, self.best(clause))
        most = max((score for score, _ in scored), default=0)
        return tuple(piece for score, piece in scored if score == most)


def _shared(said: Sequence[Token], pieces: Sequence[Piece]) -> list[tuple[int, Piece]]:
    """How many words and figures each piece shares with what is said."""
    plain = tables().plain
    words = {token.root for token in said if token.kind == WORD and token.text not in plain}
    figures = [token.value for token in said if token.kind == FIGURE]
    return [
        (len(words & piece.roots.keys()) + sum(value in piece.values for value in figures), piece) for piece in pieces
    ]


def _stands(word: str, line: str) -> bool:
    # Hardly any word stands in a line: looking for its letters alone is far quicker than looking for where it ends.
    return word in line and re.search(rf"(?<![\w-]){re.escape(word)}(?![\w-])", line) is not None


def _pieces(entry: Entry) -> Iterator[Piece]:
    fact = entry.fact
    guess = isinstance(fact, Maybe) or (isinstance(fact, Cause) and fact.sure == "likely")
    head: Piece | None = None  # what a reason or a risk is given of
    for spec in specs(type(fact)):
        if not spec.prose or spec.read:
            continue
        where = _WHERE.get((entry.kind, spec.name)) or _WHERE.get(spec.name, entry.kind)
        text = getattr(fact, spec.name, "") or ""
        if isinstance(fact, Found | Proof) and fact.run is not None:
            text = write(fact).partition(":")[2]  # older tickets hold their readings beside the words
        text = _AGAIN.sub("", text.replace('"', " "))  # a name in quotes is read like any other
        before = head if where in ("because", "risk") else None
        for part, limits in _bracketed(_cut(tokens(text, where))):
            before = Piece(entry, where, part, limits, before, hedged=guess)
            head = head or before
            yield before
    yield from _of_fields(entry)


def _of_fields(entry: Entry) -> Iterator[Piece]:
    """What is typed in fields of its own: a judgement, a price, a condition, a quantity, when to come back."""
    fact = entry.fact
    texts: list[str] = []
    if isinstance(fact, Later | Offer):
        texts += [fact.judgement, f"{fact.estimate} cost" if fact.estimate else ""]
    if isinstance(fact, Later):
        texts += [f"in {due_text(fact.due)}" if fact.due else "", fact.date]
    if isinstance(fact, Code):
        texts += [
            f"fault code {fact.code}{fact.sub and '-'}{fact.sub} {fact.status}",
            fact.times and f"stored {fact.times}",
        ]
    if isinstance(fact, Did):
        texts.append(fact.hours and f"{fact.hours} hours")
    if isinstance(fact, Used):
        texts.append(f"{fact.amount} {fact.unit} {fact.condition} {fact.text}")
    if isinstance(fact, Told):
        texts += [fact.way, *(f"{one.answer}" for one in fact.answers), f"total {fact.total}" if fact.total else ""]
    for text in texts:
        if text.strip():
            yield Piece(entry, "field", tokens(text, "used" if isinstance(fact, Used) else "story"), hedged=False)


_BOUNDS = frozenset("min minimum max maximum limit lim spec specification legal least most".split())


def _bracketed(parts: Iterator[_Cut]) -> Iterator[_Cut]:
    """A limit that stands in words behind its reading, as in a bracket: "74 sec, spec 45 max"."""
    held: _Cut | None = None
    for part, limits in parts:
        words = [token.text for token in part if token.kind != FIGURE]
        bound = not limits and len(words) < len(part) and words and _BOUNDS.issuperset(words)
        if bound and held and not held[1] and any(token.kind == FIGURE for token in held[0]):
            held = held[0], part
            continue
        if held:
            yield held
        held = part, limits
    if held:
        yield held


def _cut(given: Sequence[Token]) -> Iterator[_Cut]:
    """Pieces between marks, each with the figures of a bracket behind it."""
    part: list[Token] = []
    limits: list[Token] = []
    depth = 0
    for token in given:
        if token.kind == MARK and token.text in "()":
            depth += 1 if token.text == "(" else -1
        elif depth > 0:
            limits.append(token)
        elif token.kind == MARK and token.text in (",", ";", ".", ":", "!"):
            if part:
                yield tuple(part), tuple(limits)
            part, limits = [], []
        else:
            part.append(token)
    if part or limits:
        yield tuple(part), tuple(limits)
