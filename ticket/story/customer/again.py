"""What to write down if a trouble comes back that could not be made to happen: what the complaint does not say."""

from ticket.job.kinds import Says
from ticket.job.text import fold
from ticket.story.catalogue import say, variants
from ticket.story.concerns import NOT_FOUND, NOT_REPRODUCED, state_of
from ticket.story.context import Job, sources
from ticket.story.lists import phrase_list
from ticket.story.writer import Writer

# Conditions worth knowing, and the words of a complaint that tell them already.
_ASK = {
    "speed": ("mph", "km/h", "speed", "highway", "town", "driving at", "parked"),
    "weather": ("rain", "wet", "snow", "cold weather", "hot weather", "frost", "sunny", "humid"),
    "engine": ("hot", "cold", "warm", "idle"),
    "tank": ("tank", "fuel", "full tank", "range"),
    "lights": ("warning", "message", "engine light", "lamp", "dash"),
}
_MOST = 4


def tell_again(job: Job, writer: Writer) -> None:
    """One request for the concerns whose cause was not found."""
    for letter in job.letters:
        now = state_of(job, letter)
        if now != NOT_REPRODUCED and not (now == NOT_FOUND and job.closing):
            continue
        complaints = list(job.each(Says, letter))
        text = fold(" ".join(fact.text for _, fact in complaints))
        wanted = [name for name, words in _ASK.items() if not any(word in text for word in words)][:_MOST]
        if complaints and wanted:
            items = phrase_list([say(f"again.{name}") for name in wanted])
            writer.add(sources(*(entry for entry, _ in complaints)), *variants("again.write", items=items))
