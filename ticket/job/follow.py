"""The newest word on a piece of deferred work that was recorded beside the tickets: a call, a day, how it ended."""

from dataclasses import dataclass
from datetime import datetime

CALL, NEW_DATE, DONE, DECLINED = "call", "new date", "done", "declined"
FOLLOWING = (CALL, NEW_DATE, DONE, DECLINED)


@dataclass(frozen=True, slots=True)
class FollowUp:
    """What became of it last.

    Attributes:
        no: the entry.
        what: one of :data:`FOLLOWING`.
        person: who recorded it.
        at: when it was recorded; carries a zone.
        date: the day that was agreed on, as ``2026-03-02``; empty for none.
        note: what was said.
    """

    no: int
    what: str
    person: str
    at: datetime
    date: str = ""
    note: str = ""
