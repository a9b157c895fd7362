"""What is still to do: one item a job, offers and deferred work of the same thing told once, the most urgent first."""

from collections.abc import Sequence
from dataclasses import replace

from ticket.job.entry import Entry
from ticket.job.kinds import Later, Offer
from ticket.job.likeness import content_words
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.job.values import Due, Ref
from ticket.language.figures import free
from ticket.story.context import sources, told
from ticket.story.facts.answered import agreed, numbered, unheard, work_named
from ticket.story.facts.earlier_visits import looked_untold
from ticket.story.facts.feared import (
    Feared,
    feared,
    is_undecided,
    is_your_answer,
    waits_for_part,
    why_it_waits,
    work_and_wait,
)
from ticket.story.facts.open_work import OpenWork, open_work
from ticket.story.sections.agreed import said_by, way_of
from ticket.story.sections.ahead import ahead, due_terms
from ticket.story.sections.level_again import level_again
from ticket.story.sections.talk import Talk, joined, stop
from ticket.story.sections.writer import Writer
from ticket.story.sentence import COMPUTED, LISTED, NOTE, SENTENCE, Phrase, capital

_YOURS = Regex(r"(?i)(?:watch|keep|bring|call|listen|monitor|drive|observe|note|write)\b")
"""Work that is the customer's own: nobody at the shop wants to watch a gauge on the road."""
_CALM = Regex(
    r"(?i)(?:no\b|nothing|none|still (?:ok|good|fine|holding)|dry\b|tight\b|holds?\b|within)|"
    r".*\b(?:is|are|was|were|all|reads?|tests?) (?:ok|okay|good|fine|dry|tight|normal|in spec)\b|.*\b(?:ok|good|fine)\Z"
)
"""Why something may wait, and no reason to look at it again."""
_SAID_NO = Regex(
    r"(?i)(?:(?:he|she|they|cust(?:omer)?|owner) )?(?:declined|said no|turned (?:it |that )?down|refused)\.?"
)
_ONCE_ANSWERED = Regex(
    r"(?i)(?:when|once|after) (?:he|she|they|cust(?:omer)?|owner) "
    r"(?:answers?|decides?|replies|reply|(?:calls?|rings?|texts?|gets?) back|says?(?: so)?|approves?|oks?|okays?)"
)
"""A day that is the reader's own answer."""
_ENTRIES = Regex(r"(?:[0-9]{1,3}(?:,? and |, ?| )?)*")
_JUDGED = {"may wait": "wait", "do soon": "soon", "do now": "now", "do not drive": "stop"}


def tell_waiting(talk: Talk, writer: Writer) -> tuple[int, ...]:
    """Every item whole; where each begins. What a language cannot say wholly stands in front of them, by number."""
    items = open_work(talk.job)
    told_items, noted = Writer(), Writer()
    starts = []
    offered: set[Ref] = set()
    for number, item in enumerate(items, 1):
        starts.append(len(told_items.sentences))
        _Item(talk, item, told_items, noted, number, offered).tell()
    under = "" if talk.english else talk.title("under.noted")
    writer.sentences += [replace(one, under=under) for one in noted.sentences]
    if len(items) > 1 and _apart(items):
        writer.add(sources(*(item.entry for item in items)), talk.say("later.first"))
    first = len(writer.sentences)
    writer.sentences += told_items.sentences
    return tuple(first + start for start in starts)


def _apart(items: Sequence[OpenWork]) -> bool:
    """Whether the first of them is more urgent than the last: else no order is told."""
    pressing = [item.pressing or item.unsaid_danger for item in items]
    return pressing[0] and not pressing[-1]


