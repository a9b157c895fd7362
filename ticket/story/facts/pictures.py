"""Which pictures of a ticket belong together: what was seen before the work, and the same place after it."""

from collections.abc import Iterable

from ticket.job.entry import Entry
from ticket.job.kinds import Photo


def pairs(entries: Iterable[Entry]) -> tuple[tuple[Entry, ...], ...]:
    """The pictures in their order, each alone or as a pair; a pair stands where its picture from before stands.

    A picture from after the work belongs to the first one from before that shows the same entry, or, where neither
    names one, the same concern.
    """
    held = [entry for entry in entries if isinstance(entry.fact, Photo)]
    after = [entry for entry in held if _stage(entry) == "after"]
    partner: dict[int, Entry] = {}
    for entry in held:
        found = next((one for one in after if _stage(entry) == "before" and _same_place(entry, one)), None)
        if found is not None:
            partner[entry.no] = found
            after.remove(found)
    taken = {entry.no for entry in partner.values()}
    return tuple(
        (entry, partner[entry.no]) if entry.no in partner else (entry,) for entry in held if entry.no not in taken
    )


def _stage(entry: Entry) -> str:
    return getattr(entry.fact, "stage", "")


def _same_place(one: Entry, other: Entry) -> bool:
    first, second = (frozenset(getattr(entry.fact, "refs", ())) for entry in (one, other))
    if first or second:
        return bool(first & second)
    return one.concern == other.concern
