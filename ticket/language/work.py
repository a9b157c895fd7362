"""A line of work: every piece begins with what was done. Bare lists, results and nouns that may be work are no acts."""

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cache, lru_cache

from ticket.language.clauses import MAX_SPANS
from ticket.language.groups import Doubt, is_plural, places, shape, things
from ticket.language.letters import known_sets, letters, may_be, words_of
from ticket.language.lexicon import look, works
from ticket.language.phrasebook import Phrases, Taught
from ticket.language.records import Act, Clause, Group, Place, Span, Things
from ticket.language.spans import spans
from ticket.language.verb_or_noun import is_work, may_be_name, work_begins
from ticket.readings.units import find

WORK = frozenset({"did", "remedy"})
_ACT = (
    "(?P<w>(?:{w}|{U})(?:{J}{w})*)(?P<a>{F}{P}?(?={QTM}))?(?:(?P<o>THINGS)|(?P<i>{i}))?(?P<n>{F})?"
    "(?:(?P<q>{P})(?P<u>THINGS|{F}))?(?P<p>(?:{P}(?:THINGS|{F})|{C}|{E})*)(?P<x>{F})?"
)
_FIGURE_TO = frozenset("set inflate torque adjust reset charge".split())
_LASTS = frozenset(
    {"evacuate, pull vacuum on", "evacuate", "soak", "charge", "recharge", "run", "dry", "test", "bleed", "flush"}
)
_AMOUNT = frozenset("add recover drain supply apply dump empty".split())
_USING = frozenset({"with", "using"})
_TIMES = frozenset("hour minute second day week month year morning evening night afternoon half".split())
_RESULTS = frozenset({"find", "locate", "discover"})
_SHARED = frozenset("repair lube oil grease adjust readjust align realign aim seal reseal secure paint machine".split())
"""Work that a list of things shares as easily as a replacement."""
_TAILS = {
    ("off", "and", "on"): "r&i",
    ("off", "and", "back", "on"): "r&i",
    ("out", "and", "in"): "r&i",
    ("out", "and", "back", "in"): "r&i",
    ("back", "on"): "refit",
    ("back", "in"): "refit",
}
"""What was done to a thing, typed behind it, by the work it is."""
_SWITCHED = frozenset(
    "light lamp key ignition switch radio fan blower heater pump compressor motor engine conditioning battery power "
    "module computer screen display system charger inverter unit camera beacon wiper seat".split()
)
"""What is switched off and on as often as it is taken off and put back; common practice, no source."""
_TAKES = frozenset({"take", "clean", "check", "look", "measure", "clear"})


@cache
def _compiled(sets: int) -> "re.Pattern[str]":
    return re.compile(shape(_ACT) + r"\Z")


@lru_cache(maxsize=4096)
def _match(codes: str) -> dict[str, tuple[int, int]] | None:
    letters((), "did", {})
    found = _compiled(known_sets()).match(codes)
    if found is None:
        return None
    return {name: found.span(name) for name in _compiled(known_sets()).groupindex if found.start(name) >= 0}


def work_line(
    pieces: list[tuple[Span, ...]], joins: list[str], where: str, taught: dict[str, Taught], book: Phrases
) -> tuple[tuple[Clause, ...], tuple[str, ...]]:
    """The acts of a line and what stood between them. Raises :class:`Doubt` where one piece is none."""
    pieces, joins = _parted(*_shared(pieces, joins, where, taught))
    out: list[Clause] = []
    between: list[str] = []
    past = _typed_past(pieces[0][0])
    for i, piece in enumerate(pieces):
        join = joins[i - 1] if i else ""
        booked = book.match(piece, where, "en")
        acts = [booked] if booked is not None else _piece(piece, where, taught, out, past=past)
        for j, act in enumerate(acts):
            if out and j == 0 and act is out[-1]:
                continue
            if isinstance(act, Act) and out and j == 0 and act.work == "" and isinstance(out[-1], Act):
                _spread(out[-1], act, join, piece[0])
                out[-1] = _added(out[-1], act, piece)
                continue
            if out:
                between.append("and" if j else join)
            out.append(act)
    return tuple(out), tuple(between)


