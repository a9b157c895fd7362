"""Reads the threads of a vehicle out of all its tickets, and the words recorded beside them."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date

from ticket.followups.driving import in_unit
from ticket.followups.forecast import terms_of
from ticket.followups.seen_again import Taken, Visits, seen_again
from ticket.followups.thread import (
    BOOKED,
    DECLINED,
    DONE,
    ELSEWHERE,
    GONE,
    LOOKED,
    MEASURED,
    OFFERED,
    OPEN,
    OVERTAKEN,
    PUT_OFF,
    TOLD,
    Decision,
    Look,
    Thread,
)  # fmt: skip
from ticket.job import follow
from ticket.job.entry import Entry
from ticket.job.follow import FollowUp
from ticket.job.kinds import Did, Later, Offer, Told
from ticket.job.likeness import content_words, sides
from ticket.job.ticket import Ticket
from ticket.job.values import Due, Quantity, Ref
from ticket.job.wall import calendar_day, local_day

STILL_WAITS = "looked at, still waits"
_ENDS = {"done here": DONE, "done elsewhere": ELSEWHERE, "gone": GONE}
_FOLLOWED = {
    follow.CALL: TOLD, follow.NEW_DATE: BOOKED, follow.DONE: ELSEWHERE, follow.DECLINED: DECLINED,
}  # fmt: skip

_WORDS = ("judgement", "because", "risk", "watch", "estimate")
"""What a later look may say anew of an item; what it leaves out still holds."""

_Words = tuple[frozenset[str], frozenset[str]]

Follows = Mapping[Ref, FollowUp]
"""The newest word on an entry of deferred work, by the entry with its ticket."""


def threads(tickets: Sequence[Ticket], follows: Follows | None = None) -> tuple[Thread, ...]:
    """Every thread of one vehicle, in the order they began.

    Args:
        tickets: all tickets of the vehicle, in any order.
        follows: words recorded beside the tickets.
    """
    visits = sorted(tickets, key=lambda ticket: (ticket.opened, ticket.number))
    reader = _Reader(visits)
    for visit in visits:
        reader.visit(visit)
    for ref, word in sorted((follows or {}).items(), key=lambda item: item[1].at):
        reader.followed(ref, word)
    return tuple(reader.found.values())


class _Reader:
    """Goes through the visits in their order.

    ``begun`` leads from any entry of a thread to where it began. What waits is found by its words and by the readings
    it rests on, never by going through all threads: a vehicle of many visits has many.
    """

    def __init__(self, visits: Sequence[Ticket]) -> None:
        self.visits = Visits(visits)
        self.found: dict[Ref, Thread] = {}
        self.begun: dict[Ref, Ref] = {}
        self._behind: dict[Ref, frozenset[Ref]] = {}
        self._resting: dict[Ref, dict[Ref, None]] = defaultdict(dict)
        self._worded: dict[_Words, dict[Ref, None]] = defaultdict(dict)
        self._place: dict[Ref, int] = {}  # the order they began in
        self._touched: dict[Ref, None] = {}  # threads this visit says something of

    def visit(self, ticket: Ticket) -> None:
        """Take in one ticket: what it puts off, then what it says of what was put off before and on itself."""
        for entry in ticket.of_kind(Later):
            if isinstance(entry.fact, Later):
                self._later(ticket, entry, entry.fact)
        offers: dict[int, set[Ref]] = {}
        for entry in ticket.living:
            fact = entry.fact
            if isinstance(fact, Offer):
                offers[entry.no] = set(self._meant(ticket, fact.refs))
                self._offered(ticket, entry, offers[entry.no])
            elif isinstance(fact, Did):
                carried = {ref for no in fact.refs if not no.ticket for ref in offers.get(no.no, ())}
                self._done(ticket, entry, {*self._meant(ticket, fact.refs), *carried})
            elif isinstance(fact, Told):
                self._told(ticket, entry, fact)
        self._measured_again(ticket)
        self._touched.clear()

    def _keep(self, ref: Ref, thread: Thread) -> None:
        """Take in what a visit says of a thread, under the words and the readings it waits by from now on."""
        self.found[ref] = thread
        self._place.setdefault(ref, len(self._place))
        self._touched[ref] = None
        if thread.waits:
            if ref not in self._behind:
                self._behind[ref] = self.visits.behind(ref, thread.fact)
            for start in self._behind[ref]:
                self._resting[start][ref] = None
            self._worded[_words(thread.fact.text)][ref] = None

    def _waiting(self, some: dict[Ref, None]) -> Iterator[Ref]:
        """Those of some threads that still wait; the others leave the list, and come back when they wait again."""
        for ref in tuple(some):
            if self.found[ref].waits:
                yield ref
            else:
                del some[ref]

    def _meant(self, ticket: Ticket, refs: Sequence[Ref]) -> Iterator[Ref]:
        """The threads some references lead to."""
        for ref in refs:
            begun = self.begun.get(Ref(ref.no, ref.ticket or ticket.number))
            if begun is not None:
                yield begun

    def _later(self, ticket: Ticket, entry: Entry, fact: Later) -> None:
        here, day = Ref(entry.no, ticket.number), local_day(entry.at)
        odometer = ticket.header.odometer_out or ticket.header.odometer_in
        look = Look(here, day, odometer, fact.answer or PUT_OFF)
        decided = Decision(entry.person, fact.answer or fact.judgement or PUT_OFF, day, here)
        meant = list(self._meant(ticket, fact.refs))
        if meant and fact.answer:
            for ref in meant:
                self.begun[here] = ref
                self._keep(ref, _answered(self.found[ref], fact, look, decided))
        elif not fact.answer or (fact.answer == STILL_WAITS and fact.text.strip()):
            before = [ref for ref in meant if ref.ticket != ticket.number]
            before += [ref for ref in self._same_words(ticket, fact) if ref not in before]
            self._begin(fact, look, decided, before)

    def _begin(self, fact: Later, look: Look, decided: Decision, before: Sequence[Ref]) -> None:
        """A thread of its own, which overtakes those that put off the same thing before."""
        looks = [old for ref in before for old in self.found[ref].looks]
        terms = terms_of(fact, look.day, look.odometer)
        self.begun[look.ref] = look.ref
        state = LOOKED if fact.answer else OPEN
        self._keep(look.ref, Thread(look.ref, fact, state, (*looks, look), terms, decided))
        for ref in before:
            self.found[ref] = replace(self.found[ref], state=OVERTAKEN, by=look.ref, decided=decided)

    def _same_words(self, ticket: Ticket, fact: Later) -> Iterator[Ref]:
        """What waits from an earlier visit and is put off here again in just the same words."""
        words = _words(fact.text)
        waiting = sorted(self._waiting(self._worded[words]), key=self._place.__getitem__) if words[0] else ()
        for ref in waiting:
            if ref.ticket != ticket.number and _words(self.found[ref].fact.text) == words:
                yield ref

    def _offered(self, ticket: Ticket, entry: Entry, refs: set[Ref]) -> None:
        """An offer of the work on a ticket that is open books it; once that is signed it is only a visit more."""
        for ref in refs:
            thread = self.found[ref]
            if thread.waits and ref.ticket != ticket.number:
                booked = ticket.status != "signed" and thread.state != LOOKED
                thread = self._with_look(thread, ticket, entry, OFFERED)
                self._keep(ref, replace(thread, state=BOOKED) if booked else thread)

    def _done(self, ticket: Ticket, entry: Entry, refs: set[Ref]) -> None:
        for ref in refs:
            thread = self._with_look(self.found[ref], ticket, entry, "done here")
            decided = Decision(entry.person, "done here", local_day(entry.at), Ref(entry.no, ticket.number))
            self._keep(ref, replace(thread, state=DONE, decided=decided))

    def _told(self, ticket: Ticket, entry: Entry, fact: Told) -> None:
        for answer in fact.answers:
            for ref in self._meant(ticket, answer.to):
                thread = self.found[ref]
                how = " by ".join(part for part in (answer.answer, fact.way) if part)
                decided = Decision(fact.who, how, local_day(entry.at), Ref(entry.no, ticket.number))
                state = TOLD if thread.state == OPEN else thread.state
                self.found[ref] = replace(thread, decided=decided if thread.waits else thread.decided, state=state)

    def _measured_again(self, ticket: Ticket) -> None:
        """What was measured at this visit of what deferred work rests on."""
        entries = self.visits.taken(ticket)
        starts = {start for start, _ in entries}
        threads = [ref for start in starts for ref in self._waiting(self._resting[start])]
        threads += [ref for ref in self._touched if not starts.isdisjoint(self._behind.get(ref, ()))]
        if threads:
            behind = {start for ref in threads for start in self._behind[ref]}
            taken = self.visits.readings(ticket, entries, behind)
            for ref in dict.fromkeys(threads):
                self._measured(ticket, ref, [one for one in taken if one.start in self._behind[ref]])

    def _measured(self, ticket: Ticket, ref: Ref, taken: Sequence[Taken]) -> None:
        """The same of one thread, once with each of an earlier visit."""
        thread = self.found[ref]
        seen = seen_again(ticket, taken)
        if seen is None:
            return
        mine = [at for at, look in enumerate(thread.looks) if look.ref.ticket == ticket.number]
        if mine:
            looks = list(thread.looks)
            looks[mine[-1]] = replace(looks[mine[-1]], came=seen.came, left=seen.left)
            self.found[ref] = replace(thread, looks=tuple(looks))
        elif thread.waits:
            look = replace(seen, what=MEASURED)
            self.found[ref] = replace(thread, looks=(*thread.looks, look), state=LOOKED)

    def _with_look(self, thread: Thread, ticket: Ticket, entry: Entry, what: str) -> Thread:
        header = ticket.header
        odometer = header.odometer_out or header.odometer_in
        look = Look(Ref(entry.no, ticket.number), local_day(entry.at), odometer, what)
        return replace(thread, looks=(*thread.looks, look))

    def followed(self, ref: Ref, word: FollowUp) -> None:
        """Take in a word recorded beside the tickets; what a later visit says counts more."""
        begun = self.begun.get(ref)
        thread = self.found.get(begun) if begun else None
        day = local_day(word.at)
        if thread is None or begun is None or not thread.waits or thread.last.day > day:
            return
        agreed = calendar_day(word.date) if word.date else None
        terms = (
            thread.terms if agreed is None else replace(thread.terms, by_date=agreed, agreed=True)
        )  # what may be driven stays
        state = BOOKED if agreed and word.what == follow.CALL else _FOLLOWED.get(word.what, thread.state)
        if state == TOLD and thread.state == LOOKED:
            state = LOOKED
        decided = Decision(word.person, word.what, day)
        self.found[begun] = replace(thread, state=state, terms=terms, decided=decided)


def _words(text: str) -> _Words:
    """What work is known by when it is put off in the same words: what it is, and on which sides."""
    return frozenset(content_words(text)), frozenset(sides(text))


def _answered(thread: Thread, fact: Later, look: Look, decided: Decision) -> Thread:
    """A thread with what a visit said became of it."""
    thread = replace(thread, looks=(*thread.looks, look), decided=decided)
    if fact.answer in _ENDS:
        return replace(thread, state=_ENDS[fact.answer])
    standing = merged(thread.fact, fact, look.day, look.odometer)
    return replace(thread, state=LOOKED, fact=standing, terms=terms_of(standing, look.day, look.odometer))


def merged(before: Later, now: Later, day: date, odometer: Quantity | None = None) -> Later:
    """An item that was looked at and still waits: what is typed now takes the place of the same kind of limit.

    What was not typed again counts anew from this look, so that a new date keeps the distance; a calendar day or a
    reading of the odometer that has passed by then is no limit any more.
    """
    due, date = _merged_due(before, now, day, odometer)
    typed = {name: getattr(now, name) for name in _WORDS if getattr(now, name)}
    text = now.text if now.text.strip() else before.text
    return replace(before, **typed, text=text, due=due, date=date, answer="")


def _merged_due(before: Later, now: Later, day: date, odometer: Quantity | None) -> tuple[Due | None, str]:
    """The limits that hold from a look on: what falls due after, and by which date."""
    old, new = before.due or Due(), now.due or Due()
    limit = calendar_day(before.date)
    date = before.date if limit is not None and limit > day else ""
    if _passed(old.odometer, odometer):
        old = replace(old, odometer=None)
    if new.time or now.date:
        old, date = replace(old, time=new.time), now.date
    if new.distance or new.odometer:
        old = replace(old, distance=new.distance, odometer=new.odometer)
    due = replace(old, hours=new.hours or old.hours, event=new.event or old.event)
    return (due if due != Due() else None), date


def _passed(aim: Quantity | None, odometer: Quantity | None) -> bool:
    """Whether the odometer shows a reading, or more, at which work was due."""
    here = in_unit(odometer, aim.unit) if aim and odometer else None
    return aim is not None and here is not None and aim.value is not None and here >= float(aim.value)
