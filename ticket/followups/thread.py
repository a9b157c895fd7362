"""One piece of deferred work through all visits of its vehicle, as one value: every reader takes it from here."""

from dataclasses import dataclass
from datetime import date

from ticket.followups.forecast import Terms
from ticket.job.kinds import Later
from ticket.job.values import Quantity, Ref

OPEN, TOLD, BOOKED, LOOKED = "open", "customer told", "booked", "looked at again"
DONE, ELSEWHERE, DECLINED = "done by ticket", "done elsewhere", "declined"
OVERTAKEN, GONE = "overtaken", "gone"
WAITING = (OPEN, TOLD, BOOKED, LOOKED)
SETTLED = (DONE, ELSEWHERE, DECLINED, OVERTAKEN, GONE)
STATES = (*WAITING, *SETTLED)
"""``overtaken``: put off anew, which is a thread of its own; ``declined`` and ``gone``: nobody will do it."""

PUT_OFF, MEASURED, OFFERED = "put off", "measured again", "offered"


@dataclass(frozen=True, slots=True)
class Seen:
    """One reading of what the work rests on.

    Attributes:
        ref: its entry, with its ticket.
        what: what was measured.
        label: its position.
        typed: the figure with its unit.
    """

    ref: Ref
    what: str
    label: str
    typed: Quantity


@dataclass(frozen=True, slots=True)
class Look:
    """One visit at which the work was put off, offered, looked at or answered.

    Attributes:
        ref: the entry that says so, with its ticket.
        day: the local day of that entry.
        odometer: the reading of that visit.
        what: ``put off``, ``offered``, ``measured again``, or the answer that was typed, such as ``done here``.
        came: the first readings of that visit of what the work rests on: as it came in.
        left: the last ones: as it left.
    """

    ref: Ref
    day: date
    odometer: Quantity | None
    what: str
    came: tuple[Seen, ...] = ()
    left: tuple[Seen, ...] = ()


@dataclass(frozen=True, slots=True)
class Decision:
    """Who decided last that it stands as it does, and on which day.

    Attributes:
        who: a customer, or somebody of the shop.
        how: the answer or the word that was recorded.
        ref: the entry it rests on, with its ticket; ``None`` for a word recorded beside the tickets.
    """

    who: str
    how: str
    day: date
    ref: Ref | None = None


@dataclass(frozen=True, slots=True)
class Thread:
    """The thread of one deferred item.

    Attributes:
        ref: where it begins, with its ticket.
        fact: what waits, in its newest words, with what still holds of the older ones.
        state: one of :data:`STATES`.
        looks: every visit it was seen at, oldest first; the first one put it off.
        terms: when it is next due.
        decided: who decided last.
        by: the thread it was overtaken by.
    """

    ref: Ref
    fact: Later
    state: str
    looks: tuple[Look, ...]
    terms: Terms
    decided: Decision
    by: Ref | None = None

    @property
    def waits(self) -> bool:
        """Whether it is still to do."""
        return self.state in WAITING

    @property
    def last(self) -> Look:
        """The newest visit it was seen at."""
        return self.looks[-1]

    @property
    def entries(self) -> tuple[Ref, ...]:
        """Every entry it rests on."""
        return tuple(dict.fromkeys(look.ref for look in self.looks))
