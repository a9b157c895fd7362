"""Readings: a full sentence where the thing is certain, else one line with its name as typed, limits and verdict."""

from collections.abc import Sequence
from itertools import groupby

from ticket.job.entry import Entry
from ticket.job.kinds import Found, Proof
from ticket.job.regex import Regex
from ticket.job.text import one_line
from ticket.job.values import Limits
from ticket.language.figures import size
from ticket.language.quantities import thin_or_thick
from ticket.readings.inexact import parts
from ticket.readings.limit_bounds import as_limits
from ticket.readings.span import is_nothing
from ticket.readings.units import find
from ticket.story.context import sources, told
from ticket.story.readings import SAID, Reading, as_left, readings
from ticket.story.sections.figures import groups
from ticket.story.sections.naming import Named
from ticket.story.sections.older import as_today
from ticket.story.sections.talk import Talk, joined, stop
from ticket.story.sections.writer import Writer
from ticket.story.sentence import LISTED, NOTE, Lit, Phrase, capital, text_of

_UNNAMED = Named("", shapes=("plain",))
_BRACKET = Regex(
    r"\s*(?:\(([^()]*)\)"
    r"|, *([0-9][0-9 ./-]*[^\W\d_]{0,5}%? ?(?:min|max)\.?|(?:min|max)\.? ?[0-9][0-9 ./-]*[^\W\d_]{0,5}%?)"
    r"(?=\s*(?:[,;]|\Z)))"
)
"""Limits in a bracket, or alone between commas: "680 min"."""
_LETTERS = Regex(r"[a-z]+")
_LIMIT = Regex(r"(?i)\b(?:min|max|to|spec|spread|limit)\b|[<>≤≥±]|\+/?-|[0-9]\s*[-–]\s*[0-9]|[0-9]")


def taken(talk: Talk, entry: Entry) -> tuple[Reading, ...]:
    """The readings of an entry."""
    return readings(talk.job, entry)


def side_by_side(held: Sequence[Reading]) -> list[tuple[Reading, ...]]:
    """Readings by their groups on the entry."""
    return [tuple(rows) for _, rows in groupby(held, key=lambda reading: reading.group)]


def level(reading: Reading) -> bool:
    """A reading below or above a mark, told without a sign."""
    return reading.quantity == "level" and reading.value is not None


def value(talk: Talk, reading: Reading) -> Phrase:
    """The figure with its unit; a level by its distance from the mark."""
    if level(reading):
        v = reading.value or 0
        if v == 0:
            return talk.say("level.at")
        shown = talk.measure(reading.ref, "run", size(reading.number), reading.unit, "size")
        return talk.say("level.below" if v < 0 else "level.above", v=shown)
    if reading.word:
        return talk.gauge_word(reading.ref, reading.number)
    said = parts(reading.number)
    shown = talk.measure(reading.ref, "run", said.to or said.number, reading.unit)
    if said.to:
        low = talk.number(reading.ref, "run", said.number, grouping=groups(reading.unit))
        return talk.say("value.range", low=low, high=shown)
    return talk.say(SAID[said.than], v=shown) if said.than else shown


def limit(talk: Talk, reading: Reading) -> Phrase:
    """ "at least 22.0 mm is needed"; empty where no limits were typed."""
    limits = reading.limits
    if limits is None:
        return ()
    bracket = as_limits(limits, reading.unit)
    unit = reading.limit_unit
    if reading.quantity == "level":
        return _level_limit(talk, reading)
    op = "tolerance" if limits.nominal else "number"
    low, high = (
        talk.measure(reading.entry, "run", text, unit, op) if text else ()
        for text in (bracket.low_text, bracket.high_text)
    )
    if low and high:
        glued = find(unit)
        bare = talk.number(reading.entry, "run", bracket.low_text, op, grouping=groups(unit))
        return talk.say("limit.range", low=low if glued is not None and glued.glued else bare, high=high)
    if low or high:
        return talk.say("limit.min", low=low) if low else talk.say("limit.max", high=high)
    if limits.spread:
        return talk.say("limit.spread", spread=spread(talk, reading.entry, limits, reading.unit))
    return ()


