"""Hard terms explained once, in brackets, where they first end a noun group; at most three in a story.

The shop's own words come first. They are declared as worked out, because no entry and no list of the program holds
them; behind words that are quoted they stand in brackets of their own.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache, partial
from pathlib import Path

from ticket.job.kinds import Says
from ticket.job.text import fold
from ticket.language.forms import plural
from ticket.language.lexicon import look
from ticket.story.context import Job
from ticket.story.sections.catalogue import english
from ticket.story.sentence import Lit, Part, Phrase, Section, Sentence, Val, text_of

MOST = 3
_GOES_ON = frozenset({"thing", "matter", "quality", "side"})
_LINKS = frozenset({"place", "be", "has", "modal", "join", "but", "no", "not"})
_TOLD = frozenset({"found", "visit", "cause", "unknown", "did", "proof", "later"})
_OPS = frozenset({"told", "meaning", "place"})


@dataclass(frozen=True, slots=True)
class Term:
    """A hard term with its explanation; ``own`` where the shop gave both."""

    term: str
    gloss: str
    own: bool = False


@cache
def glossary() -> dict[str, Term]:
    """The terms of the glossary by their spelling, in lower case."""
    text = Path(__file__).with_name("glossary.tsv").read_text(encoding="utf-8")
    lines = [line.split("\t") for line in text.splitlines() if line and not line.startswith("#")][1:]
    return {term.lower(): Term(term, gloss) for term, gloss in lines}


@cache
def _terms() -> tuple[tuple[Term, re.Pattern[str]], ...]:
    """Terms with an explanation, longest first, so that "charge air cooler" comes before "cooler"."""
    rows = sorted(glossary().values(), key=lambda term: -len(term.term))
    return tuple((term, re.compile(rf"\b{re.escape(term.term)}(?:{_ending(term.term)})?\b")) for term in rows)


def _ending(term: str) -> str:
    last = term.rpartition(" ")[2]
    many = next((form for form in (plural(last), f"{last}s") if look(form)), plural(last))
    return re.escape(many[len(last) :]) if many.startswith(last) else ""


def explain(job: Job, sections: tuple[Section, ...]) -> tuple[Section, ...]:
    """The sections with their hard terms explained."""
    said = fold(" ".join(fact.text for _, fact in job.each(Says)))
    whole = " ".join(sentence.text for section in sections for sentence in section.sentences)
    wanted = [
        (place, term, shape)
        for term, shape in _terms()
        if term.term not in said
        and term.term in whole
        and shape.search(whole)
        and (place := _first(shape, sections)) is not None
        and f"{term.term} (" not in whole
    ]
    wanted.sort(key=lambda item: item[0])
    sections, count = _own(job, sections, said)
    for _, term, shape in wanted[: MOST - count]:
        sections = _explained(sections, term, shape)
    return sections


def _own(job: Job, sections: tuple[Section, ...], said: str) -> tuple[tuple[Section, ...], int]:
    """The sections with the shop's own terms explained, and how many were; the customer's own words need none."""
    count = 0
    for name, plain in job.case.terms:
        shape = re.compile(rf"(?<!\w){re.escape(name)}(?!\w)", re.IGNORECASE)
        if count < MOST and fold(name) not in said:
            changed = _own_term(sections, Term(name, plain, own=True), shape)
            count += changed != sections
            sections = changed
    return sections, count


def _own_term(sections: tuple[Section, ...], term: Term, shape: re.Pattern[str]) -> tuple[Section, ...]:
    for how in (_in_brackets, _in_own_brackets):
        changed = _first_changed(sections, partial(how, term=term, shape=shape))
        if changed is not None:
            return changed
    return sections


def _in_own_brackets(sentence: Sentence, term: Term, shape: re.Pattern[str]) -> Phrase | None:
    """The term and its meaning behind the sentence, whoever's words it stands in."""
    for part in sentence.parts:
        match = shape.search(part.text)
        if match and isinstance(part, Val):
            lead = Val(part.no, part.field, "quoted", match[0])
            return (
                *sentence.parts,
                Lit(" ("),
                lead,
                Lit(": "),
                Val(part.no, part.field, "meaning", term.gloss),
                Lit(")"),
            )
    return None


def _first(shape: re.Pattern[str], sections: tuple[Section, ...]) -> tuple[int, int] | None:
    for i, section in enumerate(sections):
        if section.id in _TOLD:
            for k, sentence in enumerate(section.sentences):
                if any(_open_to(part) and shape.search(part.text) for part in sentence.parts):
                    return i, k
    return None


def _open_to(part: Part) -> bool:
    return isinstance(part, Lit) or part.op in _OPS


def _explained(sections: tuple[Section, ...], term: Term, shape: re.Pattern[str]) -> tuple[Section, ...]:
    for how in (_in_brackets, _behind):
        changed = _first_changed(sections, partial(how, term=term, shape=shape))
        if changed is not None:
            return changed
    return sections


def _first_changed(
    sections: tuple[Section, ...], change: Callable[[Sentence], Phrase | None]
) -> tuple[Section, ...] | None:
    """The sections with the first sentence changed that the change applies to; ``None`` where it applies to none."""
    for i, section in enumerate(sections):
        if section.id not in _TOLD:
            continue
        for k, sentence in enumerate(section.sentences):
            parts = change(sentence)
            if parts is not None:
                changed = list(section.sentences)
                changed[k] = replace(sentence, parts=parts)
                return (*sections[:i], replace(section, sentences=tuple(changed)), *sections[i + 1 :])
    return None


def _in_brackets(sentence: Sentence, term: Term, shape: re.Pattern[str]) -> Phrase | None:
    """The explanation behind the term, if a noun group ends there."""
    for i, part in enumerate(sentence.parts):
        if not _open_to(part):
            continue
        for match in shape.finditer(part.text):
            behind = part.text[match.end() :] + text_of(sentence.parts[i + 1 :])
            if _ends_group(behind):
                head = replace(part, text=part.text[: match.end()])
                tail = replace(part, text=part.text[match.end() :])
                if not term.own:
                    gloss: Phrase = (Lit(f" ({term.gloss})"),)
                elif isinstance(part, Val):
                    gloss = (Lit(" ("), Val(part.no, part.field, "meaning", term.gloss), Lit(")"))
                else:
                    return None
                return (*sentence.parts[:i], head, *gloss, tail, *sentence.parts[i + 1 :])
    return None


def _ends_group(behind: str) -> bool:
    """Whether what follows goes on with the noun group: another noun, a number, an opening bracket."""
    if not behind or behind[0] in ".,;:”":
        return True
    words = behind.split()
    if not words or behind[0] != " ":
        return False
    word = words[0].strip(".,;:()“”")
    if word[:1].isdecimal() or behind.lstrip().startswith("("):
        return False
    classes = {found.cls for found in look(word)}
    if classes & _LINKS or word in ("that", "which", "did"):
        return True
    return bool(classes) and not classes & _GOES_ON


def _behind(sentence: Sentence, term: Term, shape: re.Pattern[str]) -> Phrase | None:
    """The explanation as a sentence in brackets of its own, for a term that never ends a noun group."""
    if not any(_open_to(part) and shape.search(part.text) for part in sentence.parts):
        return None
    if term.gloss.startswith("it "):
        words = f"The {term.term} {term.gloss.removeprefix('it ')}."
    else:
        words = " ".join([_the(term.term), english().text("gloss.is"), f"{term.gloss}."])
    return (*sentence.parts, Lit(f" ({words})"))


def _the(term: str) -> str:
    return f"The {term}"
