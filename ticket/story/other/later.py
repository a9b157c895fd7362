"""Work that waits, in the other language: what, the judgement with its reason, risk, sign, when, and the cost."""

from ticket.job.entry import Entry
from ticket.job.kinds import Later
from ticket.story.context import sources, told
from ticket.story.customer.deferred import open_items
from ticket.story.facts.answered import waiting_answer
from ticket.story.facts.concerns import cause_unknown
from ticket.story.facts.earlier_visits import looked_untold
from ticket.story.forecast import forecast_span
from ticket.story.other.clauses import PRESENT
from ticket.story.other.talk import Talk, joined, stop
from ticket.story.other.work import todo
from ticket.story.sentence import Phrase
from ticket.story.words.figures import free
from ticket.story.words.labour import tasks
from ticket.story.writer import Writer

_LOOKS = frozenset({"check", "measure", "look"})
_JUDGED = {"may wait": "wait", "do soon": "soon", "do now": "now", "do not drive": "stop"}


def tell_deferred(talk: Talk, writer: Writer) -> tuple[int, ...]:
    """Every deferred item whole; where each begins, if there are several."""
    items = open_items(talk.job)
    if len(items) > 1:
        writer.add(sources(*(entry for entry, _ in items)), talk.say("later.first"))
    starts = []
    for entry, fact in items:
        starts.append(len(writer.sentences))
        tell_item(talk, entry, fact, writer)
    return tuple(starts) if len(items) > 1 else ()


def tell_item(talk: Talk, entry: Entry, fact: Later, writer: Writer) -> None:
    """One item in the order: what, judgement and reason, answer, risk, sign, when, cost."""
    recheck = _recheck(fact)
    work = todo(talk, entry, fact.text)
    reason = worded(talk, entry, "because", fact.because)
    mine = sources(entry)
    if not recheck:
        writer.add(mine, stop(talk.say("later.what", work=work)))
    if recheck or not fact.judgement:
        if recheck:
            _when(talk, entry, fact, writer, work)
        if reason:
            writer.add(mine, stop(talk.say("later.reason", reason=reason)))
    else:
        kind = f"later.{_JUDGED[fact.judgement]}"
        writer.add(mine, stop(talk.say(f"{kind}.because", reason=reason) if reason else talk.say(kind)))
    if looked_untold(talk.job, entry):
        writer.add(mine, talk.say("later.looked"))
    _answer(talk, entry, fact, writer)
    if fact.risk.strip():
        writer.add(mine, stop(talk.say(_risk_kind(talk, entry), risk=worded(talk, entry, "risk", fact.risk))))
    if fact.watch.strip():
        once = fact.due is None and not fact.date
        sign = worded(talk, entry, "watch", fact.watch)
        writer.add(mine, stop(talk.say("later.watch.once" if once else "later.watch", sign=sign)))
    if not recheck:
        _when(talk, entry, fact, writer, ())
    _at_event(talk, entry, fact, writer)
    if free(fact.estimate) if fact.estimate else False:
        writer.add(mine, talk.say("later.free" if recheck else "later.free.work"))
    elif fact.estimate:
        writer.add(mine, stop(talk.say("later.cost", money=talk.money(entry, "estimate", fact.estimate))))


def worded(talk: Talk, entry: Entry, field: str, text: str) -> Phrase:
    """A reason, a risk or a sign: its clauses where all words are listed, else quoted; empty without one."""
    if not text.strip():
        return ()
    clauses = talk.clauses(entry, field, text, PRESENT)
    return joined(clauses, "; ") if clauses else talk.quoted(entry, field, text)


def _recheck(fact: Later) -> bool:
    known, unknown = tasks(fact.text)
    return bool(known) and not unknown and all(work.kind in _LOOKS for task in known for work in task.works)


def _risk_kind(talk: Talk, entry: Entry) -> str:
    unknown = any(cause_unknown(talk.job, letter) for letter in talk.job.letters_of(entry))
    return "later.risk.unknown" if unknown else "later.risk"


def _answer(talk: Talk, entry: Entry, fact: Later, writer: Writer) -> None:
    word, contact = waiting_answer(talk.job, entry, fact)
    if contact is None:
        return
    kind = {"no": "declined", "thinks": "thinks", "yes": "accepted"}[word]
    writer.add(sources(entry, contact), talk.say(f"later.{kind}"))


def due_phrase(talk: Talk, entry: Entry, fact: Later) -> Phrase:
    """ "8,000 km o 6 meses, lo que ocurra primero"; empty where none was typed."""
    held = (fact.due.distance, fact.due.time, fact.due.hours) if fact.due is not None else ()
    spans = [talk.measure(entry, "due", span.number, span.unit) for span in held if span is not None]
    if len(spans) > 1:
        due = spans[0]
        for span in spans[1:]:
            due = talk.say("due.or", one=due, two=span)
        return talk.say("due.first", items=due)
    return spans[0] if spans else ()


def _at_event(talk: Talk, entry: Entry, fact: Later, writer: Writer) -> None:
    """A reading of the odometer, or a thing that comes anyway, at which the work is due."""
    due = fact.due
    if due is not None and due.odometer is not None:
        reading = talk.measure(entry, "due", due.odometer.number, due.odometer.unit)
        writer.add(sources(entry), stop(talk.say("later.odometer", reading=reading)))
    if due is not None and due.event:
        writer.add(sources(entry), stop(talk.say("later.event", event=talk.quoted(entry, "due", due.event))))


def _when(talk: Talk, entry: Entry, fact: Later, writer: Writer, work: Phrase) -> None:
    due = due_phrase(talk, entry, fact)
    date = talk.date(entry, "date", fact.date) if fact.date else ()
    within = fact.judgement in ("do soon", "do now", "do not drive")
    kind = "later.recheck" if work else "later.within" if within else "later.look"
    if due:
        said = talk.say(f"{kind}.due", due=talk.say("due.by", due=due, date=date) if date else due, work=work)
        span = forecast_span(talk.job.case, entry, fact)
        if span is not None and kind != "later.within":
            count, unit = span
            about = talk.count(entry, "due", count, talk.language.terms.nouns[unit].cls)
            row = talk.language.terms.one("unit", unit)
            name = row.told.split("/")[0 if count == 1 else -1] if row is not None else unit
            whole: Phrase = (told(entry, "due", f"{about[0].text} {name}", "forecast"),)
            said = talk.say("later.forecast", said=said, forecast=whole)
        writer.add(sources(entry), stop(said))
    elif date:
        writer.add(sources(entry), stop(talk.say(f"{kind}.date", date=date, work=work)))
    elif work:
        writer.add(sources(entry), stop(talk.say("later.recheck", work=work)))