def spread(talk: Talk, entry: Entry, limits: Limits, unit: str) -> Phrase:
    """The largest allowed difference with its unit."""
    return talk.measure(entry, "run", limits.spread, limits.spread_unit or unit)


def _bracket(talk: Talk, reading: Reading) -> Phrase:
    """The limits of a listed line, and how far its readings may lie apart where both were typed."""
    told_limit, limits = limit(talk, reading), reading.limits
    if limits is None or not limits.spread or not (limits.low or limits.high or limits.nominal):
        return told_limit
    apart = talk.say("line.spread", spread=spread(talk, reading.entry, limits, reading.unit))
    return (*told_limit, Lit(", "), *apart)


def _level_limit(talk: Talk, reading: Reading) -> Phrase:
    bracket = as_limits(reading.limits, reading.unit)

    def one(text: str) -> Phrase:
        shown = talk.measure(reading.entry, "run", size(text), reading.limit_unit, "size")
        sign = bracket.low if text == bracket.low_text else bracket.high
        return talk.say("level.at" if sign == 0 else "level.below" if (sign or 0) < 0 else "level.above", v=shown)

    low, high = (one(text) if text else () for text in (bracket.low_text, bracket.high_text))
    if low and high:
        kind = "limit.level.up" if bracket.high == 0 and (bracket.low or 0) < 0 else "limit.level"
        return talk.say(kind, low=low, high=high)
    return talk.say("limit.level.min", low=low) if low else talk.say("limit.level.max", high=high) if high else ()


def place(talk: Talk, reading: Reading, cls: str = "", at: int = 1) -> Phrase:
    """The position of a value in a run; its number where none was typed."""
    if not reading.label and not reading.place:
        return talk.say("run.place", place=(told(reading.entry, "run", str(at), "place"),))
    words = talk.leaves.place(reading, cls)
    if words is None:
        return (told(reading.entry, "run", reading.label, "typed"),)
    return (told(reading.entry, "run", words, "place" if reading.counted else "told"),)


def verdict(talk: Talk, reading: Reading, named: Named | None = None) -> Phrase:
    """ "too thin"; nothing where there is no verdict to tell."""
    word = reading.verdict.word
    if word == "undecided":
        return talk.say("verdict.undecided") if _is_figure(reading) else ()
    if word not in ("low", "high", "in"):
        return ()
    if reading.apart:
        return talk.say(f"verdict.apart.{word}")
    if is_nothing(reading.number):
        return talk.say(talk.first(f"verdict.amount.{word}", f"verdict.{word}"))
    amount = " of " in reading.what  # "rotor 0.2 mm of runout": no thickness, whatever has it
    shapes = named.shapes if named is not None else () if amount else (reading.quantity, *_implied(reading))
    return talk.say(talk.first(*(f"verdict.{shape}.{word}" for shape in shapes), f"verdict.{word}"))


def _implied(reading: Reading) -> tuple[str, ...]:
    """What a thing is measured for that has no certain name here: a lining is too thin, and never too low."""
    return (thin_or_thick(reading.what, reading.unit),) if reading.thing is None else ()


def _is_figure(reading: Reading) -> bool:
    """``OL`` lies close to no limit: whatever the instrument showed, it was no figure."""
    return any(sign.isdecimal() for sign in reading.number)


# --- full sentences ------------------------------------------------------------------------------------------------


def name_phrase(reading: Reading, named: Named) -> Phrase:
    """The name of what was measured."""
    return (told(reading.ref, "what", named.text, "place" if reading.counted else "told"),)


def noun(talk: Talk, reading: Reading, named: Named) -> Phrase:
    """The thing with its quantity: "the thickness of the left front disc"."""
    name = name_phrase(reading, named)
    kind = talk.first(*(f"noun.{shape}" for shape in named.shapes), "")
    return talk.say(kind, name=name, tail=_tail(reading, named)) if kind else name


