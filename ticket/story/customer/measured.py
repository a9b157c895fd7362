"""Readings as sentences: the bad ones in full, tables by their worst, all good ones in one breath."""

from ticket.job.entry import Entry
from ticket.job.kinds import Found
from ticket.readings.balance_line import balance_of
from ticket.story.catalogue import has, say, variants
from ticket.story.context import Job, counted, sources, told
from ticket.story.customer.balances import tell_balance
from ticket.story.customer.remarks import Remark, remark_of
from ticket.story.customer.seen import seen_phrases, tell_lead, tell_seen, whole_text
from ticket.story.lists import phrase_list
from ticket.story.readings import (
    Reading,
    be,
    bound_of,
    conditions,
    fronted,
    full,
    limit_of,
    named_full,
    noun,
    readings,
    spread_of,
    value_of,
    verdict_words,
    with_conditions,
)
from ticket.story.sentence import Lit, Phrase, text_of
from ticket.story.tables import PLACES, Table, tables
from ticket.story.words import tag
from ticket.story.words.lexicon import plural_of
from ticket.story.words.observed import observed
from ticket.story.words.tokens import WORD, Token
from ticket.story.writer import Writer

_NAMES = ("compression", "leakdown")


def tell_findings(job: Job, entries: list[Entry], writer: Writer) -> None:
    """Findings as typed, wrong readings and observations first, then the good readings in one breath."""
    balanced = {entry.no for entry in entries if isinstance(entry.fact, Found) and balance_of(entry.fact) is not None}
    taken = [reading for entry in entries if entry.no not in balanced for reading in readings(job, entry)]
    at: dict[int, list[Table | Reading]] = {}
    for item in tables(taken):
        first = item.rows[0] if isinstance(item, Table) else item
        at.setdefault(first.entry.no, []).append(item)
    good: list[Reading] = []
    done: set[int] = set()  # entries whose remark a table has told
    for entry in entries:
        if entry.no in balanced:
            tell_balance(entry, writer)
            continue
        tell_lead(entry, writer)
        items = at.get(entry.no, [])
        alone = len(items) == 1 and isinstance(items[0], Reading) and items[0].alone
        for item in items:
            if isinstance(item, Table):
                done |= _table(item, writer)
            elif item.good:
                good.append(item)
            else:
                _single(job, item, writer, alone=alone)
        told_inside = alone and isinstance(items[0], Reading) and not items[0].good
        if not told_inside and entry.no not in done:
            tell_seen(job, entry, writer, reading=_only(items))
    tell_good(good, writer)


def _only(items: list[Table | Reading]) -> Reading | None:
    """The first reading of an entry whose readings are all of one thing: a remark beside them speaks of it."""
    first = items[0].rows[0] if items and isinstance(items[0], Table) else items[0] if items else None
    return first if isinstance(first, Reading) and first.alone else None


def _single(job: Job, reading: Reading, writer: Writer, *, alone: bool) -> None:
    """One reading out of limits, undecided or without limits, with the remark typed beside it."""
    if alone and reading.thing is None and reading.verdict.word == "none" and not reading.word:
        _as_seen(reading, writer)
        return
    remark = remark_of(reading) if alone else Remark()
    if remark.contradicts:
        _plain(reading, writer)
        return
    writer.add(sources(reading.entry), *_sayings(reading, remark))
    if remark.own:
        writer.add(sources(reading.entry), *variants("seen.plain", text=remark.own))
    elif alone and not remark.inside:
        tell_seen(job, reading.entry, writer, reading=reading)


def _as_seen(reading: Reading, writer: Writer) -> None:
    """A figure without limits in a text of unknown shape: all of it is an observation."""
    for phrases in seen_phrases(reading.entry, "run", observed(whole_text(reading))):
        writer.add(sources(reading.entry), *phrases)


def _sayings(reading: Reading, remark: Remark) -> list[Phrase]:
    options = [fronted(full(reading), conditions(reading))]
    named = named_full(reading)
    if named is not None:
        options.append(named)
    if reading.bad and reading.word and reading.number.upper() != "OL":
        word = say("reading.word.bad", name=noun(reading), v=value_of(reading), verdict=verdict_words(reading))
        options = [fronted(word, conditions(reading))]
    if named is not None and text_of(options[0])[:1].isdigit():
        options = [named]
    told_all = [_judged(reading, said, remark) for said in options]
    limit = limit_of(reading)
    if reading.bad and not reading.word and limit is not None and reading.quantity != "level":
        said = say("reading.which", said=options[-1], verdict=verdict_words(reading))
        told_all.append((*say("reading.limit.first", limit=limit, said=(*said, *remark.inside)), Lit(".")))
    return told_all


