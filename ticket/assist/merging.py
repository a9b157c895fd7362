"""Two people changed the same thing: what each wrote, field by field, and what comes of the two. Pure."""

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from ticket.job.entry import Draft
from ticket.job.kinds import Fact, Found, Proof
from ticket.notes.found import READ_TOGETHER, text_of
from ticket.notes.pen import Pen
from ticket.notes.reply import describe
from ticket.notes.write import write


@dataclass(frozen=True, slots=True)
class Clash:
    """One field that two people changed to different values.

    Attributes:
        name: the field, in words.
        before: what both of them saw.
        mine: what was typed here.
        theirs: what stands there now.
    """

    name: str
    before: str
    mine: str
    theirs: str


def merge(
    before: Mapping[str, str], mine: Mapping[str, str], theirs: Mapping[str, str]
) -> tuple[dict[str, str], tuple[Clash, ...]]:
    """Fields with both people's changes, and those that both changed differently; there, mine stands.

    All three hold the same names.
    """
    merged = {name: mine[name] if mine[name] != before[name] else theirs[name] for name in before}
    clashes = tuple(
        Clash(name, before[name], mine[name], theirs[name])
        for name in before
        if mine[name] != before[name] and theirs[name] not in (before[name], mine[name])
    )
    return merged, clashes


def merge_facts(before: Fact, mine: Fact, theirs: Fact) -> tuple[Fact, tuple[Clash, ...]]:
    """The same of an entry. Of two kinds, the whole line is one clash."""
    if not type(before) is type(mine) is type(theirs):
        if theirs in (before, mine):
            return mine, ()
        return mine, (Clash("the line", write(before), write(mine), write(theirs)),)
    names = [item.name for item in dataclasses.fields(mine)]
    changed = {name: getattr(mine, name) for name in names if getattr(mine, name) != getattr(before, name)}
    if isinstance(mine, Found | Proof) and changed.keys() & READ_TOGETHER:  # never one's text with another's readings
        changed |= {name: getattr(mine, name) for name in READ_TOGETHER}
    plain: Any = theirs
    merged: Fact = replace(plain, **changed)
    texts = [_told(fact) for fact in (before, mine, theirs)]
    titles = dict.fromkeys(title for text in texts for title in text)
    _, clashes = merge(*({title: text.get(title, "") for title in titles} for text in texts))
    return merged, clashes


def _told(fact: Fact) -> dict[str, str]:
    """The fields of a fact in words; a finding's text with all that is read out of it is one."""
    if not isinstance(fact, Found | Proof):
        return dict(describe(Draft(fact)))
    rest = dict(describe(Draft(replace(fact, what="", measurements=(), run=None, seen=""))))
    return {"what was found": text_of(fact, Pen())} | rest