def under_conditions(talk: Talk, reading: Reading, named: Named, said: Phrase) -> Phrase:
    """A phrase with the conditions it holds under."""
    return talk.say("reading.held", held=held_in(reading, named), said=said) if named.held else said


def held_in(reading: Reading, named: Named) -> Phrase:
    """The conditions, or nothing."""
    return (told(reading.ref, "what", named.held),) if named.held else ()


def _tail(reading: Reading, named: Named) -> Phrase:
    return (told(reading.ref, "what", named.tail),) if named.tail else ()


def plain(talk: Talk, reading: Reading, named: Named, kind: str = "reading") -> tuple[Phrase, ...]:
    """What was read, in all its variants, without verdict and limit."""
    if named.held and kind.startswith("proof"):
        kind = "reading"  # conditions stand in front, where "this time" would
    shapes = ("level",) if level(reading) else named.shapes
    name = talk.first(*(f"{kind}.{shape}" for shape in shapes), f"{kind}.plain")
    if reading.word:
        name = f"{kind}.word"
    slots = {"thing": name_phrase(reading, named), "v": value(talk, reading), "tail": _tail(reading, named)}
    heads = talk.variants(name, 2 if named.many else 1, **slots)
    return tuple(under_conditions(talk, reading, named, head) for head in heads)


def judged(talk: Talk, reading: Reading, named: Named, said: Phrase, kind: str = "verdict") -> Phrase:
    """What was read, with its verdict and its limit."""
    word = reading.verdict.word
    if word in ("low", "high"):
        said = talk.say(f"{kind}.which", said=said, verdict=verdict(talk, reading, named))
    elif word == "undecided" and _is_figure(reading):
        said = talk.say("verdict.close", said=said)
    elif word == "in":
        said = talk.say("verdict.within", said=said)
    behind = limit(talk, reading)
    return talk.say("reading.limit", said=said, limit=behind) if behind else said


def sentence(talk: Talk, reading: Reading, named: Named, kind: str = "reading") -> tuple[Phrase, ...]:
    """One reading with its verdict and its limit, in all its variants."""
    return tuple(judged(talk, reading, named, said) for said in plain(talk, reading, named, kind))


def run(talk: Talk, held: Sequence[Reading], named: Named, *, again: bool = False) -> tuple[Phrase, ...]:
    """Several readings side by side: each by its position, with its verdict; their limit once."""
    first = held[0]
    items = [_row(talk, reading, named, i) for i, reading in enumerate(held, 1)]
    thing = under_name(talk, first, named)
    names = talk.variants("run.again" if again else "run", thing=thing, items=joined(items, "; "))
    if first.verdict.word != "none" and all(reading.good for reading in held):
        names = tuple(talk.say("run.good", said=said) for said in names)
    behind = limit(talk, first)
    return tuple(talk.say("reading.limit", said=said, limit=behind) if behind else said for said in names)


def under_name(talk: Talk, reading: Reading, named: Named) -> Phrase:
    """The noun with its conditions behind."""
    name = noun(talk, reading, named)
    return (*name, Lit(" "), *held_in(reading, named)) if named.held else name


def _row(talk: Talk, reading: Reading, named: Named | None, at: int) -> Phrase:
    where = place(talk, reading, named.cls if named is not None else "", at)
    item = talk.say("run.item", place=where, v=value(talk, reading))
    word = reading.verdict.word
    if word in ("low", "high", "undecided"):
        return talk.say("run.judged", item=item, verdict=verdict(talk, reading, named))
    return item


def unnamed(talk: Talk, reading: Reading) -> Phrase:
    """A reading with its verdict, where the language has no words for what it was taken of: that is told in a note."""
    return judged(talk, reading, _UNNAMED, talk.say("unnamed", no=_numbered(reading.entry), v=value(talk, reading)))


def note_named(talk: Talk, entry: Entry, typed: Writer, writer: Writer) -> None:
    """What was told in the language of the typed lines as notes, under the number its readings are told by."""
    own = talk.as_typed
    for one in typed.sentences:
        named = own.say("noted.reading", no=_numbered(entry), text=one.parts) if one.form == LISTED else one.parts
        writer.add(one.sources, named, form=NOTE)


