"""What the computers had stored: a code tells what a computer noticed, never what is broken."""

from dataclasses import replace

from ticket.faults.code_meaning import Meaning, meaning
from ticket.faults.table import with_own
from ticket.job.entry import Entry
from ticket.job.kinds import Code
from ticket.job.likeness import content_words
from ticket.job.regex import Regex
from ticket.language.certain import read_group
from ticket.language.letters import head_word
from ticket.language.lexicon import look
from ticket.language.quantities import plain
from ticket.language.spans import spans
from ticket.notes.open_pieces import unit_of
from ticket.story.context import Job, sources, told
from ticket.story.sections.talk import Talk, joined, stop
from ticket.story.sections.writer import Writer
from ticket.story.sentence import LISTED, NOTE, Phrase, text_of, words_in

_STATUS = {
    "": "stored", "stored": "stored", "stored again": "again", "pending": "pending", "permanent": "permanent",
    "active": "active", "active again": "active", "previously active": "previous", "intermittent": "intermittent",
    "cleared": "cleared", "history": "previous",
}  # fmt: skip
_SHORT = 7  # words typed beside a code that stand in brackets behind it
_LONG = 24  # words, "which stands for" apart
_BESIDE = Regex(r"(?i)\A[\s;:,=–-]*(?:(?:means|meaning|stands for|reads|i\.?e\.?)\s+)?")
"""What stands in front of the words that were typed beside a code."""
_PARTS = frozenset(
    "sensor switch valve relay coil injector motor circuit wire plug lamp bulb pump thermostat solenoid actuator "
    "filter fan line hose belt cylinder fuse button pedal wheel".split()
)
"""Things that store no codes: typed beside one they say what it is about."""
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


def tell_codes(talk: Talk, codes: list[tuple[Entry, Code]], writer: Writer, *, after: bool = False) -> None:
    """One sentence a code and what it stands for; three or more of one unit in one list."""
    done: set[int] = set()
    for entry, fact in codes:
        same = [pair for pair in codes if _together(pair[1], fact)]
        if entry.no in done:
            continue
        if len(same) > 2 and not after:
            done |= {other.no for other, _ in same}
            _list(talk, same, writer)
        elif fact.code == "none":
            _none(talk, entry, fact, writer, after=after)
        else:
            _one(talk, entry, fact, writer, after=after)


def _together(one: Code, other: Code) -> bool:
    return (
        "none" not in (one.code, other.code) and bool(one.unit) and (one.unit, one.status) == (other.unit, other.status)
    )


def _none(talk: Talk, entry: Entry, fact: Code, writer: Writer, *, after: bool) -> None:
    where = fact.unit.removeprefix("in ").strip()
    if after or not where:
        writer.add(sources(entry), *talk.variants("code.none.after" if after else "code.none"))
        return
    inside = talk.thing(entry, "unit", where, "in")
    if not inside and talk.english:
        open_group = where.split(" ")[0] in ("any", "all", "the", "both")
        inside = joined([(told(entry, "unit", "in" if open_group else "in the"),), _unit(talk, entry, where)], " ")
    writer.add(sources(entry), *talk.variants("code.none.where" if inside else "code.none", where=inside))


def _unit(talk: Talk, entry: Entry, text: str) -> Phrase:
    """The control unit in plain words, without an article; as typed in English where it is no certain thing."""
    words = talk.thing_or_typed(entry, "unit", text, "bare")
    said = text_of(words).removeprefix("the ").strip()
    if talk.english and said.endswith("control"):
        said += " unit"
    return (told(entry, "unit", said),) if said else ()


def beside(fact: Code) -> tuple[str, str]:
    """The control unit typed beside a code, and what was typed about the code itself."""
    head, mark, rest = unit_of(fact).partition(";")
    if _names_unit(head):
        return head.strip(), _BESIDE.sub("", rest).strip()
    return "", _BESIDE.sub("", f"{head}{mark}{rest}").strip()


