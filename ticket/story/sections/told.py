"""What the customer told us, in the customer's words."""

from ticket.job.entry import Entry
from ticket.job.kinds import Says
from ticket.job.regex import Regex
from ticket.job.text import one_line
from ticket.story.context import sources, told
from ticket.story.facts.concerns import not_reproduced
from ticket.story.sections.talk import Talk, inner
from ticket.story.sections.writer import Writer
from ticket.story.sentence import COMPUTED, NOTE, Phrase

_REPORTED = Regex(
    r"(?i)\A\s*(?:cust(?:omer)?|cst|owner|driver|client)\.?\s+"
    r"(?:states|says|said|reports|complains(?: of)?|advises|notes)\b(?:\s+that\b)?[:,]?\s*"
)


def tell_complaints(talk: Talk, letter: str, writer: Writer) -> None:
    """One sentence for each complaint, and whether we saw it happen."""
    for entry, fact in talk.job.each(Says, letter):
        form = COMPUTED if talk.english else NOTE  # whoever reads another language is told whose words these are
        writer.add(sources(entry), complaint(talk, entry, fact), form=form)
        if fact.reproduced == "reproduced":
            writer.add(sources(entry), talk.say("says.saw"))
        elif fact.reproduced and not not_reproduced(talk.job, letter):  # told in short otherwise
            writer.add(sources(entry), talk.say("says.not"))


def complaint(talk: Talk, entry: Entry, fact: Says) -> Phrase:
    """The complaint in quote marks, "cust states" cut and nothing else changed but its first capital and its stop."""
    text = inner(one_line(_REPORTED.sub("", fact.text, count=1) or fact.text)).strip()
    raised = text[:1].upper() + text[1:]
    if text[-1:] in ("!", "?"):
        return talk.say("says.open", text=(told(entry, "text", raised, "quoted"),))
    return talk.say("says.quoted", text=(told(entry, "text", raised.rstrip(". "), "quoted"),))
