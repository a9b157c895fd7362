"""What is still to do: one item a job, offers and deferred work of the same thing told once, the most urgent first."""

from collections.abc import Sequence

from ticket.job.entry import Entry
from ticket.job.kinds import Later
from ticket.language.figures import free
from ticket.story.context import sources, told
from ticket.story.facts.earlier_visits import looked_untold
from ticket.story.facts.open_work import OpenWork, open_work
from ticket.story.forecast import forecast_span
from ticket.story.sections.level_again import level_again
from ticket.story.sections.talk import Talk, joined, stop
from ticket.story.sections.writer import Writer
from ticket.story.sentence import COMPUTED, LISTED, NOTE, SENTENCE, Phrase

_JUDGED = {"may wait": "wait", "do soon": "soon", "do now": "now", "do not drive": "stop"}


def tell_waiting(talk: Talk, writer: Writer) -> tuple[int, ...]:
    """Every item whole; where each begins, if there are several."""
    items = open_work(talk.job)
    if len(items) > 1:
        writer.add(sources(*(item.entry for item in items)), talk.say("later.first"))
    starts = []
    for item in items:
        starts.append(len(writer.sentences))
        _Item(talk, item, writer).tell()
    return tuple(starts)


class _Item:
    def __init__(self, talk: Talk, item: OpenWork, writer: Writer) -> None:
        self.talk = talk
        self.item = item
        self.entry = item.entry
        self.fact = item.fact
        self.writer = writer
        self.later = item.fact if isinstance(item.fact, Later) else None
        self.todo = talk.todo(self.entry, "text", self.fact.text)
        self.refs = sources(item.entry, *item.offers)
        self.work = self.todo or talk.work_or_typed(self.entry, "text", self.fact.text)
        self.recheck = self.later is not None and bool(self.work) and item.recheck

    def tell(self) -> None:
        """The title with the judgement in words, the answer, then why, risk, sign, when and cost behind labels."""
        self._title()
        self._answer()
        if self.later is not None:
            self._typed("why", "because", self.later.because)
            self._typed("risk", "risk", self.later.risk)
            self._typed("watch", "watch", self.later.watch)
            if not self.recheck:
                self._when(self.later)
            elif levels := level_again(self.talk.job, self.entry, self.later):
                many = "levels" if "levels" in self.later.text.lower() else "level"
                self.writer.add(sources(self.entry, *levels), self.talk.say(f"later.recheck.{many}"))
        self._cost()

    def add(self, phrase: Phrase, form: str = COMPUTED, label: str = "") -> None:
        self.writer.add(self.refs, phrase, form=form, label=label)

    def _title(self) -> None:
        talk = self.talk
        judged = _JUDGED.get(self.fact.judgement, "")
        if self.recheck and self.later is not None:
            self.add(stop(self._come_back(self.later)), SENTENCE if self.todo else LISTED)
            if judged in ("now", "stop"):
                self.add(talk.say(f"later.{judged}"))
            return
        if not self.work:
            self.add(self._labelled("title", self.fact.text, "remedy"), NOTE, talk.title("label.title.english"))
            if judged:
                self.add(talk.say(f"later.{judged}"))
            return
        said = talk.say(f"later.title.{judged}" if judged else "later.title", work=self.work)
        self.add(stop(said), COMPUTED if self.todo else LISTED)

    def _labelled(self, name: str, text: str, where: str, field: str = "text") -> Phrase:
        talk = self.talk
        label = f"label.{name}" if talk.english else f"label.{name}.english"
        note = talk.note(self.entry, field, text, where)
        return talk.say("labelled", label=talk.say(label), text=note)

    def _answer(self) -> None:
        word, contact = self.item.answer, self.item.contact
        if looked_untold(self.talk.job, self.entry):
            self.add(self.talk.say("earlier.waits"))
        if contact is None:
            if self.later is None and not self.talk.job.case.on_call:
                self.add(self.talk.say("offer.unanswered"))
            return
        kind = {"no": "declined", "thinks": "thinks", "yes": "accepted"}[word]
        self.writer.add((*self.refs, *sources(contact)), self.talk.say(f"later.{kind}"))

    def _typed(self, name: str, field: str, text: str) -> None:
        """A reason, a risk or a sign behind its label: in English as typed, elsewhere in certain words or as a note."""
        if not text.strip():
            return
        talk = self.talk
        clauses = talk.clauses(self.entry, field, text, field)
        if (talk.english and not talk.leaves.booked(text, field)) or not clauses:
            label = talk.title(f"label.{name}" if talk.english else f"label.{name}.english")
            form = SENTENCE if clauses else NOTE
            self.add(self._labelled(name, text, field, field), form, label)
            return
        said = talk.say("labelled", label=talk.say(f"label.{name}"), text=stop(talk.in_row(clauses)))
        self.add(said, talk.form(text, field), talk.title(f"label.{name}"))

    def _value(self, name: str, value: Phrase) -> None:
        said = self.talk.say("labelled", label=self.talk.say(f"label.{name}"), text=stop(value))
        self.add(said, COMPUTED, self.talk.title(f"label.{name}"))

    def _come_back(self, fact: Later) -> Phrase:
        """ "Please come back after 500 miles or 3 weeks, so that we can read the codes again"."""
        talk = self.talk
        due = due_phrase(talk, self.entry, fact)
        date = talk.date(self.entry, "date", fact.date) if fact.date else ()
        if due:
            both = talk.say("due.by", due=due, date=date) if date else due
            return self._ahead(fact, talk.say("later.recheck.due", due=both, work=self.work))
        if date:
            return talk.say("later.recheck.date", date=date, work=self.work)
        due_at = self._at_event(fact)
        return (
            talk.say("later.recheck.at", work=self.todo, due=due_at)
            if due_at
            else talk.say("later.recheck", work=self.work)
        )

    def _ahead(self, fact: Later, said: Phrase) -> Phrase:
        """The same with when that will be, the way the vehicle is driven."""
        span = forecast_span(self.talk.job.case, self.entry, fact)
        if span is None:
            return said
        count, unit = span
        name, cls = self.talk.leaves.unit_of_time(unit, count)
        about = self.talk.leaves.count(count, cls)
        whole: Phrase = (told(self.entry, "due", f"{about} {name}", "forecast"),)
        return self.talk.say("later.forecast", said=said, forecast=whole)

    def _when(self, fact: Later) -> None:
        talk = self.talk
        due = due_phrase(talk, self.entry, fact)
        date = talk.date(self.entry, "date", fact.date) if fact.date else ()
        within = fact.judgement in ("do soon", "do now", "do not drive")
        pieces: list[Phrase] = []
        if due:
            both = talk.say("due.by", due=due, date=date) if date else due
            said = talk.say("when.within" if within else "when.after", due=both)
            pieces.append(said if within else self._ahead(fact, said))
        elif date:
            pieces.append(talk.say("when.by", date=date))
        at = self._at_event(fact)
        if at:
            pieces.append(at)
        if pieces:
            self._value("when", joined(pieces, "; "))

    def _at_event(self, fact: Later) -> Phrase:
        """A reading of the odometer, or a thing that comes anyway, at which the work is due."""
        talk, due = self.talk, fact.due
        if due is None:
            return ()
        pieces: list[Phrase] = []
        if due.odometer is not None:
            reading = talk.measure(self.entry, "due", due.odometer.number, due.odometer.unit)
            pieces.append(talk.say("when.odometer", reading=reading))
        if due.event and talk.english:
            pieces.append(talk.typed(self.entry, "due", due.event))
        elif due.event:
            self.add(self._labelled("when", due.event, "remedy", "due"), NOTE, talk.title("label.when.english"))
        return joined(pieces, "; ")

    def _cost(self) -> None:
        amount = self.fact.estimate
        if not amount:
            return
        if free(amount):
            self.add(self.talk.say("later.free" if self.recheck else "later.free.work"))
            return
        money = self.talk.money(self.entry, "estimate", amount)
        self._value("cost", self.talk.say("cost.about", money=money))


def due_phrase(talk: Talk, entry: Entry, fact: Later) -> Phrase:
    """ "8,000 km or 6 months, whichever comes first"; empty where none was typed."""
    held = (fact.due.distance, fact.due.time, fact.due.hours) if fact.due is not None else ()
    spans: Sequence[Phrase] = [talk.measure(entry, "due", span.number, span.unit) for span in held if span is not None]
    if len(spans) > 1:
        due = spans[0]
        for span in spans[1:]:
            due = talk.say("due.or", one=due, two=span)
        return talk.say("due.first", items=due)
    return spans[0] if spans else ()