def _turned(piece: tuple[Span, ...], where: str) -> tuple[Span, ...]:
    """ "lh rear spring off and on", "toe set": what was done to a thing typed behind it, as if in front of it."""
    tail: tuple[str, ...] = next(
        (one for one in _TAILS if tuple(span.base for span in piece[-len(one) :]) == one and len(piece) > len(one)), ()
    )
    if tail:
        group = piece[: -len(tail)]
        switched = group[-1].base.rpartition(" ")[2].removesuffix("s") in _SWITCHED
        if (switched and tail[0] != "back") or may_be(letters(group, where, {})[0], "w"):
            return piece
        work = spans(_TAILS[tail], where)[0]
        return (replace(work, start=piece[-len(tail)].start, end=piece[-1].end), *group)
    at = _done_to_it(piece) if where == "did" else 0
    return (*piece[at:], *piece[:at]) if at else piece


def _done_to_it(piece: tuple[Span, ...]) -> int:
    """Where the work begins that stands in the past behind its thing: "slide pin freed and greased"; 0 for none."""
    at = len(piece)
    while at and (_in_the_past(piece[at - 1]) or (piece[at - 1].base == "and" and at < len(piece))):
        at -= 1
    group = piece[:at]
    if at == len(piece) > 1 and piece[-1].base == "set" and _is_quantity(piece[-2]):
        at, group = len(piece) - 1, piece[:-1]  # "toe set"
    if not group or at == len(piece) or group[-1].cls != "thing" or piece[at].base == "and":
        return 0
    try:
        things(group, letters(group, "did", {}))
    except Doubt:
        return 0
    return at


def _in_the_past(span: Span) -> bool:
    """Work typed in the past, which names no thing: on a line of labour "plug cleaned" is what was done."""
    past = any(word.cls == "work" and word.form == "past" for word in words_of(span))
    other = any(word.cls in ("thing", "matter") for word in words_of(span))
    return past and not other and span.text.lower().endswith("ed")


def _names(span: Span) -> bool:
    """Work typed as it may be a thing too: sleeve, plug, clip."""
    held = words_of(span)
    return span.text.lower() == span.base and any(word.cls in ("thing", "matter") for word in held)


def _names_part(span: Span) -> bool:
    held = words_of(span)
    part = any(word.cls == "thing" and word.kind == "part" for word in held)
    return part and any(word.cls == "work" and word.form == "base" for word in held)


def _is_quantity(span: Span) -> bool:
    return any(word.cls == "thing" and word.kind == "quantity" for word in words_of(span))


def _shared(
    pieces: list[tuple[Span, ...]], joins: list[str], where: str, taught: dict[str, Taught]
) -> tuple[list[tuple[Span, ...]], list[str]]:
    """Bare work in a list that ends in *and* shares its thing: "inspect, adjust and lube hinges".

    Without the *and* nobody knows what was cleaned: "cleaned, replaced pump".
    """
    out, between = [_turned(piece, where) for piece in pieces], list(joins)
    for i in range(len(pieces) - 2, -1, -1):
        listed = between[i] == "," and _ends_a_list(out[i + 1], where, taught) and _bare_work(out[i], where, taught)
        if listed:
            link = replace(out[i][-1], cls="join", base="and", also=())
            out[i : i + 2] = [(*out[i], link, *out[i + 1])]
            del between[i]
    return out, between


def _parted(pieces: list[tuple[Span, ...]], joins: list[str]) -> tuple[list[tuple[Span, ...]], list[str]]:
    """ "fill and bleed" behind other work as two pieces: both may be told without their thing."""
    out, between = pieces[:1], []
    for piece, join in zip(pieces[1:], joins, strict=False):
        alone = len(piece) == 3 and piece[1].base == "and" and _alone(piece[0]) and _alone(piece[2])
        out += [piece[:1], piece[2:]] if alone else [piece]
        between += [join, "and"] if alone else [join]
    return out, between


def _alone(span: Span) -> bool:
    named = next((works()[word.base] for word in words_of(span) if word.cls == "work" and word.base in works()), None)
    return named is not None and named.kind == "fluid" and bool(named.alone)