def _numbered(entry: Entry) -> Phrase:
    return (told(entry, "no", str(entry.no), "item"),)


# --- listed --------------------------------------------------------------------------------------------------------


def tell_listed(talk: Talk, entry: Entry, held: Sequence[Reading], writer: Writer) -> None:
    """The whole line once: its words as typed, short forms spelled out, each bracket of limits told, the verdict.

    A line that is nothing but names and figures has them in columns, as have readings that stand beside a text. In a
    language that has no words for the name the line is a note, and each verdict a sentence of figures alone.
    """
    if not talk.english:
        for reading in held:
            if reading.limits is not None:
                writer.add(sources(entry), stop(unnamed(talk, reading)))
        typed = Writer()
        tell_listed(talk.as_typed, entry, held, typed)
        note_named(talk, entry, typed, writer)
        return
    fact = as_today(entry.fact) if isinstance(entry.fact, Found | Proof) else None
    text = fact.what if fact is not None else ""
    written = all(reading.number.lstrip("+-<>~") in text for reading in held)
    if written and not _plainly_one(talk, entry, held):
        _add(talk, entry, _whole(talk, entry, held), writer)
        return
    for rows in side_by_side(held):
        _add(talk, entry, _cells(talk, entry, rows), writer)
    beside = fact.seen if fact is not None else ""
    if beside.strip():
        writer.add(sources(entry), talk.note(entry, "seen", beside), form=NOTE)


def _add(talk: Talk, entry: Entry, cells: tuple[Phrase, Phrase, Phrase], writer: Writer) -> None:
    name, shown, end = cells
    line = (*name, Lit(": "), *shown) if name and shown else (*name, *shown)
    if end:
        line = (*line, Lit(", " if shown else ": "), *end)
    writer.add(sources(entry), stop(line), form=LISTED, cells=cells)


def _plainly_one(talk: Talk, entry: Entry, held: Sequence[Reading]) -> bool:
    """Whether a line is nothing but one name in front, its figures and its limits in a bracket."""
    fact = as_today(entry.fact) if isinstance(entry.fact, Found | Proof) else None
    if fact is None or len(side_by_side(held)) > 1 or fact.seen or not held[0].name.strip():
        return False
    if not fact.measurements:
        return True
    spans = {(span.start, span.end) for one in fact.measurements for span in one.of}
    if len(spans) != 1 or any(one.when for one in fact.measurements):
        return False
    if fact.what[max(end for _, end in spans) :].lstrip().startswith(","):
        return False  # "cranks fast, 160 A": nobody says what of
    rest = _BRACKET.sub("", fact.what[max(end for _, end in spans) :])
    typed = text_of(talk.typed(entry, "what", rest)) if rest.strip() else ""  # positions are spelled out in both
    words = set(_LETTERS.findall(typed.lower())) - set(_LETTERS.findall(" ".join(_own_words(held)).lower()))
    return not words and (held[0].limits is None or bool(_BRACKET.search(fact.what)))


def _own_words(held: Sequence[Reading]) -> list[str]:
    """The words of a line's units and positions, as typed and spelled out."""
    out: list[str] = []
    for reading in held:
        known = find(reading.unit)
        out += [reading.unit, reading.label, reading.place, *((known.name, known.sign) if known is not None else ())]
    return out


def _cells(talk: Talk, entry: Entry, held: Sequence[Reading]) -> tuple[Phrase, Phrase, Phrase]:
    """Name, value with limits, verdict."""
    first = held[0]
    label = first.label if len(held) == 1 else ""
    name = capital(talk.typed(entry, "what", with_label(label, first.name)))
    behind = _bracket(talk, first)
    if len(held) == 1:
        shown = value(talk, first)
    else:
        shown = joined([_row(talk, reading, None, i) for i, reading in enumerate(held, 1)], "; ")
    shown = (*shown, Lit(" ("), *behind, Lit(")")) if behind else shown
    words = {reading.verdict.word for reading in held}
    end = verdict(talk, first) if len(held) == 1 or words == {"in"} else ()
    return name, shown, end


