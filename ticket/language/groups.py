"""Groups of words that name a thing, and places: when they are certain."""

import re
from dataclasses import replace
from functools import cache
from itertools import pairwise

from ticket.job.regex import Regex
from ticket.language.forms import plural
from ticket.language.letters import any_of, head_word, known_sets, may_be, words_of
from ticket.language.records import Group, Place, Span, Things

# {X} is any span with the letter X, {X!P} one that is no place word as well. States stand in front of the first thing
# (behind it they say something of it), a listed thing stands last, a side inside stands only behind a quality.
_GROUP = (
    "{A}?{N}?(?:{L}|{QS!PR}{L})?{QSU!PR}*(?:{TMQU!PR}|{Y}{N}(?={TQL})|{B}(?={T}))*"
    "(?:{Q!PR}{L}{TMQU!PR}*)?{TM!P}(?:{B}|{N}(?!{TMF!S}))?{L}?"
)
_PLACE = "(?:{P}(?:%(groups)s{S}?|{F}|{L}|{N}|{B})|{C}|{E})"
_WITH_NUMBER = frozenset({"at", "to", "down to", "up to"})
_WITH_SIDE = frozenset("to on at from toward".split())
_WITH_FIGURE = frozenset(
    [*"at to from by below above after under over within until with for in past before".split(), "down to", "up to"]
)


@cache
def _filled(shape: str, _sets: int) -> str:
    return re.sub(r"\{([A-Za-z]+)(?:!([A-Z]+))?\}", lambda found: any_of(found[1], found[2] or ""), shape)


def shape(pattern: str) -> str:
    """A shape with its letters filled in; ``GROUP``, ``THINGS`` and ``PLACES`` stand for those of this module."""
    groups = f"(?:{_GROUP}(?:{{J}}{_GROUP})*)"
    place = _PLACE % {"groups": groups}
    text = pattern.replace("THINGS", groups).replace("GROUP", f"(?:{_GROUP})").replace("PLACES", f"(?:{place})*")
    return _filled(text.replace("PLACE", place), known_sets())


def sense_in_front(group: Group) -> str:
    """``bad`` where a bad state stands in front of the thing; ``good`` where a good one opens the group."""
    front = [word for span in group.spans[:-1] for word in words_of(span) if word.cls == "state"]
    if any(word.sense == "bad" for word in front):
        return "bad"
    opens = group.spans[:1] if len(group.spans) > 1 else ()
    return "good" if any(word.cls == "state" and word.sense == "good" for s in opens for word in words_of(s)) else ""


def is_plural(things: Things) -> bool:
    """Whether several things are named."""
    if len(things.groups) > 1 and things.link != "or":
        return True
    group = things.groups[-1]
    word = head_word(group.head)
    return (
        (word is not None and word.form == "many")
        or group.head.base == "none"
        or group.determiner in ("both", "several")
    )


_VOWEL = Regex(r"[aeiouy]")


class Doubt(Exception):
    """Words that could be read in two ways; ``span`` is the word in doubt."""

    def __init__(self, reason: str, span: Span) -> None:
        super().__init__(reason)
        self.reason = reason
        self.span = span


def group(held: tuple[Span, ...], codes: str) -> Group:
    """The group that these spans are; raises :class:`Doubt` where they are none with certainty."""
    spans = list(held)
    determiner = count = side = ""
    if may_be(codes[0], "A") and len(spans) > 1:
        determiner = spans.pop(0).base
        codes = codes[1:]
    if spans[0].cls == "count" or (may_be(codes[0], "N") and len(spans) > 1):
        count = spans.pop(0).base
    if spans[0].cls == "side" and len(spans) > 1:
        side = spans.pop(0).base
    behind = False
    if spans[-1].cls == "side":
        if side:
            raise Doubt("a side in front and one behind", spans[-1])
        last = spans.pop()
        side = last.base
        behind = " " not in side
        if last.text.lower() in ("left", "right"):
            raise Doubt("a side, or what is left or right", last)
    _check_words(spans)
    _check_goings_on(spans)
    _check_rows(spans)
    if spans[-1].text == "0":
        raise Doubt("none of it, or its number", spans[-1])  # "cable 0 broken"
    _check_number(spans, determiner, count)
    return Group(tuple(spans), side, behind, determiner, count)


def _check_words(spans: list[Span]) -> None:
    """At most one word nobody listed, and none that is a short form nobody listed."""
    unknown = [span for span in spans if span.cls == "unknown"]
    if len(unknown) > 1:
        raise Doubt("two words nobody listed", unknown[1])
    for odd in unknown:
        if "doubtful" in odd.also:
            raise Doubt("a short form with several meanings", odd)
        if len(odd.base) < 4 or (odd.text.isupper() and len(odd.text) < 6) or not _VOWEL.search(odd.base):
            raise Doubt("a short form nobody listed", odd)
    if any(odd is not spans[-1] and odd.base.endswith("s") and not odd.base.endswith("ss") for odd in unknown):
        raise Doubt("thing or doing", unknown[0])  # "deflects middle run"
    if any(span.cls == "count" and not span.text.isdecimal() for span in spans):
        raise Doubt("a figure that belongs to nothing", spans[-1])


