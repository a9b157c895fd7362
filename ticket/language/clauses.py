"""One piece of a line between commas as a clause: every shape is tried, and exactly one kind of record must fit."""

import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache, lru_cache

from ticket.language.groups import Doubt, is_plural, places, sense_in_front, shape, things
from ticket.language.letters import head_word, known_sets, letters, words_of
from ticket.language.lexicon import look
from ticket.language.phrasebook import Taught
from ticket.language.records import (
    Absent,
    Clause,
    Event,
    Group,
    Has,
    How,
    Link,
    Measure,
    Nominal,
    Place,
    Present,
    Span,
    State,
    Things,
)
from ticket.language.tables import rows
from ticket.readings.units import find

_SUBJECT = "(?:(?P<s>THINGS)(?P<f>PLACES))"
_STATES = "(?P<st>{n}?{D}?{S}{s}?(?:{J}{n}?{D}?{S}{s}?)*)"
_SHAPES: tuple[tuple[str, str], ...] = (
    ("State", f"{_SUBJECT}?{{I}}?{_STATES}(?P<p>PLACES)(?P<l>{{L}})?"),
    ("Measure", f"{_SUBJECT}{{I}}?(?P<n>{{F}})(?P<w>{{S}})?(?P<l>{{L}})?(?P<p>PLACES)"),
    ("Measure", "(?P<n>{F})(?P<p>PLACE(?:PLACES))"),
    ("Measure", "(?P<n>{F})(?P<w>{S})"),
    ("Present", "(?P<s>THINGS)(?P<p>PLACES)"),
    ("Absent", "{X}(?P<s>THINGS)(?P<p>PLACES)"),
    ("Has", f"{_SUBJECT}{{H}}?{{X}}(?P<o>THINGS)(?P<p>PLACES)"),
    ("Has", f"{_SUBJECT}?{{H}}(?P<o>THINGS)(?P<p>PLACES)"),
    ("Has", f"{_SUBJECT}?{{H}}?(?P<n>{{F}}){{P}}?(?P<o>{{QMT!PR}}*{{MT}})(?P<p>PLACES)"),
    (
        "Event",
        f"{_SUBJECT}?(?P<m>{{On}})?(?P<v>{{V}})(?P<r>{{R}}*)(?P<st>{{D}}?{{S}})?(?P<n>{{F}})?(?P<p>PLACES)(?P<l>{{L}})?",
    ),
    ("Event", f"{_SUBJECT}?(?P<m>{{On}})?(?P<v>{{V}})(?P<o>THINGS)(?P<p>PLACES)"),
    ("Link", f"{_SUBJECT}?(?P<m>{{On}})?(?P<v>{{K}})(?:{_STATES}|(?P<n>{{F}}))(?P<p>PLACES)"),
    ("Link", f"{_SUBJECT}(?P<v>{{K}})(?P<p>PLACE(?:PLACES))"),
)
MAX_SPANS = 40  # of one piece; a longer one is no clause of the bay
# Words that are state and particle: behind a word that may be a verb they may be its particle ("plugs up").
_LOOSE = frozenset("out up off on in down".split())
# States that also say how something is done: behind a word that may be a doing nothing is certain ("pulls good").
_MANNERS = frozenset(
    """wet good bad fine ok okay well poor rough smooth hard easy free tight loose quiet loud straight even uneven slow
    fast high low hot cold dry rich lean normal strong weak steady firm soft open closed short long deep late early
    true""".split()
)
_ONLY_WITH = {"light": frozenset({"up"})}  # a lamp lights up; it lights neither off nor out
# A thing that is somewhere and nothing else: "oil at bottom of fill hole".
_SOME_FIGURE = frozenset({"at", "down to", "up to", "within", "below", "above", "under", "over"})
# A fluid of the vehicle that is there was spilt: "oil on shoes".
_SPILT = frozenset("on onto in into inside under down around behind between through over".split())
# Behind a noise or a fault these say when it comes: "clutch chatter cold".
_WEATHER = frozenset("hot cold warm wet dry loaded empty".split())
_SOMEWHERE = frozenset("at against below above within beyond past off".split())
NAMING = frozenset({"risk", "cause", "maybe", "ruled", "remedy", "later"})
_PAST_AS_BASE = frozenset("run split cut set burst shut hit put bust".split())
_PRICE = frozenset({"charge", "cost"})
_LIKE = frozenset({"of", "like"})  # behind smell, look, sound: what it was like


