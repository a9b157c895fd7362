"""Cutting a body at its semicolons, driven by the declared fields of the kind and nothing else.

A segment is a field only where the kind owns a field of that word, the whole segment has the field's shape, and
the field is still empty. Every other segment continues the text before it, semicolon kept.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cache
from itertools import pairwise
from typing import Any

from ticket.job.entry import Remark
from ticket.job.field_specs import FieldSpec, specs
from ticket.job.kinds import KINDS, Says
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.notes.due import day_of, due_of, event_of
from ticket.notes.readers import READERS
from ticket.notes.shapes import Context, count_in
from ticket.notes.spans import Body

_HEAD = ""  # name under which the pieces of the head are gathered
_CLOSING_ONLY = (Says.kind,)  # the customer's words may hold any semicolon; only what closes the line is a field
_SAME = {
    "can wait": "may wait",
    "ok to wait": "may wait",
    "okay to wait": "may wait",
    **dict.fromkeys(("no rush", "no hurry", "not urgent"), "may wait"),
    **dict.fromkeys(("soon", "needs doing soon", "should be done soon"), "do soon"),
    **dict.fromkeys(
        (
            "must not wait",
            "mustn't wait",
            "should not wait",
            "shouldn't wait",
            "can't wait",
            "cannot wait",
            "won't wait",
            "needs doing now",
            "urgent",
            "asap",
            "right away",
            "straight away",
            "do not wait",
            "don't wait",
            "not to wait",
            "at once",
            "immediately",
            "urgently",
        ),
        "do now",
    ),
    **dict.fromkeys(
        (
            "don't drive",
            "not to be driven",
            "must not be driven",
            "not safe to drive",
            "unsafe to drive",
            "off the road",
        ),
        "do not drive",
    ),
    "sure": "certain",
    "for sure": "certain",
    "definite": "certain",
    "confirmed": "certain",
    "proven": "certain",
    "proved": "certain",
    "probable": "likely",
    "probably": "likely",
}  # other words for a choice
_LEADS = {
    "pay": "pay|pays", "hours": r"hours|hrs?\.?", "est": r"est\.?|estimate", "for": "for|from", "from": "from|for",
    "in": "in|due|within", "because": r"because|bc|b/c|cuz", "risk:": r"risk",
    "up to": r"(?:total\s+)?up\s+to", "total": r"total(?!\s+up\s+to\b)",
}  # fmt: skip
_QUALIFIED = Regex(
    r"[$£€]?\s?[0-9][0-9.,]*\s+(?:with|w/|incl\w*|inc|plus|before|after|excl?\w*|without|net|gross|tax|vat|gst|hst|pst"
    r"|cash|card|by|in|paid|cheque|check|transfer)(?![a-z])", re.I
)  # fmt: skip
"""A sum with words for its tax or the way of paying behind it: the reader of the words takes it."""
_WANTED = {
    "money": "an amount such as 228.40", "clock": "clock times such as 8:10-9:45", "payer": "one of the payers",
    "rate": "a rate class of this shop", "number": "a number",
    "person": "somebody of this shop (ticket shop person NAME adds one)",
    "split": "shares that make 100, such as warranty 60, customer 40,",
}  # fmt: skip
_LOOK_AGAIN = Regex(
    r"(?i)\s*(?:re-?check|re-?test|re-?measure|check|look|inspect)(?: it| them)?(?: again)?\s+"
    r"(?=(?:in|at|before|within|after|next)\b)"
)
"""A look again that is due: "recheck in 8,000 km" behind a risk is no part of it."""
_ONLY_TILL = Regex(r"(?i)\s*(?:un)?till?\b")
_WAITS_FOR = Regex(r"(?i)\s*(?:still )?(?:waiting?|waits) (?:on|for)\b")
_UNSAFE = Regex(
    r"(?i)\s*(?:(?:is |it's )?not safe|unsafe|dangerous|do not|don'?t|must not|not to)\b[\s,]*"
    r"(?:(?:to |and |so |do not|don'?t|not to|be )\s*)*(?:(?:drive|driven|pull|tow|towed|ride|ridden)\b)?"
    r"(?:\s+(?:it|this|that))?\s*"
)
"""That something is not safe, or must not be driven, pulled or used, and nothing else; the bare ban needs its verb."""
_VERB = Regex(r"(?i)safe|dangerous|\b(?:driv|pull|tow|rid)\w*")
_REFS_BEHIND_COMMA = Regex(r",\s*(from|for)\s+[0-9]{1,3}(?:(?:\s*[,&+]\s*|\s+and\s+|\s+)[0-9]{1,3})*\s*\Z", re.I)
_MOST_REMARKS = 4
_FIGURE = Regex(r"[$£€¥]? ?[0-9]")
_NAME = Regex(r"[^\W\d_a-z][\w.'’-]*(?: [^\W\d_a-z][\w.'’-]*){0,2}")  # "Mo Grell", never "by hand"
_SHARES = Regex(r"[a-z]+ +[0-9]", re.I)
_ONE_WORD = Regex(r"[^\s,]{1,30}")
_HOW = frozenset({"judgement", "sure", "result"})
"""Fields whose words are told from all others, so that a comma will do in front of them."""
Range = tuple[int, int]


@dataclass(frozen=True, slots=True)
class _Table:
    leads: re.Pattern[str]
    specs: dict[str, FieldSpec]
    choices: dict[str, tuple[FieldSpec, str]]
    longest: int
    counts: FieldSpec | None
    following: str
    due: str


@dataclass(slots=True)
class Cut:
    """A body cut into its head and its fields.

    Attributes:
        head: what stands before the first field, with the segments that continue it.
        fields: values by field name.
        remarks: what was not understood.
        pieces: where the pieces of the head stand in the line, which one mark joins in the head.
    """

    head: Body
    fields: dict[str, Any] = field(default_factory=dict)
    remarks: list[Remark] = field(default_factory=list)
    pieces: tuple[Range, ...] = ()

    def placed(self, remark: Remark) -> Remark:
        """A remark about the head at its place in the line, whatever was cut out of the head before it."""
        if len(self.pieces) < len("ab"):
            return remark
        start = self._place(remark.start)
        return replace(remark, start=start, end=max(start, self._place(remark.end - 1) + 1))

    def _place(self, at: int) -> int:
        offset = at - self.head.at
        for start, end in self.pieces:
            if offset <= end - start:
                return start + offset
            offset -= end - start + 1
        return self.pieces[-1][1]


@cache
def _table(kind: str) -> _Table | None:
    own = specs(KINDS[kind])
    words = {f"w{place}": spec for place, spec in enumerate(own) if spec.place == "word"}
    flags = [spec for spec in own if spec.place == "flag"]
    if not words and not flags and all(spec.place == "head" for spec in own):
        return None
    longest_first = sorted(words.items(), key=lambda item: -len(item[1].word))  # "core back" before "core"
    leads = "|".join(f"(?P<{group}>{_lead_pattern(spec)})" for group, spec in longest_first)
    choices = {fold(choice): (spec, choice) for spec in flags for choice in spec.choices}
    return _Table(
        leads=re.compile(rf"\s*(?:{leads or '(?!)'})", re.I),
        specs=words,
        choices=choices | {other: choices[word] for other, word in _SAME.items() if word in choices},
        longest=max((len(choice) for choice in choices), default=0) + 8,
        counts=next((spec for spec in flags if not spec.choices), None),
        following=next((spec.name for spec in own if spec.place == "next"), ""),
        due=next((spec.name for spec in own if spec.shape == "due"), ""),
    )


def _lead_pattern(spec: FieldSpec) -> str:
    lead = spec.word
    pattern = _LEADS.get(lead, re.escape(lead.rstrip(":")).replace(r"\ ", r"\s+"))
    if lead in _LEADS and lead.endswith(":"):
        return rf"(?:{pattern})(?: ?:|(?=\s))"
    return rf"(?:{pattern}) ?:" if lead.endswith(":") else rf"(?:{pattern})(?::(?=\s)|(?=\s))"


def cut(kind: str, body: Body, context: Context) -> Cut:
    """The head and the fields of a body of that kind."""
    table = _table(kind)
    if table is None or not body.raw.strip():
        return Cut(body)
    if kind in _CLOSING_ONLY:
        return _cut_closing(table, body, context)
    return _Cutter(table, body, context).run()


def cuts(kind: str) -> bool:
    """Whether every semicolon of a line of this kind may begin a field."""
    return _table(kind) is not None and kind not in _CLOSING_ONLY


def flag_of(kind: str, text: str) -> tuple[str, str] | None:
    """Field name and value where a text is one of the kind's own words, such as ``stored``."""
    table = _table(kind)
    return _flag(table, text) if table else None


