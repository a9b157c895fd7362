"""One line for one entry, terse, for the payer and the next technician: typed words in the trade's own words.

In another language only what is certain is told in the line; the rest stands behind it as it was typed.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from ticket.job.entry import Entry
from ticket.job.field_specs import specs
from ticket.job.kinds import (
    KINDS,
    Cause,
    Code,
    Did,
    Fact,
    Found,
    Later,
    Maybe,
    Note,
    Offer,
    Photo,
    Proof,
    Ruled,
    Says,
    Told,
    Used,
)
from ticket.job.picture import name_of
from ticket.job.text import one_line
from ticket.job.values import Limits, Ref
from ticket.language.terse import past
from ticket.notes.open_pieces import unit_of
from ticket.notes.shapes import written
from ticket.readings.inexact import parts
from ticket.readings.measured_groups import measures, seen
from ticket.readings.reservoir_balance_line import balance_of
from ticket.readings.units import find
from ticket.story.context import told
from ticket.story.facts.certainty import without_hedge
from ticket.story.facts.feared import feared
from ticket.story.facts.labour_kinds import read_as
from ticket.story.readings import Reading
from ticket.story.repeats import taken_before
from ticket.story.sections.ahead import ahead, due_terms
from ticket.story.sections.did import parts_used
from ticket.story.sections.found import tell_uncertain
from ticket.story.sections.measured import place, side_by_side, spread, taken
from ticket.story.sections.older import as_today
from ticket.story.sections.talk import Talk, inner, joined
from ticket.story.sections.told import complaint
from ticket.story.sections.waiting import due_phrase
from ticket.story.sections.writer import Writer
from ticket.story.sentence import Lit, Phrase

_THINGS = frozenset({"what", "unit"})


def _sign(typed: str) -> str:
    """A unit behind its figure; nothing for none."""
    unit = find(typed)
    return (unit.sign if unit.glued else f"\u00a0{unit.sign}") if unit is not None else f" {typed}".rstrip()


@dataclass
class Liner:
    """Writes lines in one language; ``left`` holds what a line could not tell, as typed."""

    talk: Talk
    left: list[Phrase] = field(default_factory=list)

    @property
    def payer(self) -> bool:
        """Whether hours and money are told."""
        return self.talk.job.reader == "payer"

    def line(self, entry: Entry) -> Phrase:
        """The line of an entry."""
        kind = type(entry.fact)
        return (_LINES.get(kind) or _OWN_WORDS.get(kind) or _declared)(self, entry)

    # --- typed words -------------------------------------------------------------------------------------------

    def words(self, entry: Entry, field_name: str, text: str, where: str) -> Phrase:
        """Typed words: in English as typed, elsewhere a thing or clauses where certain, else left for behind."""
        talk = self.talk
        if not text.strip():
            return ()
        if talk.english:
            return talk.typed(entry, field_name, text, where)
        thing = talk.thing(entry, field_name, text, "bare")
        if thing:
            return thing
        clauses = [phrase for phrase, _ in talk.clauses(entry, field_name, text, where)]
        return joined(clauses, ", ") or self._leave(entry, field_name, text, where)

    def work(self, entry: Entry, text: str, *, done: bool) -> Phrase:
        """Labour: in English as typed, in the past where it was done."""
        talk = self.talk
        if not text.strip():
            return ()
        if talk.english:
            words = inner(past(text, read_as(text, parts_used(talk)))) if done else ""
            return (told(entry, "text", words, "typed"),) if done else talk.typed(entry, "text", text, "did")
        return (talk.done if done else talk.todo)(entry, "text", text) or self._leave(entry, "text", text, "did")

    def _leave(self, entry: Entry, field_name: str, text: str, where: str) -> Phrase:
        self.left.append(self.talk.note(entry, field_name, text, where))
        return ()

    def term(self, entry: Entry, field_name: str, text: str) -> Phrase:
        """A word of the notation; a word of the shop's own stays as typed."""
        if not text or self.talk.english or self.talk.leaves.term(text):
            return self.talk.term(entry, field_name, text) if text else ()
        return self._leave(entry, field_name, text, "found")

    def free(self, entry: Entry, field_name: str, text: str) -> Phrase:
        """Words that no grammar reads, as typed; in another language left for behind."""
        if not text.strip():
            return ()
        if self.talk.english:
            return self.talk.typed(entry, field_name, text)
        return self._leave(entry, field_name, text, "found")

    # --- readings ----------------------------------------------------------------------------------------------

    def readings(self, entry: Entry, held: tuple[Reading, ...]) -> Phrase:
        """Readings side by side with limits and verdicts."""
        if len(held) == 1:
            return self._single(entry, held[0])
        talk = self.talk
        unit = find(held[0].unit)
        sign: Phrase = (told(entry, "run", unit.sign if unit is not None else held[0].unit, "typed"),)
        rows = []
        for i, reading in enumerate(held, 1):
            row = joined([place(talk, reading, "", i), self._number(reading)], " ")
            rows.append(joined([row, self._verdict(reading) if reading.limits else ()], " "))
        name = self._name(entry, held[0], run=True)
        head = joined([joined([name, sign], ", "), self.limits(entry, held[0].limits)], " ")
        if not held[0].limits:
            rows.append(talk.say("line.verdict.none"))
        return joined([head, joined(rows, "; ")], ": ")

    def _single(self, entry: Entry, reading: Reading) -> Phrase:
        name = self._name(entry, reading, run=False)
        named = self.talk.say("line.named", thing=name, v=self._value(reading)) if name else self._value(reading)
        head = joined([named, self.limits(entry, reading.limits)], " ")
        if isinstance(entry.fact, Found) and balance_of(entry.fact) is not None:
            return head  # judged as a whole, not by a limit
        return self.talk.say("line.verdict", line=head, verdict=self._verdict(reading))

    def _verdict(self, reading: Reading) -> Phrase:
        return self.talk.say(f"line.verdict.{reading.verdict.word}")

    def _name(self, entry: Entry, reading: Reading, *, run: bool) -> Phrase:
        label = "" if run or (reading.counted and reading.place) else reading.label
        typed = " ".join(part for part in (label, reading.name or reading.what) if part)
        if reading.counted and not run:
            typed = f"{typed} {reading.place}".strip()
        if self.talk.english:
            name = self.talk.typed(entry, "what", typed)
            return (told(entry, "what", name[0].text, "place"),) if reading.counted else name
        named = self.talk.leaves.names(reading) if run else self.talk.leaves.name(reading)
        if named is None or (run and reading.label and not self.talk.leaves.place(reading, named.cls)):
            return self._leave(entry, "what", typed, "found")
        words = " ".join(part for part in (named.text, named.held) if part)
        return (told(entry, "what", words, "place" if reading.counted else "told"),)

    def _number(self, reading: Reading) -> Phrase:
        """The figure, with how far the gauge may be off."""
        shown = self._figure(reading)
        if not reading.uncertainty:
            return shown
        return (*shown, Lit(" ± "), told(reading.entry, "run", reading.uncertainty, "number"))

    def _figure(self, reading: Reading) -> Phrase:
        said = parts(reading.number)
        if reading.word and not self.talk.english:
            self._leave(reading.entry, "run", reading.number, "found")
        if said.to or said.than in ("~", ">="):
            return (told(reading.entry, "run", reading.number, "number"),)
        shown = self.talk.number(reading.entry, "run", reading.number, grouping=reading.unit in ("mi", "km", "rpm"))
        if reading.number.startswith("+"):
            return (told(reading.entry, "run", "+" + shown[0].text, "number"),)
        return shown

    def _value(self, reading: Reading) -> Phrase:
        """The figure with the sign typed and its unit by its sign."""
        first, *behind = self._number(reading)
        return (told(reading.entry, "run", first.text + _sign(reading.unit), "number"), *behind)

    def limits(self, entry: Entry, held: Limits | None) -> Phrase:
        """The bracket as typed."""
        if held is None:
            return ()
        talk = self.talk
        named = _sign(held.unit)

        def number(text: str, unit: str = "") -> Phrase:
            return (told(entry, "run", talk.number(entry, "run", text)[0].text + unit, "number"),)

        pieces: list[Phrase] = []
        if held.low and held.high:
            pieces.append(talk.say("line.range", low=number(held.low), high=number(held.high, named)))
        elif held.low:
            pieces.append(talk.say("line.min", low=number(held.low, named)))
        elif held.high:
            pieces.append(talk.say("line.max", high=number(held.high, named)))
        if held.nominal:
            aimed = number(held.nominal, "" if held.tol else named)
            pieces.append(talk.say("line.around", nominal=aimed, tol=number(held.tol, named)) if held.tol else aimed)
        if held.spread:
            pieces.append(talk.say("line.spread", spread=spread(talk, entry, held, held.spread_unit)))
        inside = joined(pieces, ", ")
        if held.source:
            source = talk.term(entry, "run", held.source)
            inside = talk.say("line.per", limits=inside, source=source) if inside else source
        return (Lit("("), *inside, Lit(")")) if inside else ()

    def pays(self, entry: Entry, fact: Did | Used) -> Phrase:
        """Who pays, or who bears which share, where that was typed."""
        talk = self.talk
        if fact.split:
            shares = [
                talk.say("line.share", payer=talk.term(entry, "split", one.payer), percent=share)
                for one in fact.split
                if (share := talk.number(entry, "split", one.percent))
            ]
            return talk.say("line.shares", shares=joined(shares, ", "))
        return talk.say("line.pays", payer=talk.term(entry, "pays", fact.pays)) if fact.pays else ()

    def with_before(self, entry: Entry, line: Phrase) -> tuple[Phrase, tuple[Ref, ...]]:
        """The line of a verification with what it was before, and the entry that tells it."""
        first = taken_before(self.talk.job, entry)
        if first is None:
            return line, ()
        if len(first.olds) != 1 or first.olds[0] is None or not self.payer:
            return line, first.refs(*first.olds)
        old = self._number(first.olds[0])
        shown: Phrase = (told(first.olds[0].ref, "run", old[0].text, "number"),)
        return self.talk.say("line.was", line=line, old=shown), first.refs(first.olds[0])


