"""Lines shared by the two terse readers, the payer and the next technician."""

from itertools import groupby

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Code, Did, Found, Later, Offer, Proof, Ruled, Told, Used
from ticket.job.values import Answer, Due, Limits, Ref
from ticket.readings.balance_line import balance_of
from ticket.readings.units import find
from ticket.story.catalogue import say, title
from ticket.story.context import Job, told
from ticket.story.customer.said import inner
from ticket.story.customer.seen import words_of
from ticket.story.lists import phrase_list
from ticket.story.readings import Reading, readings
from ticket.story.sentence import Lit, Phrase, Val
from ticket.story.words.figures import figure
from ticket.story.words.spell import unit_text
from ticket.story.words.terse import terse
from ticket.story.words.things import position


def stop(phrase: Phrase) -> Phrase:
    """A line with its stop, unless it ends in one."""
    last = phrase[-1].text if phrase else ""
    return phrase if last.rstrip("”’)").endswith((".", "!", "?")) else (*phrase, Lit("."))


def joined(items: list[Phrase], mark: str = "; ") -> Phrase:
    """Phrases with a mark between them; empty ones fall out."""
    out: Phrase = ()
    for item in items:
        if item:
            out = (*out, Lit(mark), *item) if out else item
    return out


def typed(entry: Entry, field: str, text: str) -> Phrase:
    """A field in the trade's words; nothing for an empty one."""
    return (told(entry, field, inner(terse(text)), "typed"),) if text.strip() else ()


def figures(entry: Entry, field: str, text: str) -> Phrase:
    """A figure as typed."""
    return (told(entry, field, text, "number"),) if text else ()


def code_line(entry: Entry, fact: Code) -> Phrase:
    """ "P0562-16 engine computer, stored, 14 times"."""
    if fact.code == "none":
        where = typed(entry, "unit", fact.unit)
        head: Phrase = (*say("t.none"), *((Lit(" "), *where) if where else ()))
    else:
        glue = " " if fact.code.startswith("SPN") else "-"
        code = told(entry, "code", fact.code + (f"{glue}{fact.sub}" if fact.sub else ""), "typed")
        head = (code, *((Lit(" "), *typed(entry, "unit", fact.unit)) if fact.unit else ()))
    rest = [figures(entry, name, getattr(fact, name)) for name in ("status", "times", "moment")]
    frame = (*say("t.frame"), Lit(" "), *typed(entry, "frame", fact.frame)) if fact.frame else ()
    return joined([joined([head, *rest], ", "), frame])


def limits_text(entry: Entry, limits: Limits | None) -> Phrase:
    """The bracket as typed: "(min 3.0 per maker)"."""
    if limits is None:
        return ()
    pieces: list[Phrase] = []

    named = f" {limits.unit}" if limits.unit else ""

    def number(text: str, unit: str = "") -> Val:
        return told(entry, "run", figure(text) + unit, "number")

    if limits.low and limits.high:
        pieces.append(say("t.range", low=number(limits.low), high=number(limits.high, named)))
    elif limits.low:
        pieces.append(say("t.min", low=number(limits.low, named)))
    elif limits.high:
        pieces.append(say("t.max", high=number(limits.high, named)))
    if limits.nominal:
        aimed = number(limits.nominal, "" if limits.tol else named)
        pieces.append(say("t.around", nominal=aimed, tol=number(limits.tol, named)) if limits.tol else (aimed,))
    if limits.spread:
        pieces.append(say("t.spread", spread=number(f"{limits.spread} {limits.spread_unit}".strip())))
    inside = joined(pieces, ", ")
    if limits.source:
        inside = (*inside, Lit(" "), *say("t.per", source=told(entry, "run", limits.source, "typed")))
    return (Lit("("), *inside, Lit(")")) if inside else ()


def verdict_word(reading: Reading) -> Phrase:
    """ "low", "within", "no limit recorded"."""
    return say(f"t.verdict.{reading.verdict.word}")


def signed(number: str, unit: str = "") -> str:
    """A figure with the sign typed, a plus kept."""
    return ("+" if number.startswith("+") else "") + figure(number, unit)


def value_text(reading: Reading) -> Phrase:
    """The figure with its sign as typed."""
    unit = find(reading.unit)
    shown = unit_text(reading.number, reading.unit, spoken=False) if unit else f" {reading.unit}"
    return (told(reading.ref, "run", signed(reading.number, reading.unit) + shown, "number"),)


