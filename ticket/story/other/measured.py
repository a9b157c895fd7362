"""Readings in the other language: the thing, the value, the verdict, the limit."""

from dataclasses import dataclass, replace
from itertools import groupby

from ticket.job.entry import Entry
from ticket.job.values import Limits
from ticket.readings.inexact import parts
from ticket.readings.limits import as_limits
from ticket.readings.units import find
from ticket.story.context import told
from ticket.story.other.figures import groups
from ticket.story.other.groups import Group
from ticket.story.other.talk import Talk
from ticket.story.readings import SAID, Reading, readings
from ticket.story.sentence import Phrase
from ticket.story.words.figures import size
from ticket.story.words.spell import spell
from ticket.story.words.things import position


@dataclass(frozen=True, slots=True)
class Named:
    """What was measured.

    Attributes:
        phrase: its name with the article and the conditions, or the typed words.
        many: the name is a plural.
        quantity: the name tells a quantity, so that "was" fits behind it.
        cls: class of its noun; empty where it is quoted.
        what: the name as typed, to see whether two readings are of one thing.
    """

    phrase: Phrase
    many: bool = False
    quantity: bool = False
    cls: str = ""
    what: str = ""


def name_of(talk: Talk, entry: Entry, reading: Reading) -> Named:
    """The name of one reading with its position: "LF inner" of "front pads" is read as one pad."""
    what = reading.name
    if not reading.label:
        return name(talk, entry, what)
    head, comma, rest = what.partition(",")
    pieces = spell(f"{position(reading.label) or reading.label} {head}")
    words = list(dict.fromkeys(piece.low for piece in pieces)) if pieces else []
    one = words[-1:] and words[-1].removesuffix("s")
    for last in (one, words[-1:] and words[-1]):
        typed = " ".join([*words[:-1], str(last)]) + comma + rest
        if words and talk.reader.name(typed) is not None:
            return name(talk, entry, typed)
    plain = name(talk, entry, what)
    where = place(talk, reading, plain.cls)
    return replace(plain, phrase=talk.say("reading.place", thing=plain.phrase, place=where))


def name(talk: Talk, entry: Entry, text: str, field: str = "what") -> Named:
    """A name with its conditions, or quoted."""
    found = talk.reader.name(text) if text.strip() else None
    if found is None:
        shown = talk.quoted(entry, field, text) if text.strip() else talk.say("reading.it")
        return Named(shown, what=text)
    group, held = found
    phrase: Phrase = (told(entry, field, talk.grammar.the(group)),)
    if held:
        phrase = talk.say("reading.held", thing=phrase, held=talk.listed([(told(entry, field, one),) for one in held]))
    return Named(phrase, talk.language.terms.many(group.cls) or bool(group.listed), group.quantity, group.cls, text)


def taken(talk: Talk, entry: Entry) -> tuple[Reading, ...]:
    """The readings of an entry."""
    return readings(talk.job, entry)


def side_by_side(held: tuple[Reading, ...]) -> list[tuple[Reading, ...]]:
    """Readings of an entry parted where another thing, unit or limit begins."""
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
        return talk.quoted(reading.ref, "run", reading.number)
    said = parts(reading.number)
    shown = talk.measure(reading.ref, "run", said.to or said.number, reading.unit)
    if said.to:
        low = talk.number(reading.ref, "run", said.number, grouping=groups(reading.unit))
        return talk.say("value.range", low=low, high=shown)
    return talk.say(SAID[said.than], v=shown) if said.than else shown


def limit(talk: Talk, reading: Reading) -> Phrase:
    """ "lo mínimo es 22.0 mm"; empty where no limits were typed."""
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


def place(talk: Talk, reading: Reading, cls: str, at: int = 1) -> Phrase:
    """The position of a value in a run: "delantera izquierda", "cilindro 3"; its number where none was typed."""
    op = "place" if reading.counted else "told"
    if not reading.label:
        return talk.say("run.place", place=(told(reading.entry, "run", str(at), "place"),))
    pieces = spell(position(reading.label) or reading.label)
    words = " ".join(piece.low for piece in pieces or ())
    terms = talk.language.terms
    sides = [terms.one("adj", word) for word in words.split()]
    if pieces and all(sides):
        one = next((key for key, many in terms.plural_class.items() if many == cls and key != cls), cls)
        told_words = [terms.form(row.told, one or terms.classes[0]) for row in reversed(sides) if row is not None]
        return (told(reading.entry, "run", " ".join(told_words), op),)
    group: Group | None = talk.grammar.group(pieces) if pieces else None
    if group is not None:
        return (told(reading.entry, "run", talk.grammar.bare(group), op),)
    return talk.quoted(reading.entry, "run", reading.label)


def sentence(talk: Talk, reading: Reading, named: Named, kind: str = "reading") -> tuple[Phrase, ...]:
    """One reading with its verdict and its limit, in all its variants."""
    shape = "level" if level(reading) else "was" if named.quantity else "plain"
    slots = {"thing": named.phrase, "v": value(talk, reading)}
    n = 2 if named.many else 1
    heads = talk.variants(f"{kind}.{shape}", n, **slots)
    behind = limit(talk, reading)
    judged = [talk.say(kind_of, said=head) for head in heads] if (kind_of := _verdict(reading, shape)) else list(heads)
    return tuple(talk.say("reading.limit", said=said, limit=behind) if behind else said for said in judged)


def _verdict(reading: Reading, shape: str) -> str:
    """The pattern of a verdict; empty where there is none."""
    word = reading.verdict.word
    if word in ("low", "high"):
        return f"verdict.{shape}.{word}" if not reading.word else "verdict.word"
    return f"verdict.{word}" if word in ("undecided", "in") else ""