# --- one function a kind -------------------------------------------------------------------------------------------


def _says(liner: Liner, entry: Entry) -> Phrase:
    fact = entry.fact
    if not isinstance(fact, Says):
        return ()
    said = complaint(liner.talk, entry, fact)
    if not fact.reproduced or not liner.payer:
        return said
    return (*said, Lit(" "), *liner.talk.say("line.seen" if fact.reproduced == "reproduced" else "line.not.seen"))


def _code(liner: Liner, entry: Entry) -> Phrase:
    """Code, unit, status, count, moment and freeze frame."""
    fact, talk = entry.fact, liner.talk
    if not isinstance(fact, Code):
        return ()
    code: Phrase = (told(entry, "code", fact.code, "typed"),)
    if fact.code == "none":
        code = talk.say("line.no.codes")
    elif fact.sub:
        truck = fact.code.startswith("SPN")
        sub: Phrase = (told(entry, "sub", fact.sub, "typed"),)
        code = talk.say("line.code.truck" if truck else "line.code", code=code, sub=sub)
    unit = unit_of(fact) if talk.english else unit_of(fact).removeprefix("in ")
    head = joined([code, liner.words(entry, "unit", unit, "found")], " ")
    pieces = [head, *(liner.term(entry, name, getattr(fact, name)) for name in ("status", "moment"))]
    if fact.times:
        times = fact.times.split(" ")[0]
        counted = times.isdecimal()
        shown = talk.say("line.times", times=talk.number(entry, "times", times)) if counted else ()
        pieces.insert(2, shown or liner.free(entry, "times", fact.times))
    frame = liner.free(entry, "frame", fact.frame)
    return joined([joined(pieces, ", "), talk.say("line.frame", frame=frame) if frame else ()], "; ")


