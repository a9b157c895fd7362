"""An entry: one fact with its number, concern, author and time."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from functools import lru_cache

from ticket.job.kinds import Fact, Told
from ticket.job.values import Ref

CONCERN_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # no I and no O: "I found ..." is speech, O reads as a zero

REMARK_STATES = ("remark", "question", "unread")


@dataclass(frozen=True, slots=True)
class Entry:
    """One fact as it stands on a ticket.

    Attributes:
        no: its number on the ticket, given once and never reused; other entries refer to it.
        fact: one of the declared kinds.
        person: name of the author; the performer of labour stands in ``Did.by``.
        at: when it was typed; carries a zone.
        concern: ``A``, ``B`` ..., ``A+C`` where shared, empty where none.
        shop_only: never on the customer's copy.
        struck: taken back; kept and shown struck, never told.
        replaces: number of the entry this amendment stands in for.
        reason: why an amendment was made; empty on all other entries.
        amended: this entry was added after the ticket was signed.
    """

    no: int
    fact: Fact
    person: str
    at: datetime
    concern: str = ""
    shop_only: bool = False
    struck: bool = False
    replaces: int | None = None
    reason: str = ""
    amended: bool = False

    @property
    def kind(self) -> str:
        """The word of its kind, such as ``found``."""
        return self.fact.kind

    @property
    def concerns(self) -> tuple[str, ...]:
        """The letters of the concerns it belongs to."""
        return _letters(self.concern)


@lru_cache(maxsize=256)
def _letters(concern: str) -> tuple[str, ...]:
    return tuple(concern.split("+")) if concern else ()


def refs_of(fact: Fact) -> Iterator[tuple[str, Ref]]:
    """Every reference an entry makes, as (field name, target)."""
    for ref in getattr(fact, "refs", ()):
        yield "refs", ref
    of = getattr(fact, "of", None)
    if of is not None:
        yield "of", of
    if isinstance(fact, Told):
        for answer in fact.answers:
            for ref in answer.to:
                yield "answers", ref


@dataclass(frozen=True, slots=True)
class Remark:
    """Something about a typed line that the typist should see.

    Attributes:
        text: one plain sentence or question.
        start: position of its first character in the line as given.
        end: position behind its last character.
        state: ``remark`` (to be seen, nothing is open), ``question`` (the answer changes what is recorded) or
            ``unread`` (a piece that could be a fact and that nothing took).
        blocks: the ticket must not be signed while it stands.
        answers: texts that may replace the characters from start to end, likeliest first.
    """

    text: str
    start: int = 0
    end: int = 0
    state: str = field(default="remark", metadata={"choices": REMARK_STATES})
    blocks: bool = False
    answers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Spoken:
    """An answer in the words of a contact, to something that is named by words instead of a number.

    Attributes:
        answer: ``yes``, ``no``, ``wait`` or ``thinks``.
        to: what it was said to, as typed.
        start: position of its first character in the line as given.
        end: position behind its last character.
    """

    answer: str
    to: str
    start: int
    end: int


ROLES = ("reading", "limit", "position", "condition", "taken", "lead")


@dataclass(frozen=True, slots=True)
class Role:
    """What a piece of a typed line was read as.

    Attributes:
        start: position of its first character in the line as given.
        end: position behind its last character.
        word: ``reading`` (with its unit), ``limit``, ``position``, ``condition``, ``taken`` (a code, a sum, hours, a
            day, an answer: any other field) or ``lead`` (what says the kind).
    """

    start: int
    end: int
    word: str = field(metadata={"choices": ROLES})


@dataclass(frozen=True, slots=True)
class Draft:
    """What a line was understood as, before it becomes an entry.

    ``concern`` is empty where the line named none: the sticky concern then applies. ``spoken`` are answers of a contact
    that name no entry; they stand in its words, and are agreed to nothing until somebody says which entry they mean.
    ``roles`` say where the readings of a finding stand with what belongs to them; they are no part of what it means.
    """

    fact: Fact
    concern: str = ""
    shop_only: bool = False
    remarks: tuple[Remark, ...] = ()
    line: str = ""
    spoken: tuple[Spoken, ...] = ()
    roles: tuple[Role, ...] = field(default=(), compare=False)


def next_letter(used: Iterable[str]) -> str:
    """The letter of the next complaint: the first that none has; the last where the alphabet is used up.

    Args:
        used: the concerns of the complaints so far, such as ``A`` or ``B+C``.
    """
    letters = {letter for concern in used for letter in concern.split("+")}
    return next((letter for letter in CONCERN_LETTERS if letter not in letters), CONCERN_LETTERS[-1])
