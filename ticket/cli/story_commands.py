"""Commands that tell: story, gaps, past jobs."""

import argparse
import textwrap
from typing import Any

from ticket.cli.open_shop import open_shop, open_to_show
from ticket.cli.output import as_json, remark, say, say_json, write
from ticket.cli.shop_only_remarks import remark_inside
from ticket.cli.ticket_commands import summary
from ticket.gaps.find import blocking
from ticket.job.errors import NotFoundError
from ticket.job.kinds import Cause, Code, Did
from ticket.job.text import one_line
from ticket.job.ticket import Ticket
from ticket.job.wall import local_day
from ticket.papers.markdown import as_markdown
from ticket.papers.plain_text import as_text
from ticket.past.query import FIELDS, unknown_fields
from ticket.shop.past import find_jobs
from ticket.shop.reading import open_gaps, story_of, without_names
from ticket.store.search import CAP
from ticket.story.document import to_document
from ticket.story.places import numbered, resting
from ticket.story.sentence import Story


def story(options: argparse.Namespace) -> None:
    """The story of a ticket."""
    if options.form in ("html", "pdf") and not options.json:
        from ticket.cli.paper_commands import story_page

        story_page(options)
        return
    with open_to_show(options, [options.number], "story") as shop:
        told = story_of(shop, options.number, options.reader, options.language)
    if options.entry:
        told = _on_entry(told, options.entry)
    if options.json:
        write(options, as_json(to_document(told)))
        remark_inside(options)
        return
    told = numbered(told) if options.numbers else told
    if options.form == "markdown":
        write(options, as_markdown(told, sources=options.sources))
    else:
        write(options, as_text(told, width=max(options.width, 20), sources=options.sources))
    remark_inside(options)


def _on_entry(told: Story, no: int) -> Story:
    if told.ticket.entry(no) is None:
        raise NotFoundError(f"There is no entry {no} on ticket {told.ticket.number}.")
    found = resting(told, no)
    if not found.sections:
        raise NotFoundError(f"No sentence of the {told.reader}'s story rests on entry {no}.")
    return found


def gaps(options: argparse.Namespace) -> int:
    """What is missing; 1 while a blocking gap stands."""
    with open_shop(options) as shop:
        found = open_gaps(shop, options.number)
    if options.json:
        say_json([{"id": gap.id, "level": gap.level, "question": gap.question, "entry": gap.entry} for gap in found])
    elif not found:
        say(f"Nothing is missing on ticket {options.number}.")
    else:
        for gap in found:
            spot = f"{gap.entry:>4}" if gap.entry else "    "
            lines = textwrap.wrap(one_line(gap.question), 60, break_long_words=False) or [""]
            say(f"{spot}  {gap.level:<8}  {lines[0]}")
            for line in lines[1:]:
                say(f"{'':16}{line}")
            say(f"{'':16}[{gap.id}]")
    return 1 if blocking(found) else 0


def past(options: argparse.Namespace) -> None:
    """Past jobs that fit a query."""
    text = " ".join(options.query)
    for name in unknown_fields(text):
        remark(f"{name}: is no field ({', '.join(FIELDS)}); it is searched for as a word.")
    with open_shop(options) as shop:
        found, tickets = find_jobs(shop, text, limit=options.limit)
        if not shop.gate.may_see(shop.person, [one.number for one in tickets], "past", asked=options.names):
            tickets = tuple(map(without_names, tickets))
    if options.json:
        say_json({"total": found.total, "jobs": [_job(ticket) for ticket in tickets]})
        return
    if not tickets:
        say("No job fits.")
        return
    count = "more than 1,000" if found.total >= CAP else str(found.total)
    say(f"{count} {'job fits' if found.total == 1 else 'jobs fit'}, newest first:")
    for ticket in tickets:
        job = _job(ticket)
        say(f"\n{ticket.number:>5}  {local_day(ticket.opened)}  {one_line(job['vehicle'])} · {ticket.status}")
        for title, texts in (("codes", job["codes"]), ("cause", job["causes"]), ("done", job["work"])):
            if texts:
                joined = one_line(("; " if title != "codes" else ", ").join(texts))
                say(textwrap.fill(f"{title}: {joined}", 78, initial_indent=" " * 7, subsequent_indent=" " * 14))


def _job(ticket: Ticket) -> dict[str, Any]:
    facts = [entry.fact for entry in ticket.living]
    return summary(ticket) | {
        "codes": [
            f.code + (f"-{f.sub}" if f.sub and " " not in f.sub else f" {f.sub}" if f.sub else "")
            for f in facts
            if isinstance(f, Code)
        ],
        "causes": [fact.text for fact in facts if isinstance(fact, Cause)],
        "work": [fact.text for fact in facts if isinstance(fact, Did)],
    }