def reading_lines(job: Job, entry: Entry, *, verdicts: bool = True) -> list[Phrase]:
    """The readings of an entry: one line for each that stands alone, one line for those side by side."""
    held = groupby(readings(job, entry), key=lambda reading: reading.group)
    return [_line(entry, tuple(rows), verdicts=verdicts) for _, rows in held]


def _line(entry: Entry, taken: tuple[Reading, ...], *, verdicts: bool) -> Phrase:
    if len(taken) == 1:
        return single(taken[0])
    first = taken[0]
    unit = find(first.unit)
    sign = unit.sign if unit else first.unit
    head: Phrase = (*typed(entry, "what", first.what), Lit(", "), told(entry, "run", sign, "typed"))
    bracket = limits_text(entry, first.limits)
    rows = [
        (
            told(entry, "run", place(reading, i), "place" if reading.counted else "typed"), Lit(" "),
            told(entry, "run", reading.number, "number"),
            *((Lit(" "), *verdict_word(reading)) if verdicts and reading.limits else ()),
        )
        for i, reading in enumerate(taken)
    ]  # fmt: skip
    tail = joined(list(rows))
    line = (*head, *((Lit(" "), *bracket) if bracket else ()), Lit(": "), *tail)
    if not first.limits:
        line = (*line, Lit("; "), *say("t.verdict.none"))
    return line


def place(reading: Reading, i: int) -> str:
    """The position of a value, or its place in the run."""
    return reading.place or position(reading.label) or f"{i + 1}"


def single(reading: Reading, *, old: Phrase = (), after: str = ":") -> Phrase:
    """One reading: "Left front rotor thickness 21.2 mm (min 22.0 per maker): low"."""
    entry = reading.entry
    name = " ".join(part for part in (reading.what, reading.label) if part)
    bracket = limits_text(entry, reading.limits)
    named = (told(entry, "what", inner(terse(name)), "place"),) if reading.counted else typed(entry, "what", name)
    head = joined([named, value_text(reading), bracket], " ")
    if isinstance(entry.fact, Found) and balance_of(entry.fact) is not None:
        return head  # judged as a whole, not by a limit
    return (*head, Lit(f"{after} "), *verdict_word(reading), *old)


def finding_line(job: Job, entry: Entry) -> Phrase:
    """A whole finding on one line."""
    text, field = words_of(entry)
    return joined([*reading_lines(job, entry), typed(entry, field, text)])


def ruled_line(entry: Entry, fact: Ruled) -> Phrase:
    """ "Sticking brake hose: left front wheel turns freely"."""
    reason = typed(entry, "reason", fact.reason) or (() if fact.refs else say("t.no reason"))
    text = typed(entry, "text", fact.text)
    return (*text, Lit(": "), *reason) if reason else text


def refs_list(refs: tuple[Ref, ...]) -> Phrase:
    """ "5, 2, and 3", as the numbers of entries."""
    return phrase_list([(told(ref, "no", str(ref), "typed"),) for ref in refs])


def later_line(entry: Entry, fact: Later) -> Phrase:
    """Every field as typed."""
    pieces: list[Phrase] = [typed(entry, "text", fact.text), figures(entry, "judgement", fact.judgement)]
    for name, words in (("because", "t.because"), ("risk", "t.risk"), ("watch", "t.watch")):
        text = getattr(fact, name)
        if text:
            pieces.append((*say(words), Lit(" "), *typed(entry, name, text)))
    if fact.due is not None:
        pieces.append((*say("t.in"), Lit(" "), told(entry, "due", due_text(fact.due), "number")))
    if fact.date:
        pieces.append((*say("t.by"), Lit(" "), told(entry, "date", fact.date, "date")))
    if fact.estimate:
        pieces.append((*say("t.est"), Lit(" "), told(entry, "estimate", fact.estimate, "money")))
    pieces.append(figures(entry, "answer", fact.answer))
    return joined(pieces)


def due_text(due: Due) -> str:
    """ "15000 mi or 3 months"."""
    spans = [str(span) for span in (due.distance, due.time, due.hours) if span is not None]
    spans += [f"at {due.odometer}"] if due.odometer else []
    return f" {title('list.or')} ".join([*spans, due.event] if due.event else spans)


