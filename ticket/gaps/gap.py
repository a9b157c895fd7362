"""A gap: one question a careful foreman would ask before signing."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from ticket.job.case import Case
from ticket.job.kinds import KINDS
from ticket.job.regex import Regex

BLOCKING = "blocking"
ADVICE = "advice"


@dataclass(frozen=True, slots=True)
class Gap:
    """What is missing, or contradicts itself.

    Attributes:
        id: name of the rule that found it, such as ``cause-unproved``.
        level: ``blocking`` (signing needs an answer or a typed reason) or ``advice``.
        question: in plain words, with the answer's line where one line answers it.
        entry: number of the entry it points at; ``None`` for the ticket as a whole.
    """

    id: str
    level: str
    question: str
    entry: int | None = None

    @property
    def line(self) -> str:
        """What a new line that answers it begins with, as the question says it; empty where it names none.

        Only what comes before the first thing to fill in or to decide: an ``Add:`` shows the shape of the line, an
        ``Answer:`` names what it answers, then how.
        """
        asked = _LINE.search(self.question)
        if asked is None:
            return ""
        return asked["whole"] or f"{asked['kind']}: {asked['words'] or ''}"

    @property
    def behind(self) -> str:
        """What is put behind the line of its own entry to answer it, as the question says it; mostly nothing."""
        return self.question.partition("Add to the complaint: ")[2]


_KIND = "|".join(KINDS)  # an amount behind it is for the person to say, and ends the line's beginning
_LINE = Regex(
    rf"\bAnswer: (?P<whole>(?:{_KIND}): .*?\bfor [0-9/]+; )"
    rf"|\bAdd: (?P<kind>{_KIND}): (?P<words>(?!\d)(?:(?!\.\.\.|NAME|NUMBER|FILE).)*)?"
)

Rule = Callable[[Case], Iterator[Gap]]
