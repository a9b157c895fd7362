"""What to check next on a job: causes of past jobs by the chance to find them a minute. Proposals, no verdict. Pure.

Each line says what it rests on; :func:`explained` shows the arithmetic. From fewer than five jobs no order is claimed.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from ticket.past.chances import OTHER, Level, chances, used
from ticket.past.check_order import Check, after_looking, expected_minutes, ordered, without_last, worth_doing
from ticket.past.check_times import Look
from ticket.past.intervals import FEW

TOO_FEW = 5
"""From fewer jobs no order is claimed."""
UNKNOWN_MINUTES = 10.0
"""What a look is taken to last where nobody knows: equal for all of them, so that it decides nothing."""
_OFTEN = 0.02  # a cause that is less likely is not proposed


@dataclass(frozen=True, slots=True)
class Proposal:
    """One cause to look for.

    Attributes:
        text: the cause, as most jobs word it.
        check: its numbers, as they stand on this job.
        jobs: how many past jobs it was behind, of the level that is told.
        look: what looking for it takes, and what that rests on.
        again: it was ruled out on this job already, by a look that can miss.
    """

    text: str
    check: Check
    jobs: int
    look: Look
    again: bool = False


@dataclass(frozen=True, slots=True)
class NextChecks:
    """What to check next, in order.

    Attributes:
        proposals: in the order that takes the fewest minutes on the average.
        level: the closest past jobs; ``None`` where no past job holds the code.
        minutes: what the order takes on the average.
        likeliest_first: what it would take by chance alone.
        ruled: causes ruled out on this job that are not proposed again, as past jobs word them.
        other: the chance that none of them is behind it.
        taken: a cause that need not be looked for where nothing else can be behind it, and the minutes then.
        stop: the first check that does not pay before giving up; ``None`` where all do, or nobody asked.
    """

    proposals: tuple[Proposal, ...] = ()
    level: Level | None = None
    minutes: float = 0.0
    likeliest_first: float = 0.0
    ruled: tuple[str, ...] = ()
    other: float = 0.0
    taken: tuple[str, float] | None = None
    stop: str | None = None

    @property
    def few(self) -> bool:
        """There are too few jobs to claim an order."""
        return self.level is None or self.level.total < TOO_FEW


def next_checks(
    levels: Sequence[Level], texts: Mapping[str, str], looks: Mapping[str, Look], *,
    ruled: Collection[str] = (), opened: Collection[str] = (), giving_up: float | None = None,
) -> NextChecks:  # fmt: skip
    """What to check next.

    Args:
        levels: causes of past jobs by their keys: of the closest jobs first, of the widest last.
        texts: how a cause is worded, by its key.
        looks: what looking for a cause takes.
        ruled: keys of causes ruled out on this job.
        opened: what stands open already.
        giving_up: what giving up takes (sending the vehicle out, calling the maker), in minutes.
    """
    found = chances(levels)
    other = found.pop(OTHER, 0.0)
    named = tuple(_check(key, chance, looks.get(key, Look())) for key, chance in found.items())
    for key in ruled:
        named, other = _ruled_out(named, key, other)
    worth = [check for check in named if check.chance > _OFTEN]
    level = used(levels)
    order = ordered(worth, opened)
    proposals = tuple(
        Proposal(
            texts.get(c.name, c.name), c, level.jobs.get(c.name, 0) if level else 0, looks.get(c.name, Look()),
            c.name in ruled,
        )
        for c in order
    )  # fmt: skip
    return NextChecks(
        proposals, level, expected_minutes(order, opened),
        expected_minutes(sorted(worth, key=lambda c: -c.chance), opened),
        tuple(texts.get(key, key) for key in ruled if key in found and not any(c.name == key for c in worth)),
        max(other, 0.0), _taken(worth, order, opened, texts),
        None if giving_up is None else _stop(order, giving_up, texts),
    )  # fmt: skip


def _check(key: str, chance: float, look: Look) -> Check:
    minutes = look.minutes if look.minutes is not None else UNKNOWN_MINUTES
    return Check(key, chance, minutes, look.opening, look.opening_minutes, look.chance_to_find)


def _ruled_out(checks: tuple[Check, ...], key: str, other: float) -> tuple[tuple[Check, ...], float]:
    """The chances after a look in vain; that of something else grows with them."""
    looked = next((check for check in checks if check.name == key), None)
    left = 1 - looked.chance * looked.finds if looked else 1.0
    return after_looking(checks, key), other / left if left > 0 else 1.0


def _taken(
    worth: Sequence[Check], order: Sequence[Check], opened: Collection[str], texts: Mapping[str, str]
) -> tuple[str, float] | None:
    found = without_last(worth, opened)
    if found is None:
        return None
    minutes = expected_minutes(found[0], opened)
    last = found[1].name
    return (texts.get(last, last), minutes) if minutes < expected_minutes(order, opened) else None


def _stop(order: Sequence[Check], giving_up: float, texts: Mapping[str, str]) -> str | None:
    left = 1.0
    for check in order:
        if not worth_doing(check, giving_up, left):
            return texts.get(check.name, check.name)
        left -= check.chance * check.finds
    return None


def lines(found: NextChecks, code: str) -> list[str]:
    """The proposals in words, each with what it rests on."""
    if found.level is None:
        return [f"no past jobs with {code}"]
    lead = f"{found.level.words}: {_count(found.level.total, 'past job')}"
    if found.few:
        lead += " - too few to rank"
    told = [lead]
    for number, one in enumerate(found.proposals, 1):
        mark = "-" if found.few else f"{number}."
        again = "; ruled out once, a look can miss" if one.again else ""
        told.append(f"{mark} check {one.text} ({_minutes(one)}): {_rests(one, found.level)}{again}")
    told += [f"ruled out here: {', '.join(found.ruled)}"] if found.ruled else []
    return told


def explained(found: NextChecks) -> list[str]:
    """The arithmetic behind the proposals."""
    if found.level is None:
        return []
    told = [
        "chance = (jobs + weight x chance of the wider level) / (all jobs + weight); order = chance / minutes",
        "minutes: as the shop says (ticket shop checks), else the median time from the line before to the line that"
        " names or rules out the cause, where three jobs or more tell it; where nobody knows, the same"
        f" {UNKNOWN_MINUTES:g} for all",
    ]
    for one in found.proposals:
        check = one.check
        opening = f", behind {check.opening} {check.opening_minutes:g} min" if check.opening else ""
        finds = f", finds {check.finds:.2f}" if check.finds < 1 else ""
        told.append(
            f"{one.text}: chance {check.chance:.2f}, {check.minutes:g} min{opening}{finds}, {check.worth:.4f} a minute"
        )
    told.append(f"something no job had yet: chance {found.other:.2f}")
    told.append(f"this order: {found.minutes:.0f} min on the average; likeliest first: {found.likeliest_first:.0f} min")
    if found.taken:
        text, minutes = found.taken
        told.append(
            f"if nothing else can be behind it, {text} need not be looked for last: {minutes:.0f} min on the average."
            " Looking is surer."
        )
    if found.stop:
        told.append(f"from {found.stop} on, giving up costs less than looking")
    return told


def _rests(one: Proposal, level: Level) -> str:
    if not one.jobs:
        return "found on other jobs with the code only"
    share = f", {100 * one.jobs / level.total:.0f} %" if level.total >= FEW else ""
    return f"found in {one.jobs} of {_count(level.total, 'job')}{share}"


def _minutes(one: Proposal) -> str:
    look = one.look
    if look.minutes is None:
        return "minutes not known"
    source = f"median of {_count(look.looks, 'look')}, as they were typed" if look.looks else "as the shop says"
    opening = f", behind {look.opening} {look.opening_minutes:g} min" if look.opening else ""
    return f"{look.minutes:g} min, {source}{opening}"


def _count(number: int, what: str) -> str:
    return f"{number:,} {what}{'' if number == 1 else 's'}"