def _unit_phrase(talk: Talk, entry: Entry, fact: Code) -> Phrase:
    """ "the engine computer"; nothing where there is none or it has no certain words."""
    unit = beside(fact)[0]
    if not unit:
        return ()
    if talk.english:
        return talk.say("code.unit", unit=_unit(talk, entry, unit))
    return talk.thing(entry, "unit", unit)


def _names_unit(text: str) -> bool:
    """Whether the words beside a code name a control unit; "boost too low" names none, nor does "random misfire"."""
    held = spans(text)
    if not held or any({"degree", "not", "no"} & {span.cls, *span.also} for span in held):
        return False
    named = read_group(text)
    if named is None:
        return len(held) == 1 and held[0].cls == "unknown" and text.strip().isupper()  # "BCM", not "underboost"
    head = head_word(named.groups[-1].head)
    told_as = (head.base if head is not None else held[-1].base).rpartition(" ")[2].removesuffix("s")
    if len(held) > 1 and told_as.endswith("ing"):
        return False  # "inverter cooling", "battery charging": what goes on is no computer
    if told_as == "control" and any(char.isdecimal() for char in text):
        return False  # "fan 2 control": how the fan is switched
    return told_as not in _PARTS and (head is None or head.kind not in ("fault", "trouble", "quantity"))


def code_phrase(talk: Talk, entry: Entry, fact: Code) -> Phrase:
    """ "P0562 with sub-code 16"."""
    code: Phrase = (told(entry, "code", fact.code, "typed"),)
    if not fact.sub:
        return code
    sub: Phrase = (told(entry, "sub", fact.sub, "typed"),)
    return talk.say("code.sub.truck" if fact.code.startswith("SPN") else "code.sub", code=code, sub=sub)


def _one(talk: Talk, entry: Entry, fact: Code, writer: Writer, *, after: bool) -> None:
    unit = _unit_phrase(talk, entry, fact)
    named, typed = beside(fact)
    rest = "; ".join(part for part in ("" if unit else named, typed) if part)  # what the line itself says of the code
    short = bool(rest) and talk.english and len(rest.split()) <= _SHORT and not set("()[].;:") & set(rest)
    code = code_phrase(talk, entry, fact)
    if short:
        code = talk.say("code.list.means", code=code, meaning=talk.typed(entry, "unit", rest))
    kind = f"code.{_STATUS.get(fact.status, 'stored')}"
    heads = talk.variants(kind if unit else f"{kind}.nowhere", code=code, unit=unit)
    if fact.times:
        times = fact.times.split(" ")[0]
        counted = talk.number(entry, "times", times) if times.isdecimal() else ()
        heads = tuple(talk.say("code.counted", said=head, times=counted) for head in heads) if counted else heads
    if after:
        heads = tuple(talk.say("code.after", said=head) for head in heads)
    _meaning(talk, entry, fact, heads, writer)
    if rest and not short:
        _typed_of(talk, entry, fact, "unit", rest, writer)


def _typed_of(talk: Talk, entry: Entry, fact: Code, field: str, words: str, writer: Writer) -> None:
    """ "P0300: random misfire": what is told of a code in the language of the typed lines."""
    own = talk.as_typed
    line = joined([code_phrase(own, entry, fact), own.typed(entry, field, words)], ": ")
    writer.add(sources(entry), stop(line), form=LISTED if talk.english else NOTE)