def _bare_work(piece: tuple[Span, ...], where: str, taught: dict[str, Taught]) -> bool:
    """Nothing but work that cannot stand alone: its thing must follow."""
    codes = letters(piece, where, taught)
    for span, code in zip(piece, codes, strict=True):
        if span.cls == "join":
            continue
        named = next((word for word in words_of(span) if word.cls == "work"), None)
        if named is None or not is_work(span, code) or works()[named.base].alone:
            return False
    return bool(piece)


def _ends_a_list(piece: tuple[Span, ...], where: str, taught: dict[str, Taught]) -> bool:
    """Work, *and*, work, and what it was done to."""
    codes = letters(piece, where, taught)
    work = [i for i in (0, 2) if i < len(piece) and may_be(codes[i], "w")]
    return len(piece) > 3 and work == [0, 2] and piece[1].base == "and" and is_work(piece[0], codes[0])


def _typed_past(first: Span) -> bool:
    """Work typed in the past: base forms behind it are no work ("replaced pump, cap")."""
    typed = any(word.cls == "work" and word.form == "past" for word in words_of(first))
    return typed and (first.text.lower() == first.base or first.text.lower().endswith("d"))


def _spread(before: Act, act: Act, join: str, at: Span) -> None:
    """A comma ends what can be done to few things only: of "splice wire, bulb, battery" the wire alone was spliced."""
    row = works().get(before.work)
    if act.new is None and join == "," and row is not None and row.kind == "mend" and before.work not in _SHARED:
        raise Doubt(f"{before.work}: whether that was done to {at.text} too", at)


def _added(before: Act, act: Act, piece: tuple[Span, ...]) -> Act:
    """A piece without work of its own joins the act before: a further thing, or a new part put in by it."""
    if act.new is not None:
        return replace(before, new=act.new if before.new is None else _both(before.new, act.new))
    if before.things is None or act.things is None or before.places or before.using or before.figure or before.new:
        raise Doubt("a thing without work of its own", piece[0])
    return replace(before, things=_both(before.things, act.things))


def _both(one: Things, other: Things) -> Things:
    return Things((*one.groups, *other.groups))


def _piece(
    piece: tuple[Span, ...], where: str, taught: dict[str, Taught], before: list[Clause], *, past: bool
) -> list[Clause]:
    """The acts of one piece, cut at *and* where work follows it."""
    if len(piece) > MAX_SPANS:
        raise Doubt("too long to be one piece of work", piece[0])
    codes = letters(piece, where, taught)
    cuts = [0]
    for i in range(1, len(piece) - 1):
        if work_begins(piece, codes, cuts[-1], i, past=past):
            cuts.append(i + 1)
    if where == "remedy" and may_be_name(piece):
        raise Doubt(f"{piece[0].text}: the beginning of a name, or work", piece[0])
    if len(cuts) == 1:
        return [_act(piece, codes, before, past=past)]
    parts = [(a, (b - 1) if b < len(piece) else b) for a, b in zip(cuts, [*cuts[1:], len(piece)], strict=True)]
    first, *others = parts
    first_act = _act(piece[: first[1]], codes[: first[1]], before, past=past)
    return [first_act, *(_opened(piece[a:b], codes[a:b]) for a, b in others)]


def _act(piece: tuple[Span, ...], codes: str, before: list[Clause], *, past: bool) -> Act:
    first = piece[0]
    if len(piece) > 1 and _names(first) and piece[1].cls in ("unknown", "state") and piece[1].text.endswith("ed"):
        raise Doubt(f"{first.text}: thing or work", first)  # "sleeve pushed home"
    if len(piece) > 1 and piece[1].cls == "side" and _names_part(first):
        raise Doubt(f"{first.text}: thing or work", first)  # "gasket left door"
    if first.base == "new" and before:
        return Act("", new=things(piece, codes))
    at = _match(codes)
    named = _only_things(piece, codes)
    if named is not None and (at is None or (before and not is_work(first, codes[0]) and not _same_past(first))):
        return _further(piece, named, before, past=past)
    if at is None:
        unlisted = next((span for span in piece if span.cls == "unknown"), None)
        raise Doubt("a word nobody listed" if unlisted else "no work at its beginning", unlisted or first)
    return _built(piece, codes, at, before=before)


