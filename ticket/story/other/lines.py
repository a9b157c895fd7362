"""One line for one entry, terse, for the payer and the next technician, in the other language."""

from ticket.job.entry import Entry
from ticket.job.kinds import Code, Did, Found, Later, Offer, Proof, Ruled, Says, Told, Used
from ticket.job.values import Limits, Ref
from ticket.readings.balance_line import balance_of
from ticket.readings.groups import seen
from ticket.readings.inexact import parts
from ticket.readings.units import find
from ticket.story.context import told
from ticket.story.facts.certainty import without_hedge
from ticket.story.other.clauses import PRESENT
from ticket.story.other.found import code_phrase
from ticket.story.other.later import due_phrase
from ticket.story.other.measured import name, name_of, place, side_by_side, spread, taken
from ticket.story.other.talk import Talk, joined
from ticket.story.readings import Reading
from ticket.story.repeats import taken_before
from ticket.story.sentence import Lit, Phrase
from ticket.story.terse import signed


def says(talk: Talk, entry: Entry) -> Phrase:
    """The complaint, and whether it was made to happen."""
    fact = entry.fact
    if not isinstance(fact, Says):
        return ()
    said = talk.say("says.quoted", text=talk.quoted(entry, "text", fact.text))
    if not fact.reproduced:
        return said
    return (*said, Lit(" "), *talk.say("line.seen" if fact.reproduced == "reproduced" else "line.not.seen"))


def code(talk: Talk, entry: Entry) -> Phrase:
    """Code, unit, status, count, moment and freeze frame."""
    fact = entry.fact
    if not isinstance(fact, Code):
        return ()
    unit = talk.bare(entry, "unit", fact.unit.removeprefix("in ")) if fact.unit else ()
    head = talk.say("line.no.codes") if fact.code == "none" else code_phrase(talk, entry, fact)
    pieces = [head, unit]
    pieces += [talk.term(entry, field, text) for field in ("status", "moment") if (text := getattr(fact, field))]
    if fact.times:
        times = fact.times.split(" ")[0]
        pieces.append(
            talk.say("line.times", times=talk.number(entry, "times", times))
            if times.isdigit() else talk.quoted(entry, "times", fact.times)
        )  # fmt: skip
    if fact.frame:
        pieces.append(talk.say("line.frame", frame=talk.quoted(entry, "frame", fact.frame)))
    return joined(pieces, ", ")


def found(talk: Talk, entry: Entry) -> Phrase:
    """Readings with limits and verdicts, then what was seen."""
    fact = entry.fact
    if not isinstance(fact, Found | Proof):
        return ()
    held = taken(talk, entry)
    field = "seen" if held or not fact.what else "what"
    lines = [_readings(talk, entry, together) for together in side_by_side(held)]
    return joined([*lines, talk.words(entry, field, seen(fact))], "; ")


def _readings(talk: Talk, entry: Entry, held: tuple[Reading, ...]) -> Phrase:
    if len(held) == 1:
        named = name_of(talk, entry, held[0])
        head = joined([named.phrase, _value(talk, held[0])], ": ")
        bracket = limits(talk, entry, held[0].limits)
        head = joined([head, bracket], " ")
        if isinstance(entry.fact, Found) and balance_of(entry.fact) is not None:
            return head
        return talk.say("line.verdict", line=head, verdict=talk.say(f"line.verdict.{held[0].verdict.word}"))
    named = name(talk, entry, held[0].name)
    unit = find(held[0].unit)
    sign: Phrase = (told(entry, "run", unit.sign if unit is not None else held[0].unit, "typed"),)
    rows = []
    for i, reading in enumerate(held, 1):
        row = joined([place(talk, reading, named.cls, i), _number(talk, reading)], " ")
        verdict = talk.say(f"line.verdict.{reading.verdict.word}") if reading.limits else ()
        rows.append(joined([row, verdict], " "))
    head = joined([joined([named.phrase, sign], ", "), limits(talk, entry, held[0].limits)], " ")
    if not held[0].limits:
        rows.append(talk.say("line.verdict.none"))
    return joined([head, joined(rows, "; ")], ": ")


def _number(talk: Talk, reading: Reading) -> Phrase:
    said = parts(reading.number)
    if said.to or said.than in ("~", ">="):
        return (told(reading.entry, "run", reading.number, "number"),)
    shown = talk.number(reading.entry, "run", reading.number)
    plus: Phrase = (told(reading.entry, "run", "+" + shown[0].text, "number"),)
    return plus if reading.number.startswith("+") else shown


def _value(talk: Talk, reading: Reading) -> Phrase:
    """The figure with the sign typed and its unit by its sign."""
    unit = find(reading.unit)
    shown = _number(talk, reading)[0].text
    sign = (unit.sign if unit.glued else f"\u00a0{unit.sign}") if unit is not None else f" {reading.unit}".rstrip()
    return (told(reading.entry, "run", shown + sign, "number"),)


