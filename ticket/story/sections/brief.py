"""How each concern stands, first in the story, and how much is still to do."""

from ticket.story.context import sources
from ticket.story.facts.dangers_found import stopped
from ticket.story.facts.first_sentence import opening
from ticket.story.facts.open_work import open_work
from ticket.story.sections.talk import Talk
from ticket.story.sections.writer import Writer
from ticket.story.sentence import Lit


def tell_brief(talk: Talk, writer: Writer) -> None:
    """One sentence for each concern, then what is still to do."""
    job = talk.job
    for letter in job.letters:
        now = opening(job, letter)
        said = talk.say(now.sentence)
        if len(job.letters) > 1:
            said = talk.say("head.concern", letter=(Lit(letter),), text=said)
        if now.refs:
            writer.add(now.refs, said)
    items = [item for item in open_work(job) if not item.next_time]
    if not items:
        return
    pressing = [item for item in items if item.pressing]
    kind = "short.open" if not pressing else "short.open.all" if len(pressing) == len(items) else "short.open.some"
    stops = stopped(job)
    if any(item.unsaid_danger for item in items if not item.pressing):
        kind = "short.open"  # no count of what should not wait where words say it of more
    if stops:
        kind, pressing = ("short.open.stops" if len(stops) > 1 else "short.open.stop"), stops
    cls = talk.title("short.open.class")  # of the word for what is still to do
    count = talk.count(items[0].entry, "text", len(items), cls)
    some = talk.count(pressing[0].entry, "text", len(pressing), cls) if pressing else ()
    refs = sources(*(one for item in items for one in item.cited))
    writer.add(refs, talk.say(kind, len(items), count=count, urgent=some, ban=talk.ban))
