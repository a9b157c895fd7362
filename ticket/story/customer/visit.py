"""Earlier tickets of the vehicle: what was done for the same trouble, and what was put off then."""

from ticket.job.kinds import Code, Did, Later
from ticket.job.ticket import Ticket
from ticket.job.values import Ref
from ticket.job.wall import local_day
from ticket.story.catalogue import say, variants
from ticket.story.context import Job, sources, told
from ticket.story.customer.said import inner
from ticket.story.facts.earlier_visits import answers_untold, codes_of, comebacks, comebacks_untold, put_off, shown
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
    for entry, fact in comebacks_untold(job):
        number = told(entry, "back_from", fact.back_from, "typed")
        writer.add(sources(entry), say("earlier.before", number=number))
    _put_off(job, writer)
    for entry, later in answers_untold(job):
        text = told(entry, "text", inner(later.text), "quoted")
        what = say("earlier.own.what", text=text) if later.text.strip() else ()
        writer.add(sources(entry), say(f"earlier.own.{_ANSWERS[later.answer]}", what=what))


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
