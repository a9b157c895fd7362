"""What is still to do: one item a job, offers and deferred work of the same thing told once, the most urgent first."""

from collections.abc import Sequence
from dataclasses import dataclass

from ticket.job.entry import Entry
from ticket.job.kinds import Did, Later, Offer
from ticket.job.likeness import content_words, shared
from ticket.job.values import Due, Ref
from ticket.story.concerns import accepted, refused, settled_unseen, undecided
from ticket.story.context import Job, sources, told
from ticket.story.forecast import forecast_span
from ticket.story.sections.level_again import level_again
from ticket.story.sections.talk import Talk, joined, stop
from ticket.story.sections.writer import Writer
from ticket.story.sentence import COMPUTED, LISTED, NOTE, SENTENCE, Phrase
from ticket.story.words.figures import free
from ticket.story.words.labour import tasks

WAITS = "looked at, still waits"
_LOOKS = frozenset({"check", "measure", "look"})
_JUDGED = {"may wait": "wait", "do soon": "soon", "do now": "now", "do not drive": "stop"}
_URGENCY = {"do not drive": 0, "do now": 2, "do soon": 3}
_FAR = 10**9
_DAYS = {"day": 1, "week": 7, "month": 30, "year": 365}
_RUN = {"km": 1, "mi": 1.6}


@dataclass(frozen=True, slots=True)
class Item:
    """One job that waits.

    Attributes:
        entry: the deferred item, or the offer where none puts it off.
        fact: what it says.
        offers: offers of the same work.
        answer: how the customer answered it last (``no``, ``thinks``, ``yes``), or empty.
        contact: where.
    """

    entry: Entry
    fact: Later | Offer
    offers: tuple[Entry, ...] = ()
    answer: str = ""
    contact: Entry | None = None

    @property
    def due(self) -> Due | None:
        """When it is due."""
        return self.fact.due if isinstance(self.fact, Later) else None

    @property
    def sources(self) -> tuple[Ref, ...]:
        """The entries it rests on."""
        return sources(self.entry, *self.offers)


def open_items(job: Job) -> list[Item]:
    """Deferred items that no answer settles, and offers without a yes that none of them tells; by urgency."""
    items: list[Item] = []
    merged: set[int] = set()
    for entry, fact in job.each(Later):
        if fact.answer not in ("", WAITS):
            continue
        offers = [one for one, offer in job.each(Offer) if _same_job(offer, fact)]
        merged |= {one.no for one in offers}
        word, contact = waiting_answer(job, entry, fact)
        items.append(Item(entry, fact, tuple(offers), word, contact))
    for entry, offer in job.each(Offer):
        ref = Ref(entry.no)
        if entry.no in merged or accepted(job, ref) is not None or settled_unseen(job, ref) or _carried_out(job, entry):
            continue
        no, thinks = refused(job, ref), undecided(job, ref)
        items.append(Item(entry, offer, (), "no" if no else "thinks" if thinks else "", no or thinks))

    def rank(item: Item) -> tuple[int, float, int]:
        urgent_rank = _URGENCY.get(item.fact.judgement, 4)
        return min(urgent_rank, 1) if item.answer == "no" else urgent_rank, _soon(item.due), item.entry.no

    return sorted(items, key=rank)


def _carried_out(job: Job, entry: Entry) -> bool:
    """Whether labour names the offer it carries out."""
    return any(Ref(entry.no) in fact.refs for _, fact in job.each(Did))


def _same_job(offer: Offer, later: Later) -> bool:
    """Whether both speak of one job: they name the same findings, or the same words."""
    return bool(set(offer.refs) & set(later.refs)) or _same_work(offer.text, later.text)


def _same_work(one: str, other: str) -> bool:
    """Whether one text names all that the other names: less would take the answer to one piece for another's."""
    wanted = min(len(content_words(one)), len(content_words(other)))
    return 0 < wanted == shared(one, other)


def waiting_answer(job: Job, entry: Entry, later: Later) -> tuple[str, Entry | None]:
    """How the customer answered what waits, and in which contact: the last word on it or on an offer of the same work.

    A yes to like work is no yes to what waits.
    """
    order = {said.entry.no: at for at, said in enumerate(job.contacts)}
    own = (Ref(entry.no),)
    offers = tuple(Ref(one.no) for one, fact in job.each(Offer) if _same_work(fact.text, later.text))
    asked = (("no", refused, (*own, *offers)), ("thinks", undecided, (*own, *offers)), ("yes", accepted, own))
    found = [(word, said) for word, ask, refs in asked for ref in refs if (said := ask(job, ref)) is not None]
    return max(found, key=lambda one: order[one[1].no], default=("", None))


