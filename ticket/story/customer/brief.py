"""How each concern stands, first in the story, and how much is still to do."""

from ticket.story.catalogue import say
from ticket.story.context import Job, counted, sources
from ticket.story.facts.first_sentence import opening
from ticket.story.facts.open_work import open_work
from ticket.story.sentence import Lit, Phrase
from ticket.story.writer import Writer


def tell_brief(job: Job, writer: Writer) -> None:
    """One sentence for each concern, then what is still to do."""
    for letter in job.letters:
        now = opening(job, letter)
        said = say(now.sentence)
        if len(job.letters) > 1:
            said = say("head.concern", letter=Lit(letter), text=said)
        if now.refs:
            writer.add(now.refs, said)
    _open(job, writer)


def _open(job: Job, writer: Writer) -> None:
    items = open_work(job)
    if not items:
        return
    refs = sources(*(one for item in items for one in item.cited))
    pressing = [item.entry for item in items if item.pressing]
    count = counted(items[0].entry, "text", len(items))
    if len(items) == 1:
        writer.add(refs, say("short.open.one.now" if pressing else "short.open.one", count=count))
    elif len(pressing) == len(items):
        writer.add(refs, say("short.open.all", count=count))
    elif pressing:
        some: Phrase = (counted(pressing[0], "text", len(pressing)),)
        writer.add(refs, say("short.open.now", count=count, urgent=some))
    else:
        writer.add(refs, say("short.open", count=count))
