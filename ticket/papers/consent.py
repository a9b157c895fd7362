"""Who was asked what and answered what, what waits, and what was changed after signing."""

from collections.abc import Iterator

from ticket.job.entry import Entry
from ticket.job.header_texts import corrected
from ticket.job.kinds import Did, Later
from ticket.job.values import Due
from ticket.job.wall import calendar_day
from ticket.language.figures import free, grouped
from ticket.money.agreement import Contact
from ticket.money.amount import written
from ticket.money.labour_hours import clocked, tenths
from ticket.notes.write import write_plainly
from ticket.papers.copy_contents import CopyContents, capital, joined
from ticket.papers.head import REACHED_BY
from ticket.papers.sheet import Block, Column, Heading, Table
from ticket.papers.typed_words import done, to_do
from ticket.story.context import Job
from ticket.story.facts.open_work import open_work
from ticket.story.facts.threads_seen import still_waiting
from ticket.story.inside import inside_fields, outward


def contacts(contents: CopyContents) -> tuple[Block, ...]:
    """Every contact about the work: when, who, how, what was answered, and the sum agreed to from then on."""
    label = contents.label
    found = [contact for one in contents.agreements for contact in one.contacts if contents.entry(contact.no)]
    if not found:
        return ()
    columns = (
        Column(label("consent.when")), Column(label("consent.who")), Column(label("consent.answer")),
        Column(label("consent.sum"), figures=True),
    )  # fmt: skip
    rows = tuple(_contact(contents, contact) for contact in sorted(found, key=lambda one: one.no))
    return Heading(label("consent")), Table(label("consent.caption"), columns, rows)


def _contact(contents: CopyContents, contact: Contact) -> tuple[str, ...]:
    label = contents.label
    way = label.or_typed("way", contact.way)
    address = "" if ("told", "address") in inside_fields(contents.reader) else contact.address
    who = joined((contact.who, joined((way, address), " "), label("consent.by", name=contact.taken_by)))
    named = {"yes": contact.yes_to, "no": contact.no_to}
    answers = [
        label("consent.to", answer=label.or_typed("answer", answer), what=joined(_texts(contents, to), "; "))
        if (to := named.get(answer, ()))
        else label.or_typed("answer", answer)
        for answer in dict.fromkeys(contact.answers)
    ]
    if contact.total is not None:
        answers.append(label("consent.total", sum=contents.money(contact.total)))
    if contact.ceiling is not None:
        answers.append(label("consent.ceiling", sum=contents.money(contact.ceiling)))
    return contents.moment(contact.at), who, capital(joined(answers, "; ")), contents.money(contact.approved)


def _texts(contents: CopyContents, numbers: tuple[int, ...]) -> list[str]:
    """The words of some offers; a number for one the reader may not see."""
    entries = [(no, contents.entry(no)) for no in numbers]
    return [
        to_do(contents, no, getattr(entry.fact, "text", ""))
        if entry is not None
        else contents.label("entry", number=no)
        for no, entry in entries
    ]


def deferred(contents: CopyContents) -> tuple[Block, ...]:
    """The work that waits: how pressing, when to come back, and about what it will cost."""
    label = contents.label
    job = Job(contents.case, contents.reader)
    open_items = sorted(open_work(job), key=lambda item: item.entry.no)
    waiting = [(item.entry.no, item.fact) for item in open_items if isinstance(item.fact, Later)]
    waiting += [(seen.answer.no, seen.thread.fact) for seen in still_waiting(job) if seen.answer is not None]
    if not waiting:
        return ()
    names = ("what", "judgement", "when", "cost")
    columns = tuple(Column(label(f"later.{name}"), figures=name == "cost") for name in names)
    rows = tuple(
        (
            capital(to_do(contents, no, fact.text)),
            label.or_typed("judgement", fact.judgement),
            _when(contents, fact),
            _cost(contents, fact),
        )
        for no, fact in waiting
    )
    return Heading(label("later")), Table(label("later.caption"), columns, rows)


