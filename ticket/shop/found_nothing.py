"""Why a search finds nothing: which part of it is in no job, and what there is that looks like it."""

from collections.abc import Iterator
from dataclasses import replace
from difflib import get_close_matches

from ticket.faults.written import leading
from ticket.job.text import fold, one_line
from ticket.past.query import typed_remarks
from ticket.shop.code_history import asked
from ticket.shop.opening import Shop
from ticket.store.asked import WORD_FIELDS, Clause, Query, Term

_ALIKE = 0.7  # of the letters, as difflib counts; a slip or two in a word of seven


def search_remarks(shop: Shop, typed: str, found: int) -> tuple[str, ...]:
    """What whoever searches should know beside the jobs: what was read otherwise than meant, and why none fits.

    Args:
        shop: the open shop.
        typed: the search, which can be read.
        found: how many jobs fit.
    """
    read = typed_remarks(typed)
    if found or not typed.strip():
        return read
    sums = _sums_unknown(shop, typed)
    return (*read, sums) if sums else (*read, *_why(shop, asked(shop, typed)))


def _sums_unknown(shop: Shop, typed: str) -> str:
    """Why a search for sums fits no job here, in one sentence; empty where that is not the reason."""
    asked = {name for name in ("over", "total") if f"{name}:" in typed}
    if not asked or shop.kept.documents.get("prices") is not None:
        return ""
    fields = " and ".join(f"{name}:" for name in sorted(asked))
    return (
        f"This shop has no price list, so no job has a bill and {fields} can fit none; ticket shop prices takes one in."
    )


def _why(shop: Shop, query: Query) -> Iterator[str]:
    alone = [clause for clause in query.clauses if not any(term.without for term in clause)]
    missing = [clause for clause in alone if not _fits(shop, clause)]
    for clause in missing:
        yield f"{_absent(clause[0])}{_whole_name(shop, alone, clause[0]) or _nearest(shop, clause[0])}."
    if len(alone) > 1 and not missing:
        yield "Each part of this search fits some job, all of them together none."


def _fits(shop: Shop, clause: Clause) -> bool:
    return bool(shop.store.find(Query((clause,), limit=1)).numbers)


def _named(term: Term) -> str:
    """A part of a search as it was typed, or nearly so."""
    if term.field == "code":
        return f"{term.text}-{term.sub}" if term.sub else term.text
    return one_line(f"“{term.text}”" if term.field == "word" else f"{term.field}: {term.text}")


def _absent(term: Term) -> str:
    """That no job fits a part of a search, in words that suit what it asks for."""
    if term.day and term.field in ("since", "until"):
        return f"No job here is from {term.day} {'on' if term.field == 'since' else 'or before'}"
    return f"{_named(term)} is in no job here" if term.text else f"No job here fits {term.field}: as it was asked"


def _whole_name(shop: Shop, alone: list[Clause], term: Term) -> str:
    """``tech:Jory Pellam``: without quotes the second word is looked for in the texts, and was meant for the name."""
    if term.field != "word" or shop.hidden:
        return ""
    asked_for = [fold(one.text) for clause in alone for one in clause if one.field == "tech"]
    word = fold(term.text)
    known = (name for name in shop.store.jobs.techs() if word in name.split())
    found = next((name for name in known if any(one == name or one in name.split() for one in asked_for)), None)
    return f'; with quotes it is a name: tech:"{one_line(found)}"' if found else ""


def _nearest(shop: Shop, term: Term) -> str:
    """What there is instead, as the end of a sentence; empty where nothing is alike."""
    if term.field == "code" and term.sub and (jobs := _jobs(shop, replace(term, sub=""))):
        return f"; {term.text} with another sub-code, or none, is in {jobs}"
    if term.field == "word" and (code := leading(term.text.strip("()[]"))) is not None:
        name = f"{code[0]}-{code[1]}" if code[1] else code[0]
        return f"; as a code it would be {name}"
    if term.field in WORD_FIELDS:
        known = shop.store.jobs.words_like(fold(term.text.rstrip("*")))
    else:
        known = list(shop.store.jobs.techs()) if term.field == "tech" else []
    alike = get_close_matches(fold(term.text), known, n=2, cutoff=_ALIKE)
    return f"; alike: {', '.join(alike)}" if alike and not shop.hidden else ""


def _jobs(shop: Shop, term: Term) -> str:
    found = shop.store.find(Query(((term,),), limit=1, counted=True)).total
    return "" if not found else "1 job" if found == 1 else f"{found:,} jobs"
