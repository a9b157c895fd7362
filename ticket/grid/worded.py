"""All kinds but findings and verifications as rows of the table: a function a kind."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Any

from ticket.grid.cells import Cells
from ticket.grid.rows import Span
from ticket.grid.sight import Sight
from ticket.grid.signs import PROVED, UNSAFE, WAITS
from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Did, Fact, Later, Maybe, Note, Offer, Photo, Ruled, Says, Told, Used
from ticket.job.numbers import exact
from ticket.job.values import Due, Quantity, Ref
from ticket.money.amount import cents, grouped
from ticket.notes.write import write_plainly
from ticket.story.facts.certainty import confirmed

_PIECES = ("", "x", "pcs", "each", "ea")
_UNSAFE = "do not drive"
_LONGEST_RUN = 12
"""Cells of a list of numbers; what is longer says how many more there are."""


def worded_cells(sight: Sight, entry: Entry) -> list[Cells]:
    """The rows of an entry that holds no readings; a kind that none is declared for is told as its line."""
    make = _KINDS.get(type(entry.fact))
    if make is not None:
        return make(sight, entry, entry.fact)
    line = write_plainly(entry.fact).partition(": ")[2]
    return [Cells(what=(Span(line),))]


def numbers(lead: str, refs: Iterable[Ref]) -> str:
    """References in few cells: ``from 3 4``; a long list says how many more."""
    texts = [str(ref) for ref in refs]
    if not texts:
        return ""
    shown: list[str] = []
    for text in texts:
        if len(f"{lead} {' '.join([*shown, text])}") > _LONGEST_RUN and shown:
            return f"{lead} {' '.join(shown)} and {len(texts) - len(shown)} more"
        shown.append(text)
    return f"{lead} {' '.join(shown)}"


def money(typed: str) -> str:
    """A typed sum with two places; as typed where it is none."""
    amount = cents(typed)
    return typed if amount is None else grouped(amount)


def _says(_sight: Sight, _entry: Entry, fact: Says) -> list[Cells]:
    rows = [Cells(what=(Span(f"“{fact.text}”"),))]
    more = [fact.reproduced, f"back from {fact.back_from}" if fact.back_from else ""]
    if any(more):
        rows.append(Cells(what=(Span("; ".join(part for part in more if part), "quiet"),)))
    return rows


def _code(_sight: Sight, _entry: Entry, fact: Code) -> list[Cells]:
    code = f"{fact.code}{' ' if ' ' in fact.sub else '-'}{fact.sub}" if fact.sub else fact.code
    count, _, word = fact.times.partition(" ")
    unit = (Span(f" {fact.unit}"),) if fact.unit else ()
    rows = [
        Cells(
            what=(Span(code, "value"), *unit), value=count, unit=word, against=(fact.moment,),
            result=(Span(fact.status, "quiet"),) if fact.status else (),
        )
    ]  # fmt: skip
    if fact.frame:
        rows.append(Cells(what=(Span(f"freeze frame: {fact.frame}", "quiet"),)))
    return rows


def _cause(sight: Sight, entry: Entry, fact: Cause) -> list[Cells]:
    sure = confirmed(sight.job, entry)
    return [
        Cells(
            sign=PROVED if sure else "", what=(Span(fact.text),), against=(numbers("from", fact.refs),),
            result=(Span("proved", "value") if sure else Span("likely", "quiet"),),
        )
    ]  # fmt: skip


def _suspected(_sight: Sight, _entry: Entry, fact: Maybe) -> list[Cells]:
    return [Cells(what=(Span(fact.text),), against=(numbers("from", fact.refs),))]


def _ruled(_sight: Sight, _entry: Entry, fact: Ruled) -> list[Cells]:
    text = "; ".join(part for part in (fact.text, fact.reason) if part)
    return [Cells(what=(Span(text),), against=(numbers("from", fact.refs),))]


def _offer(sight: Sight, entry: Entry, fact: Offer) -> list[Cells]:
    answered = sight.standing.get(entry.no)
    said = _answer(answered.answer, answered.told) if answered else (numbers("for", fact.refs),)
    agreed = answered is not None and answered.answer == "yes"
    waits = answered is None or answered.answer not in ("yes", "no", "replaced")
    unsafe = fact.judgement == _UNSAFE and not agreed
    result = [Span(money(fact.estimate))] if fact.estimate else []
    if fact.judgement and not agreed:
        result.append(Span(fact.judgement, "bad" if unsafe else "quiet"))
    return [
        Cells(
            sign=PROVED if agreed else UNSAFE if unsafe else "", what=(Span(fact.text),),
            against=said, result=tuple(result), flag=WAITS if waits else "", flag_ink="ask",
        )
    ]  # fmt: skip


def _answer(answer: str, told: int) -> tuple[str, ...]:
    """Who answered what; on two lines where one is too short."""
    words = f"{answer}, by {told}"
    return (words,) if len(words) <= _LONGEST_RUN else (answer, f"by {told}")


def _did(sight: Sight, entry: Entry, fact: Did) -> list[Cells]:
    running = any(span.start == span.end for span in fact.clock)
    since = next((f"since {span.start}" for span in fact.clock if span.start == span.end), "")
    against = tuple(part for part in (numbers("for", fact.refs), since) if part)
    amount = sight.sums.get(entry.no, "")
    result = [Span("on clock", "value")] if running else []
    result += _paid(fact, amount)
    return [
        Cells(
            what=(Span(fact.text),), value=fact.hours, unit="h" if fact.hours else "", against=against,
            result=tuple(result),
        )
    ]  # fmt: skip


def _used(sight: Sight, entry: Entry, fact: Used) -> list[Cells]:
    named = " ".join(part for part in (fact.part, fact.text) if part)
    unit = "" if fact.unit.casefold() in _PIECES else fact.unit
    per = f"{money(fact.price)} / {unit}" if fact.price and unit else money(fact.price) if fact.price else ""
    times = _times(fact) if sight.bill is None and not sight.typed_only else ""
    amount = sight.sums.get(entry.no, "") or times
    return [
        Cells(
            what=(Span(named), *((Span(", "), Span(fact.condition, "where")) if fact.condition else ())),
            value=fact.amount, unit=unit, against=(per,) if per else (numbers("for", fact.refs),),
            result=tuple(_paid(fact, amount)),
        )
    ]  # fmt: skip


def _paid(fact: Did | Used, amount: str) -> list[Span]:
    """What it comes to, and who pays where that is not the customer."""
    other = fact.pays if fact.pays != "customer" else ""
    return [*([Span(amount)] if amount else []), *([Span(other, "quiet")] if other else [])]


def _times(fact: Used) -> str:
    """The amount by the price, where both are plain figures."""
    many, one = exact(fact.amount or "1"), cents(fact.price)
    if many is None or one is None:
        return ""
    whole = many * one
    return grouped(int(whole)) if isinstance(whole, Fraction) and whole.denominator == 1 else ""


def _later(_sight: Sight, _entry: Entry, fact: Later) -> list[Cells]:
    more = [("because", fact.because), ("risk:", fact.risk), ("watch:", fact.watch)]
    text = f"{fact.text}{''.join(f'; {lead} {words}' for lead, words in more if words)}"
    unsafe = fact.judgement == _UNSAFE
    result = [Span(fact.answer, "value")] if fact.answer else []
    result += [Span(fact.judgement, "bad" if unsafe else "quiet")] if fact.judgement else []
    result += [Span(money(fact.estimate))] if fact.estimate else []
    due = (*due_words(fact.due), *((f"by {fact.date}",) if fact.date else ()))
    return [
        Cells(
            sign=UNSAFE if unsafe else "", what=(Span(text),), against=due or (numbers("for", fact.refs),),
            result=tuple(result),
        )
    ]  # fmt: skip


def due_words(due: Due | None) -> tuple[str, ...]:
    """When work falls due, a text each."""
    if due is None:
        return ()
    spans = [_grouped(part) for part in (due.distance, due.time, due.hours) if part]
    spans = [f"{'or' if at else 'in'} {text}" for at, text in enumerate(spans)]
    return (*spans, *((f"at {_grouped(due.odometer)}",) if due.odometer else ()), *((due.event,) if due.event else ()))


def _grouped(quantity: Quantity) -> str:
    number = quantity.number
    plain = number.isascii() and number.isdecimal() and len(number) < 16  # a longer one is no figure anybody drives
    return f"{int(number):,} {quantity.unit}" if plain else str(quantity)


def _told(_sight: Sight, _entry: Entry, fact: Told) -> list[Cells]:
    how = f"by {fact.way}" if fact.way and " " not in fact.way else fact.way
    who = " ".join(part for part in (fact.who, how, fact.address) if part)
    who += f", {fact.at}" if fact.at else ""
    told = "; ".join(part for part in (fact.words, *_answered(fact)) if part)
    yes = any(one.answer == "yes" for one in fact.answers)
    return [
        Cells(
            sign=PROVED if yes else "", what=(Span(who), *((Span(f": {told}"),) if told else ())),
            result=(Span(money(fact.total)),) if fact.total else (),
        )
    ]  # fmt: skip


def _answered(fact: Told) -> Iterator[str]:
    for one in fact.answers:
        yield f"{one.answer} to {' '.join(map(str, one.to))}" if one.to else one.answer
    yield f"up to {money(fact.ceiling)}" if fact.ceiling else ""
    yield f"paid {money(fact.deposit)}" if fact.deposit else ""


def _photo(_sight: Sight, _entry: Entry, fact: Photo) -> list[Cells]:
    text = fact.text or "picture"
    return [
        Cells(
            what=(Span(text),), against=(numbers("of", fact.refs),),
            result=(Span(fact.stage, "quiet"),) if fact.stage else (),
        )
    ]  # fmt: skip


def _note(_sight: Sight, _entry: Entry, fact: Note) -> list[Cells]:
    return [Cells(what=(Span(fact.text),))]


_KINDS: Mapping[type[Fact], Callable[[Sight, Entry, Any], list[Cells]]] = {
    Says: _says, Code: _code, Cause: _cause, Maybe: _suspected, Ruled: _ruled, Offer: _offer, Did: _did, Used: _used,
    Later: _later, Told: _told, Photo: _photo, Note: _note,
}  # fmt: skip
"""A kind that stands here is told better than by its declaration; no other place asks for the kinds."""
