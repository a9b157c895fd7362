"""Earlier visits in the other language: the one this is a come-back of, and what was put off then."""

from ticket.job.kinds import Code, Did, Later
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.job.wall import local_day
from ticket.story.context import sources, told
from ticket.story.facts.earlier_visits import answers_untold, codes_of, comebacks, comebacks_untold, put_off, shown
from ticket.story.other.clauses import Labour
from ticket.story.other.talk import Talk, stop
from ticket.story.other.work import todo
from ticket.story.sentence import TICKET, Phrase, Source
from ticket.story.writer import Writer

_ANSWERS = {"done here": "done", "done elsewhere": "elsewhere", "looked at, still waits": "waits", "gone": "gone"}


def tell_visit(talk: Talk, writer: Writer) -> None:
    """Come-backs, then the work that was put off before and what became of it."""
    for ticket, says in comebacks(talk.job):
        _comeback(talk, ticket, says, writer)
    for entry, complaint in comebacks_untold(talk.job):
        number: Phrase = (told(entry, "back_from", complaint.back_from, "typed"),)
        writer.add(sources(entry), stop(talk.say("earlier.before", number=number)))
    for entry, later in answers_untold(talk.job):
        work = todo(talk, entry, later.text) if later.text.strip() else ()
        first = talk.say("earlier.own.put.off", work=work) if work else talk.say("earlier.own.plain")
        for phrase in (first, talk.say(f"earlier.{_ANSWERS[later.answer]}")):
            writer.add(sources(entry), stop(phrase))
    for ref, fact, ticket, answer in put_off(talk.job):
        cited: tuple[Source, ...] = (ref, TICKET if answer is None else Ref(answer.no))
        kind = "left" if answer is None else "looked"
        if answer is not None and isinstance(answer.fact, Later):
            kind = _ANSWERS.get(answer.fact.answer, kind)
        work = todo(talk, ref, fact.text)
        for phrase in (
            talk.say("earlier.put.off", date=_date(talk, ticket, ref), work=work),
            talk.say(f"earlier.{kind}"),
        ):
            writer.add(cited, stop(phrase))


def _date(talk: Talk, ticket: Ticket, ref: Ref) -> Phrase:
    return talk.date(ref, "closed", local_day(ticket.closed or ticket.opened))


def _comeback(talk: Talk, ticket: Ticket, says: Ref | None, writer: Writer) -> None:
    anchors = shown(ticket)
    if not anchors:
        return
    works: list[tuple[Ref, Phrase]] = []
    for entry in anchors:
        if isinstance(entry.fact, Did):
            ref = Ref(entry.no, ticket.number)
            pieces = talk.reader.labour(entry.fact.text)
            if all(isinstance(piece, Labour) for piece in pieces):
                works += [(ref, (told(ref, "text", one.done),)) for one in pieces if isinstance(one, Labour)]
    first = works[0][0] if works else Ref(anchors[0].no, ticket.number)
    back = (says,) if says is not None else ()
    date = _date(talk, ticket, first)
    if works:
        listed = talk.listed([phrase for _, phrase in works])
        cited = (*dict.fromkeys(ref for ref, _ in works), *back)
        writer.add(cited, stop(talk.say("earlier.visit.work", date=date, tasks=listed)))
    else:
        writer.add((first, *back), stop(talk.say("earlier.visit", date=date)))
    old = codes_of(ticket)
    for entry, fact in talk.job.each(Code):
        if (fact.code, fact.sub) in old:
            before = Ref(old[(fact.code, fact.sub)], ticket.number)
            writer.add((before, Ref(entry.no)), talk.say("earlier.again"))
            break