@cache
def _compiled(sets: int) -> "tuple[tuple[str, re.Pattern[str]], ...]":
    return tuple((kind, re.compile(shape(pattern) + r"\Z")) for kind, pattern in _SHAPES)


@lru_cache(maxsize=4096)
def _fits(codes: str) -> tuple[tuple[str, tuple[tuple[str, int, int], ...]], ...]:
    """Every shape that takes all of these characters, with the places of its named parts."""
    letters((), "", {})
    out = []
    for kind, pattern in _compiled(known_sets()):
        found = pattern.match(codes)
        if found is not None:
            parts = tuple((name, *found.span(name)) for name in pattern.groupindex if found.start(name) >= 0)
            out.append((kind, parts))
    return tuple(out)


class _Parts:
    """The named parts of a matched shape, as spans and characters."""

    def __init__(self, spans: tuple[Span, ...], codes: str, parts: tuple[tuple[str, int, int], ...]) -> None:
        self._spans, self._codes = spans, codes
        self._at = {name: (start, end) for name, start, end in parts if end > start}

    def spans(self, name: str) -> tuple[Span, ...]:
        start, end = self._at.get(name, (0, 0))
        return self._spans[start:end]

    def _codes_of(self, name: str) -> str:
        start, end = self._at.get(name, (0, 0))
        return self._codes[start:end]

    def things(self, name: str) -> Things | None:
        held = self.spans(name)
        return things(held, self._codes_of(name)) if held else None

    def places(self, name: str) -> tuple[Place, ...]:
        held = self.spans(name)
        return places(held, self._codes_of(name)) if held else ()

    def named(self, name: str) -> Things:
        """Things that the shape cannot be without."""
        held = self.things(name)
        if held is None:
            raise Doubt("no thing of its own", self._spans[0])
        return held

    def only(self, name: str) -> Span:
        """A span that the shape cannot be without."""
        return self.spans(name)[0]

    def has(self, cls: str) -> bool:
        """Whether a span of a class stands anywhere in the piece."""
        return any(span.cls == cls for span in self._spans)

    def typed(self, *words: str) -> bool:
        """Whether one of these words was typed in the piece."""
        return any(span.text.lower() in words for span in self._spans)

    def one(self, name: str) -> Span | None:
        held = self.spans(name)
        return held[0] if held else None


def clause(
    held: tuple[Span, ...], where: str, taught: dict[str, Taught], *, follows: bool, behind_trial: bool = False
) -> Clause:
    """The one clause these spans are. Raises :class:`Doubt` where there is none, or more than one.

    Args:
        held: the spans between two commas.
        where: the kind of line.
        taught: what the book holds for words nobody listed.
        follows: a subject may be left out, because the clause before has one thing and no place.
        behind_trial: what a trial showed stands here; it may be a state alone ("bone dry"), told as such.
    """
    if len(held) > MAX_SPANS:
        raise Doubt("too long to be one clause", held[0])
    codes = letters(held, where, taught)
    found: dict[str, Clause] = {}
    doubt: Doubt | None = None
    for kind, parts in _fits(codes):
        try:
            built = _BUILD[kind](_Parts(held, codes, parts))
            _left_out(built, held, follows=follows, behind_trial=behind_trial)
            name = type(built).__name__
            if found.get(name, built) != built:
                raise Doubt("two readings", held[0])
            found[name] = built
        except Doubt as reason:
            doubt = reason
    _same_words(found)
    if where in NAMING:
        _as_named(found, held, codes)
    if len(found) == 1:
        return next(iter(found.values()))
    if found and doubt is None:
        raise Doubt(f"it may be read as {' or as '.join(sorted(found)).lower()}", held[0])
    raise doubt or _no_shape(held)