def _flag(table: _Table, text: str) -> tuple[str, str] | None:
    text = text.strip()
    if not text or len(text) > table.longest:
        return None
    known = table.choices.get(fold(text))
    if known:
        return known[0].name, known[1]
    if table.counts and count_in(text):
        return table.counts.name, text
    return None


def _cut_closing(table: _Table, body: Body, context: Context) -> Cut:
    done = Cut(body)
    while (at := done.head.bare.rfind(";")) >= 0:
        segment = done.head.cut(at + 1)
        hit = _flag(table, segment.bare)
        if hit is None:
            spec, rest = _worded(table, segment)
            value = READERS[spec.shape](rest, spec, context) if spec else None
            hit = (spec.name, value) if spec and value else None
        if hit is None or hit[0] in done.fields:
            break
        done.fields[hit[0]] = hit[1]
        done.head = done.head.cut(0, at)
    return done


def _worded(table: _Table, segment: Body) -> tuple[FieldSpec | None, Body]:
    match = table.leads.match(segment.bare)
    if match is None or match.lastgroup is None:
        return None, segment
    return table.specs[match.lastgroup], segment.cut(match.end())


class _Cutter:
    """One pass over the segments; texts grow as ranges, so that no text is copied twice."""

    def __init__(self, table: _Table, body: Body, context: Context) -> None:
        self.table, self.body, self.context = table, body, context
        self.fields: dict[str, Any] = {}
        self.texts: dict[str, list[Range]] = {}
        self.current = _HEAD
        self.remarks: list[Remark] = []

    def run(self) -> Cut:
        for place, (start, end) in enumerate(self._ranges()):
            segment = self.body.cut(start, end)
            if place == 0:
                self._first(segment, (start, end))
            elif not self._take(segment, end):
                self._continue((start, end))
        for name, ranges in self.texts.items():
            if name != _HEAD:
                self.fields[name] = self._joined(ranges).text
        head = self._joined(self.texts[_HEAD]) if _HEAD in self.texts else self.body.cut(0, 0)
        pieces = tuple((self.body.at + start, self.body.at + end) for start, end in self.texts.get(_HEAD, ()))
        return Cut(head, {name: value for name, value in self.fields.items() if value}, self.remarks, pieces)

    def _ranges(self) -> list[Range]:
        ends = [match.start() for match in re.finditer(";", self.body.bare)] + [len(self.body.bare)]
        ends = sorted({*ends, *self._refs_behind_comma(ends)})
        starts = [0, *(end + 1 for end in ends[:-1])]
        ranges = list(zip(starts, ends, strict=True))
        while len(ranges) > 1 and not self.body.raw[slice(*ranges[-1])].strip():
            ranges.pop()
        return ranges

    def _refs_behind_comma(self, ends: list[int]) -> Iterator[int]:
        """``wet inside, from 3 4``: a comma in front of the word and of numbers alone cuts as a semicolon does."""
        words = {spec.word for spec in self.table.specs.values() if spec.shape == "refs"}
        priced = any(spec.shape == "money" for spec in self.table.specs.values())
        for end in ends if words else ():
            match = _REFS_BEHIND_COMMA.search(self.body.bare, self.body.bare.rfind(";", 0, end) + 1, end)
            if match is None or match[1].lower() not in words:
                continue
            if match[1].lower() == "for" and priced:
                where = self.body.at + match.start(1), self.body.at + end
                text = f"Is this {match[0].lstrip(' ,')}, an entry? Then a semicolon stands in front of it."
                answer = f"; {match[0].lstrip(' ,')}"
                self.remarks.append(Remark(text, where[0], where[1], "unread", answers=(answer,)))
            else:
                yield match.start()

    def _first(self, segment: Body, where: Range) -> None:
        """The head; only references may stand there instead, as in ``later: for 2107/12; done here``."""
        spec, rest = _worded(self.table, segment)
        refs = READERS["refs"](rest, spec, self.context) if spec and spec.shape == "refs" else ()
        if spec and refs:
            self.fields[spec.name] = refs
        else:
            self.texts[_HEAD] = self._without_judgement(*where)

    def _without_judgement(self, start: int, end: int) -> list[Range]:
        """The head without a comma part that is such a word and nothing else: ``rear pads, may wait, est 190``."""
        bare = self.body.bare
        commas = [*(at for at in range(start, end) if bare[at] == ","), end]
        parts = [(at + 1, behind) for at, behind in pairwise(commas)]
        found = [(part, hit) for part in parts if (hit := _flag(self.table, bare[slice(*part)])) and hit[0] in _HOW]
        if len(found) != 1:
            return [(start, end)]
        (first, behind), (name, value) = found[0]
        self.fields[name] = value
        return [(start, first - 1), *([(behind + 1, end)] if behind < end else [])]

    def _take(self, segment: Body, end: int) -> bool:
        hit = _flag(self.table, segment.bare) or _unsafe(self.table, segment.bare)
        if hit:
            return self._put(*hit, segment)
        if self._judged_until(segment) or self._judged_and_more(segment, end):
            return True
        spec, rest = _worded(self.table, segment)
        if spec is None and _WAITS_FOR.match(segment.bare) and self._reason(segment, end):
            return True
        if spec is None or (spec.shape == "due" and not rest.raw.strip()):
            return self._due(segment)
        if spec.shape == "text":
            if not rest.raw.strip() or spec.name in self.texts:
                return False
            self.texts[spec.name] = [(end - len(rest.raw), end)]
            self.current = spec.name
            return True
        value = READERS[spec.shape](rest, spec, self.context)
        if not value:
            if self._due(segment):
                return True
            self._wonder(spec, rest, segment)
            return False
        return self._put(spec.name, value, segment)

    def _judged_until(self, segment: Body) -> bool:
        """``; may wait two weeks``, ``; do soon, before winter``: how pressing it is and when it falls due."""
        words = segment.bare.split()
        name = self.table.due
        for count in range(1, min(len(words), 5)) if name and name not in self.fields else ():
            hit = _flag(self.table, " ".join(words[:count]).rstrip(","))
            behind = " ".join(words[count:])
            if hit is None or hit[0] in self.fields or _ONLY_TILL.match(behind):
                continue
            value = due_of(behind) or event_of(behind)
            if value:
                self.fields[hit[0]], self.fields[name] = hit[1], value
                return True
        return False

    def _judged_and_more(self, segment: Body, end: int) -> bool:
        """``; do not wait, danger``: how pressing it is, and a word more, which stays text."""
        first, comma, more = segment.bare.partition(",")
        says_when = due_of(segment.bare) or event_of(more) or any(map(str.isdecimal, more))
        hit = _flag(self.table, first) if comma and more.strip() and not says_when else None
        if hit is None or hit[0] in self.fields or hit[0] not in _HOW:
            return False
        if len(more.split()) > 1 and not self._reason(segment.cut(len(first) + 1), end):
            return False
        self.fields[hit[0]] = hit[1]
        if len(more.split()) == 1:
            self._continue((end - len(more), end))
        return True

    def _reason(self, segment: Body, end: int) -> bool:
        """``; waiting on a part``: why it waits, without the word for it."""
        name = next((spec.name for spec in self.table.specs.values() if spec.name == "because"), "")
        if not name or name in self.texts:
            return False
        self.texts[name] = [(end - len(segment.raw.lstrip()), end)]
        self.current = name
        return True

    def _due(self, segment: Body) -> bool:
        """A piece of nothing but a due says so by itself: ``; 2 wks``, ``; next service``, ``; at 250,000 mi``."""
        name = self.table.due
        if not name or name in self.fields:
            return False
        value = due_of(segment.bare) or event_of(segment.bare)
        if value:
            return self._put(name, value, segment)
        dated = next((spec.name for spec in self.table.specs.values() if spec.shape == "date"), "")
        if dated and (day := day_of(segment.bare)):
            return self._put(dated, day, segment)
        look = _LOOK_AGAIN.match(segment.bare)
        value = due_of(segment.bare[look.end() :]) if look is not None else None
        if look is None or value is None or _HEAD not in self.texts:
            return False
        start = segment.at - self.body.at
        self.texts[_HEAD].append((start, start + look.end()))  # what to do then belongs to what waits
        return self._put(name, value, segment)

    def _put(self, name: str, value: Any, segment: Body) -> bool:
        if name in self.fields:
            self._remark("This is given twice; the second stays text.", segment)
            return False
        self.fields[name] = value
        return True

    def _continue(self, where: Range) -> None:
        following = self.table.following
        if following and following not in self.texts:
            self.texts[following] = [where]
            self.current = following
            return
        ranges = self.texts.setdefault(self.current, [])
        if ranges and ranges[-1][1] + 1 == where[0]:
            ranges[-1] = (ranges[-1][0], where[1])
        else:
            ranges.append(where)

    def _joined(self, ranges: list[Range]) -> Body:
        if len(ranges) == 1:
            return self.body.cut(*ranges[0])
        raw = ";".join(self.body.raw[start:end] for start, end in ranges)
        bare = ";".join(self.body.bare[start:end] for start, end in ranges)
        return Body(raw, bare, self.body.at + ranges[0][0])

    def _wonder(self, spec: FieldSpec, rest: Body, segment: Body) -> None:
        """A word that was probably meant as a field, but whose value has another shape."""
        text = rest.bare.strip()
        if self.context.live or spec.shape not in _WANTED or (spec.shape == "money" and _QUALIFIED.match(text)):
            return
        if spec.shape == "person" and not self.context.people:
            return  # without a shop nobody can tell who works there
        whole_ones = {"rate": _ONE_WORD, "payer": _ONE_WORD, "person": _NAME}
        pattern = whole_ones.get(spec.shape) or (_SHARES if spec.shape == "split" else _FIGURE)
        whole = pattern.fullmatch(text) if spec.shape in whole_ones else pattern.match(text)
        if whole:
            self._remark(f"Behind “{spec.word}” {_WANTED[spec.shape]} was expected; it stays text.", segment)

    def _remark(self, text: str, segment: Body) -> None:
        if len(self.remarks) < _MOST_REMARKS:
            piece = segment.strip()
            self.remarks.append(Remark(text, piece.at, piece.at + len(piece.raw)))


def _unsafe(table: _Table, text: str) -> tuple[str, str] | None:
    """The judgement behind words that forbid use: "not safe, don't pull it"."""
    held = table.choices.get("do not drive")
    if held is None or not _UNSAFE.fullmatch(text) or not _VERB.search(text):
        return None
    return held[0].name, held[1]


def lead_to_refs(kind: str) -> str:
    """The word in front of the entries that a line of this kind refers to, such as ``from``; empty for none."""
    return next((spec.word for spec in fields_of(kind) if spec.shape == "refs"), "")


def fields_of(kind: str) -> Iterator[FieldSpec]:
    """The fields of a kind that stand in segments of their own, in the order they are written."""
    return (spec for spec in specs(KINDS[kind]) if spec.place != "head")
