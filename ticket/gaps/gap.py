"""A gap: one question a careful foreman would ask before signing."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from ticket.job.case import Case

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


Rule = Callable[[Case], Iterator[Gap]]
