"""What was done, what it took and who pays, and how we know, in the other language."""

from itertools import groupby

from ticket.job.entry import Entry
from ticket.job.kinds import Did, Proof, Used
from ticket.job.numbers import whole
from ticket.job.values import Ref
from ticket.readings.groups import measures, seen
from ticket.readings.units import find
from ticket.story.context import sources, told
from ticket.story.customer.codes import later_codes
from ticket.story.facts.concern_facts import ConcernFacts
from ticket.story.other.clauses import Labour
from ticket.story.other.found import tell_code, tell_run, tell_seen
from ticket.story.other.measured import level, limit, name_of, sentence, taken, value
from ticket.story.other.talk import Talk, stop
from ticket.story.readings import Reading
from ticket.story.repeats import Repeated, repeated, taken_before
from ticket.story.sentence import TICKET, Phrase
from ticket.story.words.labour import tasks
from ticket.story.writer import Writer

_PIECES = frozenset({"", "x", "pc", "pcs", "piece", "pieces", "ea", "each"})


def tell_work(talk: Talk, letter: str, writer: Writer) -> None:
    """Labour, then parts, then who pays."""
    works = list(talk.job.each(Did, letter))
    parts = list(talk.job.each(Used, letter))
    for entry, fact in works:
        _did(talk, entry, fact, writer)
    items = [(entry, part_phrase(talk, entry, used)) for entry, used in parts if used.condition != "sublet"]
    for group in _lines(items):
        listed = talk.listed([phrase for _, phrase in group])
        writer.add(sources(*(entry for entry, _ in group)), *map(stop, talk.variants("used", items=listed)))
    for entry, used in parts:
        if used.condition == "sublet":
            writer.add(sources(entry), stop(talk.say("used.sublet", text=talk.bare(entry, "text", used.text))))
    _pays(talk, [*((entry, fact) for entry, fact in works), *parts], writer)


def _lines(items: list[tuple[Entry, Phrase]], most: int = 4) -> list[list[tuple[Entry, Phrase]]]:
    return [items[i : i + most] for i in range(0, len(items), most)]


def _did(talk: Talk, entry: Entry, fact: Did, writer: Writer) -> None:
    """What we did; pieces of unknown words quoted by themselves, bare diagnosis by its hours."""
    known, unknown = tasks(fact.text)
    if fact.hours and len(known) == 1 and not unknown and not known[0].things and known[0].works[0].kind == "look":
        hours = talk.measure(entry, "hours", fact.hours, "h")
        writer.add(sources(entry), stop(talk.say("did.look", hours=hours)))
        return
    run: list[Phrase] = []
    for piece in [*talk.reader.labour(fact.text), None]:
        if isinstance(piece, Labour):
            run.append((told(entry, "text", piece.done),))
            continue
        if run:
            writer.add(sources(entry), *map(stop, talk.variants("did", tasks=talk.listed(run))))
            run = []
        if piece is not None:
            writer.add(sources(entry), *map(stop, talk.variants("did.quoted", text=talk.quoted(entry, "text", piece))))


def part_phrase(talk: Talk, entry: Entry, fact: Used) -> Phrase:
    """A part with its count or measure and its condition; never its number or price."""
    group = talk.reader.group(fact.text)
    condition: Phrase = ()
    if fact.condition and fact.condition != "sublet":
        row = talk.language.terms.one("adj", fact.condition)
        cls = group.cls if group is not None else talk.language.terms.classes[0]
        many = whole(fact.amount) > 1
        cls = talk.language.terms.plural_class.get(cls, cls) if many else cls
        if row is not None and group is not None:
            condition = (told(entry, "condition", talk.language.terms.form(row.told, cls)),)
        else:
            condition = talk.term(entry, "condition", fact.condition)
    words = talk.bare(entry, "text", fact.text)
    unit = fact.unit.lower()
    count = whole(fact.amount)
    if unit in _PIECES and count > 1:
        words = _several(talk, entry, fact.text)
    described = talk.say("used.condition", words=words, condition=condition) if condition else words
    if not fact.amount:
        return described
    known = find(fact.unit)
    if unit in _PIECES or (known is not None and known.dimension.startswith("pieces")):
        cls = group.cls if group is not None else ""
        if unit in _PIECES and count and group is not None:
            shown = talk.count(
                entry, "amount", count, talk.language.terms.plural_class.get(cls, cls) if count > 1 else cls
            )
            return talk.say("used.item", count=shown, words=described)
        if unit in _PIECES:
            return talk.say("used.times", count=talk.number(entry, "amount", fact.amount), words=described)
    if known is None:
        amount: Phrase = (told(entry, "amount", f"{fact.amount} {fact.unit}".strip(), "typed"),)
    else:
        amount = talk.measure(entry, "amount", fact.amount, fact.unit)
    return talk.say("used.measure", amount=amount, words=described)


