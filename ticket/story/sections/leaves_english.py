"""English told from typed English."""

import datetime
from functools import lru_cache

from ticket.readings.units import NAMES, find
from ticket.story.readings import Reading
from ticket.story.sections.leaves import Clause, Labour, Named
from ticket.story.sentence import Lit, Phrase, text_of
from ticket.story.words import figures, forms, tag
from ticket.story.words.clauses import noun_group
from ticket.story.words.compare import agree
from ticket.story.words.groups import FLUIDS
from ticket.story.words.labour import Task, merged, spelled_out, tasks
from ticket.story.words.lexicon import plural_of
from ticket.story.words.observed import observed
from ticket.story.words.spell import join, measure, spell
from ticket.story.words.things import position, thing
from ticket.story.words.tokens import WORD, Token
from ticket.story.words.trials import circumstances


class English:
    """How English tells what was typed."""

    def thing(self, text: str, kind: str) -> str | None:
        """ "the fan relay", "a stuck thermostat"."""
        found = spell(text)
        named = noun_group(found) if found else None
        if named is None:
            return None
        group, tied = named
        loose = group.defect or (bool(tied) and group.noun.singular in FLUIDS)
        words = group.bare() if kind == "bare" else group.any() if kind == "a" and loose else group.thing()
        told = words + tied
        if not agree(text, told):
            return None
        return f"{kind} {told}" if kind in ("of", "to", "in") else told

    def many(self, text: str) -> bool:
        """Whether the thing is a plural."""
        found = spell(text)
        named = noun_group(found) if found else None
        return named is not None and named[0].many

    def part(self, text: str, *, several: bool, condition: str) -> tuple[str, str] | None:
        """ "new front discs"."""
        found = spell(text)
        named = noun_group(found) if found else None
        if named is None:
            words = join(found) if found else text.strip()
        else:
            words = named[0].bare()
            if several and not named[0].many and named[0].noun.counted:
                words = _plural(words)
            words = f"{words} {join(found[named[0].end :])}".strip() if found else words
            words = words if agree(text, words) else join(found or ())
        if condition == "customer's own":
            return f"{words} of your own", ""
        if condition in ("new", "used", "rebuilt", "reconditioned") and not words.startswith(f"{condition} "):
            words = f"{condition} {words}"
        return words, ""

    def name(self, reading: Reading) -> Named | None:
        """ "the left front disc", with the quantity its sentence tells."""
        return _named(reading.what, reading.unit, reading.label)

    def names(self, reading: Reading) -> Named | None:
        """The shared name of a run."""
        named = _named(reading.what, reading.unit, "")
        if named is None:
            return None
        head, _, last = named.text.rpartition(" ")
        noun = tag.noun(Token(last, WORD))
        if noun is None or named.many or noun.kind == "quantity" or not noun.counted:
            return named
        if named.shapes[0] in ("compression", "leakdown"):
            return named
        return Named(f"{head} {plural_of(last)}", True, named.shapes, named.held, named.tail)

    def place(self, reading: Reading, cls: str, at: int) -> str | None:
        """ "left front outer", "cylinder 3"."""
        return reading.place or (position(reading.label) if reading.label else "") or None

    def clauses(self, text: str, where: str) -> tuple[Clause, ...] | None:
        """The clauses of an observation."""
        return _clauses(text)

    def labour(self, text: str, parts: tuple[str, ...] = ()) -> tuple[Labour, ...] | None:
        """ "replaced the front pads"."""
        known, unknown = tasks(text, parts)
        if unknown or not known:
            return None
        if not agree(spelled_out(text, parts), " ".join(task.told() for task in known), words=False):
            return None
        return tuple(Labour(task.told(), task.told("base")) for task in merged(known) if isinstance(task, Task))

    def term(self, text: str) -> str | None:
        """A word of the notation is English."""
        return text

    def unit_of_time(self, unit: str, count: int) -> tuple[str, str]:
        """ "weeks"."""
        return (unit if count == 1 else f"{unit}s"), ""

    def count(self, count: int, cls: str = "") -> str:
        """One to twelve in words."""
        return forms.number_word(count)

    def meaning(self, words: str) -> str | None:
        """The tables of codes are English."""
        return words

    def measure(self, number: str, unit: str) -> str:
        """A figure with its unit in words."""
        return measure(number, unit)

    def number(self, text: str, *, grouping: bool = False) -> str:
        """No plus sign; thousands set off where asked."""
        return figures.figure(text, "mi" if grouping else "")

    def day(self, when: datetime.date, style: str) -> str:
        """A date in the shop's way."""
        return figures.day(when, style)

    def unit_words(self) -> list[tuple[str, str]]:
        """ "miles", "mile"."""
        known = [unit for name in NAMES if (unit := find(name)) is not None]
        return [(word, unit.name) for unit in known for word in (unit.one, unit.many)]

    def glosses(self) -> list[tuple[str, str]]:
        """English has its glossary (``story.glossing``)."""
        return []

    def listed(self, items: list[Phrase]) -> Phrase:
        """A; A and B; A, B, and C; with semicolons where an item holds a comma."""
        texts = [text_of(item) for item in items]
        mark = ";" if any("," in text for text in texts) else ","
        if len(items) == 2:
            link = ", and " if any(" and " in text or "," in text for text in texts) else " and "
            return (*items[0], Lit(link), *items[1])
        out: Phrase = ()
        for i, item in enumerate(items):
            out = (*out, Lit(f"{mark} and " if i == len(items) - 1 else f"{mark} "), *item) if i else item
        return out


def _plural(words: str) -> str:
    """The head noun in the plural; it stands before " of ..." or last."""
    head, of, rest = words.partition(" of the ")
    first, _, last = head.rpartition(" ")
    if tag.noun(Token(last, WORD)) is None:
        return words
    return f"{first} {plural_of(last)}".strip() + of + rest


@lru_cache(maxsize=1024)
def _named(what: str, unit: str, label: str) -> Named | None:
    found = thing(what, unit, label)
    if found is None or not found.name:
        return None
    tail = found.tail
    if found.quantity == "loss" and _column(unit):
        tail = f" of pressure{tail}"
    return Named(found.name, found.many, (found.quantity, "was"), found.conditions, tail)


def _column(unit: str) -> bool:
    """A pressure told as the height of a column: "9.4 inches of water of pressure"."""
    known = find(unit)
    return known is not None and " of " in known.many


@lru_cache(maxsize=1024)
def _clauses(text: str) -> tuple[Clause, ...] | None:
    seen = observed(text)
    if seen.how == "trial" and seen.trial is not None:
        made = seen.trial
        told = f"we {forms.listed(list(made.acts))}{circumstances(made)}" if made.acts else ""
        out = [Clause(told, trial=True)] if told else []
        out += [Clause(one) for one in made.outcomes]
        if made.again:
            out.append(Clause(f"when we read the codes again, {made.again}"))
        return tuple(out)
    if seen.how == "checked":
        return (Clause(f"we checked {seen.object}", trial=True), *((Clause(seen.text),) if seen.text else ()))
    if seen.how in ("clauses", "none"):
        return tuple(
            Clause(one.text, good=one.form == "no" or (i == 0 and seen.sense == "good"), link=one.link)
            for i, one in enumerate(seen.clauses)
        )
    return None
