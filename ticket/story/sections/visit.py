"""Earlier tickets of the vehicle: what was done for the same trouble, and what was put off then."""

from collections.abc import Iterator

from ticket.job.entry import Entry, refs_of
from ticket.job.kinds import Code, Did, Later, Says
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.job.wall import local_day
from ticket.story.context import Job, sources, told
from ticket.story.sections.talk import Talk, stop
from ticket.story.sections.waiting import WAITS
from ticket.story.sections.writer import Writer
from ticket.story.sentence import NOTE, TICKET, Phrase, Source

_ANSWERS = {"done here": "done", "done elsewhere": "elsewhere", WAITS: "waits", "gone": "gone"}


def tell_visit(talk: Talk, writer: Writer) -> None:
    """Come-backs, then the work that was put off before and what became of it."""
    known = comebacks(talk.job)
    for ticket, says in known:
        _comeback(talk, ticket, says, writer)
    for entry, said in talk.job.each(Says):
        if said.back_from and not any(says == Ref(entry.no) for _, says in known):
            number: Phrase = (told(entry, "back_from", said.back_from, "typed"),)
            writer.add(sources(entry), stop(talk.say("earlier.back", number=number)))
    answered: set[int] = set()
    for ref, fact, ticket, answer in put_off(talk.job):
        answered |= {answer.no} if answer is not None else set()
        _put_off(talk, ref, fact, ticket, answer, writer)
    for entry, later in talk.job.each(Later):
        if entry.no not in answered and later.answer and later.answer != WAITS:
            work = talk.work_or_typed(entry, "text", later.text)
            if work:
                writer.add(sources(entry), stop(talk.say("earlier.put.off.plain", work=work)))
            writer.add(sources(entry), talk.say(f"earlier.{_ANSWERS[later.answer]}"))


def _put_off(talk: Talk, ref: Ref, fact: Later, ticket: Ticket, answer: Entry | None, writer: Writer) -> None:
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


def comebacks(job: Job) -> list[tuple[Ticket, Ref | None]]:
    """Earlier visits for the same trouble, each with the complaint that names it."""
    named = [(ticket, Ref(entry.no)) for entry, fact in job.each(Says) if (ticket := _ticket(job, fact.back_from))]
    if named or any(fact.back_from for _, fact in job.each(Says)):
        return list(named)
    same = _same_code(job)
    return [(same, None)] if same is not None else []


def signed(job: Job) -> list[Ticket]:
    """Earlier tickets that stand for good; only these are sources."""
    return [ticket for ticket in job.case.earlier if ticket.status == "signed"]


def _ticket(job: Job, number: str) -> Ticket | None:
    return next((ticket for ticket in signed(job) if str(ticket.number) == number and shown(ticket)), None)


def codes_of(ticket: Ticket) -> dict[tuple[str, str], int]:
    """The codes of a ticket with the numbers of their entries."""
    return {
        (entry.fact.code, entry.fact.sub): entry.no
        for entry in ticket.living
        if isinstance(entry.fact, Code) and entry.fact.code != "none" and not entry.shop_only
    }


def _same_code(job: Job) -> Ticket | None:
    """The latest earlier ticket with one of the codes of this one, not longer ago than the shop counts."""
    now = {(fact.code, fact.sub) for _, fact in job.each(Code)}
    today = local_day(job.ticket.opened)
    for ticket in signed(job):
        days = (today - local_day(ticket.closed or ticket.opened)).days
        if 0 <= days <= job.case.settings.comeback_days and now & set(codes_of(ticket)) and shown(ticket):
            return ticket
    return None


def shown(ticket: Ticket) -> list[Entry]:
    """The living entries of an earlier ticket that any reader may see."""
    return [entry for entry in ticket.living if not entry.shop_only]


def put_off(job: Job) -> Iterator[tuple[Ref, Later, Ticket, Entry | None]]:
    """Deferred items of earlier tickets that no visit settled, each with the entry of this ticket that answers it."""
    settled = _settled_before(job)
    answers = {ref: entry for entry in job.entries for name, ref in refs_of(entry.fact) if ref.ticket}
    for ticket in signed(job):
        for entry in shown(ticket):
            fact = entry.fact
            ref = Ref(entry.no, ticket.number)
            if isinstance(fact, Later) and not fact.answer and ref not in settled:
                yield ref, fact, ticket, answers.get(ref)


def _settled_before(job: Job) -> set[Ref]:
    """Items that an earlier visit settled already."""
    out: set[Ref] = set()
    for ticket in job.case.earlier:
        for entry in ticket.living:
            fact = entry.fact
            if isinstance(fact, Did) or (isinstance(fact, Later) and fact.answer not in ("", WAITS)):
                out |= {ref for _, ref in refs_of(fact) if ref.ticket}
    return out


def _date(talk: Talk, ticket: Ticket, ref: Ref) -> Phrase:
    return talk.date(ref, "closed", local_day(ticket.closed or ticket.opened))


def _comeback(talk: Talk, ticket: Ticket, says: Ref | None, writer: Writer) -> None:
    anchors = shown(ticket)
    works: list[tuple[Ref, Phrase]] = []
    for entry in anchors:
        if isinstance(entry.fact, Did):
            ref = Ref(entry.no, ticket.number)
            done = talk.done(ref, "text", entry.fact.text)
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