def _found(liner: Liner, entry: Entry) -> Phrase:
    """Readings with limits and verdicts, then what was seen."""
    fact, talk = entry.fact, liner.talk
    if not isinstance(fact, Found | Proof):
        return ()
    name = "seen" if measures(fact) or not fact.what else "what"
    result = getattr(fact, "result", "")
    if talk.english and any(map(_as_typed, taken(talk, entry))):
        whole = Writer()
        tell_uncertain(talk, entry, whole, entry.kind)
        return joined([*(_unstopped(one.parts) for one in whole.sentences), liner.term(entry, "result", result)], "; ")
    lines = [liner.readings(entry, rows) for rows in side_by_side(taken(talk, entry))]
    words = liner.words(entry, name, seen(fact), "found")
    return joined([*lines, words, liner.term(entry, "result", result)], "; ")


def _unstopped(said: Phrase) -> Phrase:
    """A sentence as it stands in a line: without its stop."""
    last = replace(said[-1], text=said[-1].text.removesuffix("."))
    return (*said[:-1], last) if last.text else said[:-1]


def _as_typed(reading: Reading) -> bool:
    """A reading without a certain name, or with a sign or limit nobody typed: apart from its line it may mislead."""
    fact = as_today(reading.entry.fact) if isinstance(reading.entry.fact, Found | Proof) else None
    if fact is None or not fact.measurements:
        return False
    if isinstance(fact, Proof):
        return reading.thing is None  # a test takes limits and name from what it reads again
    limits = (reading.limits.low, reading.limits.high) if reading.limits is not None else ()
    beside = any(map(str.isdecimal, seen(fact)))  # a figure that no reading took may be a condition, or of its limits
    return reading.thing is None or beside or any(number not in fact.what for number in (reading.number, *limits))


