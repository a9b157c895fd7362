"""What kind of work a line of labour claims, counted on the words typed, whatever form the line is told in."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

from ticket.job.kinds import Did
from ticket.job.likeness import sides_clash
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.language.lexicon import look
from ticket.language.subjects import Thing, clauses
from ticket.language.terse import unnumbered

RIGHTS = frozenset({"fit", "mend", "fluid", "clean", "program", "service"})
"""Kinds of work that may put something right."""
REPAIRS = frozenset({"fit", "mend", "program"})
"""Those that may be called a repair: who only fills, cleans, drains, holds or inspects has repaired nothing."""
LOOKING = frozenset({"look", "clear", "take", "r&r", "price"})
"""Kinds that read, erase, take off and put back, or ask a price; they change nothing about the vehicle."""

_PIECES = Regex(r"[,;]|\s(?:&|\+|and|then)\s")
_WORD = Regex(r"[a-z]+(?:[&/'’-][a-z]+)*|[0-9][^\s]*")
_BOTH_WAYS = Regex(r"\b(?:r and r|remov(?:ed?|ing) (?:and|&) replac(?:ed?|ing))\b")
"""What R&R is short for, typed out: replaced is also said of what was only put back."""
_FURTHER = Regex(r"\b(?:to|for|at|behind|from|on|in|of|with|under|near|by|so)(?=\s|\Z)|w/\s")
"""Words behind which something else is named than what was worked on."""
_AROUND = frozenset({"assembly", "kit", "set", "unit", "axle", "side"})
"""Words behind a name that stand for all of the thing, or for where it sits."""
_UNDONE = Regex(
    r"(?:n't|n’t)\b|\b(?:unable|cannot|declin\w*|refus\w*|deni\w*|unsuccessful\w*|failed to|quot\w*|estimat\w*|"
    r"not (?:done|completed?|finished|possible|repaired|replaced|fixed|carried))\b"
)
"""Words that take back all a line of labour says: nobody wanted it, it could not be done, or it was only priced."""
_DENIES = Regex(
    r"\b(?:no|not|never|none|without|attempt\w*|tried|recommend\w*|advis\w*|needs?|should|pending|waiting|order\w*)\b"
)
"""Words beside which the work of one piece is not told as done: it was denied, tried, wished for or put off."""
_FOR_NOW = Regex(r"\b(?:temp|temporar\w+|for now|get[- ]home|makeshift|until)\b")


@dataclass(frozen=True, slots=True)
class Step:
    """One piece of labour: its kind, empty where no word of the table names one, and its words in small letters.

    Attributes:
        named: a word of its own names the kind; else it stands behind a piece whose verb it shares.
    """

    kind: str
    text: str
    named: bool


@lru_cache(maxsize=2048)
def steps(text: str) -> tuple[Step, ...]:
    """The pieces of a line of labour in the order typed: "r&r pump, flushed & filled" has three."""
    out: list[Step] = []
    before = ""
    for piece in (piece.strip() for piece in _PIECES.split(_BOTH_WAYS.sub("r&r", fold(text)))):
        if piece:
            kind = _kind(piece)
            out.append(Step(kind or before, piece, bool(kind)))
            before = kind or before
    return tuple(out)


@lru_cache(maxsize=2048)
def done_kinds(text: str, parts: tuple[str, ...] = ()) -> frozenset[str]:
    """The kinds of work a line claims as done; empty where its words take all of it back.

    ``parts`` are the descriptions of the parts used: they decide whether "r&r" put a new one in.
    """
    low = fold(text)
    if _UNDONE.search(low):
        return frozenset()
    held = {"hold"} if _FOR_NOW.search(low) else set()
    return frozenset(held or {_renewed(step, parts) for step in steps(text) if step.kind and not _denied(step)})


def undecided(text: str, parts: tuple[str, ...]) -> bool:
    """Whether a line says "r&r" of something no part was used for: taken off and put back, or replaced; nobody knows.

    Common practice, no source: both readings are in use in the trade.
    """
    return any(step.kind == "r&r" and _renewed(step, parts) == "take" for step in steps(text))


def unnamed(text: str) -> bool:
    """Whether no word of a line names its kind, and none takes it back: "both rear brake assys + drum"."""
    found = steps(text)
    return bool(found) and not any(step.kind for step in found) and not _UNDONE.search(fold(text))


def mends(fact: Did) -> bool:
    """Labour that may put something right: what questions are asked about. Unknown words count as mending."""
    found = steps(fact.text)
    return not found or any(step.kind not in LOOKING for step in found)


def looks_only(text: str, *, alone: bool = False) -> bool:
    """Whether all the work a text names is to read, check or measure: "recheck block voltages".

    ``alone`` asks for a verb and nothing else: "diag" says no more than that the cause was looked for.
    """
    found = steps(text)
    return bool(found) and all(step.kind == "look" and (not alone or step.text in _typed()) for step in found)


def read_as(text: str, parts: Iterable[str]) -> str:
    """How a line of labour is read: ``did``, or ``did undecided`` where nobody knows whether R&R put a new part in."""
    return "did undecided" if undecided(text, tuple(parts)) else "did"


def names_part(text: str, part: str) -> bool:
    """Whether a line of labour names a part as what it worked on or put in."""
    return any(_is_part(step.text, part) for step in steps(text))


def _denied(step: Step) -> bool:
    return _DENIES.search(step.text) is not None


def _renewed(step: Step, parts: Iterable[str]) -> str:
    """ "r&r" put a new thing in where that very thing was used: a hood latch is no hood."""
    if step.kind == "r&r":
        return "fit" if any(_is_part(step.text, part) for part in parts) else "take"
    return step.kind


def _is_part(worked: str, part: str) -> bool:
    """Whether a part is the thing a piece of work names, before it says where or what for."""
    mine = _things(_FURTHER.split(worked)[0])
    theirs = _things(unnumbered(part))
    return not sides_clash(worked, part) and any(_one(one, other) for one in mine for other in theirs)


def _one(worked: Thing, part: Thing) -> bool:
    pairs = ((worked, part), (part, worked))
    return worked.same(part) or any(one.head in _AROUND and other.head in one.of for one, other in pairs)


def _things(text: str) -> tuple[Thing, ...]:
    return tuple(thing for clause in clauses(text) for thing in clause.things)


def _kind(piece: str) -> str:
    """The kind of a piece by its first listed work; a verb that a noun may be as well gives way to the last word."""
    words = [word for word in _WORD.findall(piece) if word[0].isalpha() and word != "x"]
    if not words:
        return ""
    first, last = "" if _names_thing(words) else _at(words, 0, _typed()), words[-1]
    if len(words) > 1 and _typed().get(last) == "look" and (not first or words[0].endswith("ing")):
        return "look"  # "brake inspect", "charging system check"
    if not _at(words, 0, _bent()) and len(words) > 1:
        end = _at(words, len(words) - 1, _bent())
        job = _named("job").get(last, "") if last not in _typed() or not first else ""
        first = end or job or first
        first = first or next((kind for i in range(1, len(words)) if (kind := _at(words, i, _bent()))), "")
    first = first or _named("job").get(last, "")
    return "fluid" if first == "fit" and last in _named("fluid") else first


def _names_thing(words: list[str]) -> bool:
    """Whether a piece begins with the name of a thing whose first word is also work: drive belt, check valve."""
    named = (word for word in look(" ".join(words[:2])) if word.cls == "thing" and word.kind != "general")
    return len(words) > 1 and any(named)


def _at(words: list[str], i: int, table: dict[str, str]) -> str:
    for width in (3, 2, 1):
        found = table.get(" ".join(words[i : i + width]), "")
        if found:
            return found
    hyphened = words[i].split("-")
    return next((table[part] for part in hyphened if part in table), "") if len(hyphened) > 1 else ""


@cache
def _rows() -> tuple[tuple[str, tuple[str, ...]], ...]:
    text = Path(__file__).with_name("work-kinds.tsv").read_text(encoding="utf-8")
    lines = [line for line in text.split("\n") if line and not line.startswith("#")][1:]
    return tuple((kind, tuple(word.strip() for word in words.split(","))) for kind, words in map(_cells, lines))


def _cells(line: str) -> tuple[str, str]:
    kind, _, words = line.partition("\t")
    return kind, words


@cache
def _typed() -> dict[str, str]:
    """Every typed form of a verb of labour with its kind."""
    table = dict(_bent())
    for kind, words in _rows():
        if " " not in kind:
            table.update({word.partition("|")[0]: kind for word in words})
    return table


@cache
def _bent() -> dict[str, str]:
    """The forms that can only be verbs: past and -ing."""
    table: dict[str, str] = {}
    for kind, words in _rows():
        if " " in kind:
            continue
        for word in words:
            base, _, odd = word.partition("|")
            first, space, rest = base.partition(" ")
            for form in (odd,) if odd else _pasts(first):
                table.setdefault(form if odd else form + space + rest, kind)
            table.setdefault(first.removesuffix("e") + "ing" + space + rest, kind)
    return table


def _pasts(verb: str) -> tuple[str, ...]:
    if not verb[-1:].isalpha() or verb == "new":
        return ()
    if verb.endswith("e"):
        return (f"{verb}d",)
    if verb.endswith("y") and verb[-2:-1] not in "aeou":
        return (f"{verb[:-1]}ied",)
    return (f"{verb}ed", f"{verb}{verb[-1]}ed")


@cache
def _named(head: str) -> dict[str, str]:
    """The nouns of the rows that begin with a word: "job" with the kind of work each names, "fluid" with "names"."""
    held = ((kind.partition(" "), words) for kind, words in _rows())
    return {word: kind for (first, space, kind), words in held if space and first == head for word in words}
