"""What to write down if a trouble comes back that could not be made to happen: what the complaint does not say."""

from collections.abc import Iterator

from ticket.job.entry import Entry
from ticket.job.kinds import Says
from ticket.job.text import fold
from ticket.story.context import Job, sources
from ticket.story.facts.concerns import cause_unknown, not_reproduced
from ticket.story.sections.talk import Talk
from ticket.story.sections.writer import Writer

# Conditions worth knowing, and the words of a complaint that tell them already.
_ASK = {
    "speed": ("mph", "km/h", "speed", "highway", "town", "driving at", "parked"),
    "weather": ("rain", "wet", "snow", "cold weather", "hot weather", "frost", "sunny", "humid"),
    "engine": ("hot", "cold", "warm", "idle"),
    "tank": ("tank", "fuel", "full tank", "range"),
    "lights": ("warning", "message", "engine light", "lamp", "dash"),
}
_MOST = 4


def tell_again(talk: Talk, writer: Writer) -> None:
    """One request for the concerns whose cause was not found."""
    for entries, names in wanted(talk.job):
        items = talk.listed([talk.say(f"again.{name}") for name in names])
        writer.add(sources(*entries), *talk.variants("again.write", items=items))


def wanted(job: Job) -> Iterator[tuple[list[Entry], list[str]]]:
    """The complaints whose cause was not found, each with the conditions it does not tell."""
    for letter in job.letters:
        if not not_reproduced(job, letter) and not (cause_unknown(job, letter) and job.closing):
            continue
        complaints = list(job.each(Says, letter))
        text = fold(" ".join(fact.text for _, fact in complaints))
        names = [name for name, words in _ASK.items() if not any(word in text for word in words)][:_MOST]
        if complaints and names:
            yield [entry for entry, _ in complaints], names
