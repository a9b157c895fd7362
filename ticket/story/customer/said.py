"""What the customer told us, in the customer's words."""

from ticket.job.entry import Entry
from ticket.job.kinds import Says
from ticket.job.regex import Regex
from ticket.job.text import one_line
from ticket.story.catalogue import say
from ticket.story.concerns import NOT_REPRODUCED, state_of
from ticket.story.context import Job, sources, told
from ticket.story.sentence import Phrase
from ticket.story.words.spell import join, spell
from ticket.story.words.tokens import tokens
from ticket.story.writer import Writer

_REPORTED = Regex(
    r"(?i)\A\s*(?:cust(?:omer)?|cst|owner|driver|client)\.?\s+"
    r"(?:states|says|said|reports|complains(?: of)?|advises|notes)\b(?:\s+that\b)?[:,]?\s*"
)


def tell_complaints(job: Job, letter: str, writer: Writer) -> None:
    """One sentence for each complaint, and whether we saw it happen."""
    for entry, fact in job.each(Says, letter):
        writer.add(sources(entry), complaint(entry, fact))
        if fact.reproduced == "reproduced":
            writer.add(sources(entry), say("says.saw"))
        elif fact.reproduced and state_of(job, letter) != NOT_REPRODUCED:  # told in short otherwise
            writer.add(sources(entry), say("says.not"))


def complaint(entry: Entry, fact: Says) -> Phrase:
    """The complaint in quote marks; without them where a short form had to be spelled out."""
    words, changed = spoken(fact.text)
    if changed:
        return say("says.told", text=told(entry, "text", words))
    return quoted(entry, "text", words)


def spoken(text: str) -> tuple[str, bool]:
    """The complaint as it is told, and whether more than its first capital and its last stop changed."""
    cut = _REPORTED.sub("", text, count=1).strip()
    reported = cut != text.strip()
    pieces, typed = spell(cut, plain=False), tokens(cut)
    if not cut or pieces is None or typed is None:
        return text.strip(), False
    same = [piece.low for piece in pieces] == [piece.low for piece in typed]
    shouted = cut.isupper() and any(len(piece.text) > 3 for piece in typed)
    if same and not reported and not shouted:
        return cut, False
    return join(pieces).rstrip("."), True


def quoted(entry: Entry, field: str, text: str) -> Phrase:
    """Typed words in quote marks, with a capital and one stop; inner quote marks become single ones."""
    clean = inner(text)
    if clean[-1:] in ("!", "?"):
        return (*say("says.open"), told(entry, field, clean, "quoted"), *say("says.close"))
    return say("says.quoted", text=told(entry, field, clean.rstrip(". "), "quoted"))


def inner(text: str) -> str:
    """Text as it may stand inside quote marks: on one line, its own double marks made single.

    A mark right behind a figure means inches and stays, unless it closes a mark that was opened before.
    """
    out: list[str] = []
    opened = False
    for i, letter in enumerate(one_line(text.strip())):
        before = out[-1] if out else " "
        if letter in "“”":
            out.append("‘" if letter == "“" else "’")
        elif letter == '"' and before.isdigit() and not opened:
            out.append(letter)
        elif letter == '"':
            opened = before in " (" or i == 0
            out.append("‘" if opened else "’")
        else:
            out.append(letter)
    return "".join(out)
