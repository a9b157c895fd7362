"""Readings of findings and proofs as phrases: the thing, the value, the verdict, the limit."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import islice

from ticket.job.entry import Entry
from ticket.job.kinds import Found, Proof
from ticket.job.ticket import Ticket
from ticket.job.values import Limits, Ref, Run
from ticket.readings.inexact import parts
from ticket.readings.limits import as_limits
from ticket.readings.pairing import judge_entry, measured
from ticket.readings.units import find, same
from ticket.readings.verdict import Verdict
from ticket.story.catalogue import has, say, title
from ticket.story.context import Job, told
from ticket.story.sentence import Lit, Part, Phrase, Val
from ticket.story.words import tag
from ticket.story.words.figures import figure, size
from ticket.story.words.spell import join, spell, unit_text
from ticket.story.words.things import Thing, position, split, thing

BAD = ("low", "high")
SAID = {">": "value.more", "<": "value.less", "~": "value.about", ">=": "value.least"}


@dataclass(frozen=True, slots=True)
class Reading:
    """One value of a run with all that is told of it.

    Attributes:
        entry: the finding or proof.
        number: as typed.
        unit: of the run.
        label: its position as typed, or empty.
        place: the position in words.
        limits: of the run.
        verdict: computed.
        thing: what was measured; ``None`` where its name has no known shape.
        what: the name as typed.
        counted: its position comes from its place in a counted list.
        name: what was measured with its conditions, before the story took it apart.
        together: how many readings stand side by side with it, itself included.
        alone: they are all its entry measured.
        group: number of their group on the entry.
        home: number of the earlier ticket it stands on; 0 for the one that is told.
    """

    entry: Entry
    number: str
    unit: str
    label: str
    place: str
    limits: Limits | None
    verdict: Verdict
    thing: Thing | None
    what: str
    counted: bool = False
    name: str = ""
    together: int = 1
    alone: bool = True
    group: int = 0
    home: int = 0

    @property
    def ref(self) -> Ref:
        """The entry, as seen from the ticket that is told."""
        return Ref(self.entry.no, self.home)

    @property
    def bad(self) -> bool:
        """Out of its limits."""
        return self.verdict.word in BAD

    @property
    def good(self) -> bool:
        """Within its limits."""
        return self.verdict.word == "in"

    @property
    def apart(self) -> bool:
        """Within its own limits, but too far from the other readings of its run."""
        spread = f"{self.limits.spread} {self.limits.spread_unit or self.unit}".strip() if self.limits else ""
        return self.bad and self.verdict.by is None and self.verdict.limit == spread

    @property
    def quantity(self) -> str:
        """The row of ``quantities.tsv``."""
        return self.thing.quantity if self.thing else "other"

    @property
    def value(self) -> Fraction | None:
        """The exact value, of a bound its figure; ``None`` for a word, a range and what is only about or at least."""
        said = parts(self.number)
        return None if said.than in ("~", ">=") else said.value

    @property
    def word(self) -> bool:
        """A word such as ``OL``, no figure of any kind."""
        said = parts(self.number)
        return not said.to and said.value is None

    @property
    def limit_unit(self) -> str:
        """The unit its limits were typed in."""
        return (self.limits.unit if self.limits else "") or self.unit


def readings(job: Job, entry: Entry, visit: Ticket | None = None) -> tuple[Reading, ...]:
    """The readings of an entry, completed from what it measures again.

    Args:
        job: what is told.
        entry: the entry.
        visit: the earlier ticket it stands on, where it is not the one that is told.
    """
    if not isinstance(entry.fact, Found | Proof):
        return ()
    home = visit or job.ticket
    verdicts = iter(judge_entry(home, entry, job.case.earlier))
    groups = measured(home, entry, job.case.earlier).groups
    out: list[Reading] = []
    for at, taken in enumerate(groups):
        own = tuple(islice(verdicts, len(taken.run.values)))
        made = _readings(entry, taken.what, taken.run, own)
        away = visit.number if visit else 0
        out += (replace(one, alone=len(groups) == 1, group=at, home=away) for one in made)
    return tuple(out)


def _readings(entry: Entry, name: str, run: Run, verdicts: tuple[Verdict, ...]) -> Iterator[Reading]:
    labels = [value.label for value in run.values]
    _, what = split(name)
    what, counted = _counted(what, run, labels)
    bare = len(run.values) > 1 and not any(labels) and not counted
    for i, value in enumerate(run.values):
        label = f"cylinder {i + 1}" if counted else labels[i]
        own = _of_part(what, label)
        if own:
            yield Reading(entry, value.number, run.unit, "", "", run.limits, verdicts[i], thing(own, run.unit), own,
                          False, own, len(run.values))  # fmt: skip
            continue
        named = thing(what, run.unit, label)
        place = title("place.number").format(i + 1) if bare else position(label) if label else ""
        yield Reading(
            entry, value.number, run.unit, label, place, run.limits, verdicts[i], named, what, counted or bare, name,
            len(run.values),
        )  # fmt: skip


def _of_part(what: str, label: str) -> str:
    """The whole name where only a quantity was named and its numbered part stands as the place: sensor 3 resistance."""
    words = spell(what)
    noun = tag.noun(words[0]) if words and len(words) == 1 else None
    numbered = label[-1:].isdigit() and not label.lower().startswith("cyl")
    return f"{label} {what}" if noun is not None and noun.kind == "quantity" and numbered else ""


def _counted(what: str, run: Run, labels: list[str]) -> tuple[str, bool]:
    """Whether bare values stand for cylinders one by one: three or more, and the words say so."""
    bare = what.lower().split()
    listed = len(run.values) > 2 and not any(labels)
    if listed and bare and bare[-1] in ("cyl", "cyls", "cylinder", "cylinders"):
        return " ".join(what.split()[:-1]) or "compression", True
    return what, listed and "compression" in bare


def value_of(reading: Reading) -> Phrase:
    """The figure with its unit in words; "more than" where that was typed."""
    unit = reading.unit
    if reading.quantity == "level" and reading.value is not None:
        return level_of(reading)
    if reading.word:
        return (told(reading.ref, "run", reading.number, "typed"),)
    said = parts(reading.number)
    last = said.to or said.number
    figures = told(reading.ref, "run", figure(last, unit) + unit_text(last, unit), "number")
    if said.to:
        return say("value.range", low=(told(reading.ref, "run", figure(said.number, unit), "number"),), high=figures)
    return say(SAID[said.than], v=figures) if said.than else (figures,)


def level_of(reading: Reading) -> Phrase:
    """ "14 mm below its mark"; never a minus sign."""
    value = reading.value or Fraction(0)
    if value == 0:
        return say("level.at")
    plain = size(reading.number)
    figures = told(reading.ref, "run", plain + unit_text(plain, reading.unit), "size")
    return say("level.below" if value < 0 else "level.above", v=figures)


def name_of(reading: Reading) -> Phrase:
    """The thing with its article; the typed words in quote marks where their shape is unknown."""
    if reading.thing is None or not reading.thing.name:
        spelled = " ".join(part for part in (reading.what, reading.label) if part)
        return (Lit("“"), told(reading.ref, "what", spelled, "quoted"), Lit("”"))
    return (told(reading.ref, "what", reading.thing.name, "place" if reading.counted else "told"),)


def be(reading: Reading) -> Part:
    """ "was" or "were", after the thing."""
    return Lit("were" if reading.thing is not None and reading.thing.many else "was")


def named_full(reading: Reading) -> Phrase | None:
    """The reading with its conditions behind the name: "the pressure at idle was 41 psi"."""
    held = conditions(reading)
    if not held or reading.quantity in ("drop", "drop_along") or reading.word:
        return None
    return full(reading, held=held)


def full(reading: Reading, *, row: bool = False, held: Phrase = ()) -> Phrase:
    """ "the left front disc was 21.2 mm thick"; in a table without what its head says."""
    if reading.number.upper() == "OL":
        over = told(reading.ref, "run", reading.number, "quoted")
        return say("reading.over", name=noun(reading), be=be(reading), v=over)
    if reading.word:
        return say("reading.word", name=noun(reading), v=told(reading.ref, "run", reading.number, "quoted"))
    kind = f"{'row' if row and has(f'row.{reading.quantity}') else 'full'}.{reading.quantity}"
    if reading.thing is None:
        kind = "full.other"
    tail = told(reading.ref, "what", reading.thing.tail if reading.thing else "")
    if kind == "full.loss" and _column(reading.unit):
        kind = "full.loss.column"
    name = with_conditions(name_of(reading), held)
    return say(kind, name=name, be=be(reading), v=value_of(reading), tail=tail)


def _column(unit: str) -> bool:
    """A pressure told as the height of a column: "9.4 inches of water of pressure"."""
    known = find(unit)
    return known is not None and " of " in known.many


def noun(reading: Reading) -> Phrase:
    """The thing as a noun: "the thickness of the left front disc"."""
    if reading.thing is None:
        return name_of(reading)
    tail = told(reading.ref, "what", reading.thing.tail)
    return say(f"noun.{reading.quantity}", name=name_of(reading), tail=tail)


def conditions(reading: Reading) -> tuple[Val, ...]:
    """The conditions it was taken under, or nothing."""
    if reading.thing is None or not reading.thing.conditions:
        return ()
    return (told(reading.ref, "what", reading.thing.conditions),)


def with_conditions(phrase: Phrase, held: Phrase) -> Phrase:
    """The conditions behind a phrase, where there are any."""
    return (*phrase, Lit(" "), *held) if held else phrase


def fronted(phrase: Phrase, held: Phrase) -> Phrase:
    """The conditions before a phrase, where there are any."""
    return say("reading.front", conditions=held, rest=phrase) if held else phrase


def verdict_words(reading: Reading, *, brief: bool = False) -> Phrase:
    """ "too thin"."""
    word = reading.verdict.word
    if reading.apart:
        return say(f"verdict.apart.{word}.two" if reading.together == 2 else f"verdict.apart.{word}")
    names = [f"verdict.{reading.quantity}.{word}", f"verdict.{word}"]
    if brief:
        names.insert(0, f"verdict.{reading.quantity}.brief.{word}")
    return say(next(name for name in names if has(name)))


def bounds(reading: Reading) -> tuple[Phrase | None, Phrase | None]:
    """The low and the high limit as figures; ``None`` where there is none."""
    return limit_figures(reading.entry, reading.limits, reading.unit, levels=reading.quantity == "level")


def limit_figures(
    entry: Entry, limits: Limits | None, unit: str, *, levels: bool = False
) -> tuple[Phrase | None, Phrase | None]:
    """The bounds of a bracket with their unit; those worked out from a tolerance say so."""
    bracket = as_limits(limits, unit)
    unit = bracket.unit or unit
    op = "tolerance" if limits is not None and limits.nominal else "number"

    def one(text: str) -> Phrase | None:
        if not text:
            return None
        shown = size(text) if levels else figure(text, unit)
        return (told(entry, "run", shown + unit_text(size(text), unit), op),)

    return one(bracket.low_text), one(bracket.high_text)


def limit_of(reading: Reading) -> Phrase | None:
    """ "at least 22.0 mm is needed"; ``None`` where no limits were typed."""
    low, high = bounds(reading)
    if reading.quantity == "level":
        return _level_limit(reading, low, high)
    if low is not None and high is not None:
        return say("limit.range", low=_bare(reading), high=high)
    if low is not None:
        return say("limit.min", low=low)
    if high is not None:
        return say("limit.max", high=high)
    if reading.limits is not None and reading.limits.spread:
        return say("limit.spread", spread=spread_of(reading))
    return None


def spread_of(reading: Reading) -> Phrase:
    """The largest allowed difference with its unit."""
    limits = reading.limits or Limits()
    unit = limits.spread_unit or reading.unit
    return (told(reading.ref, "run", figure(limits.spread) + unit_text(limits.spread, unit), "number"),)


def _bare(reading: Reading) -> Phrase:
    """The low end of a range: its unit stands once, behind the high end."""
    op = "tolerance" if reading.limits is not None and reading.limits.nominal else "number"
    text = as_limits(reading.limits, reading.unit).low_text
    found = find(reading.limit_unit)
    glued = found.sign if found is not None and found.glued else ""
    return (told(reading.ref, "run", figure(text, reading.limit_unit) + glued, op),)


def bound_of(reading: Reading) -> Phrase | None:
    """The limit as it stands after "must be": "at least 3.0 mm"."""
    low, high = bounds(reading)
    if low is not None and high is not None:
        return say("bound.range", low=_bare(reading), high=high)
    if low is not None:
        return say("bound.min", low=low)
    return say("bound.max", high=high) if high is not None else None


def _level_limit(reading: Reading, low: Phrase | None, high: Phrase | None) -> Phrase | None:
    bracket = as_limits(reading.limits, reading.unit)
    least, most = bracket.low, bracket.high
    if least is not None and most is not None and low is not None and high is not None:
        if most == 0 and least < 0:
            return say("limit.level.zero") if (reading.value or 0) > 0 else say("limit.level.below", low=low)
        if least < 0 < most:
            return say("limit.level.around", low=low, high=high)
        plain = (told(reading.ref, "run", size(bracket.high_text if most < 0 else bracket.low_text), "size"),)
        if most < 0:
            return say("limit.level.between", high=plain, low=low)
        return say("limit.level.over", low=plain, high=high)
    if least is not None and low is not None:
        return say("limit.level.min", low=low) if least < 0 else say("limit.min", low=low)
    if most is not None and high is not None:
        if most == 0:
            return say("limit.level.zero")
        return say("limit.level.max", high=high) if most > 0 else say("limit.max", high=high)
    return None


def brief(reading: Reading) -> Phrase:
    """The reading without its figure, as evidence: "the left front disc was too thin"."""
    if reading.good or not reading.bad:
        if not reading.good:
            return with_conditions(full(reading), conditions(reading))
        return say("brief.good", name=noun(reading), be=be(reading))
    kind = f"brief.{reading.quantity}" if reading.thing is not None else "brief.other"
    return say(kind, name=name_of(reading), be=be(reading), verdict=verdict_words(reading, brief=True))


def same_thing(one: Reading, other: Reading) -> bool:
    """Whether two readings are of one thing, whatever the conditions."""
    if one.thing is None or other.thing is None or not same(one.unit, other.unit):
        return False
    return (one.quantity, one.thing.name, one.thing.tail) == (other.quantity, other.thing.name, other.thing.tail)


def spelled(text: str) -> str:
    """Typed words with their short forms spelled out and nothing else changed; the text itself where in doubt."""
    pieces = spell(text, plain=False)
    return join(pieces, spoken=False) if pieces else text
