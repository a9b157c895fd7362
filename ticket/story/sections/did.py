"""What was done, what it took and who pays."""

import re
from dataclasses import replace
from itertools import takewhile

from ticket.job.entry import Entry
from ticket.job.kinds import Did, Used
from ticket.job.likeness import shared
from ticket.job.numbers import whole
from ticket.job.regex import Regex
from ticket.language.certain import read, read_name
from ticket.language.lexicon import look
from ticket.language.named_work import named_work, service
from ticket.language.quantities import plain
from ticket.language.records import Unsure
from ticket.language.terse import past, unnumbered
from ticket.readings.units import find
from ticket.story.context import sources, told
from ticket.story.facts.labour_kinds import looks_only, names_part, read_as, undecided
from ticket.story.sections.talk import Talk, stop
from ticket.story.sections.writer import Writer
from ticket.story.sentence import NOTE, SENTENCE, Lit, Phrase, words_in

_PIECES = frozenset({"", "x", "pc", "pcs", "piece", "pieces", "ea", "each"})
_SETS = frozenset({"set", "pair", "can", "bottle", "tube", "roll"})
_RATE = Regex(r"(?i)\s*;\s*rate [\w-]+\s*$")
"""A rate class that this shop does not have: it stayed in the words, and is no work."""
_OUTSIDE = Regex(r"(?i)\b(?:outside work|sublet|sent out)\b(?: to)?[\s,:]*")
_FREE = Regex(r"(?i)\s*[;,]\s*(?:n/c|no ch(?:ar)?ge?|free of charge|foc)\.?\Z")
"""That labour is not charged, typed behind it."""
_PAIRS = frozenset({"pr", "pair", "pairs", "sets", "kit"})
_AROUND = frozenset("assembly assemblies kit kits set sets".split())
_COUNTED = {"pr": "pair", "pair": "pair", "set": "set"} | {one: one for one in ("tube", "can", "bottle", "roll")}
_LONG_LIST = 28  # words of one sentence of parts


def tell_work(talk: Talk, letter: str, writer: Writer) -> None:
    """Labour, each line with the parts that are its own; then the other parts, and who pays."""
    works = list(talk.job.each(Did, letter))
    parts = list(talk.job.each(Used, letter))
    own = _own_parts(works, parts)
    rest = parts
    for entry, fact in works:
        if _did(
            talk, entry, fact, own.get(entry.no, []), writer
        ):  # a note stands at the end of the section, away from its parts
            mine = own.get(entry.no, [])
            _used(talk, mine, writer, "used")
            rest = [part for part in rest if part not in mine]
    _used(talk, rest, writer, "used.alone" if rest == parts else "used.rest")
    _pays(talk, works, parts, writer)


def _own_parts(works: list[tuple[Entry, Did]], parts: list[tuple[Entry, Used]]) -> dict[int, list[tuple[Entry, Used]]]:
    """The parts of each line of labour: all of them where there is one line, else those that it alone names."""
    if len(works) == 1:
        return {works[0][0].no: parts} if parts else {}
    own: dict[int, list[tuple[Entry, Used]]] = {}
    for part in parts:
        naming = [entry.no for entry, fact in works if names_part(fact.text, part[1].text)]
        if len(naming) == 1:
            own.setdefault(naming[0], []).append(part)
    return own


def _did(talk: Talk, entry: Entry, fact: Did, own: list[tuple[Entry, Used]], writer: Writer) -> bool:
    """A line of labour in one sentence, or whole as a note; bare diagnosis by its hours. Whether it is no note."""
    text = _RATE.sub("", fact.text)
    if fact.hours and looks_only(text, alone=True):
        hours = talk.measure(entry, "hours", fact.hours, "h")
        writer.add(sources(entry), stop(talk.say("did.look", hours=hours)))
        return False
    where = read_as(text, parts_used(talk))
    free = _FREE.search(text)
    work = text[: free.start()] if free is not None else text
    told_all = talk.lines(entry, "text", work, "did") if where == "did" else ()
    refs, form = sources(entry), talk.form(work, "did")
    if not told_all and talk.english and _put_in(work, own):
        told_all = talk.lines(entry, "text", f"fitted {work}", "did")
        refs, form = sources(entry, *(one for one, _ in own)), SENTENCE
    if not told_all and talk.english:
        told_all, form = _by_name(talk, entry, work), SENTENCE
    if not told_all:
        writer.add(sources(entry), talk.note(entry, "text", text, where), form=NOTE)
        return False
    for line in told_all:
        writer.add(refs, line, form=form)
    if free is not None:
        writer.add(sources(entry), talk.say("did.free"))
    return True


