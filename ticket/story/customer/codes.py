"""What the computers had stored: a code tells what a computer noticed, never what is broken."""

from ticket.faults.meaning import Meaning, meaning
from ticket.faults.table import with_own
from ticket.job.entry import Entry
from ticket.job.kinds import Code
from ticket.story.catalogue import has, say, variants
from ticket.story.context import Job, counted, sources, told
from ticket.story.lists import phrase_list
from ticket.story.sentence import Lit, Phrase, Val, text_of, words_in
from ticket.story.words.spell import join, spell
from ticket.story.writer import Writer

_HEADS = {
    "": "stored", "stored": "stored", "stored again": "again", "pending": "pending", "permanent": "permanent",
    "active": "active", "active again": "active", "previously active": "previous", "intermittent": "intermittent",
    "cleared": "cleared", "history": "previous",
}  # fmt: skip
_UNITS = ("computer", "unit", "module", "controller", "brakes", "cluster")
_LONG = 24  # words, "which stands for" apart
_EMPTY = frozenset("a an the of that is too in on to and it not with".split())


def arrival_codes(job: Job, letter: str) -> list[tuple[Entry, Code]]:
    """Codes that tell how the vehicle came in; those read after the repair belong to the proof."""
    return [pair for pair in job.each(Code, letter) if pair[1].moment in ("", "at arrival")]


def later_codes(job: Job, letter: str) -> list[tuple[Entry, Code]]:
    """Codes read after the repair or after the road test."""
    return [pair for pair in job.each(Code, letter) if pair[1].moment not in ("", "at arrival")]


def meaning_of(job: Job, fact: Code) -> Meaning:
    """What a code means, by the shop's own table where it has one."""
    return meaning(fact.code, fact.sub, with_own(job.case.codes) if job.case.codes else None)


def tell_codes(job: Job, codes: list[tuple[Entry, Code]], writer: Writer, *, after: bool = False) -> None:
    """One sentence a code; three or more of one unit in one list."""
    done: set[int] = set()
    for entry, fact in codes:
        if entry.no in done:
            continue
        same = [pair for pair in codes if _together(pair[1], fact)]
        if len(same) > 2 and not after:
            done |= {other.no for other, _ in same}
            _list(job, same, writer)
        elif fact.code == "none":
            writer.add(sources(entry), _none(entry, fact, after=after))
        else:
            _one(job, entry, fact, writer, after=after)


def _together(one: Code, other: Code) -> bool:
    return (
        "none" not in (one.code, other.code) and bool(one.unit) and (one.unit, one.status) == (other.unit, other.status)
    )


def unit_name(text: str) -> str:
    """The control unit in plain words, without an article."""
    pieces = spell(text)
    words = join(pieces) if pieces else text
    words = words.removeprefix("the ").strip()
    if words.endswith("control"):
        words += " unit"
    return words


def where_of(text: str) -> str:
    """ "any of the 9 control units", from "in any of ..."."""
    return text.removeprefix("in ").strip()


def code_parts(entry: Entry, fact: Code) -> Phrase:
    """The code, with its sub-code where there is one."""
    code = told(entry, "code", fact.code, "typed")
    if not fact.sub:
        return (code,)
    if fact.code.startswith("SPN"):
        return (code, Lit(" "), told(entry, "sub", fact.sub, "typed"))
    return (code, *say("code.sub", sub=told(entry, "sub", fact.sub, "typed")))


def _head(entry: Entry, fact: Code) -> tuple[Phrase, ...]:
    kind = _HEADS.get(fact.status, "stored")
    truck = fact.code.startswith("SPN")
    code = code_parts(entry, fact)
    if not fact.unit:
        name = f"code.nowhere.{kind}" if has(f"code.nowhere.{kind}") else "code.nowhere"
        return variants(name, code=code)
    name = "code.active.code" if kind == "active" and not truck else f"code.{kind}"
    return variants(name, unit=told(entry, "unit", unit_name(fact.unit)), code=code)