def _judged(reading: Reading, said: Phrase, remark: Remark) -> Phrase:
    """What was read with its verdict, the remark beside it, and the limit."""
    if reading.verdict.word == "undecided":
        return (*_undecided(reading, said), *remark.inside, Lit("."))
    if not reading.bad:
        return (*said, *remark.inside, Lit("."))
    if not reading.word or reading.number.upper() == "OL":
        said = say("reading.which", said=said, verdict=verdict_words(reading))
    whole = (*said, *remark.inside)
    limit = limit_of(reading)
    return (*(say("reading.limit", said=whole, limit=limit) if limit else whole), Lit("."))


def _undecided(reading: Reading, said: Phrase) -> Phrase:
    from ticket.readings.limits import as_limits

    bracket = as_limits(reading.limits, reading.unit)
    if bracket.problem or not reading.verdict.limit or reading.value is None:
        limit = limit_of(reading)
        return say("reading.undecided.limit", said=said, limit=limit) if limit else say("reading.undecided", said=said)
    figures = told(reading.entry, "run", reading.verdict.limit, "number")
    return say("reading.close", said=said, limit=figures)


def tell_good(good: list[Reading], writer: Writer) -> None:
    """Good readings, never one by one."""
    if not good:
        return
    if len(good) == 1:
        writer.add(sources(good[0].entry), *((*said, Lit(".")) for said in within(good[0])))
        return
    items = [with_conditions(noun(reading), conditions(reading)) for reading in good]
    items = [say("reading.item", name=item, v=value_of(reading)) for item, reading in zip(items, good, strict=True)]
    writer.add(
        sources(*(reading.entry for reading in good)), say("reading.within.all", items=phrase_list(items, mark=";"))
    )


def within(reading: Reading) -> list[Phrase]:
    """ "At high speed, the fan current was within limits, at 18.5 amps"."""
    kind = "reading.within.level" if reading.quantity == "level" and reading.value == 0 else "reading.within"
    first = fronted(say(kind, name=noun(reading), be=be(reading), v=value_of(reading)), conditions(reading))
    name = with_conditions(noun(reading), conditions(reading))
    return [first, *variants("reading.within", name=name, be=be(reading), v=value_of(reading))[1:]]


def _table(table: Table, writer: Writer) -> set[int]:
    """The sentences of a table; gives the numbers of the entries whose remark they told."""
    rows = table.rows
    bad = [row for row in rows if row.bad]
    good = [row for row in rows if row.good]
    other = [row for row in rows if not row.bad and not row.good]
    spread = rows[0].limits is not None and bool(rows[0].limits.spread)
    if good and not bad and not other:
        _all_good(table, writer)
        if spread and bound_of(rows[0]) is not None:
            writer.add(sources(*(row.entry for row in rows)), say("table.spread", spread=spread_of(rows[0])))
    elif other and not bad and not good:
        _values(table, writer)
    elif bad and spread and not other:
        _head(table, bad, good, writer)
    elif len(bad) == len(rows) and len({row.verdict.word for row in rows}) == 1 and limit_of(rows[0]) is not None:
        _all_bad(table, writer)
    elif len(rows) == 2 or other:
        told_of = {row.entry.no for row in (*bad, *other) if _row(row, writer)}
        _others(good, writer, alone=len(rows) == 2)
        return told_of
    else:
        _head(table, bad, good, writer)
    return set()


def _row(row: Reading, writer: Writer) -> bool:
    """One row in full; true where the remark beside it was told or must not be."""
    remark = Remark() if row.together > 1 or not row.alone else remark_of(row)
    if remark.contradicts:
        _plain(row, writer)
        return True
    writer.add(sources(row.entry), *_sayings(row, remark))
    if remark.own:
        writer.add(sources(row.entry), *variants("seen.plain", text=remark.own))
    return bool(remark.own or remark.inside)


def _plain(reading: Reading, writer: Writer) -> None:
    """Value and limit without a verdict: the typed word beside it says otherwise, and the shop is asked."""
    said = fronted(full(reading), conditions(reading))
    limit = limit_of(reading)
    writer.add(sources(reading.entry), (*(say("reading.limit", said=said, limit=limit) if limit else said), Lit(".")))


def _head(table: Table, bad: list[Reading], good: list[Reading], writer: Writer) -> None:
    """Three or more: what they must be, each bad one, then the rest within limits."""
    first = table.rows[0]
    bound = bound_of(first)
    everyone = sources(*(row.entry for row in table.rows))
    if bound is not None:
        names = names_of(table)
        kind = f"form.{first.quantity}" if has(f"form.{first.quantity}") else "form.other"
        said = say("table.head", names=names, form=say(kind, bound=bound))
        writer.add(everyone, fronted(said, conditions(first)))
    if first.limits is not None and first.limits.spread:
        writer.add(everyone, say("table.spread", spread=spread_of(first)))
    for row in bad:
        numbered = row.counted and not row.label
        said = say("table.row", place=place_of(row), v=value_of(row)) if numbered else full(row, row=True)
        if row.word:
            said = say("reading.word.bad", name=noun(row), v=value_of(row), verdict=verdict_words(row))
            writer.add(sources(row.entry), (*said, Lit(".")))
        else:
            writer.add(sources(row.entry), (*say("reading.which", said=said, verdict=verdict_words(row)), Lit(".")))
    _others(good, writer, alone=False)


