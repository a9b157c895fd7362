"""Work that waits: what, the judgement with its reason, the risk, what to watch for, when, and what it would cost."""

from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Found, Later
from ticket.job.values import Due
from ticket.readings.groups import names
from ticket.readings.pairing import Compared, judge_entry, measured, taken_last
from ticket.story.catalogue import say
from ticket.story.context import Job, sources, told
from ticket.story.customer.answers import customer_reason
from ticket.story.customer.said import inner
from ticket.story.facts.answered import waiting_answer
from ticket.story.facts.certainty import confirmed
from ticket.story.facts.concerns import cause_unknown
from ticket.story.facts.earlier_visits import looked_untold
from ticket.story.facts.open_work import open_work
from ticket.story.forecast import forecast_words
from ticket.story.sentence import Lit, Phrase
from ticket.story.words import tag
from ticket.story.words.clauses import PRESENT
from ticket.story.words.figures import day_of, free
from ticket.story.words.labour import Task, tasks
from ticket.story.words.observed import prose, said
from ticket.story.words.spell import measure
from ticket.story.writer import Writer

_RECHECK = frozenset({"check", "measure", "look"})


def open_items(job: Job) -> list[tuple[Entry, Later]]:
    """Deferred items of this ticket that wait, the most urgent first."""
    return [(item.entry, item.fact) for item in open_work(job) if isinstance(item.fact, Later)]


def tell_deferred(job: Job, writer: Writer) -> tuple[int, ...]:
    """Every deferred item whole; where each begins among the sentences, if there are several."""
    items = open_items(job)
    if len(items) > 1:
        writer.add(sources(*(entry for entry, _ in items)), say("later.first"))
    starts = []
    for entry, fact in items:
        starts.append(len(writer.sentences))
        _Item(job, entry, fact, writer).tell()
    return tuple(starts) if len(items) > 1 else ()


