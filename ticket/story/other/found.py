"""What was found, in the other language: codes, readings, observations, balances, then all that was within limits."""

from ticket.job.entry import Entry
from ticket.job.kinds import Code, Found
from ticket.job.values import Ref
from ticket.readings.balance_line import balance_of
from ticket.readings.groups import seen
from ticket.story.context import sources, told
from ticket.story.customer.codes import meaning_of
from ticket.story.other.balance import tell_balance
from ticket.story.other.measured import Named, limit, name, name_of, place, sentence, side_by_side, spread, taken, value
from ticket.story.other.talk import Talk, joined, stop
from ticket.story.readings import Reading
from ticket.story.sentence import Phrase
from ticket.story.writer import Writer

_STATUS = {
    "": "stored", "stored": "stored", "stored again": "again", "pending": "pending", "permanent": "permanent",
    "active": "active", "active again": "active", "previously active": "previous", "intermittent": "intermittent",
    "cleared": "cleared", "history": "previous",
}  # fmt: skip


# --- codes -----------------------------------------------------------------------------------------------------------


def tell_code(talk: Talk, entry: Entry, fact: Code, writer: Writer, *, after: bool = False) -> None:
    """A code with its sub-code and its unit; then what it stands for."""
    unit = talk.the(entry, "unit", fact.unit) if fact.unit else ()
    if fact.code == "none":
        kind = "code.none.after" if after else "code.none"
        where = talk.the(entry, "unit", fact.unit.removeprefix("in "), "in") if fact.unit and not after else ()
        writer.add(sources(entry), *(talk.variants(f"{kind}.where", where=where) if where else talk.variants(kind)))
        return
    kind = f"code.{_STATUS.get(fact.status, 'stored')}"
    code = code_phrase(talk, entry, fact)
    heads = talk.variants(kind if unit else f"{kind}.nowhere", code=code, unit=unit)
    if fact.times:
        times = fact.times.split(" ")
        shown = talk.number(entry, "times", times[0]) if times[0].isdigit() else talk.quoted(entry, "times", fact.times)
        heads = tuple(talk.say("code.counted", said=head, times=shown) for head in heads)
    if after:
        heads = tuple(talk.say("code.after", said=head) for head in heads)
    writer.add(sources(entry), *map(stop, heads))
    _meaning(talk, entry, fact, writer)


def code_phrase(talk: Talk, entry: Entry, fact: Code) -> Phrase:
    """ "P0562 con subcódigo 16"."""
    code: Phrase = (told(entry, "code", fact.code, "typed"),)
    if not fact.sub:
        return code
    sub: Phrase = (told(entry, "sub", fact.sub, "typed"),)
    return talk.say("code.sub.truck" if fact.code.startswith("SPN") else "code.sub", code=code, sub=sub)


def meaning_phrase(talk: Talk, entry: Entry, field: str, words: str) -> tuple[Phrase, bool]:
    """What a table says, in the language where the terms have it; whether they do."""
    row = talk.language.terms.one("code", words)
    if row is not None:
        return (told(entry, field, row.told, "meaning"),), True
    group = talk.reader.group(words)
    if group is not None:
        return (told(entry, field, talk.grammar.bare(group), "meaning"),), True
    return (told(entry, field, words, "meaning"),), False


def _meaning(talk: Talk, entry: Entry, fact: Code, writer: Writer) -> None:
    known = meaning_of(talk.job, fact)
    whole = known.words
    pieces = [(whole, "code", "code.means")] if whole else [(known.what, "code", "code.means.what")]
    pieces += [(known.sub_words or known.failure, "sub", "code.means.sub")] if fact.sub else []
    told_any = False
    for words, field, kind in pieces:
        if not words or (field == "sub" and words in whole):
            continue
        phrase, here = meaning_phrase(talk, entry, field, words)
        writer.add(sources(entry), *talk.variants(kind if here else f"{kind}.english", meaning=phrase))
        told_any = True
    if not told_any:
        writer.add(sources(entry), talk.say("code.unknown"))


# --- findings --------------------------------------------------------------------------------------------------------


def tell_findings(talk: Talk, entries: list[Entry], writer: Writer) -> None:
    """Findings as typed; the readings within limits last, in one breath."""
    good: list[tuple[Reading, Named]] = []
    for entry in entries:
        fact = entry.fact
        if not isinstance(fact, Found):
            continue
        if balance_of(fact) is not None:
            tell_balance(talk, entry, fact, writer)
            continue
        held = taken(talk, entry)
        for together in side_by_side(held):
            if len(together) > 1:
                tell_run(talk, entry, together, writer)
                continue
            reading, named = together[0], name_of(talk, entry, together[0])
            if reading.good:
                good.append((reading, named))
            else:
                writer.add(sources(entry), *map(stop, sentence(talk, reading, named)))
        text = seen(fact)
        if text.strip():
            tell_seen(talk, entry, "seen" if fact.seen else "what", text, writer)
    _good(talk, good, writer)


def _good(talk: Talk, good: list[tuple[Reading, Named]], writer: Writer) -> None:
    if len(good) == 1:
        reading, named = good[0]
        writer.add(sources(reading.entry), *map(stop, sentence(talk, reading, named)))
        return
    if good:
        items = [talk.say("within.item", thing=named.phrase, v=value(talk, reading)) for reading, named in good]
        writer.add(sources(*(one.entry for one, _ in good)), stop(talk.say("within.all", items=joined(items, "; "))))


def tell_run(
    talk: Talk, entry: Entry, held: tuple[Reading, ...], writer: Writer, *more: Ref, again: bool = False
) -> None:
    """Several readings typed together: each by its position, with its verdict; their limit once."""
    named = name(talk, entry, held[0].name)
    items = []
    for i, reading in enumerate(held, 1):
        item = talk.say("run.item", place=place(talk, reading, named.cls, i), v=value(talk, reading))
        word = reading.verdict.word
        items.append(talk.say(f"run.{word}", item=item) if word in ("low", "high", "undecided") else item)
    names = talk.variants("run.again" if again else "run", thing=named.phrase, items=joined(items, "; "))
    if held[0].verdict.word != "none" and all(reading.good for reading in held):
        names = tuple(talk.say("run.good", said=said) for said in names)
    behind = limit(talk, held[0])
    told_all = tuple(talk.say("reading.limit", said=said, limit=behind) if behind else said for said in names)
    writer.add(sources(entry, *more), *map(stop, told_all))
    limits = held[0].limits
    if limits is not None and limits.spread and (limits.low or limits.high or limits.nominal):
        writer.add(sources(entry), stop(talk.say("limit.spread", spread=spread(talk, entry, limits, held[0].unit))))


def tell_seen(talk: Talk, entry: Entry, field: str, text: str, writer: Writer) -> None:
    """What was seen, clause by clause; quoted where a word of it is not listed."""
    clauses = talk.clauses(entry, field, text)
    if clauses:
        writer.add(sources(entry), *talk.variants("seen.told", text=clause_list(talk, clauses)))
        return
    group = talk.reader.group(text)
    if group is not None:
        writer.add(sources(entry), *talk.variants("seen.thing", text=talk.bare(entry, field, text)))
        return
    writer.add(sources(entry), *talk.variants("seen.quoted", text=talk.quoted(entry, field, text)))


def clause_list(talk: Talk, clauses: list[Phrase]) -> Phrase:
    """Clauses side by side."""
    return joined(clauses, "; ") if any("," in part.text for one in clauses for part in one) else talk.listed(clauses)