def _opened(piece: tuple[Span, ...], codes: str) -> Act:
    """An act behind a joining word that opens it; no bare thing any more."""
    at = _match(codes)
    if at is None:
        raise Doubt("no work at its beginning", piece[0])
    return _built(piece, codes, at, before=[Act("")])


def _same_past(span: Span) -> bool:
    """Work whose past is its base form: set, reset, cut."""
    found = next((word for word in words_of(span) if word.cls == "work"), None)
    return found is not None and works()[found.base].past.split(" ")[0] == span.base


def _only_things(piece: tuple[Span, ...], codes: str) -> Things | None:
    try:
        return things(piece, codes)
    except Doubt:
        return None


def _further(piece: tuple[Span, ...], named: Things, before: list[Clause], *, past: bool) -> Act:
    """A bare group: a further thing of the act before, unless a word of it may be work."""
    first = piece[0]
    if not before or not isinstance(before[-1], Act):
        raise Doubt("things without work", first)
    for group in named.groups:
        _no_set(group)
        if group.head.base == "set" and len(group.spans) > 1:
            raise Doubt("set: thing or work", group.head)  # "greased points, chain set"
        if group.head.base.removesuffix("s") in _TIMES:
            raise Doubt("a time is not worked on", group.head)
        if any(word.kind in ("fault", "trouble") for span in group.spans for word in words_of(span)):
            raise Doubt("what was noticed is not worked on", first)  # "mounted tires, some wobble felt"
        may_be_work = any(word.cls == "work" for word in words_of(group.spans[0]))
        if may_be_work and not past and not (group.side or group.determiner or group.count):
            raise Doubt(f"{group.spans[0].text}: thing or work", group.spans[0])
    return Act("", named)


def _no_set(group: Group) -> None:
    """ "chain tension set": what is set of a quantity is no set of things."""
    before = look(group.spans[-2].base) if len(group.spans) > 1 and group.head is group.spans[-1] else ()
    if any(word.kind == "quantity" for word in before) and any(word.cls == "work" for word in words_of(group.head)):
        raise Doubt(f"{group.head.text}: thing or work", group.head)


def _built(piece: tuple[Span, ...], codes: str, at: dict[str, tuple[int, int]], *, before: list[Clause]) -> Act:
    def part(name: str) -> tuple[tuple[Span, ...], str]:
        start, end = at.get(name, (0, 0))
        return piece[start:end], codes[start:end]

    done = [span for span in part("w")[0] if span.cls != "join"]
    names = [_name(span) for span in done]
    if len(names) > 1 and names[-1] in _RESULTS:
        raise Doubt("what was found is not what was worked on", done[-1])  # "tested and found leak"
    rows = [works().get(name) for name in names]
    kind = rows[0].kind if rows[0] is not None else ""
    held = things(*part("o")) if part("o")[0] else None
    if part("i")[0]:
        return _again(names, part("i")[0][0], before, bare=len(part("w")[0]) + 1 == len(piece))
    _object(held, done, kind, before=bool(before), amount=kind == "fluid" and bool(part("n")[0]))
    figure, word, using, where = _tail(part, names[-1], kind)
    if part("a")[0]:
        if figure is not None or kind != "fluid" or held is None:
            raise Doubt("a figure in front of a thing", part("a")[0][0])
        figure, word = part("a")[0][0], "of"
    if held is None and kind == "check" and where and where[0].word == "for":
        return Act(names[0], None, tuple(names[1:]), None, using, None, "", where)
    if held is None and kind == "fluid" and using is not None and done[-1].base not in ("drain",):
        return Act(names[0], None, tuple(names[1:]), None, using, figure, word, where)
    if held is None and not _stands_alone(names, rows, figure, word):
        raise Doubt("work without a thing", done[-1])
    return Act(names[0], held, tuple(names[1:]), None, using, figure, word, where)


def _again(names: list[str], it: Span, before: list[Clause], *, bare: bool) -> Act:
    """Work on *it* or *them*: certain where the act before has one group of things and nothing else follows."""
    last = before[-1] if before else None
    if (
        not bare
        or not isinstance(last, Act)
        or last.things is None
        or len(last.things.groups) != 1
        or last.new
        or last.using
    ):
        raise Doubt(f"what {it.text} stands for", it)
    if (it.base == "them") != is_plural(last.things):
        raise Doubt(f"what {it.text} stands for", it)
    return Act(names[0], None, tuple(names[1:]), again=it.base)


