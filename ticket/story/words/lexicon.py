"""The word lists, read once on first use. They are the files of ``en/`` beside this module."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from ticket.language.forms import gerund, plural, regular_past, third

_FOLDER = Path(__file__).with_name("en")


def rows(name: str) -> list[list[str]]:
    """The cells of one list, its remarks and its heading left out."""
    text = (_FOLDER / f"{name}.tsv").read_text(encoding="utf-8")
    lines = [line for line in text.split("\n") if line and not line.startswith("#")]
    width = len(lines[0].split("\t"))
    return [(line.split("\t") + [""] * width)[:width] for line in lines[1:]]


@dataclass(frozen=True, slots=True)
class Noun:
    """A noun: its singular, its class, and whether this form is the plural; ``counted`` is false for air or play."""

    singular: str
    kind: str
    many: bool
    counted: bool


@dataclass(frozen=True, slots=True)
class State:
    """A word that says how a thing is, as told after "was" and before a noun; ``sense`` is bad, good or neutral."""

    after: str
    before: str
    sense: str


@dataclass(frozen=True, slots=True)
class Verb:
    """One form of a verb: ``form`` is base, third, past, participle or gerund; ``alone`` verbs need no object."""

    base: str
    past: str
    participle: str
    form: str
    alone: bool


@dataclass(frozen=True, slots=True)
class Work:
    """How one kind of labour is told; see the head of ``work.tsv``."""

    base: str
    past: str
    participle: str
    gerund: str
    kind: str
    alone: str


@dataclass(frozen=True, slots=True)
class Term:
    """A row of the glossary."""

    term: str
    plain: str
    guard: str
    use: str
    gloss: str


_SIDES = frozenset({"left", "right"})
UNCOUNTED = frozenset({"mass", "matter", "trouble"})


@cache
def nouns() -> dict[str, Noun]:
    """Every form of every noun, in lower case."""
    table: dict[str, Noun] = {}
    for singular, kind, odd in rows("nouns"):
        single = odd.startswith("!")  # told without an article, and yet with a plural: "had voltage", "two voltages"
        counted = odd != "-" and not single and kind not in UNCOUNTED
        table.setdefault(singular.lower(), Noun(singular, kind, many=False, counted=counted))
        if odd != "-" and (kind != "mass" or single):
            many = odd.removeprefix("!") or plural(singular)
            table.setdefault(many.lower(), Noun(singular, kind, many=True, counted=True))
    return table


@cache
def _odd_plurals() -> dict[str, str]:
    return {singular.lower(): odd.removeprefix("!") for singular, _, odd in rows("nouns") if odd and odd != "-"}


def plural_of(singular: str) -> str:
    """The plural of a noun, irregular where the list says so."""
    return _odd_plurals().get(singular.lower()) or plural(singular)


@cache
def states() -> dict[str, State]:
    """Every state word."""
    return {typed.lower(): State(after, before, sense) for typed, after, before, sense in rows("states")}


@cache
def adjectives() -> frozenset[str]:
    """Words that stand before a noun."""
    return frozenset(row[0].lower() for row in rows("adjectives"))


@cache
def verbs() -> dict[str, Verb]:
    """Every form of every verb that things do."""
    table: dict[str, Verb] = {}
    for base, goes, odd_past, odd_participle in rows("verbs"):
        past = odd_past or regular_past(base)
        participle = odd_participle or past
        forms = {"base": base, "third": third(base), "past": past, "participle": participle, "gerund": gerund(base)}
        for form, text in forms.items():
            if text in _SIDES:
                continue  # "left" is a side and nothing else
            table.setdefault(text.lower(), Verb(base, past, participle, form, goes == "i"))
    return table


@cache
def works() -> dict[str, Work]:
    """Labour by every typed form: infinitive, past and -ing, in lower case; some are of two words."""
    table: dict[str, Work] = {}
    for typed, *cells in rows("work"):
        work = Work(*cells)
        for form in (item.strip() for item in typed.split(",")):
            first, _, rest = form.partition(" ")
            tail = f" {rest}" if rest else ""
            table[form.lower()] = work
            if first.isalpha() and "'" not in first:
                for bent in (irregular(first) or regular_past(first), gerund(first)):
                    table.setdefault((bent + tail).lower(), work)
    return table


def irregular(base: str) -> str:
    """The past of a verb of the list where it is irregular, else empty."""
    verb = verbs().get(base)
    return verb.past if verb and verb.form == "base" else ""


@cache
def glossary() -> dict[str, Term]:
    """The terms of the glossary by their spelling, in lower case."""
    return {row[0].lower(): Term(*row[:5]) for row in rows("glossary")}


@cache
def shorts() -> dict[str, tuple[tuple[str, str], ...]]:
    """Short forms in lower case: what each may stand for (empty: doubtful) with its guard, in order of trying."""
    table: dict[str, tuple[tuple[str, str], ...]] = {}
    for short, full, guard in rows("shorts"):
        table[short.lower()] = (*table.get(short.lower(), ()), (full, guard))
    for term in glossary().values():
        if term.use == "short":
            table[term.term.lower()] = (*table.get(term.term.lower(), ()), (term.plain, term.guard))
    return table