def _by_name(talk: Talk, entry: Entry, text: str) -> tuple[Phrase, ...]:
    """Work typed by its name: "We did a brake check"; a service with what it held behind a colon."""
    named = named_work(text)
    if named:
        items = talk.listed([(told(entry, "text", one),) for one in named])
        return (stop(talk.say("did.named", items=items)),)
    name, held = service(text)
    if not name:
        return ()
    said = talk.say("did.service", what=(told(entry, "text", name),))
    if not held:
        return (stop(said),)
    return (stop((*said, Lit(": "), told(entry, "text", past(held), "typed"))),)


_LONGEST_NAME = 120
"""Characters of a part's name as anybody types it."""


def _put_in(text: str, own: list[tuple[Entry, Used]]) -> bool:
    """Whether a line begins with bare things, of each of which a part of that name was used: they were put in."""
    pieces = takewhile(lambda piece: isinstance(read(piece, "did"), Unsure), map(str.strip, re.split("[,;]", text)))
    named = takewhile(lambda piece: len(piece) <= _LONGEST_NAME, pieces)  # a name costs more than its square to read
    bare = [held for held in takewhile(bool, map(read_name, named)) if held is not None]
    counted = _PIECES | _SETS | _PAIRS
    parts = [fact.text for _, fact in own if not bought_work(fact) and fact.unit.lower() in counted]
    put_in = {_last_word(plain(unnumbered(part.partition(",")[0]))) for part in parts}
    return (
        bool(bare)
        and {_last_word(" ".join(span.base for span in group.spans)) for held in bare for group in held.things.groups}
        <= put_in
    )


def _last_word(name: str) -> str:
    """What a name ends in, in the singular: a pad is no disc, whatever numbers stand behind it."""
    named = takewhile(lambda word: not word[:1].isdecimal(), name.lower().split(" "))
    words = [word for word in named if word.isalpha() and word not in _AROUND]
    many = next((one.base for one in look(words[-1]) if one.form == "many"), "") if words else ""
    return many or (words[-1].removesuffix("s") if words else "")


def parts_used(talk: Talk) -> tuple[str, ...]:
    """The descriptions of all parts used: they decide what "R&R" says.

    What another shop worked on went back on: "head set" is no new head where the head was planed.
    """
    used = [fact for _, fact in talk.job.each(Used)]
    sent = [fact.text for fact in used if bought_work(fact)]
    return tuple(
        fact.text for fact in used if not bought_work(fact) and not any(shared(fact.text, text) for text in sent)
    )


def _used(talk: Talk, parts: list[tuple[Entry, Used]], writer: Writer, name: str) -> None:
    held: list[tuple[Entry, Phrase]] = []
    for entry, fact in parts:
        if bought_work(fact):
            continue
        item = part_phrase(talk, entry, fact)
        if not item:
            amount = " ".join(part for part in (fact.amount, fact.unit) if part)
            typed = ", ".join(part for part in (f"{amount} {fact.text}".strip(), fact.condition) if part)
            writer.add(sources(entry), talk.note(entry, "text", typed, "used"), form=NOTE)
            continue
        if held and words_in(talk.say("used", items=talk.listed([*(one for _, one in held), item]))) > _LONG_LIST:
            _took(talk, held, writer, name)
            held = []
        held.append((entry, item))
    _took(talk, held, writer, name)
    for entry, fact in parts:
        if bought_work(fact):
            note = talk.note(entry, "text", _OUTSIDE.sub("", fact.text), "used")
            own = talk.as_typed
            label = own.title("used.sublet.label")
            said = own.say("labelled", label=own.say("used.sublet.label"), text=note)
            writer.add(sources(entry), said, form=NOTE, label=label)


