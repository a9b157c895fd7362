"""The words technicians type (English), every form of each: what a word may be. Read once from ``en/lexicon.tsv``."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from ticket.language.forms import gerund, plural, regular_past, third
from ticket.language.tables import rows

TYPED = "en"
"""The language of the typed lines."""

_SIDES = frozenset({"left", "right"})
_UNCOUNTED = frozenset({"mass", "matter", "trouble"})


@dataclass(frozen=True, slots=True)
class Word:
    """One thing a typed word may be.

    Attributes:
        cls: its class, as in the head of the file.
        base: the word as listed.
        form: ``one``, ``many`` or ``mass`` for things, ``base``, ``third``, ``past``, ``participle``, ``gerund`` for
            doings and work.
        kind: as in the file.
        sense: ``bad``, ``good`` or ``=`` for states.
    """

    cls: str
    base: str
    form: str = ""
    kind: str = ""
    sense: str = ""


@dataclass(frozen=True, slots=True)
class Work:
    """How one kind of labour is told; see the head of ``work.tsv``."""

    name: str
    base: str
    past: str
    participle: str
    gerund: str
    kind: str
    alone: str


Table = Mapping[str, tuple[Word, ...]]


@cache
def words() -> Table:
    """Every form of every listed word and phrase, in small letters."""
    table: dict[str, list[Word]] = {}
    for typed, cls, kind, told, more, sense in rows(TYPED, "lexicon"):
        for form, text in _forms(typed, cls, kind, told, more):
            if text in _SIDES and cls != "side":
                continue  # "left" and "right" are sides and nothing else
            held = table.setdefault(text.lower(), [])
            if not any(word.cls == cls for word in held):
                held.append(Word(cls, typed, form, kind, sense))
    for text, work, form in _work_forms():
        held = table.setdefault(text, [])
        if not any(word.cls == "work" for word in held):
            held.append(Word("work", work.name, form, work.kind))
    return {text: tuple(held) for text, held in table.items()}


def _forms(typed: str, cls: str, kind: str, told: str, more: str) -> list[tuple[str, str]]:
    if cls in ("doing", "link"):
        past = told or regular_past(typed)
        participle = more or past
        forms = [("base", typed), ("third", third(typed)), ("past", past), ("participle", participle)]
        return [*forms, ("gerund", gerund(typed))]
    if cls in ("thing", "matter"):
        single = told.startswith("!")
        counted = told != "-" and not single and kind not in _UNCOUNTED
        forms = [("one" if counted else "mass", typed)]
        if told != "-" and (kind != "mass" or single):
            forms.append(("many", told.removeprefix("!") or plural(typed)))
        return forms
    return [("", typed)]


@cache
def phrases() -> Mapping[str, tuple[tuple[str, ...], ...]]:
    """Listed phrases of several words by their first word, longest first."""
    table: dict[str, list[tuple[str, ...]]] = {}
    for text in words():
        if " " in text:
            pieces = tuple(text.split(" "))
            table.setdefault(pieces[0], []).append(pieces)
    return {first: tuple(sorted(held, key=len, reverse=True)) for first, held in table.items()}


@cache
def works() -> Mapping[str, Work]:
    """Labour by its name: the first typed form of its row."""
    return {work.name: work for _, work, _ in _work_forms()}


@cache
def irregular() -> Mapping[str, str]:
    """The past of listed doings where it is irregular."""
    return {typed: told for typed, cls, _, told, _, _ in rows(TYPED, "lexicon") if cls in ("doing", "link") and told}


@cache
def _work_forms() -> tuple[tuple[str, Work, str], ...]:
    out: list[tuple[str, Work, str]] = []
    for typed, base, past, participle, ing, kind, alone in rows(TYPED, "work"):
        forms = [form.strip() for form in typed.split(",")]
        work = Work(forms[0].lower(), base, past, participle, ing, kind, alone)
        for form in forms:
            first, _, rest = form.lower().partition(" ")
            tail = f" {rest}" if rest else ""
            out.append((form.lower(), work, "base"))
            if first.isalpha():
                bent = irregular().get(first) or regular_past(first)
                out.append((bent + tail, work, "past"))
                out.append((gerund(first) + tail, work, "gerund"))
            if rest.isalpha():  # "load tested", "heat shrunk"
                out.append((f"{first} {irregular().get(rest) or regular_past(rest)}", work, "past"))
    return tuple(out)


def look(text: str) -> tuple[Word, ...]:
    """What a word may be; a hyphened word is what its last part is, where that is a thing or a state."""
    table = words()
    found = table.get(text) or table.get(text.lower())
    if found is None and "-" in text:
        last = text.rpartition("-")[2]
        found = tuple(
            Word(word.cls, text, word.form, word.kind, word.sense)
            for word in table.get(last, ())
            if word.cls in ("thing", "state", "matter")
        )
        if not found and text[0].isdecimal() and last.isalpha():
            found = (Word("quality", text),)
    return found or ()


def is_a(text: str, cls: str) -> bool:
    """Whether a word may be of a class."""
    return any(word.cls == cls for word in look(text))