def limits(talk: Talk, entry: Entry, held: Limits | None) -> Phrase:
    """The bracket as typed."""
    if held is None:
        return ()

    named = f" {held.unit}" if held.unit else ""

    def number(text: str, unit: str = "") -> Phrase:
        shown = talk.number(entry, "run", text)
        return (told(entry, "run", shown[0].text + unit, "number"),) if unit else shown

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


def text(talk: Talk, entry: Entry) -> Phrase:
    """A suspicion in its words."""
    return talk.words(entry, "text", getattr(entry.fact, "text", ""), PRESENT)


def ruled(talk: Talk, entry: Entry) -> Phrase:
    """What it was not, and why."""
    fact = entry.fact
    if not isinstance(fact, Ruled):
        return ()
    what = talk.words(entry, "text", fact.text)
    reason = (
        talk.words(entry, "reason", fact.reason) if fact.reason else () if fact.refs else talk.say("line.no.reason")
    )
    return joined([what, reason], ": ")


def cause(talk: Talk, entry: Entry) -> Phrase:
    """The cause in its words."""
    words, _ = without_hedge(getattr(entry.fact, "text", ""))
    return talk.words(entry, "text", words)


def offer(talk: Talk, entry: Entry) -> Phrase:
    """Work offered, its price and how pressing it is."""
    fact = entry.fact
    if not isinstance(fact, Offer):
        return ()
    pieces = [work(talk, entry, fact.text)]
    if fact.estimate:
        pieces.append(talk.number(entry, "estimate", fact.estimate, "money"))
    line = joined(pieces, ", ")
    if not fact.judgement:
        return line
    return talk.say("line.judged", line=line, judgement=talk.term(entry, "judgement", fact.judgement))


def work(talk: Talk, entry: Entry, typed: str) -> Phrase:
    """Labour as something to do; quoted where a piece of it is not known."""
    pieces = talk.reader.labour(typed)
    if not pieces or any(isinstance(piece, str) for piece in pieces):
        return talk.quoted(entry, "text", typed)
    return joined([(told(entry, "text", piece.todo),) for piece in pieces if not isinstance(piece, str)], ", ")


def did(talk: Talk, entry: Entry) -> Phrase:
    """Hours, class, work, who, clock and who pays; hours and money only for the payer."""
    fact = entry.fact
    if not isinstance(fact, Did):
        return ()
    payer = talk.job.reader == "payer"
    head: list[Phrase] = []
    if payer and fact.hours:
        head.append((told(entry, "hours", f"{talk.number(entry, 'hours', fact.hours)[0].text}\u00a0h", "number"),))
    if payer and fact.rate:
        head.append(talk.term(entry, "rate", fact.rate))
    line = joined([joined(head, ", "), done(talk, entry, fact.text)], ": ")
    pieces = [line]
    if payer and fact.less:
        less: Phrase = (told(entry, "less", f"{talk.number(entry, 'less', fact.less)[0].text}\u00a0h", "number"),)
        why = talk.quoted(entry, "shared", fact.shared) if fact.shared else ()
        pieces.append(joined([talk.say("line.less", less=less), why], ", "))
    if fact.by:
        pieces.append(talk.say("line.by", by=(told(entry, "by", fact.by, "typed"),)))
    if payer:
        pieces += [(told(entry, "clock", f"{span.start}–{span.end}", "typed"),) for span in fact.clock]
        pieces.append(pays(talk, entry, fact))
    return joined(pieces, "; ")


def done(talk: Talk, entry: Entry, typed: str) -> Phrase:
    """Labour in the past, piece by piece; an unknown piece quoted."""
    pieces: list[Phrase] = [
        talk.quoted(entry, "text", piece) if isinstance(piece, str) else (told(entry, "text", piece.done),)
        for piece in talk.reader.labour(typed)
    ]
    return joined(pieces, ", ")


def pays(talk: Talk, entry: Entry, fact: Did | Used) -> Phrase:
    """Who pays, or who bears which share, where that was typed."""
    if fact.split:
        shares = [
            talk.say("line.share", payer=talk.term(entry, "split", one.payer), percent=share)
            for one in fact.split
            if (share := talk.number(entry, "split", one.percent))
        ]
        return talk.say("line.shares", shares=joined(shares, ", "))
    return talk.say("line.pays", payer=talk.term(entry, "pays", fact.pays)) if fact.pays else ()