def bought_work(fact: Used) -> bool:
    """Work done elsewhere, by its condition or its words."""
    return fact.condition == "sublet" or bool(_OUTSIDE.search(fact.text))


def _with_unit(fact: Used) -> Used:
    """A part whose description begins with the word it is counted by: "1 x pr front discs"."""
    first, _, rest = fact.text.partition(" ")
    named = _COUNTED.get(first.lower().removesuffix("s"))
    if named is None or not rest or fact.unit.lower() not in _PIECES:
        return fact
    return replace(fact, unit=named, text=rest.removeprefix("of "))


def _took(talk: Talk, held: list[tuple[Entry, Phrase]], writer: Writer, name: str) -> None:
    """One sentence of parts: what the work in front of it took, or simply what was used."""
    if held:
        listed = talk.listed([phrase for _, phrase in held])
        writer.add(sources(*(entry for entry, _ in held)), *map(stop, talk.variants(name, items=listed)))


def part_phrase(talk: Talk, entry: Entry, fact: Used) -> Phrase:
    """A part with its count or measure and its condition, never its number or price; nothing where uncertain."""
    fact = _with_unit(fact)
    unit = fact.unit.lower()
    one = unit.removesuffix("s")
    count = whole(fact.amount)
    several = (unit in _PIECES and count > 1) or one in _SETS
    condition = fact.condition if fact.condition != "sublet" else ""
    found = talk.leaves.part(fact.text, several=several, condition=condition)
    if found is None:
        return ()
    words: Phrase = (told(entry, "text", found[0]),)
    cls = found[1]
    if not fact.amount:
        return words
    if unit in _PIECES and count and (count > 1 or not talk.leaves.many(fact.text)):
        return talk.say("used.item", count=talk.count(entry, "amount", count, cls), words=words)
    known = find(fact.unit)
    if unit in _PIECES:
        return talk.say("used.times", count=talk.number(entry, "amount", fact.amount), words=words)
    if one in _SETS and count and talk.has(f"used.{one}"):
        return talk.say(f"used.{one}", count, count=talk.count(entry, "amount", count), words=words)
    if known is None:
        amount: Phrase = (told(entry, "amount", f"{fact.amount} {fact.unit}".strip(), "typed"),)
    else:
        amount = talk.measure(entry, "amount", fact.amount, fact.unit)
    return talk.say("used.measure", amount=amount, words=words)


def _pays(talk: Talk, works: list[tuple[Entry, Did]], parts: list[tuple[Entry, Used]], writer: Writer) -> None:
    """Who pays, where it is another than the customer: for all of it, for the work, for the parts, or for some."""
    lines: list[tuple[Entry, Did | Used]] = [*works, *parts]
    payers = {fact.pays or "customer" for _, fact in lines}
    for payer in ("warranty", "contract", "shop"):
        paid = [(entry, fact) for entry, fact in lines if fact.pays == payer]
        if not paid:
            continue
        refs = sources(*(entry for entry, _ in paid))
        if len(payers) == 1:
            what = "both" if works and parts else "work" if works else "parts"
            writer.add(refs, talk.say(f"pays.{payer}.{what}"))
            continue
        done = [pair for pair in paid if isinstance(pair[1], Did)]
        fitted = [pair for pair in paid if isinstance(pair[1], Used)]
        names = [line_name(talk, entry, fact) for entry, fact in paid]
        if (len(done) == len(works) or not done) and (len(fitted) == len(parts) or not fitted):
            writer.add(refs, talk.say(f"pays.{payer}.{'both' if done and fitted else 'work' if done else 'parts'}"))
        elif all(names):
            writer.add(refs, stop(talk.say(f"pays.{payer}.items", items=talk.listed(names))))
        else:
            writer.add(refs, talk.say(f"pays.{payer}.some"))


def line_name(talk: Talk, entry: Entry, fact: Did | Used) -> Phrase:
    """A line of the bill by its name: the part, or the work; nothing where uncertain."""
    if isinstance(fact, Used):
        return part_phrase(talk, entry, fact)
    open_words = undecided(fact.text, parts_used(talk))
    return () if open_words else talk.doing(entry, "text", fact.text)
