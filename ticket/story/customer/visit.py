"""Earlier tickets of the vehicle: what was done for the same trouble, and what was put off then."""

from collections.abc import Iterator

from ticket.job.entry import Entry, refs_of
from ticket.job.kinds import Code, Did, Later, Says
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.job.wall import local_day
from ticket.story.catalogue import say, variants
from ticket.story.context import Job, told
from ticket.story.customer.said import inner
from ticket.story.sentence import TICKET, Phrase
from ticket.story.words.figures import day
from ticket.story.words.labour import tasks
from ticket.story.writer import Writer

_ANSWERS = {
    "done here": "done", "done elsewhere": "elsewhere", "looked at, still waits": "waits", "gone": "gone",
}  # fmt: skip


def tell_visit(job: Job, writer: Writer) -> None:
    """The visit this one is a come-back of; then the work that was put off before."""
    for ticket, says in comebacks(job):
        _comeback(job, ticket, says, writer)
    _put_off(job, writer)


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
    return next((ticket for ticket in signed(job) if str(ticket.number) == number), None)


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
        if 0 <= days <= job.case.settings.comeback_days and now & set(codes_of(ticket)):
            return ticket
    return None


def _date(job: Job, ticket: Ticket, ref: Ref) -> Phrase:
    when = local_day(ticket.closed or ticket.opened)
    return (told(ref, "closed", day(when, job.case.settings.dates), "date"),)


def _comeback(job: Job, ticket: Ticket, says: Ref | None, writer: Writer) -> None:
    works = [(entry, entry.fact) for entry in shown(ticket) if isinstance(entry.fact, Did)]
    known = [(Ref(entry.no, ticket.number), fact.text) for entry, fact in works if _told(fact.text)]
    anchors = [Ref(entry.no, ticket.number) for entry in shown(ticket)]
    if not anchors:
        return
    first = known[0][0] if known else anchors[0]
    date = _date(job, ticket, first)
    back = (says,) if says is not None else ()
    if known:
        texts = [_told(text) for _, text in known]
        work = (told(first, "text", " and ".join(texts)),)
        writer.add((*(ref for ref, _ in known), *back), say("earlier.visit", date=date, tasks=work))
    else:
        writer.add((first, *back), say("earlier.visit.plain", date=date))
    old = codes_of(ticket)
    again = [entry for entry, fact in job.each(Code) if (fact.code, fact.sub) in old]
    if again:
        before = Ref(next(old[key] for key in old), ticket.number)
        fact = again[0].fact
        if isinstance(fact, Code):
            before = Ref(old[(fact.code, fact.sub)], ticket.number)
        writer.add((before, Ref(again[0].no)), say("earlier.again"))


def shown(ticket: Ticket) -> list[Entry]:
    """The living entries of an earlier ticket that any reader may see."""
    return [entry for entry in ticket.living if not entry.shop_only]


def _told(text: str) -> str:
    known, unknown = tasks(text)
    return " and ".join(task.told() for task in known) if known and not unknown else ""


def _put_off(job: Job, writer: Writer) -> None:
    """Deferred items of earlier tickets: what became of each, or that nobody looked."""
    for ref, fact, ticket, answer in put_off(job):
        text = _gerund(ref, fact.text)
        date = _date(job, ticket, ref)
        task = _recheck(ref, fact.text)
        if task and answer is None:
            writer.add((ref, TICKET), *variants("earlier.recheck.left", date=date, task=task))
        elif task and answer is not None:
            here = not isinstance(answer.fact, Later) or answer.fact.answer == "done here"
            kind = "earlier.recheck.done" if here else "earlier.recheck"
            writer.add((ref, Ref(answer.no)), *variants(kind, date=date, task=task))
        elif answer is None:
            writer.add((ref, TICKET), *variants("earlier.left", date=date, text=text))
        elif isinstance(answer.fact, Later) and answer.fact.answer in _ANSWERS:
            kind = f"earlier.{_ANSWERS[answer.fact.answer]}"
            writer.add((ref, Ref(answer.no)), *variants(kind, date=date, text=text))
        else:
            writer.add((ref, Ref(answer.no)), *variants("earlier.looked", date=date, text=text))


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
            done = isinstance(fact, Did) or (
                isinstance(fact, Later) and fact.answer not in ("", "looked at, still waits")
            )
            if done:
                out |= {ref for _, ref in refs_of(fact) if ref.ticket}
    return out


def _recheck(ref: Ref, text: str) -> Phrase:
    """What the customer was asked to come back for: to read, check or measure something again."""
    known, unknown = tasks(text)
    looks = all(work.kind in ("check", "measure", "look") for task in known for work in task.works)
    if unknown or not known or not looks:
        return ()
    return (told(ref, "text", " and ".join(task.told("base") for task in known)),)


def _gerund(ref: Ref, text: str) -> Phrase:
    known, unknown = tasks(text)
    if known and not unknown:
        return (told(ref, "text", " and ".join(task.told("gerund") for task in known)),)
    return say("what.quoted", text=told(ref, "text", inner(text), "quoted"))