def _meaning(talk: Talk, entry: Entry, fact: Code, heads: tuple[Phrase, ...], writer: Writer) -> None:
    """The code with what it stands for: in its sentence, or behind it where that is long; each meaning once."""
    known = _undisputed(meaning_of(talk.job, fact), beside(fact)[1])
    if known.failure and not known.words and talk.has("code.truck"):
        writer.add(sources(entry), *map(stop, heads))
        what: Phrase = (told(entry, "code", known.what, "meaning"),) if known.what else ()
        failure: Phrase = (told(entry, "sub", known.failure, "meaning"),)
        name = "code.truck" if what else "code.truck.unnamed"
        writer.add(sources(entry), *map(stop, talk.variants(name, what=what, failure=failure)))
        return
    words, field, kind = known.words or known.what, "code", "code.means"
    if not known.words and known.what:
        kind = "code.means.what"
    sub = known.sub_words or (known.failure or "")
    sub = "" if _otherwise(beside(fact)[1], sub) else sub
    if not words and sub and fact.sub:
        words, field, kind, sub = sub, "sub", "code.means.sub", ""
    phrase = _said(talk, entry, field, words)
    said_before = bool(phrase) and any(part.text == phrase[0].text for one in writer.sentences for part in one.parts)
    alone = kind == "code.means" and not (said_before or fact.times)  # "counted 14 times, which stands for" misleads
    inside = alone and words_in((*heads[0], *phrase)) <= _LONG
    if phrase and inside:
        writer.add(sources(entry), *(stop(talk.say("code.which", said=head, meaning=phrase)) for head in heads))
    else:
        writer.add(sources(entry), *map(stop, heads))
        if phrase and not said_before:
            writer.add(sources(entry), *map(stop, talk.variants(kind, meaning=phrase)))
    if not words and not beside(fact)[1]:
        writer.add(sources(entry), talk.say("code.unknown"))
    elif words and not phrase:
        writer.add(sources(entry), talk.say("code.english"))
        _typed_of(talk, entry, fact, field, words, writer)
    if sub and fact.sub and not _within(sub, words):
        _narrow(talk, entry, fact, sub, writer)


def _undisputed(known: Meaning, typed: str) -> Meaning:
    """What the table says of a code, unless the words typed beside it name other things: makers' tables differ."""
    said, meant = (content_words(plain(text)) for text in (typed, f"{known.words or ''} {known.trade or ''}"))
    named = {word for word in said if any(one.cls == "thing" for one in look(word))}
    return replace(known, words="", what="") if len(named) > 1 and known.words and not said & meant else known


def _otherwise(typed: str, sub: str) -> bool:
    """Whether words typed beside a code say something else than the table of sub-codes: makers' tables differ."""
    return bool(content_words(plain(typed))) and not content_words(plain(typed)) & content_words(plain(sub))


def _narrow(talk: Talk, entry: Entry, fact: Code, sub: str, writer: Writer) -> None:
    phrase = _said(talk, entry, "sub", sub)
    if not phrase:
        _typed_of(talk, entry, fact, "sub", sub, writer)
        return
    said = stop(talk.say("code.means.sub", meaning=phrase))
    if all(sentence.text != text_of(said) for sentence in writer.sentences):
        writer.add(sources(entry), said)


def _said(talk: Talk, entry: Entry, field: str, words: str) -> Phrase:
    shown = talk.leaves.meaning(words) if words else None
    return (told(entry, field, shown, "meaning"),) if shown else ()


def _within(words: str, meaning_words: str) -> bool:
    """Whether the sub-code says nothing that the meaning does not say already."""
    return set(words.split()) - _EMPTY <= set(meaning_words.split())


def _list(talk: Talk, codes: list[tuple[Entry, Code]], writer: Writer) -> None:
    items: list[Phrase] = []
    for entry, fact in codes:
        known = meaning_of(talk.job, fact)
        code = code_phrase(talk, entry, fact)
        means = _said(talk, entry, "code", known.words)
        items.append(talk.say("code.list.means", code=code, meaning=means) if means else code)
    entry, fact = codes[0]
    unit = _unit_phrase(talk, entry, fact)
    count = talk.count(entry, "code", len(codes))
    name = "code.list" if unit else "code.list.nowhere"
    writer.add(
        sources(*(entry for entry, _ in codes)),
        stop(talk.say(name, unit=unit, count=count, codes=talk.listed(items))),
    )