def _same_words(found: dict[str, Clause]) -> None:
    """A noise, motion or state at the end that is a thing as well says the same ("bearing growls"): it is told."""
    present = found.get("Present")
    if isinstance(present, Present) and len(found) > 1:
        classes = {word.cls for word in words_of(present.things.groups[-1].head)}
        if classes & {"doing", "link", "state"} and classes & {"thing", "matter"}:
            del found["Present"]
    state = found.get("State")
    if "Event" in found and isinstance(state, State) and state.things is not None:
        if any(word.cls == "doing" and word.kind.endswith("n") for word in words_of(state.things.groups[-1].head)):
            del found["State"]
    if "Link" in found and isinstance(state, State) and state.things is not None:
        if any(word.cls == "link" for word in words_of(state.things.groups[-1].head)):
            del found["State"]


def _as_named(found: dict[str, Clause], held: tuple[Span, ...], codes: str) -> None:
    """In a cause a group alone names what it was; "there was" is told of findings."""
    present = found.pop("Present", None)
    if isinstance(present, Present):
        found["Nominal"] = Nominal(present.things, present.places)
    elif not found and (named := _named(held, codes)) is not None:
        found["Nominal"] = named


def _named(held: tuple[Span, ...], codes: str) -> Nominal | None:
    """A cause, a suspicion or a thing to do named by a group alone."""
    found = next((parts for kind, parts in _fits(codes) if kind == "Present"), None)
    if found is None:
        return None
    parts = _Parts(held, codes, found)
    try:
        named = parts.things("s")
        if named is not None:
            _no_verb_inside(named)
        return Nominal(named, parts.places("p")) if named is not None else None
    except Doubt:
        return None


def named_at(held: tuple[Span, ...], taught: dict[str, Taught]) -> Nominal | None:
    """What these spans name where they may be a name with its places, whatever else they could say."""
    return _named(held, letters(held, "cause", taught))


def named_things(held: tuple[Span, ...], taught: dict[str, Taught]) -> Things | None:
    """The things these spans name where they name nothing else."""
    codes = letters(held, "found", taught)
    found = next((parts for kind, parts in _fits(codes) if kind == "Present"), None)
    if found is None:
        return None
    parts = _Parts(held, codes, found)
    return None if parts.spans("p") else parts.things("s")


def _no_shape(held: tuple[Span, ...]) -> Doubt:
    unlisted = next((span for span in held if span.cls == "unknown"), None)
    if unlisted is not None:
        return Doubt("a word nobody listed", unlisted)
    return Doubt("no shape of a clause that is certain", held[0])


def _left_out(built: Clause, held: tuple[Span, ...], *, follows: bool, behind_trial: bool) -> None:
    """A clause without its own thing is certain only straight behind one that has a thing and no place."""
    subject = getattr(built, "things", None)
    amount = isinstance(built, Has) and built.figure is not None
    if subject is None and behind_trial and isinstance(built, (State, Link)):
        return
    if subject is None and not follows and not isinstance(built, Measure) and not amount:
        raise Doubt("nothing says what this is said of", held[0])


def _hows(held: tuple[Span, ...]) -> tuple[How, ...]:
    out: list[How] = []
    degree, negated = "", False
    for i, span in enumerate(held):
        classes = {word.cls for word in words_of(span)}
        if out and i and held[i - 1].base == out[-1].state and span.cls != "join":
            if not _is_participle(held[i - 1]):
                raise Doubt("two states without a word between them", span)
            out[-1] = replace(out[-1], state=f"{out[-1].state} {span.base}")
        elif span.cls == "not":
            negated = True
        elif span.cls == "join":
            continue
        elif "degree" in classes and span is not held[-1] and not (classes & {"state"} and _joined_next(held, span)):
            degree = span.base
        else:
            out.append(How(span.base, degree, negated))
            degree, negated = "", False
    if degree or not out:
        raise Doubt("a degree of nothing", held[-1])
    return tuple(out)


def _is_participle(span: Span) -> bool:
    return span.base.endswith("ed") or any(word.form in ("past", "participle") for word in words_of(span))