def _text(liner: Liner, entry: Entry) -> Phrase:
    text = getattr(entry.fact, "text", "")
    if isinstance(entry.fact, Cause) and not liner.talk.english:
        text, _ = without_hedge(text)
    return liner.words(entry, "text", text, entry.kind)


def _ruled(liner: Liner, entry: Entry) -> Phrase:
    """What it was not, and why."""
    fact = entry.fact
    if not isinstance(fact, Ruled):
        return ()
    reason = liner.words(entry, "reason", fact.reason, "ruled")
    if not fact.reason.strip() and not fact.refs:
        reason = liner.talk.say("line.no.reason")
    return joined([liner.words(entry, "text", fact.text, "ruled"), reason], ": ")


def _offer(liner: Liner, entry: Entry) -> Phrase:
    """Work offered, its price and how pressing it is."""
    fact, talk = entry.fact, liner.talk
    if not isinstance(fact, Offer):
        return ()
    price = talk.number(entry, "estimate", fact.estimate, "money") if fact.estimate else ()
    line = joined([liner.work(entry, fact.text, done=False), price], ", ")
    if not fact.judgement:
        return line
    return talk.say("line.judged", line=line, judgement=talk.term(entry, "judgement", fact.judgement))


def _did(liner: Liner, entry: Entry) -> Phrase:
    """Hours, class, work, who, clock and who pays; hours and money only for the payer."""
    fact, talk = entry.fact, liner.talk
    if not isinstance(fact, Did):
        return ()

    def hours(name: str, typed: str) -> Phrase:
        return (told(entry, name, f"{talk.number(entry, name, typed)[0].text}\u00a0h", "number"),) if typed else ()

    head = joined([hours("hours", fact.hours), liner.term(entry, "rate", fact.rate)], ", ") if liner.payer else ()
    pieces = [joined([head, liner.work(entry, fact.text, done=True)], ": ")]
    if liner.payer and fact.less:
        why = liner.free(entry, "shared", fact.shared)
        pieces.append(joined([talk.say("line.less", less=hours("less", fact.less)), why], ", "))
    if fact.by:
        pieces.append(talk.say("line.by", by=(told(entry, "by", fact.by, "typed"),)))
    if liner.payer:
        spans: list[Phrase] = [(told(entry, "clock", f"{one.start}–{one.end}", "typed"),) for one in fact.clock]
        pieces += [joined(spans, ", "), liner.pays(entry, fact)]
    return joined(pieces, "; ")