def _cost(contents: CopyContents, fact: Later) -> str:
    if not fact.estimate:
        return ""
    if free(fact.estimate):
        return contents.label("later.free")
    return f"{contents.case.settings.currency}{grouped(fact.estimate)}"


def _when(contents: CopyContents, fact: Later) -> str:
    due, label = fact.due or Due(), contents.label
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
    by = label("later.by", day=_day(contents, fact.date)) if fact.date else ""
    return label("later.or", one=after, other=by) if after and by else after or by


def _day(contents: CopyContents, typed: str) -> str:
    """A typed ISO date in words; other text stays."""
    day = calendar_day(typed)
    return contents.date(day) if day else typed


def hours(contents: CopyContents) -> tuple[Block, ...]:
    """Hours billed beside hours by the clock, as an auditor holds them against each other."""
    label = contents.label
    works = [(entry, entry.fact) for entry in contents.entries if isinstance(entry.fact, Did)]
    if not any(fact.clock for _, fact in works):
        return ()
    columns = (
        Column(label("charges.entry"), figures=True), Column(label("clock.work")), Column(label("clock.by")),
        Column(label("clock.times")), Column(label("clock.billed"), figures=True),
        Column(label("clock.clocked"), figures=True),
    )  # fmt: skip
    return Heading(label("clock"), 2), Table(
        label("clock.caption"), columns, tuple(_worked(contents, e, f) for e, f in works)
    )


def _worked(contents: CopyContents, entry: Entry, fact: Did) -> tuple[str, ...]:
    minutes = clocked(fact.clock, entry.at) if fact.clock else None
    return (
        str(entry.no),
        capital(done(contents, entry.no, fact.text)),
        fact.by or entry.person,
        joined(f"{span.start}–{span.end}" for span in fact.clock),
        f"{fact.hours}\u00a0h" if fact.hours else "",
        "" if minutes is None else f"{written(tenths(minutes))}\u00a0h",
    )


def changes(contents: CopyContents) -> tuple[Block, ...]:
    """What was added, replaced or withdrawn after signing: when, by whom, why, and how it stood before."""
    label = contents.label
    late = [entry for entry in contents.case.ticket.entries if entry.amended and not entry.struck]
    late = [entry for entry in late if contents.sees(entry) or (entry.replaces and contents.entry(entry.replaces))]
    columns = tuple(Column(label(f"changes.{name}")) for name in ("when", "why", "old", "new"))
    rows = list(_corrections(contents))
    for entry in late:
        old = contents.entry(entry.replaces) if entry.replaces else None
        was = _line(contents, old) if old else ""
        # What takes the place of a line and is for the shop only takes that line away.
        line = _line(contents, entry) if contents.sees(entry) else label("changes.withdrawn")
        rows.append((f"{contents.moment(entry.at)}, {entry.person}", entry.reason, was, line))
    if not rows:
        return ()
    return Heading(label("changes")), Table(label("changes.caption"), columns, tuple(rows))


def _corrections(contents: CopyContents) -> Iterator[tuple[str, ...]]:
    """What was wrong above the entries: each field as it was signed and as it is."""
    for one in contents.case.ticket.corrections:
        fields = [field for field in corrected(one) if contents.reader != "payer" or field[0] not in REACHED_BY]
        if fields:
            sides = (joined((_field(contents, name, pair[i]) for name, *pair in fields), "; ") for i in (0, 1))
            yield f"{contents.moment(one.at)}, {one.person}", one.reason, *sides


def _field(contents: CopyContents, name: str, text: str) -> str:
    label = contents.label
    if not text:
        said = label("changes.empty")
    elif name == "odometer":
        said = label("odometer.in", came=text)
    elif name == "odometer-out":
        said = label("odometer.out", left=text)
    else:
        said = label.or_typed("odo", text) if name == "odometer-reason" else text
    return f"{label(name.partition('-')[0])}: {said}"


def _line(contents: CopyContents, entry: Entry) -> str:
    """The line of an entry without what stays inside the shop."""
    return write_plainly(outward(entry.fact, contents.reader))
