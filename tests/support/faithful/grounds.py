"""What the sources of a sentence hold: every typed word, in clauses, with the short forms spelled out."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from datetime import UTC, datetime
from functools import lru_cache
from typing import Any

from support.faithful.language import Language, load
from support.faithful.tokens import Text, cut, find
from ticket.faults.code_meaning import meaning
from ticket.job.entry import Entry
from ticket.job.field_specs import specs
from ticket.job.kinds import Cause, Code, Fact, Found, Later, Maybe, Offer, Proof, Ruled
from ticket.job.ticket import Ticket
from ticket.job.values import Answer, Clock, Due, Quantity, Ref, Run, Share
from ticket.readings.inexact import parts
from ticket.readings.limit_bounds import as_limits
from ticket.readings.measured_groups import groups, measures, names
from ticket.readings.pairing import before, judge_entry, last_before, measured
from ticket.story.facts.certainty import known_to_customer

_NEVER = datetime(1, 1, 1, tzinfo=UTC)

# How the words of a field stand to the sentence that tells it.
PLAIN, DENIED, FREE = "plain", "denied", "free"
_ROLES: dict[tuple[type[Fact], str], str] = {
    (Ruled, "text"): DENIED,
    (Maybe, "text"): FREE,
    (Offer, "text"): FREE,
    (Later, "text"): FREE,
}


@dataclass(frozen=True, slots=True)
class Piece:
    """The typed text of one field, with its short forms spelled out beside it."""

    entry: Entry | None
    field: str
    role: str
    typed: Text
    spelled: Text

    @property
    def texts(self) -> tuple[Text, Text]:
        """As typed, and spelled out."""
        return self.typed, self.spelled


@dataclass(frozen=True, slots=True)
class Reading:
    """One cited reading.

    Attributes:
        label: its position as typed.
        place: its number among the counted readings: the second one, or the 3 of ``cyl 3``.
        counted: its position is a number.
        typed: its digits.
        verdict: ``low``, ``in``, ``high``, ``undecided`` or ``none``.
        limits: the digits of its limits, without signs.
        bound: ``low`` or ``high`` where only that side is limited, else empty.
        name: what was measured, taken over from the entry it repeats where it gives no name.
        group: number of the readings it stands side by side with, on its entry.
        thing: its name without conditions.
    """

    entry: Entry
    label: str
    place: int
    counted: bool
    typed: str
    unit: str
    verdict: str
    limits: frozenset[str]
    bound: str = ""
    name: str = ""
    group: int = 0
    thing: str = ""

    @property
    def ends(self) -> tuple[str, ...]:
        """Its figure as typed, of a range both."""
        said = parts(self.typed)
        return tuple(text for text in (said.number, said.to) if text)

    @property
    def digits(self) -> tuple[str, ...]:
        """The same without signs."""
        return tuple(text.lstrip("+-−").replace(",", "") for text in self.ends)


class Grounds:
    """The sources of one sentence.

    Attributes:
        entries: the cited entries.
        ticket: the ticket they stand on, where it is known.
        earlier: the earlier tickets cited.
        reader: ``customer``, ``payer`` or ``shop``.
        kinds: the kinds among the cited entries.
        pieces: their typed texts.
        stems: every word of them and of their spelled-out forms, without endings.
        readings: every cited reading with its verdict.
    """

    def __init__(
        self, entries: Sequence[Entry], language: Language, *, reader: str, ticket: Ticket | None,
        earlier: Sequence[Ticket], derived: Sequence[str],
    ) -> None:  # fmt: skip
        self.entries = tuple(entries)
        self.language = language
        self.reader = reader
        self.ticket = ticket
        self.earlier = tuple(earlier)
        self.derived = tuple(derived)
        self._homes = {id(entry): self._home(entry) for entry in self.entries}
        loose = {entry.no: entry for entry in reversed(self.entries)}
        first = self.entries[0].at if self.entries else _NEVER
        self._loose = Ticket(1, first, entries=tuple(loose[no] for no in sorted(loose)))
        self.kinds = frozenset(entry.kind for entry in entries)
        self.pieces = list(self._pieces())
        self.stems = {stem for piece in self.pieces for text in piece.texts for stem in text.stems}
        self.keys = {key for piece in self.pieces for text in piece.texts for key in text.keys}
        self.readings = [reading for entry in entries for reading in self._readings(entry)]
        self._verdicts: dict[int, set[str]] = {}
        for reading in self.readings:
            self._verdicts.setdefault(id(reading.entry), set()).add(reading.verdict)
        self._asked: dict[tuple[str, ...], bool] = {}
        self._joined = "\n".join(self._lines())

    def facts(self, *kinds: type[Any]) -> list[Any]:
        """The cited facts of some kinds, or of all."""
        return [entry.fact for entry in self.entries if not kinds or isinstance(entry.fact, kinds)]

    def home(self, entry: Entry) -> Ticket:
        """The ticket an entry stands on; one made of the cited entries where none is known."""
        return self._homes.get(id(entry), self.ticket) or self._loose

    def is_earlier(self, entry: Entry) -> bool:
        """True for an entry of an earlier ticket."""
        home = self._homes.get(id(entry))
        return home is not None and home is not self.ticket

    def _home(self, entry: Entry) -> Ticket | None:
        tickets = (self.ticket, *self.earlier)
        return next((ticket for ticket in tickets if ticket and ticket.entry(entry.no) == entry), None)

    def typed(self, *phrases: str) -> bool:
        """True where one of the phrases stands in the typed or spelled-out words."""
        known = self._asked.get(phrases)
        if known is None:
            known = self._asked[phrases] = any(
                True
                for piece in self.pieces
                for text in piece.texts
                for _ in find(text, self.language, phrases, quoted=True)
            )
        return known

    def verdicts(self, entry: Entry) -> set[str]:
        """The verdicts on the readings of a cited entry."""
        return self._verdicts.get(id(entry), set())

    def holds(self, keys: Sequence[str]) -> bool:
        """True where these words follow each other just so in one typed field."""
        return bool(keys) and f" {' '.join(keys)} " in self._joined

    def what(self, entry: Entry) -> str:
        """What a finding or a proof is about, taken over from the entry it measures again."""
        return measured(self.home(entry), entry, self.earlier).what

    def both(self, words: str) -> tuple[Text, Text]:
        """Typed words cut up, as typed and spelled out."""
        return _both(words, self.language.code)

    def name_stems(self, reading: Reading) -> set[str]:
        """The words of what was measured and of what was seen with it, short forms spelled out."""
        beside = (
            text
            for piece in self.pieces
            if piece.entry is reading.entry and piece.field == "seen"
            for text in piece.texts
        )
        return {
            stem
            for text in (*self.both(reading.name), *beside)
            for key, stem in zip(text.keys, text.stems, strict=True)
            if key not in self.language.empty
        }  # fmt: skip

    def first(self, proof: Entry) -> Entry | None:
        """The cited finding that a cited proof measures again under the same typed conditions."""
        fact = proof.fact
        if not isinstance(fact, Proof):
            return None
        home, typed = self.home(proof), self._named(names(fact) if measures(fact) or fact.of is None else ())
        linked = {self._there(proof, one.ref) for one in before(home, proof, self.earlier) if one is not None}
        last = last_before(home, proof, self.earlier)
        linked = linked or {self._there(proof, last.ref) for last in (last,) if last is not None}
        for entry in self.entries:
            if entry is proof or not isinstance(entry.fact, Found | Proof):
                continue
            if fact.of is None:
                if self._same(fact, entry):
                    return entry
            elif (self.home(entry).number, entry.no) in linked and not (typed and not typed & self._about(entry)):
                return entry
        return None

    def _there(self, entry: Entry, ref: Ref) -> tuple[int, int]:
        """The numbers of the ticket and of the entry that a reference of an entry leads to."""
        return ref.ticket or self.home(entry).number, ref.no

    def _same(self, fact: Proof, entry: Entry) -> bool:
        other = entry.fact
        if not isinstance(other, Found | Proof) or not measures(fact) or not measures(other):
            return False
        return bool(self._named(names(fact)) & self._named(names(other)))

    def _about(self, entry: Entry) -> set[frozenset[str]]:
        """The words of each thing an entry measured or looked at, taken over where it gives no name."""
        held = measured(self.home(entry), entry, self.earlier)
        return self._named([taken.what for taken in held.groups] or [held.what])

    def _named(self, told: Sequence[str]) -> set[frozenset[str]]:
        return {self._thing(name) for name in told}

    def _thing(self, text: str) -> frozenset[str]:
        """The words of a name with its conditions, in any order."""
        words = cut(spelled(text, self.language), self.language)
        return frozenset(word.stem for word in words.words if word.key not in self.language.empty)

    def _lines(self) -> Iterator[str]:
        """The typed words of each entry in the order of its fields, with and without its readings."""
        for entry in self.entries:
            mine = [piece for piece in self.pieces if piece.entry is entry and piece.field != "meaning"]
            for pieces in (mine, [piece for piece in mine if piece.field != "run"]):
                yield f" {' '.join(key for piece in pieces for key in piece.typed.keys)} "
        for reading in self.readings:
            named = cut(f"{reading.name} {reading.label}", self.language)
            yield f" {' '.join(named.keys)} "
        yield from (f" {' '.join(piece.typed.keys)} " for piece in self.pieces if piece.entry is None)

    def _pieces(self) -> Iterator[Piece]:
        for entry in self.entries:
            for name, text in typed_fields(entry.fact):
                role = _ROLES.get((type(entry.fact), name), PLAIN)
                if name == "run" or (isinstance(entry.fact, Code) and entry.fact.code == "none"):
                    role = FREE  # "none" is a reading, or denies the field beside it
                yield self._piece(entry, name, role, text)
            if entry.amended and entry.reason:
                yield self._piece(entry, "amendment", FREE, entry.reason)
            if isinstance(entry.fact, Proof) and entry.fact.of:
                yield self._piece(entry, "what", PLAIN, self.what(entry))
            if isinstance(entry.fact, Code):
                for text in meanings(entry.fact):
                    yield self._piece(entry, "meaning", PLAIN, text)
        for text in self.derived:
            yield self._piece(None, "derived", FREE, text)

    def _piece(self, entry: Entry | None, name: str, role: str, text: str) -> Piece:
        return Piece(entry, name, role, *self.both(text))

    def _readings(self, entry: Entry) -> Iterator[Reading]:
        home = self.home(entry)
        verdicts = iter(judge_entry(home, entry, self.earlier))
        for group, taken in enumerate(measured(home, entry, self.earlier).groups):
            run = taken.run
            limits, bound = frozenset(_limits(run)), _bound(run)
            bare = len(run.values) > 1 and not any(value.label for value in run.values)
            for place, value in enumerate(run.values, 1):
                numbered = re.search(r"\d{1,3}\Z", value.label)
                at = int(numbered[0]) if numbered else place
                counted = bare or numbered is not None
                yield Reading(
                    entry, value.label, at, counted, value.number, run.unit, next(verdicts).word, limits, bound,
                    taken.what, group, taken.group.what,
                )  # fmt: skip

    def rung(self, cause: Cause) -> str:
        """``confirmed`` or ``likely``: how sure the evidence makes a cause, whatever was typed."""
        hedged = cut(cause.text, self.language)
        if cause.sure == "likely" or any(
            True for _ in find(hedged, self.language, self.language.list("hedges", "cause"))
        ):
            return "likely"
        if cause.sure == "certain" and not cause.refs:
            return "confirmed"  # who typed it as certain answers for it
        if self.ticket is None:
            cited = {entry.no: entry for entry in self.entries}
            named = [cited[ref.no] for ref in cause.refs if ref.no in cited]
            if len(named) < len(cause.refs):
                return "confirmed"  # what it rests on cannot be seen from here
        elif not cause.refs:
            return "confirmed" if known_to_customer(self.ticket, cause) else "likely"
        else:
            named = [entry for ref in cause.refs if not ref.ticket and (entry := self.ticket.entry(ref.no))]
        shown = any(self._shows(entry) or (cause.sure == "certain" and self._open(entry)) for entry in named)
        return "confirmed" if shown else "likely"

    def _open(self, entry: Entry) -> bool:
        """True for readings of which one has no verdict: what they show only a person knows."""
        if not isinstance(entry.fact, Found | Proof) or not measures(entry.fact):
            return False
        words = {verdict.word for verdict in judge_entry(self.home(entry), entry, self.earlier)}
        return bool(words & {"none", "undecided"})

    def _shows(self, entry: Entry) -> bool:
        """True for a finding that is out of limits or saw the fault itself."""
        fact = entry.fact
        if isinstance(fact, Code):
            return fact.code != "none"
        if not isinstance(fact, Found | Proof):
            return False
        if not measures(fact):
            return True
        words = {verdict.word for verdict in judge_entry(self.home(entry), entry, self.earlier)}
        return bool(words & {"low", "high"}) or bool(fact.seen) or not words & {"in", "undecided"}


def _bound(run: Run) -> str:
    """The one side that is limited; empty for none or both."""
    limits = as_limits(run.limits, run.unit) if run.limits else None
    if limits is None or (run.limits and run.limits.spread) or bool(limits.low_text) == bool(limits.high_text):
        return ""
    return "low" if limits.low_text else "high"


def _limits(run: Run) -> Iterator[str]:
    """The digits of every bound, without signs."""
    if run.limits is None:
        return
    bracket, limits = as_limits(run.limits, run.unit), run.limits
    for text in (
        bracket.low_text,
        bracket.high_text,
        limits.low,
        limits.high,
        limits.nominal,
        limits.tol,
        limits.spread,
    ):
        if text:
            yield text.lstrip("+-−").replace(",", "")


@lru_cache(maxsize=512)
def _both(text: str, code: str) -> tuple[Text, Text]:
    """A typed text cut up, as typed and spelled out; a story asks for each entry many times."""
    language = load(code)
    typed = cut(text, language)
    longer = spelled(text, language)
    return typed, typed if longer == text else cut(longer, language)


def meanings(fact: Code) -> list[str]:
    """The rows of the code tables that belong to a code, in words."""
    if fact.code == "none":
        return []
    known = meaning(fact.code, fact.sub)
    return [text for text in (known.words, known.sub_words, known.what, known.failure, known.area) if text]


def typed_fields(fact: Fact) -> Iterator[tuple[str, str]]:
    """The fields of a fact that hold something, each as text."""
    if isinstance(fact, Found | Proof) and measures(fact):
        yield from _of_finding(fact)
        return
    names = {spec.name for spec in specs(type(fact))}
    for item in fields(fact):
        value = getattr(fact, item.name)
        if item.name in names and value:
            yield from ((item.name, text) for text in _texts(value) if text)


def _of_finding(fact: Found | Proof) -> Iterator[tuple[str, str]]:
    """A finding part by part: what was measured and its readings, what was seen; its whole text is made of these."""
    for group in groups(fact):
        if group.name:
            yield "what", group.name
        yield from (("run", text) for text in _texts(group.run) if text)
    rest = (("seen", fact.seen), ("result", getattr(fact, "result", "")))
    yield from ((name, text) for name, text in rest if text)


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Run):
        yield from (f"{one.label} {one.number} {value.unit}".strip() for one in value.values)
        if value.limits:
            yield " ".join(getattr(value.limits, item.name) for item in fields(value.limits))
    elif isinstance(value, Due):
        yield from (
            str(part) for part in (value.distance, value.time, value.hours, value.odometer, value.event) if part
        )
    elif isinstance(value, Answer):
        yield value.answer
    elif isinstance(value, Share):
        yield f"{value.payer} {value.percent} %"
    elif isinstance(value, Clock):
        yield f"{value.start} {value.end}"
    elif isinstance(value, Quantity):
        yield str(value)
    elif isinstance(value, tuple):
        for part in value:
            if not isinstance(part, Ref):
                yield from _texts(part)


def spelled(text: str, language: Language) -> str:
    """A typed text with every short form of the dictionary spelled out in its place, all meanings side by side."""
    words = cut(text, language).words
    out, last, i = [], 0, 0
    while i < len(words):
        for length in (3, 2, 1):
            told = language.plain.get(tuple(word.key for word in words[i : i + length]))
            if told and i + length <= len(words):
                out += [text[last : words[i].start], " ".join(told)]
                last = words[i + length - 1].end
                i += length
                break
        else:
            i += 1
    return "".join([*out, text[last:]])