def _used(liner: Liner, entry: Entry) -> Phrase:
    """Amount, number, part, condition, and prices for the payer."""
    fact, talk = entry.fact, liner.talk
    if not isinstance(fact, Used):
        return ()
    unit = "" if fact.unit.lower() in ("x", "pc", "pcs") else fact.unit
    amount: Phrase = ()
    if fact.amount and unit and not talk.english:
        amount = talk.measure(entry, "amount", fact.amount, unit)
    elif fact.amount:
        amount = (told(entry, "amount", " ".join(part for part in (fact.amount, unit) if part), "number"),)
    number: Phrase = (told(entry, "part", fact.part, "number"),) if fact.part else ()
    pieces = [joined([amount, number, liner.words(entry, "text", fact.text, "used")], " ")]
    pieces.append(liner.term(entry, "condition", fact.condition))
    if liner.payer:
        pieces += _prices(liner, entry, fact, unit)
    return joined([joined(pieces, ", "), liner.pays(entry, fact)], "; ")


def _prices(liner: Liner, entry: Entry, fact: Used, unit: str) -> list[Phrase]:
    talk = liner.talk
    out: list[Phrase] = []
    if fact.price:
        price = talk.number(entry, "price", fact.price, "money")
        known = find(unit) if unit else None
        if known is not None and not known.dimension.startswith("pieces"):
            price = talk.say("line.price.unit", price=price, unit=(told(entry, "unit", unit, "number"),))
        elif fact.amount not in ("", "1"):
            price = talk.say("line.each", price=price)
        out.append(price)
    if fact.core:
        out.append(talk.say("line.core", core=talk.number(entry, "core", fact.core, "money")))
    if fact.back:
        out.append(talk.say("line.back", count=talk.number(entry, "back", fact.back)))
    return out


def _later(liner: Liner, entry: Entry) -> Phrase:
    """Every field of a deferred item."""
    fact, talk = entry.fact, liner.talk
    if not isinstance(fact, Later):
        return ()
    pieces = [liner.work(entry, fact.text, done=False), liner.term(entry, "judgement", fact.judgement)]
    behind = feared(fact)
    for name, text in (("because", behind.because), ("risk", behind.risk), ("watch", fact.watch)):
        words = liner.words(entry, name, text, name)
        if words:
            pieces.append(talk.say(f"line.{name}", text=words))
    pieces += [liner.free(entry, *one) for one in (*behind.waits, *behind.until, *behind.please, *behind.when)]
    due = due_phrase(talk, entry, fact)
    if due:
        in_due = talk.say("line.in", due=due)
        pieces.append(ahead(talk, entry, due_terms(talk.job, entry, fact), in_due))
    if fact.due is not None and fact.due.odometer is not None:
        odometer = talk.measure(entry, "due", fact.due.odometer.number, fact.due.odometer.unit)
        pieces.append(talk.say("line.at", at=odometer))
    if fact.due is not None and fact.due.event:
        pieces.append(liner.free(entry, "due", fact.due.event))
    if fact.date:
        pieces.append(talk.say("line.before", date=talk.date(entry, "date", fact.date)))
    if fact.estimate:
        pieces.append(talk.say("line.est", money=talk.number(entry, "estimate", fact.estimate, "money")))
    pieces.append(liner.term(entry, "answer", fact.answer))
    return joined(pieces, "; ")