def used(talk: Talk, entry: Entry) -> Phrase:
    """Amount, number, part, condition, and prices for the payer."""
    fact = entry.fact
    if not isinstance(fact, Used):
        return ()
    payer = talk.job.reader == "payer"
    unit = "" if fact.unit.lower() in ("x", "pc", "pcs") else fact.unit
    amount: Phrase = ()
    if fact.amount:
        amount = talk.measure(entry, "amount", fact.amount, unit) if unit else talk.number(entry, "amount", fact.amount)
    number: Phrase = (told(entry, "part", fact.part, "number"),) if fact.part else ()
    pieces = [joined([amount, number, talk.bare(entry, "text", fact.text)], " ")]
    if fact.condition:
        pieces.append(talk.term(entry, "condition", fact.condition))
    if payer and fact.price:
        price = talk.number(entry, "price", fact.price, "money")
        pieces.append(price if fact.amount in ("", "1") else talk.say("line.each", price=price))
    if payer and fact.core:
        pieces.append(talk.say("line.core", core=talk.number(entry, "core", fact.core, "money")))
    if payer and fact.back:
        pieces.append(talk.say("line.back", count=talk.number(entry, "back", fact.back)))
    return joined([joined(pieces, ", "), pays(talk, entry, fact)], "; ")


def later(talk: Talk, entry: Entry) -> Phrase:
    """Every field of a deferred item."""
    fact = entry.fact
    if not isinstance(fact, Later):
        return ()
    pieces = [work(talk, entry, fact.text)]
    if fact.judgement:
        pieces.append(talk.term(entry, "judgement", fact.judgement))
    for field in ("because", "risk", "watch"):
        typed = getattr(fact, field)
        if typed.strip():
            pieces.append(talk.say(f"line.{field}", text=talk.words(entry, field, typed, PRESENT)))
    due = due_phrase(talk, entry, fact)
    if due:
        pieces.append(talk.say("line.in", due=due))
    if fact.date:
        pieces.append(talk.say("line.before", date=talk.date(entry, "date", fact.date)))
    if fact.estimate:
        pieces.append(talk.say("line.est", money=talk.number(entry, "estimate", fact.estimate, "money")))
    if fact.answer:
        pieces.append(talk.term(entry, "answer", fact.answer))
    return joined(pieces, "; ")


def contact(talk: Talk, entry: Entry) -> Phrase:
    """Who, how, what was said and answered, sums, time and who took it."""
    fact = entry.fact
    if not isinstance(fact, Told):
        return ()
    head: list[Phrase] = [(told(entry, "who", fact.who, "typed"),)] if fact.who else []
    if fact.way:
        head.append(talk.term(entry, "way", fact.way))
    if fact.address:
        head.append((told(entry, "address", fact.address, "number"),))
    pieces = [joined(head, ", ")]
    if fact.words.strip():
        pieces.append(talk.quoted(entry, "words", fact.words))
    for answer in fact.answers:
        numbers = " ".join(str(ref) for ref in answer.to)
        said = talk.term(entry, "answers", answer.answer)
        pieces.append(joined([said, (told(entry, "answers", numbers, "typed"),) if numbers else ()], " "))
    sums = {"total": fact.total, "ceiling": fact.ceiling, "deposit": fact.deposit}
    pieces += [
        talk.say(f"line.{field}", money=talk.number(entry, field, amount, "money"))
        for field, amount in sums.items()
        if amount
    ]
    if fact.at:
        pieces.append(talk.say("line.at", at=(told(entry, "at", fact.at, "typed"),)))
    if fact.by:
        pieces.append(talk.say("line.taken", by=(told(entry, "by", fact.by, "typed"),)))
    return joined(pieces, "; ")


def proof(talk: Talk, entry: Entry) -> Phrase:
    """A verification on one line, with its result."""
    result = getattr(entry.fact, "result", "")
    return joined([found(talk, entry), talk.term(entry, "result", result) if result else ()], "; ")


def with_before(talk: Talk, entry: Entry, line: Phrase) -> tuple[Phrase, tuple[Ref, ...]]:
    """The line of a verification with what it was before, and the entry that tells it."""
    first = taken_before(talk.job, entry)
    if first is None:
        return line, ()
    if len(first.olds) != 1 or first.olds[0] is None or talk.job.reader != "payer":
        return line, first.refs(*first.olds)
    match = first.olds[0]
    old: Phrase = (told(match.ref, "run", signed(match.number), "number"),)
    return talk.say("line.was", line=line, old=old), first.refs(match)


def note(talk: Talk, entry: Entry) -> Phrase:
    """A remark of the shop, or an entry hidden from others, as typed."""
    return talk.quoted(entry, "text", getattr(entry.fact, "text", ""))


def all_good(talk: Talk, entry: Entry) -> bool:
    """Whether an entry holds readings only, all within their limits."""
    held = taken(talk, entry)
    return bool(held) and all(reading.good for reading in held)
