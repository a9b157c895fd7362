"""Earlier tickets of the vehicle: what was done for the same trouble, and what was put off then."""

from ticket.followups.threads import STILL_WAITS
from ticket.job.entry import refs_of
from ticket.job.kinds import Code, Did, Later, Used
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.job.wall import local_day
from ticket.story.context import sources, told
from ticket.story.facts.earlier_visits import answers_untold, codes_of, comebacks, comebacks_untold, shown
from ticket.story.facts.labour_kinds import undecided
from ticket.story.facts.threads_seen import SeenAgain, seen_threads
from ticket.story.sections.talk import Talk, stop
from ticket.story.sections.thread_told import tell_seen_again
from ticket.story.sections.writer import Writer
from ticket.story.sentence import NOTE, TICKET, Phrase, Source

_ANSWERS = {"done here": "done", "done elsewhere": "elsewhere", STILL_WAITS: "waits", "gone": "gone"}


def tell_visit(talk: Talk, writer: Writer) -> None:
    """Come-backs, then the work that was put off before and what became of it."""
    for ticket, says in comebacks(talk.job):
        _comeback(talk, ticket, says, writer)
    for entry, said in comebacks_untold(talk.job):
        number: Phrase = (told(entry, "back_from", said.back_from, "typed"),)
        writer.add(sources(entry), stop(talk.say("earlier.back", number=number)))
    for seen in seen_threads(talk.job):
        _put_off(talk, seen, writer)
        tell_seen_again(talk, seen, writer)
    for entry, later in answers_untold(talk.job):
        work = talk.work_or_typed(entry, "text", later.text)
        before = next(((name, ref) for name, ref in refs_of(later) if ref.ticket), None)
        if work:
            writer.add(sources(entry), stop(talk.say("earlier.put.off.plain", work=work)))
        elif before is not None:  # what became of it says nothing without what it was
            earlier: Phrase = (told(entry, before[0], str(before[1].ticket), "typed"),)
            writer.add(sources(entry), stop(talk.say("earlier.put.off.ticket", number=earlier)))
        if not work and later.text.strip():
            writer.add(sources(entry), talk.note(entry, "text", later.text, "remedy"), form=NOTE)
        writer.add(sources(entry), talk.say(f"earlier.{_ANSWERS[later.answer]}"))


def _put_off(talk: Talk, seen: SeenAgain, writer: Writer) -> None:
    ref, fact, ticket, answer = seen.thread.ref, seen.begun, seen.ticket, seen.answer
    cited: tuple[Source, ...] = (ref, TICKET if answer is None else Ref(answer.no))
    kind = "left" if answer is None else "looked"
    if answer is not None and isinstance(answer.fact, Later):
        kind = _ANSWERS.get(answer.fact.answer, kind)
    date = _date(talk, ticket, ref)
    work = talk.work_or_typed(ref, "text", fact.text)
    if work:
        writer.add(cited, *map(stop, talk.variants("earlier.put.off", date=date, work=work)))
    else:
        writer.add(cited, stop(talk.say("earlier.put.off.some", date=date)))
        writer.add(cited, talk.note(ref, "text", fact.text, "remedy"), form=NOTE)
    writer.add(cited, talk.say(f"earlier.{kind}"))


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
            parts = tuple(one.fact.text for one in ticket.living if isinstance(one.fact, Used))
            done = () if undecided(entry.fact.text, parts) else talk.done(ref, "text", entry.fact.text)
            works += [(ref, done)] if done else []
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