def _others(good: list[Reading], writer: Writer, *, alone: bool) -> None:
    if not good:
        return
    if alone or len(good) == 1:
        row = good[0]
        writer.add(sources(row.entry), say("table.other.one", place=place_of(row), v=value_of(row)))
        return
    items = [say("table.item", place=place_of(row), v=value_of(row)) for row in good]
    writer.add(
        sources(*(row.entry for row in good)),
        say("table.other", count=counted(good[0].entry, "run", len(good)), items=phrase_list(items)),
    )


def place_of(row: Reading) -> Phrase:
    """The position of a row: "left front outer", "cylinder 3"."""
    if row.place:
        return (told(row.entry, "run", row.place, "place" if row.counted else "told"),)
    words = [word for word in (row.thing.bare if row.thing else row.what).split() if word in PLACES]
    return (told(row.entry, "what", " ".join(words) or (row.thing.bare if row.thing else row.what)),)


def names_of(table: Table) -> Phrase:
    """The things of a table together: "the front brake pads", "the cylinders"."""
    first = table.rows[0]
    if first.quantity in _NAMES and first.thing is not None and first.thing.head == "cylinder":
        return say(f"names.{first.quantity}")
    sides = _common_sides(table)
    bare = [word for word in (first.thing.bare if first.thing else first.what).split() if word not in _places(table)]
    words = [word for word in bare if word not in tag.SIDES]
    if first.thing is not None and not first.thing.many:
        words = _many(words, first)
    return (told(first.entry, "what", " ".join(["the", *sides, *words])),)


def _many(words: list[str], first: Reading) -> list[str]:
    """The head noun in the plural, unless it is a quantity, which all things share: "the tire pressure"."""
    if not words or (first.thing is not None and words[-1] != first.thing.head):
        return words
    last = tag.noun(Token(words[-1], WORD))
    if last is None or last.kind == "quantity" or not last.counted or first.quantity in ("level", "gap", "play"):
        return words
    return [*words[:-1], plural_of(words[-1])]


def _places(table: Table) -> frozenset[str]:
    """Words that are positions in this table and no part of the shared name."""
    labels = [set(row.place.split()) for row in table.rows]
    return frozenset().union(*labels) if labels else frozenset()


def _common_sides(table: Table) -> list[str]:
    named = [set((row.thing.bare if row.thing else "").split()) & tag.SIDES for row in table.rows]
    common = set.intersection(*named) if named else set()
    return [side for side in ("left", "right", "front", "rear") if side in common]


def _all_good(table: Table, writer: Writer) -> None:
    first = table.rows[0]
    everyone = sources(*(row.entry for row in table.rows))
    limit = limit_of(first)
    ranked = sorted((row for row in table.rows if row.value is not None), key=lambda row: row.value or 0)
    if first.quantity == "level" or len(ranked) < len(table.rows) or limit is None:
        _values(table, writer)
        return
    least, most = ranked[0], ranked[-1]
    names = names_of(table)
    if least.value == most.value:
        span = value_of(least)
    else:
        span = (told(least.entry, "run", least.number.lstrip("+"), "number"), Lit(" to "), *value_of(most))
    kind = f"span.{first.quantity}" if has(f"span.{first.quantity}") else "span.other"
    if kind == "span.other" and _plural_name(names):
        kind = "span.many"
    shown = say(kind, span=span)
    said = say("table.good", names=names, span=shown, limit=limit)
    writer.add(everyone, (*fronted(said, conditions(first)), Lit(".")))


def _all_bad(table: Table, writer: Writer) -> None:
    """ "The front discs were too thin: left front 21.4 mm and right front 21.8 mm; at least 22.0 mm is needed"."""
    first = table.rows[0]
    names = names_of(table)
    verb = Lit("were" if _plural_name(names) else "was")
    said = say(f"brief.{first.quantity}", name=names, be=verb, verdict=verdict_words(first, brief=True))
    items = phrase_list([say("table.item", place=place_of(row), v=value_of(row)) for row in table.rows])
    said = say("table.bad", said=said, items=items, limit=limit_of(first) or ())
    writer.add(sources(*(row.entry for row in table.rows)), (*fronted(said, conditions(first)), Lit(".")))


def _plural_name(names: Phrase) -> bool:
    last = tag.noun(Token(text_of(names).split(" ")[-1], WORD))
    return last is not None and last.many


def _values(table: Table, writer: Writer) -> None:
    """Readings without a verdict: their values by position."""
    first = table.rows[0]
    items = [say("table.item", place=place_of(row), v=value_of(row)) for row in table.rows]
    limit = limit_of(first)
    said = say("table.values", names=names_of(table), items=phrase_list(items))
    if limit is not None and all(row.good for row in table.rows):
        said = (*said, Lit("; "), *limit)
    writer.add(sources(*(row.entry for row in table.rows)), (*fronted(said, conditions(first)), Lit(".")))