def _joined_next(held: tuple[Span, ...], span: Span) -> bool:
    at = held.index(span)
    return at + 1 < len(held) and held[at + 1].cls == "join"


def _goes(head: Span) -> bool:
    """A word that may be a doing in its third person: "squeals", "pumps"."""
    last = look(head.base.rpartition(" ")[2])
    return any(word.form == "third" and word.cls == "doing" and word.kind[:1] == "i" for word in last)


def _verb_head(named: Things | None, next_base: str) -> None:
    """Words that may be a verb in front of a word that may be its particle, and one word alone that may be a verb."""
    if named is None:
        return
    for other in named.groups[:-1]:  # "relay clicks and its contact drop normal": a clause of its own, no thing
        if len(other.spans) > 1 and not (other.determiner or other.count) and _goes(other.head):
            raise Doubt(f"{other.head.text}: thing or doing", other.head)
    last = named.groups[-1]
    words = [word for word in look(last.head.base.rpartition(" ")[2]) if word.cls in ("doing", "work", "link")]
    if not words:
        return
    marked = bool(last.determiner or last.count)
    _no_past(named)
    alone = len(last.spans) == 1 and not last.side and not marked and len(named.groups) == 1
    noise = alone and any(word.kind.endswith("n") for word in words)
    goes = _goes(last.head) and not marked and (noise or next_base in _MANNERS)
    if goes or next_base in _LOOSE & _ONLY_WITH.get(words[0].base, _LOOSE):
        raise Doubt(f"{last.head.text}: thing or doing", last.head)


def _no_past(named: Things) -> None:
    """A head whose past is its base form: "joint run dry", "no pipes split"."""
    last = named.groups[-1]
    if last.head.base in _PAST_AS_BASE and not (last.determiner or last.count):
        raise Doubt(f"{last.head.text}: thing or doing", last.head)


def _sided(subject: Things | None, side: Span | None) -> Things | None:
    """A side typed behind what is said ("ring cracked LR") belongs to the one thing it is said of."""
    if side is None:
        return subject
    if subject is None or len(subject.groups) > 1 or subject.groups[0].side or " " not in side.base:
        raise Doubt("a side of two things or of none", side)
    return Things((replace(subject.groups[0], side=side.base, behind=False),))


def _state(parts: _Parts) -> Clause:
    subject, states = _sided(parts.things("s"), parts.one("l")), _hows(parts.spans("st"))
    where = parts.places("p")
    if where and not where[0].word and states[-1].state.rpartition(" ")[2] in _LOOSE:
        raise Doubt("stuck on, or on and stuck", parts.spans("st")[-1])
    if any(not place.word and place.phrase in _endings() for place in parts.places("f")):
        raise Doubt("a set ending in front", parts.spans("f")[0])
    if subject is not None and len(subject.groups) > 1 and subject.link != "or" and parts.typed("is", "was"):
        raise Doubt("one or several", parts.spans("st")[0])  # "relay clicks and its drop is normal" is no list
    _verb_head(subject, parts.spans("st")[0].base if not parts.spans("f") else "")
    if subject is not None and any(sense_in_front(group) for group in subject.groups):
        raise Doubt("a state in front and one behind", parts.spans("st")[0])  # "dry round seal .. hot"
    if subject is not None and states[0].state in _WEATHER and not parts.spans("f"):
        head = words_of(subject.groups[-1].head)
        if any(word.kind == "trouble" for word in head) or all(
            word.kind == "fault" for word in head if word.cls == "thing"
        ):
            raise Doubt("when, or how it was", parts.spans("st")[0])
    if where and where[0].word == "to" and where[0].things is not None and _may_be_done(where[0].things):
        raise Doubt("what it is fit to do, or where it goes", parts.spans("st")[-1])  # "dusty, ok to run"
    link = "or" if any(span.base == "or" for span in parts.spans("st")) else "and"
    return State(subject, states, parts.places("f"), parts.places("p"), link)