def _check_rows(spans: list[Span]) -> None:
    """Several things in front of another thing: "hoses pump and rad" are the hoses of both, and no pump of hoses."""
    for before, span in pairwise(spans):
        many = [word for word in words_of(before) if word.cls == "thing"]
        part = any(word.cls == "thing" and word.kind == "part" for word in words_of(span))
        if part and many and all(word.form == "many" and word.kind == "part" for word in many):
            raise Doubt("several things in front of another", before)


def _check_goings_on(spans: list[Span]) -> None:
    """A part in front of what it does, and what comes of it: "shock leaking oil" is no kind of oil."""
    matter = any(word.cls == "matter" or word.kind == "mass" for word in words_of(spans[-1]))
    for before, span in pairwise(spans[:-1]):
        held = words_of(span)
        going = any(word.cls == "doing" and word.form == "gerund" for word in held)
        named = any(word.cls == "thing" for word in held)
        if matter and going and not named and any(word.kind == "part" for word in words_of(before)):
            raise Doubt("what it does, or what it is of", span)


def _check_number(spans: list[Span], determiner: str, count: str) -> None:
    """A number, or *both*, stands in front of several; a short form has no plural of its own and is told in it."""
    head = _head(spans)
    word = head_word(head)
    if word is not None and word.form == "many" and head is not spans[-1] and spans[-1].text.isdecimal():
        raise Doubt("so many of them, or the number of one", spans[-1])
    if word is None or word.form != "one":
        return
    if count.isdecimal() and int(count) != 1:
        raise Doubt("a number in front of one thing", head)
    if determiner == "both":
        if head.text.lower() == head.base:
            raise Doubt("both, in front of one thing", head)
        spans[spans.index(head)] = replace(head, base=plural(head.base))


def _head(spans: list[Span]) -> Span:
    return next((span for span in reversed(spans) if span.cls not in ("label", "count")), spans[-1])


@cache
def _pieces(sets: int) -> "re.Pattern[str]":
    return re.compile(shape("(?P<g>GROUP)(?P<j>{J})?"))


def things(held: tuple[Span, ...], codes: str) -> Things:
    """One or several groups joined by *and* or *or*."""
    out: list[Group] = []
    link = "and"
    i = 0
    while i < len(held):
        found = _pieces(known_sets()).match(codes, i)
        if found is None or (found.end() < len(held) and not found["j"]):
            raise Doubt("no thing of its own", held[i])
        out.append(group(held[i : found.end("g")], codes[i : found.end("g")]))
        if found["j"]:
            link = "or" if held[found.start("j")].base in ("or", "nor") else "and"
        i = found.end()
    return Things(tuple(out), link)


@cache
def _one_place(sets: int) -> "re.Pattern[str]":
    return re.compile(
        shape(
            "(?P<c>{CE})|(?P<w>{P})(?:(?P<t>THINGS)(?P<s>{S}\\Z|{S}(?={PCE}))?|(?P<f>{F}|{N}(?!{TMQS})|{B}(?!{TM}))|(?P<l>{L})(?!{TQMS}))"
        )
    )


def places(held: tuple[Span, ...], codes: str) -> tuple[Place, ...]:
    """Places and circumstances in typed order."""
    out: list[Place] = []
    i = 0
    while i < len(held):
        found = _one_place(known_sets()).match(codes, i)
        if found is None:
            raise Doubt("no place", held[i])
        if found["w"] and any(word.cls == "quality" for word in words_of(held[i])):
            raise Doubt("a place word that may be a quality", held[i])
        if found["c"]:
            out.append(Place("", phrase=held[i].base))
        elif found["l"]:
            if held[i].base not in _WITH_SIDE or " " in held[i + 1].base:
                raise Doubt("a side of nothing", held[i + 1])
            out.append(Place(held[i].base, phrase=held[i + 1].base))
        elif found["f"]:
            number = held[i + 1].cls == "count" and held[i].base not in _WITH_NUMBER
            if held[i].base not in _WITH_FIGURE or number:
                raise Doubt("a figure that belongs to nothing", held[i + 1])
            out.append(Place(held[i].base, figure=held[i + 1]))
        else:
            end = found.end("t")
            state = held[end].base if found["s"] else ""
            if state and held[i].base != "with":
                raise Doubt("a state of a place", held[end])
            named = things(held[i + 1 : end], codes[i + 1 : end])
            if held[i].base == "out" and not named.groups[0].determiner:
                raise Doubt("out: a place or a state", held[i])
            out.append(Place(held[i].base, named, phrase=state))
        i = found.end()
    return tuple(out)
