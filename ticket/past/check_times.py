"""How long it takes to look for a cause and how often a look misses it, from the times and words of past jobs. Pure."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from ticket.job.kinds import Cause, Code, Ruled, Says
from ticket.job.likeness import likeness
from ticket.job.regex import Regex
from ticket.job.ticket import Ticket
from ticket.past.alike import Alike

COUNTED = {"says": ("text",), "code": ("code", "sub"), "ruled": ("text",), "cause": ("text",)}
"""All that is looked at of a ticket: the fields by kind of entry."""
_LEAST, _LONGEST = 1.0, 240.0  # minutes: less was typed at once, more was another day or a break
_LEAST_LOOKS = 3  # fewer times between two typed lines tell nothing of how long a look takes
_SHOP = Regex(
    r"\s*(?P<minutes>[0-9]{1,4}(?:\.[0-9])?) ?min(?:utes)?"
    r"(?:\s*;\s*behind (?P<opening>[^;]+?) (?P<first>[0-9]{1,4}) ?min(?:utes)?)?"
    r"(?:\s*;\s*finds (?P<finds>[0-9]{1,3}) ?%)?\s*\Z"
)


@dataclass(frozen=True, slots=True)
class Look:
    """What looking for a cause takes.

    Attributes:
        minutes: everything open; ``None`` where nobody knows.
        looks: on how many past jobs that rests; 0 where the shop says so itself.
        missed: on how many of them it was ruled out and was the cause after all.
        found: on how many it was the cause.
        opening: what must be opened first, as the shop says.
        opening_minutes: what that takes.
        finds: the share of looks that find it, as the shop says; ``None`` where it says nothing.
    """

    minutes: float | None = None
    looks: int = 0
    missed: int = 0
    found: int = 0
    opening: str = ""
    opening_minutes: float = 0.0
    finds: float | None = None

    @property
    def chance_to_find(self) -> float:
        """How often a look finds the cause where it is there: as the shop says, else as past jobs went."""
        if self.finds is not None:
            return self.finds
        return 1 - self.missed / (self.found + 1) if self.missed else 1.0


def looks(tickets: Iterable[Ticket], alike: Alike) -> dict[str, Look]:
    """By the key of each cause, how long past jobs took to rule it out or to find it."""
    minutes: dict[str, list[float]] = defaultdict(list)
    missed: Counter[str] = Counter()
    found: Counter[str] = Counter()
    for ticket in tickets:
        told = [entry for entry in ticket.living if isinstance(entry.fact, Says | Code | Ruled | Cause)]
        for before, entry in pairwise(sorted(told, key=lambda entry: (entry.at, entry.no))):
            if isinstance(entry.fact, Ruled | Cause):
                took = (entry.at - before.at).total_seconds() / 60
                if _LEAST <= took <= _LONGEST:
                    minutes[alike.key(likeness(entry.fact.text))].append(took)
        causes = _keys(ticket, Cause, alike)
        found.update(causes)
        missed.update(causes & _keys(ticket, Ruled, alike))
    return {
        key: Look(
            median(times) if len(times) >= _LEAST_LOOKS else None,
            len(times) if len(times) >= _LEAST_LOOKS else 0,
            missed[key],
            found[key],
        )
        for key in {*minutes, *found}
        for times in (minutes.get(key, []),)
    }


def _keys(ticket: Ticket, kind: type[Cause] | type[Ruled], alike: Alike) -> set[str]:
    facts = (entry.fact for entry in ticket.of_kind(kind))
    return {alike.key(likeness(fact.text)) for fact in facts if isinstance(fact, Cause | Ruled)}


def shop_looks(said: Iterable[tuple[str, str]], alike: Alike) -> dict[str, Look]:
    """What the shop says of its checks, by the key of the cause; what cannot be read is left out."""
    found = {}
    for text, words in said:
        if (look := read_look(words)) is not None:
            found[alike.key(likeness(text))] = look
    return found


def read_look(words: str) -> Look | None:
    """``10 min; behind wheels off 15 min; finds 90 %``; ``None`` for anything else."""
    match = _SHOP.match(words)
    if match is None or not float(match["minutes"]) > 0:
        return None
    finds = None if match["finds"] is None else int(match["finds"]) / 100
    if finds is not None and not 0 < finds <= 1:
        return None
    return Look(
        float(match["minutes"]), opening=match["opening"] or "", opening_minutes=float(match["first"] or 0), finds=finds
    )


def joined(past: Mapping[str, Look], shop: Mapping[str, Look]) -> dict[str, Look]:
    """What the shop says goes before what past jobs tell."""
    return {**past, **shop}