def with_label(label: str, name: str) -> str:
    """A name behind its position; a word that both hold there, as in "left front" and "front rotor", once."""
    label = label.replace("near side", "nearside").replace("off side", "offside")
    words = name.split()
    if words and words[0].casefold() in label.casefold().split()[-1:]:
        words = words[1:]
    return " ".join((*label.split(), *words))


def _whole(talk: Talk, entry: Entry, held: Sequence[Reading]) -> tuple[Phrase, Phrase, Phrase]:
    """All that was typed, the limits in it told in words, each with the verdict of what it judges."""
    text = one_line(as_today(entry.fact).what) if isinstance(entry.fact, Found | Proof) else ""
    left = as_left(held)
    groups_held = [rows for rows in side_by_side(left) if rows[0].limits is not None]
    brackets = [match for match in _BRACKET.finditer(text) if _LIMIT.search(match[1] or match[2])]
    if len(groups_held) == 1 and len(brackets) <= 1 and (brackets or len(left) == len(held)):
        rows = groups_held[0]
        out = capital(_spelled(talk, entry, text[: brackets[0].start()] if brackets else text))
        if brackets:
            typed = brackets[0][1] or brackets[0][2]
            shown = talk.typed(entry, "what", typed) if _converted(typed, rows[0]) else _bracket(talk, rows[0])
            rest = _rest(talk, entry, text[brackets[0].end() :])
            if rest and _stands_alone(text[: brackets[0].start()], rows) and (judged_words := _end(talk, rows)):
                return (*out, Lit(" ("), *shown, Lit(": "), *judged_words, Lit(")"), *rest), (), ()
            out = (*out, Lit(" ("), *shown, Lit(")"), *rest)
        return out, (), _behind(talk, text, rows, held)
    if len(brackets) != len(groups_held):
        if len(left) < len(held):
            return capital(_spelled(talk, entry, text)), (), _each_judged(talk, left)
        if any(_taken_over(text, rows[0]) for rows in groups_held):
            ends = [_each_bad(talk, rows, limits=True) for rows in groups_held]
            return capital(_spelled(talk, entry, text)), (), joined(ends, "; ")
        # a bracket that judges nothing here: a bare verdict at the end would be taken for that of the figure beside it
        end = _each_bad(talk, held, limits=True) if brackets else _verdicts(talk, held)
        return capital(_spelled(talk, entry, text)), (), end
    out = ()
    last = 0
    for match, rows in zip(brackets, groups_held, strict=True):
        piece = text[last : match.start()]
        out = (*out, *(_rest(talk, entry, piece) if out else _spelled(talk, entry, piece)))
        judged_words = _end(talk, rows)
        tail: Phrase = (Lit(": "), *judged_words) if judged_words else ()
        out = (*out, Lit(" ("), *_bracket(talk, rows[0]), *tail, Lit(")"))
        last = match.end()
    return capital((*out, *_rest(talk, entry, text[last:]))), (), ()


def _stands_alone(text: str, rows: Sequence[Reading]) -> bool:
    """Whether the one figure in front of a bracket stands right before it: then a verdict in it can be of no other."""
    figure = text.rfind(rows[0].number)
    behind = text[figure:].removeprefix(rows[0].number) if figure >= 0 else ","
    return len(rows) == 1 and not any(letter in ",;" or letter.isdecimal() for letter in behind)


def _converted(bracket: str, reading: Reading) -> bool:
    """Whether limits typed in another unit were brought into that of the reading: the line is told as typed."""
    limits = reading.limits
    return limits is not None and any(one and one.lstrip("+-") not in bracket for one in (limits.low, limits.high))


def _taken_over(text: str, reading: Reading) -> bool:
    """Whether the limits of a reading stand in no word of its line: they are those of what it measures again."""
    limits = reading.limits
    return (
        limits is not None
        and not _BRACKET.search(text)
        and not any(
            typed and typed.lstrip("+-") in text for typed in (limits.low, limits.high, limits.nominal, limits.spread)
        )
    )