class _Item:
    def __init__(
        self, talk: Talk, item: OpenWork, writer: Writer, noted: Writer, number: int, offered: set[Ref]
    ) -> None:
        self.offered = offered  # the offers told so far: one that several items put off is told once
        self.talk = talk
        self.item = item
        self.entry = item.entry
        self.fact = item.fact
        self.writer, self.noted, self.number = writer, noted, number
        self.later = item.fact if isinstance(item.fact, Later) else None
        self.feared = feared(self.later) if self.later is not None else Feared()
        self.text, self.held = work_and_wait(work_named(self.fact))
        self.todo = talk.todo(self.entry, "text", self.text)
        self.refs = sources(item.entry, *item.offers)
        self.work = self._of_offers() or self.todo or talk.work_or_typed(self.entry, "text", self.text)
        self.recheck = self.later is not None and bool(self.work) and item.recheck and not _YOURS.match(self.text)
        self.left = not talk.english and (not self.work or any(self._untold(*one) for one in self._reasons()))

    def _offers(self) -> list[tuple[Entry, Offer]]:
        """The offers the item stands for that nobody agreed to."""
        held = [one for ref in self.item.offers if (one := self.talk.job.entry(ref)) is not None]
        return [(e, e.fact) for e in held if isinstance(e.fact, Offer) and not agreed(self.talk.job, Ref(e.no))]

    def _of_offers(self) -> Phrase:
        """The work of offers that the item names by their numbers alone."""
        if self.later is None or not numbered(self.later):
            return ()
        works = [self.talk.work_or_typed(entry, "text", work_named(fact)) for entry, fact in self._offers()]
        if not works or not all(works):
            return ()
        self.offered |= {Ref(entry.no) for entry, _ in self._offers()}
        return self.talk.listed(works)

    def tell(self) -> None:
        """The title with the judgement in words, the answer, then why, risk, sign, when and cost behind labels."""
        self._title()
        self._offered()
        self._answer()
        if self.later is not None:
            for name, field, text in self._reasons():
                self._typed(name, field, text)
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
        judged = _JUDGED.get(self.item.judgement, "")
        if judged == "now" and self.later is not None and waits_for_part(self.later):
            judged = "urgent"
        if self.recheck and self.later is not None:
            self.add(stop(self._come_back(self.later)), SENTENCE if self.todo else LISTED)
            if judged in ("now", "urgent", "stop"):
                self.add(talk.say(f"later.{judged}", ban=talk.ban))
            return
        work = self.work
        if self.left:
            job: Phrase = (told(self.entry, "no", str(self.number), "item"),)
            work = (
                talk.say("later.title.numbered", job=job, work=work) if work else talk.say("later.title.noted", job=job)
            )
        if not self.work:
            self._note(talk.note(self.entry, "text", self.text, "remedy"))
        again = self.item.next_time and not self.text.lower().startswith("next ")
        said = talk.say(
            f"later.title.{judged}" if judged else "later.title.next" if again else "later.title",
            work=work,
            ban=talk.ban,
        )
        self.add(stop(said), LISTED if talk.english and not self.todo else COMPUTED)

    def _offered(self) -> None:
        """What was offered beyond the words of the item that puts it off: "filler neck" of "filler neck and clamps"."""
        talk = self.talk
        for entry, fact in self._offers():
            ref, text = Ref(entry.no), work_named(fact)
            if ref in self.offered:
                continue
            self.offered.add(ref)
            if content_words(text) <= content_words(self.text) or text.strip() == self.text.strip():
                continue
            if not talk.english and not talk.todo(ref, "text", text):
                self._note(self._labelled("offered", text, "remedy", "text", ref))
                continue
            self._value("offered", talk.work_or_typed(ref, "text", text))

    def _reasons(self) -> list[tuple[str, str, str]]:
        """Why it waits, the risk and the sign: label, field, and what was typed."""
        later = self.later
        if later is None:
            return []
        because = (
            "" if _ENTRIES.fullmatch(self.feared.because) else self.feared.because
        )  # numbers of entries tell a customer nothing
        calm = self.recheck and self.item.judgement == "may wait" and _CALM.match(because)
        why = "waits" if why_it_waits(because) else "can.wait" if calm else "why"
        behind = self.feared
        held = [
            ("waits", "text", self.held),
            (why, "because", because),
            *(("waits", *piece) for piece in behind.waits),
            ("risk", "risk", behind.risk),
            ("watch", "watch", later.watch),
            *(("until", *piece) for piece in behind.until),
            *(("please", *piece) for piece in behind.please),
        ]
        if not self.talk.english:  # elsewhere typed words of a day are told as they were typed
            held += [("when", "due", later.due.event if later.due is not None else "")]
            held += [("when", *piece) for piece in behind.when]
        told = self.item.answer == "no"  # "because she declined" is said by the answer
        return [one for one in held if one[2].strip() and not (told and self._your_no(one[2]))]

    def _your_answer(self, text: str) -> bool:
        """Whether a reason says no more than that the reader has not answered."""
        return is_undecided(text) or is_your_answer(text, self.talk.job.ticket.header.customer.name)

    def _your_no(self, text: str) -> bool:
        """Whether a reason says no more than that the reader said no, by whatever name: "she declined"."""
        mine = set(fold(self.talk.job.ticket.header.customer.name).replace(",", " ").split())
        words = text.split()
        while words and fold(words[0]) in mine:
            words = words[1:]
        return _SAID_NO.fullmatch(" ".join(words)) is not None

    @property
    def unanswered(self) -> bool:
        """Whether it is told already that the reader's answer is waited for."""
        return self.item.answer == "thinks" or any(self._your_answer(text) for _, _, text in self._reasons())

    def _untold(self, name: str, field: str, text: str) -> bool:
        """Whether a language has no words for what was typed."""
        if self._your_answer(text) or self._your_no(text):
            return False
        return name == "when" or not self.talk.clauses(self.entry, field, text, field)

    def _note(self, note: Phrase) -> None:
        """What is told in the language of the typed lines, under the number of the item."""
        job: Phrase = (told(self.entry, "no", str(self.number), "item"),)
        self.noted.add(self.refs, self.talk.as_typed.say("noted.job", job=job, text=note), form=NOTE)

    def _labelled(self, name: str, text: str, where: str, field: str, ref: Entry | Ref | None = None) -> Phrase:
        own = self.talk.as_typed
        if name == "please":
            text = text.removeprefix("please ").removeprefix("Please ")
            return stop(own.say("later.please", text=own.typed(ref or self.entry, field, text, where)))
        note = own.note(ref or self.entry, field, text, where)
        return own.say("labelled", label=own.say(f"label.{name}"), text=note)

    def _answer(self) -> None:
        word, contact = self.item.answer, self.item.contact
        if looked_untold(self.talk.job, self.entry):
            self.add(self.talk.say("earlier.waits"))
        offered = self.later is None
        if offered and word == "yes":
            return  # told with what was agreed to, and its sum
        if contact is None:
            if offered and not self.talk.job.case.on_call and unheard(self.talk.job, self.entry):
                self.add(self.talk.say("offer.unanswered"))
            return
        kind = {"no": "declined", "thinks": "thinks", "yes": "accepted"}[word]
        way = way_of(self.talk, contact) if word == "no" else ()
        self.writer.add((*self.refs, *sources(contact)), said_by(self.talk, contact, f"later.{kind}", way=way))

    def _typed(self, name: str, field: str, text: str) -> None:
        """A reason, a risk or a sign behind its label: in English as typed, elsewhere in certain words or as a note."""
        talk = self.talk
        if not talk.english and self._untold(name, field, text):
            self._note(self._labelled(name, text, "remedy" if name == "when" else field, field))
            return
        if self._your_answer(text):
            self._value(name, talk.say("later.your.answer"))
            return
        if self._your_no(text):
            self._value(name, talk.say("later.declined", way=()))
            return
        clauses = talk.clauses(self.entry, field, text, field)
        said = () if clauses or name == "please" else talk.as_said(self.entry, field, text, field)
        if said:
            self._value(name, capital(said), SENTENCE)
            return
        if talk.english and not (clauses and talk.leaves.booked(text, field)):
            form = SENTENCE if clauses or name == "please" else NOTE
            label = "" if name == "please" else talk.title(f"label.{name}")
            self.add(self._labelled(name, text, field, field), form, label)
            return
        said = talk.say("labelled", label=talk.say(f"label.{name}"), text=stop(talk.in_row(clauses)))
        self.add(said, talk.form(text, field), talk.title(f"label.{name}"))

    def _value(self, name: str, value: Phrase, form: str = COMPUTED) -> None:
        said = self.talk.say("labelled", label=self.talk.say(f"label.{name}"), text=stop(value))
        self.add(said, form, self.talk.title(f"label.{name}"))

    def _come_back(self, fact: Later) -> Phrase:
        """ "Please come back after 500 miles or 3 weeks, so that we can read the codes again"."""
        talk = self.talk
        due = due_phrase(talk, self.entry, fact)
        date = talk.date(self.entry, "date", fact.date) if fact.date else ()
        if due:
            both = talk.say("due.by", due=due, date=date) if date else due
            said = talk.say("later.recheck.due", due=both, work=self.work)
            return ahead(talk, self.entry, due_terms(talk.job, self.entry, fact), said)
        if date:
            return talk.say("later.recheck.date", date=date, work=self.work)
        due_at = self._at_event(fact)
        return (
            talk.say("later.recheck.at", work=self.work, due=due_at)
            if due_at
            else talk.say("later.recheck", work=self.work)
        )

    def _when(self, fact: Later) -> None:
        talk = self.talk
        due = due_phrase(talk, self.entry, fact)
        date = talk.date(self.entry, "date", fact.date) if fact.date else ()
        within = self.item.judgement in ("do soon", "do now", "do not drive")
        pieces: list[Phrase] = []
        if due:
            both = talk.say("due.by", due=due, date=date) if date else due
            said = talk.say("when.within" if within else "when.after", due=both)
            pieces.append(ahead(talk, self.entry, due_terms(talk.job, self.entry, fact), said))
        elif date:
            pieces.append(talk.say("when.by", date=date))
        at = self._at_event(fact)
        if at and not (self.unanswered and fact.due is not None and _ONCE_ANSWERED.fullmatch(fact.due.event)):
            pieces.append(at)
        if talk.english:
            pieces += [talk.typed(self.entry, *piece) for piece in self.feared.when]
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
            pieces.append(talk.say("when.meter" if due.odometer.unit == "h" else "when.odometer", reading=reading))
        if due.event and talk.english:
            pieces.append(talk.typed(self.entry, "due", due.event))
        return joined(pieces, "; ")

    def _cost(self) -> None:
        amount = self.item.estimate
        if not amount:
            self._costs()
            return
        if free(amount):
            self.add(self.talk.say("later.free" if self.recheck else "later.free.work"))
            return
        money = self.talk.money(self.item.priced, "estimate", amount)
        self._value("cost", self.talk.say("cost.about", money=money))

    def _costs(self) -> None:
        """The price of each of several offers that one item puts off, in their order; none where one has none."""
        talk, offers = self.talk, self._offers()
        if len(offers) < 2 or len(offers) < len(self.item.offers) or not all(fact.estimate for _, fact in offers):
            return
        sums = [talk.say("cost.about", money=talk.money(entry, "estimate", fact.estimate)) for entry, fact in offers]
        self._value("cost", talk.listed(sums))


def due_phrase(talk: Talk, entry: Entry | Ref, fact: Later) -> Phrase:
    """ "8,000 km or 6 months, whichever comes first"; empty where none was typed."""
    return spans_phrase(talk, [(entry, fact.due)] if fact.due is not None else [])


def spans_phrase(talk: Talk, dues: Sequence[tuple[Entry | Ref, Due]]) -> Phrase:
    """The same of what several entries typed, each measure from its own."""
    spans: Sequence[Phrase] = [
        talk.measure(entry, "due", span.number, span.unit)
        for entry, due in dues
        for span in (due.distance, due.time, due.hours)
        if span is not None
    ]
    if len(spans) > 1:
        due = spans[0]
        for span in spans[1:]:
            due = talk.say("due.or", one=due, two=span)
        return talk.say("due.first", items=due)
    return spans[0] if spans else ()