def _may_be_done(named: Things) -> bool:
    """One bare word that is a verb as well: to run, to drive."""
    spans_held = named.groups[0].spans
    bare = len(named.groups) == 1 == len(spans_held) and not named.groups[0].determiner
    return bare and any(word.cls in ("doing", "work") and word.form == "base" for word in words_of(spans_held[0]))


def _measure(parts: _Parts) -> Clause:
    subject, figure, word = parts.things("s"), parts.only("n"), parts.one("w")
    unit = find(figure.unit) if figure.unit else None
    _verb_head(subject, "")
    if subject is not None:
        head = subject.groups[-1].head
        named = head_word(head)
        if any(w.cls in ("doing", "link") for w in words_of(head)) and (named is None or named.kind != "quantity"):
            raise Doubt(f"a figure behind {head.text}, which may be a doing", head)
        if len(subject.groups) > 1:
            raise Doubt("one figure for two things", figure)
        share = figure.unit == "%" and named is not None and named.cls == "matter"
        if word is None and not share and (named is None or named.kind != "quantity"):
            raise Doubt("a figure of a thing without a quantity of its own", figure)
    if subject is None and not word and (unit is None or unit.dimension not in _READ_OFF):
        raise Doubt("a figure of nothing", figure)
    if word is not None and word.base not in _MEASURED:
        raise Doubt("a figure in front of a state", word)
    if figure.unit == "times" or figure.value[:1] in "-−+":
        raise Doubt("a figure with a sign", figure)
    where = parts.places("p")
    if (side := parts.one("l")) is not None:
        if word is None or " " in side.base:
            raise Doubt("a side of nothing", side)
        where = (Place("on" if side.base in ("left", "right") else "at", phrase=side.base), *where)
    return Measure(subject, figure, word.base if word else "", parts.places("f"), where)


_AMOUNTS = frozenset("play slack wear runout backlash travel stroke clearance gap moisture movement".split())
_READ_OFF = frozenset("voltage current resistance pressure temperature rotation frequency flow".split())
_MEASURED = frozenset("low high deep long wide thick short loose over under late early".split())


def _counts_as_present(named: Things, at: tuple[Place, ...]) -> bool:
    """Foreign matter, a fault, something broken, or a fluid where it does not belong."""
    for group in named.groups:
        word = head_word(group.head)
        if word is None:
            return False
        matter = word.kind == "fault" or any(found.cls == "matter" for found in words_of(group.head))
        spilt = word.kind == "mass" and bool(at) and at[0].things is not None and at[0].word in _SPILT
        if not (matter or spilt or sense_in_front(group) == "bad"):
            return False
    return True


def _no_verb_inside(named: Things) -> None:
    """ "engine burns oil": a word in its third person in front of the head is the verb, not a thing."""
    for group in named.groups:
        for i, span in enumerate(group.spans[:-1]):
            found = look(span.base)
            third = any(word.cls in ("doing", "link", "work") and word.form == "third" for word in found)
            if third and not any(word.cls in (("state",) if i else ("state", "thing", "quality")) for word in found):
                raise Doubt(f"{span.text}: thing or doing", span)


def _present(parts: _Parts) -> Clause:
    named = parts.named("s")
    _no_verb_inside(named)
    at = parts.places("p")
    _verb_head(named, at[0].word if at and is_plural(named) else "")
    group = named.groups[-1]
    if len(group.spans) > 1 and not group.determiner and not group.count and _goes(group.head):
        raise Doubt(f"{group.head.text}: thing or doing", group.head)
    first = named.groups[0].spans[0]
    if len(named.groups[0].spans) > 1 and any(word.form == "gerund" for word in words_of(first)):
        raise Doubt(f"{first.text}: doing or quality", first)
    if not _counts_as_present(named, at):
        if at and (at[0].word in _SOMEWHERE if at[0].things is not None else at[0].word in _SOME_FIGURE):
            return State(named, (), (), at)
        raise Doubt("a thing of which nothing is said", named.groups[-1].head)
    return Present(named, at)


def _absent(parts: _Parts) -> Clause:
    named = parts.named("s")
    _no_price(named)
    _no_past(named)
    return Absent(Things(named.groups, "or"), parts.places("p"))


