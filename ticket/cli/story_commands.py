"""Commands that tell: story, gaps, past jobs."""

import argparse
import textwrap

from ticket.cli.open_shop import open_to_show
from ticket.cli.output import as_json, columns, say, say_json, write
from ticket.cli.shop_only_remarks import remark_inside
from ticket.gaps.find import blocking
from ticket.job.errors import NotFoundError
from ticket.job.text import one_line
from ticket.papers.markdown import as_markdown
from ticket.papers.plain_text import as_text
from ticket.shop.reading import open_gaps, story_of
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
        write(options, as_text(told, width=columns(options), sources=options.sources))
    remark_inside(options)


def _on_entry(told: Story, no: int) -> Story:
    if told.ticket.entry(no) is None:
        raise NotFoundError(f"ticket {told.ticket.number} has no entry {no}")
    found = resting(told, no)
    if not found.sections:
        raise NotFoundError(f"No sentence of the {told.reader}'s story rests on entry {no}.")
    return found


def gaps(options: argparse.Namespace) -> int:
    """What is missing; 1 while a blocking gap stands."""
    with open_to_show(options, [options.number], "gaps") as shop:
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
