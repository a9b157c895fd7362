"""Who was asked what and answered what, what waits, and what was changed after signing."""

from ticket.job.entry import Entry
from ticket.job.kinds import Did, Later
from ticket.job.values import Due
from ticket.job.wall import calendar_day
from ticket.language.figures import free, grouped
from ticket.money.agreement import Contact
from ticket.money.amount import written
from ticket.money.hours import clocked, tenths
from ticket.notes.write import write_plainly
from ticket.papers.matter import Matter, capital, joined
from ticket.papers.sheet import Block, Column, Heading, Table
from ticket.papers.wording import done, to_do
from ticket.story.context import Job
from ticket.story.facts.open_work import open_work
from ticket.story.inside import inside_fields, outward


def contacts(matter: Matter) -> tuple[Block, ...]:
    """Every contact about the work: when, who, how, what was answered, and the sum agreed to from then on."""
    label = matter.label
    found = [contact for one in matter.agreements for contact in one.contacts if matter.entry(contact.no)]
    if not found:
        return ()
    columns = (
        Column(label("consent.when")), Column(label("consent.who")), Column(label("consent.answer")),
        Column(label("consent.sum"), figures=True),
    )  # fmt: skip
    rows = tuple(_contact(matter, contact) for contact in sorted(found, key=lambda one: one.no))
    return Heading(label("consent")), Table(label("consent.caption"), columns, rows)


def _contact(matter: Matter, contact: Contact) -> tuple[str, ...]:
    label = matter.label
    way = label.or_typed("way", contact.way)
    address = "" if ("told", "address") in inside_fields(matter.reader) else contact.address
    who = joined((contact.who, joined((way, address), " "), label("consent.by", name=contact.taken_by)))
    named = {"yes": contact.yes_to, "no": contact.no_to}
    answers = [
        label("consent.to", answer=label.or_typed("answer", answer), what=joined(_texts(matter, to), "; "))
        if (to := named.get(answer, ()))
        else label.or_typed("answer", answer)
        for answer in dict.fromkeys(contact.answers)
    ]
    if contact.total is not None:
        answers.append(label("consent.total", sum=matter.money(contact.total)))
    if contact.ceiling is not None:
        answers.append(label("consent.ceiling", sum=matter.money(contact.ceiling)))
    return matter.moment(contact.at), who, capital(joined(answers, "; ")), matter.money(contact.approved)


def _texts(matter: Matter, numbers: tuple[int, ...]) -> list[str]:
    """The words of some offers; a number for one the reader may not see."""
    entries = [(no, matter.entry(no)) for no in numbers]
    return [
        to_do(matter, no, getattr(entry.fact, "text", "")) if entry is not None else matter.label("entry", number=no)
        for no, entry in entries
    ]


def deferred(matter: Matter) -> tuple[Block, ...]:
    """The work that waits: how pressing, when to come back, and about what it will cost."""
    label = matter.label
    open_items = sorted(open_work(Job(matter.case, matter.reader)), key=lambda item: item.entry.no)
    waiting = [(item.entry.no, item.fact) for item in open_items if isinstance(item.fact, Later)]
    if not waiting:
        return ()
    names = ("what", "judgement", "when", "cost")
    columns = tuple(Column(label(f"later.{name}"), figures=name == "cost") for name in names)
    rows = tuple(
        (
            capital(to_do(matter, no, fact.text)),
            label.or_typed("judgement", fact.judgement),
            _when(matter, fact),
            _cost(matter, fact),
        )
        for no, fact in waiting
    )
    return Heading(label("later")), Table(label("later.caption"), columns, rows)


def _cost(matter: Matter, fact: Later) -> str:
    if not fact.estimate:
        return ""
    if free(fact.estimate):
        return matter.label("later.free")
    return f"{matter.case.settings.currency}{grouped(fact.estimate)}"


def _when(matter: Matter, fact: Later) -> str:
    due, label = fact.due or Due(), matter.label
    spans = [
        f"{grouped(one.number)}\u00a0{label.or_typed('unit', one.unit)}"
        for one in (due.distance, due.time, due.hours)
        if one
    ]
    told = ""
    for span in spans:
        told = label("later.or", one=told, other=span) if told else span
    pressing = fact.judgement in ("do soon", "do now", "do not drive")
    after = label("later.within" if pressing else "later.in", spans=told) if told else ""
    by = label("later.by", day=_day(matter, fact.date)) if fact.date else ""
    return label("later.or", one=after, other=by) if after and by else after or by


def _day(matter: Matter, typed: str) -> str:
    """A typed ISO date in words; other text stays."""
    day = calendar_day(typed)
    return matter.date(day) if day else typed


def hours(matter: Matter) -> tuple[Block, ...]:
    """Hours billed beside hours by the clock, as an auditor holds them against each other."""
    label = matter.label
    works = [(entry, entry.fact) for entry in matter.entries if isinstance(entry.fact, Did)]
    if not any(fact.clock for _, fact in works):
        return ()
    columns = (
        Column(label("charges.entry"), figures=True), Column(label("clock.work")), Column(label("clock.by")),
        Column(label("clock.times")), Column(label("clock.billed"), figures=True),
        Column(label("clock.clocked"), figures=True),
    )  # fmt: skip
    return Heading(label("clock"), 2), Table(
        label("clock.caption"), columns, tuple(_worked(matter, e, f) for e, f in works)
    )


def _worked(matter: Matter, entry: Entry, fact: Did) -> tuple[str, ...]:
    minutes = clocked(fact.clock, entry.at) if fact.clock else None
    return (
        str(entry.no),
        capital(done(matter, entry.no, fact.text)),
        fact.by or entry.person,
        joined(f"{span.start}–{span.end}" for span in fact.clock),
        f"{fact.hours}\u00a0h" if fact.hours else "",
        "" if minutes is None else f"{written(tenths(minutes))}\u00a0h",
    )


def changes(matter: Matter) -> tuple[Block, ...]:
    """What was added or replaced after signing: when, by whom, why, and how it stood before."""
    label = matter.label
    late = [entry for entry in matter.case.ticket.entries if entry.amended and matter.sees(entry) and not entry.struck]
    if not late:
        return ()
    columns = tuple(Column(label(f"changes.{name}")) for name in ("when", "why", "old", "new"))
    rows = []
    for entry in late:
        old = matter.entry(entry.replaces) if entry.replaces else None
        was = _line(matter, old) if old else ""
        rows.append((f"{matter.moment(entry.at)}, {entry.person}", entry.reason, was, _line(matter, entry)))
    return Heading(label("changes")), Table(label("changes.caption"), columns, tuple(rows))


def _line(matter: Matter, entry: Entry) -> str:
    """The line of an entry without what stays inside the shop."""
    return write_plainly(outward(entry.fact, matter.reader))