def _soon(due: Due | None) -> float:
    if due is None:
        return _FAR
    spans: list[float] = []
    if due.time is not None and due.time.value is not None:
        spans.append(float(due.time.value) * _DAYS.get(due.time.unit.removesuffix("s"), 30))
    if due.distance is not None and due.distance.value is not None:
        spans.append(float(due.distance.value) * _RUN.get(due.distance.unit, 1) / 50)
    return min(spans, default=_FAR)


def urgent(item: Item) -> bool:
    """Whether it should not wait."""
    return item.fact.judgement in ("do now", "do not drive")


# --- told ----------------------------------------------------------------------------------------------------------


def tell_waiting(talk: Talk, writer: Writer) -> tuple[int, ...]:
    """Every item whole; where each begins, if there are several."""
    items = open_items(talk.job)
    if len(items) > 1:
        writer.add(sources(*(item.entry for item in items)), talk.say("later.first"))
    starts = []
    for item in items:
        starts.append(len(writer.sentences))
        _Item(talk, item, writer).tell()
    return tuple(starts) if len(items) > 1 else ()


class _Item:
    def __init__(self, talk: Talk, item: Item, writer: Writer) -> None:
        self.talk = talk
        self.item = item
        self.entry = item.entry
        self.fact = item.fact
        self.writer = writer
        self.later = item.fact if isinstance(item.fact, Later) else None
        self.todo = talk.todo(self.entry, "text", self.fact.text)
        known, unknown = tasks(self.fact.text)
        looks = bool(known) and not unknown and all(work.kind in _LOOKS for task in known for work in task.works)
        self.recheck = self.later is not None and bool(self.todo) and looks

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
        self.writer.add(self.item.sources, phrase, form=form, label=label)

    def _title(self) -> None:
        talk = self.talk
        judged = _JUDGED.get(self.fact.judgement, "")
        if self.recheck and self.later is not None:
            self.add(stop(self._come_back(self.later)), SENTENCE)
            if judged in ("now", "stop"):
                self.add(talk.say(f"later.{judged}"))
            return
        work = talk.work_or_typed(self.entry, "text", self.fact.text)
        if not work:
            self.add(self._labelled("title", self.fact.text, "remedy"), NOTE, talk.title("label.title.english"))
            if judged:
                self.add(talk.say(f"later.{judged}"))
            return
        said = talk.say(f"later.title.{judged}" if judged else "later.title", work=work)
        self.add(stop(said), COMPUTED if self.todo else LISTED)

    def _labelled(self, name: str, text: str, where: str, field: str = "text") -> Phrase:
        talk = self.talk
        label = f"label.{name}" if talk.english else f"label.{name}.english"
        note = talk.note(self.entry, field, text, where)
        return talk.say("labelled", label=talk.say(label), text=note)

    def _answer(self) -> None:
        word, contact = self.item.answer, self.item.contact
        if self.later is not None and self.later.answer == WAITS:
            self.add(self.talk.say("earlier.waits"))
        if contact is None:
            if self.later is None and not self.talk.job.case.on_call:
                self.add(self.talk.say("offer.unanswered"))
            return
        kind = {"no": "declined", "thinks": "thinks", "yes": "accepted"}[word]
        self.writer.add((*self.item.sources, *sources(contact)), self.talk.say(f"later.{kind}"))

    def _typed(self, name: str, field: str, text: str) -> None:
        """A reason, a risk or a sign behind its label: in English as typed, elsewhere in certain words or as a note."""
        if not text.strip():
            return
        talk = self.talk
        clauses = talk.clauses(self.entry, field, text, field)
        if talk.english or not clauses:
            label = talk.title(f"label.{name}" if talk.english else f"label.{name}.english")
            form = SENTENCE if clauses else NOTE
            self.add(self._labelled(name, text, field, field), form, label)
            return
        said = talk.say("labelled", label=talk.say(f"label.{name}"), text=stop(talk.in_row(clauses)))
        self.add(said, SENTENCE, talk.title(f"label.{name}"))

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
            return self._ahead(fact, talk.say("later.recheck.due", due=both, work=self.todo))
        if date:
            return talk.say("later.recheck.date", date=date, work=self.todo)
        due_at = self._at_event(fact)
        return (
            talk.say("later.recheck.at", work=self.todo, due=due_at)
            if due_at
            else talk.say("later.recheck", work=self.todo)
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