def _contact(liner: Liner, entry: Entry) -> Phrase:
    """Who, how, what was said and answered, sums, time and who took it."""
    fact, talk = entry.fact, liner.talk
    if not isinstance(fact, Told):
        return ()
    name = one_line(fact.who)
    name = name if talk.english else talk.leaves.term(name) or name
    who: Phrase = (told(entry, "who", name, "typed"),) if name else ()
    address: Phrase = (told(entry, "address", fact.address, "number"),) if fact.address else ()
    way = liner.term(entry, "way", fact.way)
    if way and talk.english and not fact.way.startswith("in "):
        way = talk.say("line.by", by=way)
    answers = []
    for answer in fact.answers:
        numbers = " ".join(str(ref) for ref in answer.to)
        said = talk.term(entry, "answers", answer.answer)
        answers.append(joined([said, (told(entry, "answers", numbers, "typed"),) if numbers else ()], " "))
    pieces = [joined([joined([who, way, address], " "), liner.free(entry, "words", fact.words), *answers], ", ")]
    sums = {"total": fact.total, "ceiling": fact.ceiling, "deposit": fact.deposit}
    pieces += [
        talk.say(f"line.{name}", money=talk.number(entry, name, amount, "money"))
        for name, amount in sums.items()
        if amount
    ]
    if fact.at:
        pieces.append(talk.say("line.at", at=(told(entry, "at", fact.at, "typed"),)))
    if fact.by:
        pieces.append(talk.say("line.taken", by=(told(entry, "by", fact.by, "typed"),)))
    return joined(pieces, "; ")


def _note(liner: Liner, entry: Entry) -> Phrase:
    return liner.free(entry, "text", getattr(entry.fact, "text", ""))


_LINES: dict[type, Callable[[Liner, Entry], Phrase]] = {
    Says: _says, Code: _code, Found: _found, Maybe: _text, Ruled: _ruled, Cause: _text, Offer: _offer, Did: _did,
    Used: _used, Later: _later, Told: _contact, Proof: _found, Note: _note,
}  # fmt: skip


def _photo(liner: Liner, entry: Entry) -> Phrase:
    """What a picture shows, then its name."""
    fact, talk = entry.fact, liner.talk
    if not isinstance(fact, Photo):
        return ()
    name: Phrase = (told(entry, "picture", name_of(fact.picture), "typed"),)
    words, stage = liner.free(entry, "text", fact.text), liner.term(entry, "stage", fact.stage)
    return joined([words, stage, talk.say("line.picture", name=name)], "; ")


_OWN_WORDS: dict[type, Callable[[Liner, Entry], Phrase]] = {Photo: _photo}
"""Kinds that no section names, which are told in words of their own at the end of a story."""


def declared_kinds() -> tuple[type[Fact], ...]:
    """The kinds told outside the shop that no section names: each has a section of its own at the end of a story."""
    return tuple(kind for kind in KINDS.values() if kind not in _LINES and not kind.inside)


def _declared(liner: Liner, entry: Entry) -> Phrase:
    """Every field in the order of the line; what identifies a customer only for the shop, references as sources."""
    pieces: list[Phrase] = []
    for spec in specs(type(entry.fact)):
        value = getattr(entry.fact, spec.name)
        if not value or spec.shape in ("ref", "refs") or (spec.private and liner.talk.job.reader != "shop"):
            continue
        if spec.choices:
            pieces.append(liner.term(entry, spec.name, value))
        elif spec.free:
            pieces.append(liner.free(entry, spec.name, value))
        else:
            pieces.append((told(entry, spec.name, written(value), "typed"),))
    return joined(pieces, "; ")