class _Item:
    def __init__(self, job: Job, entry: Entry, fact: Later, writer: Writer) -> None:
        self.job = job
        self.entry = entry
        self.fact = fact
        self.writer = writer
        known, unknown = tasks(fact.text)
        self.task: Task | None = known[0] if len(known) == 1 and not unknown and known[0].things else None
        self.known = known if not unknown else ()
        self.many = self.task.many if self.task else False
        self.recheck = bool(self.known) and all(
            work.kind in _RECHECK or (task.things[-1:] and task.things[-1].whole.endswith(" again"))
            for task in self.known
            for work in task.works
        )

    @property
    def it(self) -> str:
        return "they" if self.many else "it"

    @property
    def them(self) -> str:
        return "them" if self.many else "it"

    @property
    def done(self) -> str:
        """The participle: "replaced"."""
        return " and ".join(work.participle for work in self.task.works) if self.task else "done"

    def val(self, field: str, text: str, op: str = "told") -> Phrase:
        return (told(self.entry, field, text, op),)

    def add(self, *phrases: Phrase) -> None:
        self.writer.add(sources(self.entry), *phrases)

    def tell(self) -> None:
        """The sentences in their order."""
        if self.recheck:
            self._when()
            self._reason_alone()
        else:
            self._what()
            self._judgement()
        if looked_untold(self.job, self.entry):
            self.add(say("later.looked"))
        self._answer()
        self._risk()
        self._watch()
        if not self.recheck:
            self._when()
        self._cost()

    def _what(self) -> None:
        if self.task is None:
            self.add(say("later.raw", text=self.val("text", inner(self.fact.text), "quoted")))
            return
        things = self.val("text", _things(self.task))
        have = Lit("have" if self.many else "has")
        self.add(say("later.not", things=things, have=have, done=self.val("text", self.done)))

    def _reason(self) -> str:
        reason = _clause(self.fact.because)
        if reason is None:
            return ""
        return self._pronoun(reason)

    def _pronoun(self, reason: str) -> str:
        """ "It is dry" instead of naming once more what the sentence before named."""
        if self.task is None or self.recheck:
            return reason
        head = _head(self.task)
        words = reason.split(" ")
        for end in range(len(words), 0, -1):
            subject = " ".join(words[:end])
            if head and (
                subject == _things(self.task) or subject in (f"the {head}", _things(self.task).replace("both", "the"))
            ):
                return " ".join([self.it, *words[end:]])
        return reason

    def _judgement(self) -> None:
        reason = self._reason()
        kind = {"may wait": "wait", "do soon": "soon", "do now": "now", "do not drive": "stop"}.get(self.fact.judgement)
        it: Phrase = (Lit(self.it),)
        slots = {"it": it, "done": self.val("text", self._be_done() if kind == "stop" else self.done)}
        if kind is None:
            self._reason_alone()
        elif reason:
            self.add(say(f"later.{kind}.because", reason=self.val("because", reason), **slots))
        else:
            self.add(say(f"later.{kind}", **slots))
            self._reason_alone()

    def _be_done(self) -> str:
        return f"{'are' if self.many else 'is'} {self.done}"

    def _reason_alone(self) -> None:
        text = self.fact.because.strip()
        if not text:
            return
        reason = self._reason()
        if reason:
            self.add(say("later.reason", reason=self.val("because", reason)))
        else:
            self.add(say("later.reason.raw", reason=self.val("because", inner(text), "quoted")))

    def _answer(self) -> None:
        word, contact = waiting_answer(self.job, self.entry, self.fact)
        if contact is None:
            return
        both = sources(self.entry, contact)
        reason = customer_reason(contact) if word == "no" else ""
        if reason:
            self.writer.add(both, say("later.declined.words", words=(told(contact, "words", reason),)))
        else:
            self.writer.add(
                both, say({"no": "later.declined", "thinks": "later.thinks", "yes": "later.accepted"}[word])
            )

    def _risk(self) -> None:
        text = self.fact.risk.strip()
        if not text:
            return
        risk = _clause(text)
        if risk is None:
            self.add(say("later.risk.raw", risk=self.val("risk", inner(text), "quoted")))
            return
        told_risk = self.val("risk", risk)
        if self._cause_unknown:
            self.add(say("later.risk.unknown", risk=told_risk))
        elif self.fact.judgement in ("do now", "do not drive"):
            it = Lit(self.it)
            self.add(say("later.risk.now", it=it, done=self.val("text", self._be_done()), risk=told_risk))
        elif self.recheck:
            self.add(say("later.risk.then", risk=told_risk))
        else:
            wait = Lit("wait" if self.many else "waits")
            self.add(say("later.risk", it=Lit(self.it), wait=wait, risk=told_risk))

    @property
    def _cause_unknown(self) -> bool:
        """The trouble itself has no known cause: the item is only a suspicion."""
        return any(cause_unknown(self.job, letter) for letter in self.job.letters_of(self.entry))

    def _watch(self) -> None:
        text = self.fact.watch.strip()
        if not text:
            return
        sign = _clause(text)
        if sign is None:
            self.add(say("later.watch.raw", sign=self.val("watch", inner(text), "quoted")))
            return
        once = self.fact.due is None and not self.fact.date
        self.add(say("later.watch.once" if once else "later.watch", sign=self.val("watch", sign)))

    def _when(self) -> None:
        due = due_words(self.entry, self.fact.due)
        dated = bool(due and self.fact.date)
        within = self.fact.judgement in ("do now", "do soon", "do not drive")
        task = self.val("text", _base(self.known)) if self.known else ()
        ahead = forecast_words(self.job.case, self.entry, self.fact)
        if dated:
            date = self.val("date", day_of(self.fact.date, self.job.case.settings.dates), "date")
            due = say("due.by", due=due, date=date)
        if due:
            forecast = self.val("due", ahead, "forecast")
            if self.recheck:
                kind = "later.recheck.forecast" if ahead else "later.recheck"
                self.add(say(kind, due=due, task=task, forecast=forecast))
            elif within:
                self.add(say("later.due.done", it=Lit(self.them), done=self.val("text", self.done), due=due))
            else:
                kind = "later.due.forecast" if ahead else "later.due"
                self.add(say(kind, it=Lit(self.them), due=due, forecast=forecast))
        if self.fact.date and not dated:
            date = self.val("date", day_of(self.fact.date, self.job.case.settings.dates), "date")
            if self.recheck:
                self.add(say("later.recheck.date", date=date, task=task))
            elif within:
                self.add(say("later.date.done", it=Lit(self.them), done=self.val("text", self.done), date=date))
            else:
                self.add(say("later.date", it=Lit(self.them), date=date))
        if self.recheck and not due and not self.fact.date:
            self.add(say("later.recheck.none", task=task))
        self._at_event()
        if self.recheck:
            self._what_it_decides()

    def _at_event(self) -> None:
        """A reading of the odometer, or a thing that comes anyway, at which the work is due."""
        due = self.fact.due
        if due is not None and due.odometer is not None:
            reading = measure(due.odometer.number, due.odometer.unit)
            self.add(say("later.odometer", reading=self.val("due", reading, "number")))
        if due is not None and due.event:
            self.add(say("later.event", event=self.val("due", due.event, "quoted")))

    def _what_it_decides(self) -> None:
        """Why a level is read again: after a right fill, one that falls again fits a leak, one that stays does not."""
        if "level" not in self.fact.text.lower():
            return
        low = self._low_levels()
        filled = any(self._filled(entry) for entry in low)
        settled = any(
            confirmed(self.job, entry)
            for entry, _ in self.job.each(Cause)
            if set(self.job.letters_of(entry)) & set(self.job.letters_of(self.entry))
        )
        if low and filled and not settled:
            kind = "later.recheck.levels" if "levels" in self.fact.text.lower() else "later.recheck.level"
            self.writer.add(sources(self.entry, *low), say(kind))

    def _filled(self, low: Entry) -> bool:
        """Whether each level that stood too low was read again, and stood right the last time."""
        ticket, earlier = self.job.ticket, self.job.case.earlier
        again = taken_last(ticket, low)
        found = measured(ticket, low, earlier).groups
        levels = ["level" in taken.what.lower() for taken in found for _ in taken.run.values]
        judged = zip(again, levels, judge_entry(ticket, low, earlier), strict=True)
        wanted = [last for last, level, verdict in judged if level and verdict.word == "low"]
        return bool(wanted) and all(last is not None and self._right(last) for last in wanted)

    def _right(self, last: Compared) -> bool:
        entry = self.job.entry(last.ref)
        if entry is None:
            return False
        return judge_entry(self.job.ticket, entry, self.job.case.earlier)[last.at].word not in ("low", "high")

    def _low_levels(self) -> list[Entry]:
        """Findings of the same concern in which a level stood too low."""
        letters = set(self.job.letters_of(self.entry))
        return [
            entry
            for entry, fact in self.job.each(Found)
            if any("level" in name.lower() for name in names(fact))
            and set(self.job.letters_of(entry)) & letters
            and any(verdict.word == "low" for verdict in judge_entry(self.job.ticket, entry, self.job.case.earlier))
        ]

    def _cost(self) -> None:
        if not self.fact.estimate:
            return
        if free(self.fact.estimate):
            self.add(say("later.free" if self.recheck else "later.free.work"))
            return
        money = self.val("estimate", self.job.money(self.fact.estimate), "money")
        if self.task is None or self.recheck:
            self.add(say("later.cost.raw", money=money))
            return
        doing = [work.gerund.replace("{it}", self.them).replace("{x}", self.them) for work in self.task.works]
        self.add(say("later.cost", doing=self.val("text", " and ".join(doing)), money=money))