def _no_price(named: Things) -> None:
    if any(group.head.base in _PRICE and len(group.spans) == 1 for group in named.groups):
        raise Doubt("no charge: a price or a state of charge", named.groups[-1].head)


def _has(parts: _Parts) -> Clause:
    subject, what, figure = parts.things("s"), parts.named("o"), parts.one("n")
    _verb_head(subject, "")
    _no_price(what)
    if figure is not None:
        _amount(what, figure)
    negated = parts.has("no") and figure is None
    if negated:
        what = Things(tuple(_negated(group) for group in what.groups), what.link)
    return Has(subject, what, figure, parts.places("f"), parts.places("p"))


def _negated(group: Group) -> Group:
    return replace(group, negated=True)


def _amount(what: Things, figure: Span) -> None:
    """A figure of matter or of a measure of its own: 2 in of water, 8 mm play."""
    word = head_word(what.groups[-1].head)
    if word is None or not (word.cls == "matter" or word.base in _AMOUNTS) or figure.unit == "times":
        raise Doubt("a figure in front of a thing", figure)


@cache
def _endings() -> frozenset[str]:
    return frozenset(row[0] for row in rows("en", "lexicon") if row[1] == "ending")


_ORDERS = frozenset({"do not", "don't", "don’t", "dont", "do n't"})


def _event(parts: _Parts) -> Clause:
    subject, verb = _sided(parts.things("s"), parts.one("l")), parts.only("v")
    doing = next((word for word in words_of(verb) if word.cls == "doing"), None)
    base = doing.base if doing is not None else verb.base
    modal, negated = _modal(parts, verb)
    told = parts.one("m")
    if told is not None and told.text.casefold() in _ORDERS and (subject is None or not is_plural(subject)):
        raise Doubt("an order to whoever reads it, or what did not happen", told)  # "disc cracked, do not drive"
    noun = any(word.cls in ("thing", "matter") for word in words_of(verb))
    if subject is None and noun and not parts.spans("m"):
        raise Doubt(f"{verb.text}: thing or doing", verb)
    _agrees(subject, doing.form if doing else "past", verb, modal)
    states = _hows(parts.spans("st")) if parts.spans("st") else ()
    if parts.one("n") is not None and not states and not parts.spans("r"):
        raise Doubt(f"a figure behind {verb.text}", verb)
    return Event(
        subject, base, negated, modal, tuple(span.base for span in parts.spans("r")), states, parts.one("n"),
        parts.things("o"), parts.places("f"), parts.places("p"), doing is not None and doing.form == "past",
    )  # fmt: skip


def _modal(parts: _Parts, verb: Span) -> tuple[str, bool]:
    modal = parts.one("m")
    if modal is None:
        return "", False
    if modal.cls == "not":
        raise Doubt("a not without its verb", modal)
    return modal.base, False


def _agrees(subject: Things | None, form: str, verb: Span, modal: str) -> None:
    if modal or form not in ("base", "third") or subject is None:
        return
    if (form == "base") != is_plural(subject):
        raise Doubt(f"{verb.text} does not agree with its thing", verb)


def _link(parts: _Parts) -> Clause:
    subject, verb = parts.things("s"), parts.only("v")
    doing = next(word for word in words_of(verb) if word.cls == "link")
    modal, _ = _modal(parts, verb)
    if modal:
        raise Doubt("a modal in front of a linking verb", verb)
    _agrees(subject, doing.form, verb, modal)
    states = _hows(parts.spans("st")) if parts.spans("st") else ()
    at = parts.places("f"), parts.places("p")
    if not states and parts.one("n") is None and (at[1][0].word not in _LIKE or at[1][0].things is None):
        raise Doubt(f"nothing says how it {verb.text}", verb)
    return Link(subject, doing.base, states, parts.one("n"), *at, doing.form == "past")


_BUILD: dict[str, Callable[[_Parts], Clause]] = {
    "State": _state, "Measure": _measure, "Present": _present, "Absent": _absent, "Has": _has, "Event": _event,
    "Link": _link,
}  # fmt: skip