def _with_limit(talk: Talk, text: str, reading: Reading, end: Phrase) -> Phrase:
    """A verdict with the limit it was judged by, where the line does not say it."""
    if not end or not _taken_over(text, reading):
        return end
    return talk.say("reading.limit", said=end, limit=limit(talk, reading))


def _behind(talk: Talk, text: str, rows: Sequence[Reading], held: Sequence[Reading]) -> Phrase:
    """The verdict of a line with one bracket: with its figure where another thing stands between them, once said."""
    if rows[0].number.startswith("-") and rows[0].number not in text:
        return ()  # "1.2 L low" says it
    figure = text.rfind(rows[-1].number)
    rest = _BRACKET.sub("", text[figure:].removeprefix(rows[-1].number)) if figure >= 0 else ""
    apart = len(rows) < len(held) or any(letter in ",;" for letter in rest) or any(map(str.isdecimal, rest))
    apart = apart or any(letter in ",;" for letter in text[: max(figure, 0)])  # "fan dead, 12.4 V at plug": not the fan
    if apart and len(rows) == 1 and (rows[0].bad or rows[0].good):
        return _is_judged(talk, rows[0], limits=not _BRACKET.search(text))
    if apart and all(row.good for row in rows):
        figures = {text_of(one): one for row in rows if (one := _is_judged(talk, row, limits=False))}
        return joined(list(figures.values()), "; ")
    return _with_limit(talk, text, rows[0], _end(talk, rows))


def _spelled(talk: Talk, entry: Entry, text: str) -> Phrase:
    return talk.typed(entry, "what", text) if text.strip(" ,;.") else ()


def _rest(talk: Talk, entry: Entry, text: str) -> Phrase:
    """What goes on behind a bracket, with the mark it was typed with."""
    mark = text[:1] if text[:1] in ",;." else ""
    words = text.removeprefix(mark).strip()
    return (Lit(f"{mark} "), *talk.typed(entry, "what", words)) if words.strip(" ,;.") else ()


def _end(talk: Talk, rows: Sequence[Reading]) -> Phrase:
    """The verdict of readings under one bracket; none where the bracket cannot be told."""
    if not limit(talk, rows[0]):
        return ()
    if len(rows) == 1 or all(row.good for row in rows):
        return verdict(talk, rows[0])
    if not any(row.bad for row in rows):
        return ()
    items = [
        joined([place(talk, row, "", i), verdict(talk, row)], " ") for i, row in enumerate(rows, 1) if not row.good
    ]
    return joined(items, ", ")


def _verdicts(talk: Talk, held: Sequence[Reading]) -> Phrase:
    """Verdicts behind a line whose limits stand nowhere to be told: one for all, else none."""
    words = {reading.verdict.word for reading in held if reading.limits is not None and limit(talk, reading)}
    if len(words) == 1 and all(reading.limits is not None for reading in held):
        return verdict(talk, held[0])
    return _each_bad(talk, held, limits=True)


def _each_bad(talk: Talk, held: Sequence[Reading], *, limits: bool) -> Phrase:
    """Each figure that is not as it should be, with its verdict: beside others nobody would know whose it is.

    Its limit stands behind it where no bracket told it: "9 psi too low" would be read as so much below.
    """
    return joined([_is_judged(talk, one, limits=limits) for one in held if one.bad], "; " if limits else ", ")


def _each_judged(talk: Talk, held: Sequence[Reading]) -> Phrase:
    """Each figure as it was left, with its verdict and its limit: what it was before is judged no more."""
    return joined([_is_judged(talk, one, limits=True) for one in held if verdict(talk, one)], "; ")


def _is_judged(talk: Talk, reading: Reading, *, limits: bool) -> Phrase:
    said = talk.say("value.judged", v=value(talk, reading), verdict=verdict(talk, reading))
    behind = limit(talk, reading) if limits else ()
    return talk.say("reading.limit", said=said, limit=behind) if behind else said