def _several(talk: Talk, entry: Entry, text: str) -> Phrase:
    """The description in the plural, where the words typed in the singular have one."""
    from ticket.story.words.forms import plural

    head, space, rest = text.partition(" with ")
    many = f"{plural(head)}{space}{rest}"
    for typed in (many, text):
        if talk.reader.group(typed) is not None:
            return talk.bare(entry, "text", typed)
    return talk.quoted(entry, "text", text)


def _pays(talk: Talk, lines: list[tuple[Entry, Did | Used]], writer: Writer) -> None:
    """Who pays, where it is another than the customer."""
    payers = {fact.pays or "customer" for _, fact in lines}
    for payer in ("warranty", "contract", "shop"):
        paid = [(entry, fact) for entry, fact in lines if fact.pays == payer]
        if not paid:
            continue
        if len(payers) == 1:
            kinds = {type(fact) for _, fact in paid}
            what = "both" if len(kinds) == 2 else "work" if kinds == {Did} else "parts"
            writer.add(sources(*(entry for entry, _ in paid)), talk.say(f"pays.{payer}.{what}"))
            continue
        items = [line_name(talk, entry, fact) for entry, fact in paid]
        writer.add(
            sources(*(entry for entry, _ in paid)), stop(talk.say(f"pays.{payer}.items", items=talk.listed(items)))
        )


def line_name(talk: Talk, entry: Entry, fact: Did | Used) -> Phrase:
    """A line of the bill by its name: the part, or the work as something to do."""
    return part_phrase(talk, entry, fact) if isinstance(fact, Used) else todo(talk, entry, fact.text)


def todo(talk: Talk, entry: Entry | Ref, text: str, field: str = "text") -> Phrase:
    """Labour as something to do; the typed words where a piece of it is not known."""
    pieces = talk.reader.labour(text)
    if not pieces or any(isinstance(piece, str) for piece in pieces):
        return talk.say("todo.quoted", text=talk.quoted(entry, field, text))
    return talk.listed([(told(entry, field, piece.todo),) for piece in pieces if isinstance(piece, Labour)])


def tell_proofs(talk: Talk, letter: str, writer: Writer) -> None:
    """Every verification; where work was done and nothing tested, that too."""
    for entry, fact in talk.job.each(Proof, letter):
        held = taken(talk, entry)
        first = taken_before(talk.job, entry)
        pairs = list(zip(held, first.olds if first is not None else (None,) * len(held), strict=True))
        for _, together in groupby(pairs, key=lambda pair: pair[0].group):
            rows, olds = zip(*together, strict=True)
            if len(rows) > 1:
                more = first.refs(*olds) if first is not None else ()
                tell_run(talk, entry, rows, writer, *more, again=first is not None)
            else:
                _reading(talk, entry, rows[0], first, olds[0], writer)
        text = seen(fact)
        if text.strip():
            tell_seen(talk, entry, "what" if not measures(fact) and fact.what else "seen", text, writer)
        if fact.result:
            writer.add(sources(entry), talk.say(f"proof.{fact.result}"))
    for entry, code in later_codes(talk.job, letter):
        tell_code(talk, entry, code, writer, after=True)
    if ConcernFacts(talk.job, letter).carrying and not writer.sentences:
        writer.add((TICKET,), talk.say("proof.none"))


def _reading(
    talk: Talk, entry: Entry, reading: Reading, first: Repeated | None, before: Reading | None, writer: Writer
) -> None:
    named = name_of(talk, entry, reading)
    old = repeated(reading, before)
    if first is None or old is None or reading.value is None or old.value is None:
        kind = "proof" if first is None else "proof.again"
        writer.add(sources(entry), *map(stop, sentence(talk, reading, named, kind)))
        return
    shape = "level" if level(reading) else "plain"
    word = "same" if reading.value == old.value else "other"
    heads = talk.variants(
        f"proof.pair.{shape}.{word}", thing=named.phrase, v=value(talk, reading), old=value(talk, old)
    )
    if reading.bad:
        still = "still" if old.verdict.word == reading.verdict.word else "bad"
        heads = tuple(talk.say(f"proof.{still}.{reading.verdict.word}", said=head) for head in heads)
    elif reading.verdict.word == "undecided":
        heads = tuple(talk.say("verdict.undecided", said=head) for head in heads)
    behind = limit(talk, reading)
    said = (talk.say("reading.limit", said=head, limit=behind) if behind else head for head in heads)
    writer.add((Ref(entry.no), *first.refs(old)), *map(stop, said))