def _clause(text: str) -> str | None:
    """A reason, a risk or a sign inside a sentence, in the tense typed."""
    return (said(text, PRESENT) or prose(text)) if text.strip() else None


def _things(task: Task) -> str:
    """The things without "both" or "all": "both ... have not been" could be read two ways."""
    texts = []
    for item in task.things:
        first, _, rest = item.whole.partition(" ")
        texts.append(f"the {rest.removeprefix('the ')}" if first in ("both", "all", "each", "every") else item.whole)
    return " and ".join(texts) if len(texts) < 3 else ", ".join(texts[:-1]) + f", and {texts[-1]}"


def _head(task: Task) -> str:
    """The head noun of a single thing, to see whether a reason speaks of it."""
    if len(task.things) != 1:
        return ""
    words = [word for word in task.things[0].text.split(" ") if word not in tag.DETERMINERS]
    return words[-1] if words else ""


def _base(items: "tuple[Task, ...]") -> str:
    return " and ".join(item.told("base") for item in items)


def due_words(entry: Entry, due: Due | None) -> Phrase:
    """ "8,000 km or 6 months, whichever comes first"."""
    if due is None:
        return ()
    held = [span for span in (due.distance, due.time, due.hours) if span is not None]
    spans: list[Phrase] = [(told(entry, "due", measure(span.number, span.unit), "number"),) for span in held]
    if len(spans) == 1:
        return spans[0]
    return say("due.first", items=_or(spans)) if spans else ()


def _or(spans: list[Phrase]) -> Phrase:
    link = say("list.or")
    out: Phrase = spans[0]
    for span in spans[1:]:
        out = (*out, Lit(" "), *link, Lit(" "), *span)
    return out