def offer_line(job: Job, entry: Entry, fact: Offer) -> Phrase:
    """ "Replace front pads, 412.00 (do now)"."""
    line = joined([typed(entry, "text", fact.text), figures(entry, "estimate", fact.estimate)], ", ")
    if fact.judgement:
        line = (*line, Lit(" ("), told(entry, "judgement", fact.judgement, "typed"), Lit(")"))
    return line


def used_line(entry: Entry, fact: Used, *, prices: bool) -> Phrase:
    """ "2 RT-5518 front rotor, new, 61.50 each"."""
    unit = "" if fact.unit.lower() in ("x", "pc", "pcs") else fact.unit
    amount = told(entry, "amount", " ".join(part for part in (fact.amount, unit) if part), "number")
    head = joined(
        [(amount,) if amount.text else (), figures(entry, "part", fact.part), typed(entry, "text", fact.text)], " "
    )
    pieces = [head, figures(entry, "condition", fact.condition)]
    if prices and fact.price:
        price = figures(entry, "price", fact.price)
        if unit and (known := find(unit)) is not None and not known.dimension.startswith("pieces"):
            pieces.append((*price, *say("t.a"), *figures(entry, "unit", unit)))
        else:
            pieces.append((*price, Lit(" "), *say("t.each")) if fact.amount not in ("", "1") else price)
    if prices and fact.core:
        pieces.append((*say("t.core"), Lit(" "), *figures(entry, "core", fact.core)))
    if prices and fact.back:
        pieces.append((*figures(entry, "back", fact.back), Lit(" "), *say("t.back")))
    line = joined(pieces, ", ")
    return joined([line, pays_text(entry, fact)])


def pays_text(entry: Entry, fact: Did | Used) -> Phrase:
    """Who pays, or who bears which share, where that was typed."""
    if fact.split:
        shares = joined([(told(entry, "split", f"{one.payer} {one.percent} %", "typed"),) for one in fact.split], ", ")
        return (*say("t.shares"), Lit(" "), *shares)
    pays = fact.pays
    return (*say("t.pays"), Lit(" "), told(entry, "pays", pays, "typed")) if pays else ()


def told_line(entry: Entry, fact: Told) -> Phrase:
    """ "Runa Vask in person, yes 8; total 412.00"."""
    who = (told(entry, "who", fact.who, "typed"),) if fact.who else ()
    way = () if not fact.way else ((*say("t.by"), Lit(" ")) if not fact.way.startswith("in ") else ())
    how = (*way, told(entry, "way", fact.way, "typed")) if fact.way else ()
    contact = joined([who, how, figures(entry, "address", fact.address)], " ")
    answers = [answer_text(entry, answer) for answer in fact.answers]
    words = (told(entry, "words", inner(fact.words), "quoted"),) if fact.words else ()
    head = joined([contact, words, *answers], ", ")
    pieces: list[Phrase] = [head]
    labels = ("total", "t.total"), ("ceiling", "t.ceiling"), ("deposit", "t.deposit"), ("at", "t.at"), ("by", "t.taken")
    for name, label in labels:
        text = getattr(fact, name)
        if text:
            pieces.append((*say(label), Lit(" "), told(entry, name, text, "typed")))
    return joined(pieces)


def answer_text(entry: Entry, answer: Answer) -> Phrase:
    """ "yes 8"."""
    numbers = " ".join(str(ref) for ref in answer.to)
    return (told(entry, "answers", f"{answer.answer} {numbers}".strip(), "typed"),)


def cause_text(entry: Entry, fact: Cause) -> Phrase:
    """The cause in the trade's words."""
    return typed(entry, "text", fact.text)


def proof_lines(job: Job, entry: Entry, fact: Proof, old: list[Phrase]) -> Phrase:
    """A verification on one line; what it was before in brackets."""
    taken = readings(job, entry)
    text, field = words_of(entry)
    lines: list[Phrase] = []
    if len(taken) == 1:
        lines.append(single(taken[0], old=old[0] if old else ()))
    elif taken:
        lines += reading_lines(job, entry)
    return joined([*lines, typed(entry, field, text), figures(entry, "result", fact.result)])


def is_bad(job: Job, entry: Entry) -> bool:
    """Whether a finding has a reading that is not within its limits, or no reading at all."""
    taken = readings(job, entry)
    return not taken or any(not reading.good for reading in taken)