def _one(job: Job, entry: Entry, fact: Code, writer: Writer, *, after: bool) -> None:
    heads = _head(entry, fact)
    if fact.times:
        times = say("code.counted", times=told(entry, "times", fact.times, "typed"))
        heads = tuple((*head, *times) for head in heads)
    if after:
        heads = tuple(say("code.after", rest=_lower(head)) for head in heads)
    known = meaning_of(job, fact)
    truck = fact.code.startswith("SPN")
    if truck:
        writer.add(sources(entry), *((*head, Lit(".")) for head in heads))
        _truck(entry, known.what, known.failure or "", known.words, writer)
        return
    _with_meaning(entry, heads, known, writer)
    if known.words and known.sub_words and not _within(known.sub_words, known.words):
        narrow = say("code.narrow", meaning=told(entry, "sub", known.sub_words, "meaning"))
        if all(sentence.text != text_of(narrow) for sentence in writer.sentences):
            writer.add(sources(entry), narrow)


def _with_meaning(entry: Entry, heads: tuple[Phrase, ...], known: Meaning, writer: Writer) -> None:
    """The code and what it stands for: in its sentence, behind it where that is long, and once for every code."""
    field, kind = ("code", "code.stands") if known.words else ("sub", "code.sub.means")
    words = known.words or known.sub_words
    if not words:
        writer.add(sources(entry), *((*head, Lit(".")) for head in heads))
        writer.add(sources(entry), say("code.unknown"))
        return
    stands: Phrase = (told(entry, field, words, "meaning"),)
    again = any(isinstance(part, Val) and part.text == words for item in writer.sentences for part in item.parts)
    apart = words_in((*heads[0], *stands)) > _LONG or (field == "sub" and "," in text_of(heads[0]))
    tail = (Lit("."),) if again or apart else (*say("code.means", meaning=stands), Lit("."))
    writer.add(sources(entry), *((*head, *tail) for head in heads))
    if apart and not again:
        writer.add(sources(entry), say(kind, meaning=stands))


def _truck(entry: Entry, what: str, failure: str, words: str, writer: Writer) -> None:
    if words:
        writer.add(sources(entry), say("code.truck.what", what=told(entry, "code", words, "meaning")))
    elif what and failure:
        parts = {"what": told(entry, "code", what, "meaning"), "failure": told(entry, "sub", failure, "meaning")}
        writer.add(sources(entry), *variants("code.truck", **parts))
    elif what:
        writer.add(sources(entry), say("code.truck.what", what=told(entry, "code", what, "meaning")))
    else:
        writer.add(sources(entry), say("code.unknown"))


def _within(words: str, meaning_words: str) -> bool:
    """Whether the sub-code says nothing that the meaning does not say already."""
    return set(words.split()) - _EMPTY <= set(meaning_words.split())


def _lower(phrase: Phrase) -> Phrase:
    first = phrase[0]
    if isinstance(first, Lit):
        return (Lit(first.text[:1].lower() + first.text[1:]), *phrase[1:])
    return phrase


def _none(entry: Entry, fact: Code, *, after: bool) -> Phrase:
    if after:
        return say("code.none.after")
    if not fact.unit:
        return say("code.none")
    where = where_of(fact.unit)
    if where.split(" ")[0] in ("any", "all", "the"):
        return say("code.none.where", where=told(entry, "unit", where))
    return say("code.none.unit", unit=told(entry, "unit", unit_name(where)))


def _list(job: Job, codes: list[tuple[Entry, Code]], writer: Writer) -> None:
    items: list[Phrase] = []
    for entry, fact in codes:
        known = meaning_of(job, fact)
        code = code_parts(entry, fact)
        if known.words:
            items.append(say("code.list.means", code=code, meaning=told(entry, "code", known.words, "meaning")))
        else:
            items.append(say("code.list.item", code=code))
    entry, fact = codes[0]
    unit = told(entry, "unit", unit_name(fact.unit))
    number = counted(entry, "code", len(codes))
    writer.add(
        sources(*(entry for entry, _ in codes)),
        say("code.list", unit=unit, count=number, codes=phrase_list(items)),
    )