def _name(span: Span) -> str:
    """The work a span names: as listed, or an unlisted word in the past as typed."""
    found = next((word for word in words_of(span) if word.cls == "work"), None)
    if found is not None:
        return found.base
    if span.cls == "unknown" and span.base.endswith("ed") and " " not in span.base and "doubtful" not in span.also:
        return span.base
    raise Doubt("a word nobody listed", span)


def _object(held: Things | None, done: list[Span], kind: str, *, before: bool, amount: bool) -> None:
    """What work may be done to: no time, and nothing new is taken off or cleaned."""
    if held is None:
        span = done[-1]
        found = next((word for word in words_of(span) if word.cls == "work"), None)
        noun = any(word.cls in ("thing", "matter") for word in words_of(span))
        told = works().get(found.base) if found is not None else None
        if told is not None and told.alone and len(done) == 1 and (not before or kind == "fluid"):
            return  # "r&r pump, fill, bleed": alone between commas it is no thing
        if found is not None and found.form == "base" and (noun or len(done) == 1) and not amount:
            raise Doubt(f"{span.text}: thing or work", span)
        if before and span.text.lower() != span.base and not span.text.lower().endswith("d"):
            raise Doubt("a short form that may be one thing or another", span)
        return
    for group in held.groups:
        _no_set(group)
        if group.head.base.removesuffix("s") in _TIMES:
            raise Doubt("a time is not worked on", group.head)
        if kind in _TAKES and any(span.base == "new" for span in group.spans[:-1]):
            raise Doubt("something new taken off or cleaned", group.spans[0])


def _tail(part: "object", name: str, kind: str) -> tuple[Span | None, str, Things | None, tuple[Place, ...]]:
    figure, word = _figure_behind(part, name, kind)
    using = None
    where: tuple[Place, ...] = ()
    joint = part("q")[0]  # type: ignore[operator]
    rest_spans, rest_codes = part("p")  # type: ignore[operator]
    if joint:
        held, codes = part("u")  # type: ignore[operator]
        if held[0].cls == "figure":
            if joint[0].base not in ("to", "with", "for", "at") or figure is not None:
                raise Doubt("a figure that belongs to nothing", held[0])
            figure, word = held[0], joint[0].base
        elif joint[0].base in _USING and rest_spans and _may_be_state(rest_spans[0]):
            where = (Place(joint[0].base, things(held, codes), phrase=rest_spans[0].base),)  # "with the engine warm"
            rest_spans, rest_codes = rest_spans[1:], rest_codes[1:]
        elif joint[0].base in _USING:
            using = things(held, codes)
        else:
            where = (Place(joint[0].base, things(held, codes)),)
    return figure, word, using, (*where, *(places(rest_spans, rest_codes) if rest_spans else ()))


def _figure_behind(part: "object", name: str, kind: str) -> tuple[Span | None, str]:
    """A figure behind what was done, and the word it is told with."""
    figure_spans = part("n")[0] or part("x")[0]  # type: ignore[operator]
    figure = figure_spans[0] if figure_spans else None
    word = ""
    if figure is not None and (unit := find(figure.unit)) is not None and unit.dimension == "time":
        if name not in _LASTS:
            raise Doubt("hours behind what was done", figure)
        word = "for"
    elif figure is not None:
        if figure.unit == "times":
            word = "times"
        elif (name in _FIGURE_TO and kind != "fluid") or name == "inflate":
            word = "to"
        elif kind == "fluid" and name not in _AMOUNT:
            word = "with"
        elif kind != "fluid":
            raise Doubt("a figure behind what was done", figure)
    return figure, word


def _may_be_state(span: Span) -> bool:
    return any(word.cls == "state" for word in words_of(span))


def _stands_alone(names: list[str], rows: "Sequence[object]", figure: Span | None, word: str) -> bool:
    """Whether work may be told without its thing: it has a telling of its own, or an amount."""
    last = works().get(names[-1])
    if figure is not None and word in ("with", "") and last is not None and last.kind == "fluid":
        return True
    return len(names) == 1 and last is not None and bool(last.alone)
