"""The command that tells what jobs with a code turned out to be, and what to check next."""

import argparse
import textwrap
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from ticket.cli.open_shop import open_shop, open_to_show
from ticket.cli.output import say, say_json
from ticket.job.errors import InputError
from ticket.job.regex import Regex
from ticket.job.text import one_line
from ticket.past.intervals import FEW
from ticket.past.next_check import NextChecks, explained, lines
from ticket.past.turned_out import Held, Outcome, TurnedOut, in_words
from ticket.shop.opening import Shop
from ticket.shop.past import Within, asked_code, before, call_one, next_for, pairs_to_ask, tell_apart
from ticket.shop.reading import ticket_of

_MOST = 12  # jobs named in a line
_WIDTH = 80
_WITHIN = Regex(r"(?P<number>[0-9][0-9,]{0,9}) ?(?P<unit>d|mi|km)\Z")


def tell(options: argparse.Namespace) -> None:
    """What this shop's jobs with a code turned out to be."""
    code, sub = asked_code(" ".join(options.code))
    _check_flags(options)
    if options.archive:
        _tell_archive(options, code, sub)
        return
    if options.same or options.apart:
        with open_shop(options) as shop:
            _call(shop, options, code)
    with open_to_show(options, [], "before") as shop:
        if options.next or options.explain:
            _tell_next(shop, options, code, sub)
            return
        found = before(shop, code, sub, within=_within(options.within))
        pairs = pairs_to_ask(shop, found) if options.pairs else []
    if options.json:
        say_json(as_json(found) | ({"likely_pairs": [list(pair) for pair in pairs]} if options.pairs else {}))
        return
    if options.pairs:
        _tell_pairs(pairs)
    else:
        _tell_all(found)


def _tell_archive(options: argparse.Namespace, code: str, sub: str) -> None:
    """The same over the shops of an archive; jobs are counted, not named."""
    from ticket.cli.archive_commands import before as over_archive

    within = _within(options.within)
    if within.distance is not None:
        raise InputError("An archive knows no distances: write --within in days, such as 60d.")
    found = over_archive(options.archive, code, sub, within.days, fixes=options.json)
    if options.json:
        say_json(as_json(found))
        return
    _say(in_words(found) + ".", 2)
    _tell_held(found)
    for outcome in found.causes:
        _tell_outcome(outcome, found, named=False)


def _tell_all(found: TurnedOut) -> None:
    _say(in_words(found) + ".", 2)
    _tell_held(found)
    for title, outcomes in (("turned out to be", found.causes), (_fixes_title(found), found.fixes)):
        if outcomes:
            say(f"{title}:")
        for outcome in outcomes:
            _tell_outcome(outcome, found)
    for title, jobs in (("declined", found.declined), ("not finished", found.still_open)):
        if jobs:
            _say(f"{title}, not counted: {_listed(jobs)}", 2)
    for item in found.came_back[:_MOST]:
        driven = f" and {item.distance}" if item.distance else ""
        say(f"{item.job} came back as {item.by} after {_days(item.days)}{driven}.")
    if len(found.came_back) > _MOST:
        say(f"{len(found.came_back) - _MOST:,} more came back; --json names all.")


def _fixes_title(found: TurnedOut) -> str:
    if found.ranked:
        return "work done, surest to hold first"
    return "work done, most frequent first (too few jobs were followed to say what holds)"


def _within(typed: Sequence[str] | None) -> Within:
    """Days and distance as they were typed, such as ``60d`` and ``2000mi``. Raises :class:`InputError`."""
    days, distance = None, None
    for text in typed or ():
        match = _WITHIN.match(text)
        if match is None or not 0 < int(match["number"].replace(",", "")) < 10**7:
            raise InputError(f"--within {text[:40]!r}: write days or a distance, such as 60d, 2000mi, 3000km.")
        number = int(match["number"].replace(",", ""))
        if match["unit"] == "d":
            days = number
        else:
            distance = number, match["unit"]
    return Within(days, distance)


def _check_flags(options: argparse.Namespace) -> None:
    """Flags that would do nothing are refused. Raises :class:`InputError`."""
    proposing = options.next or options.explain
    if not proposing and (names := _given(options, "on", "give_up")):
        raise InputError(f"{_belong(names)} to --next: what to check next on a ticket.")
    if options.archive and (names := _given(options, "next", "explain", "pairs", "same", "apart")):
        raise InputError(f"{_belong(names)} to one shop, not to an archive.")
    if proposing and options.within:
        raise InputError("--within counts what came back; --next does not ask for that.")
    if proposing and options.pairs:
        raise InputError("Either --next or --pairs: one is asked at a time.")


def _given(options: argparse.Namespace, *names: str) -> list[str]:
    return [f"--{name.replace('_', '-')}" for name in names if getattr(options, name)]


def _belong(names: Sequence[str]) -> str:
    return f"{' and '.join(names)} {'belongs' if len(names) == 1 else 'belong'}"


def _call(shop: Shop, options: argparse.Namespace, code: str) -> None:
    """Call causes one, or take that back, where asked."""
    if options.same:
        text, other = options.same
        call_one(shop, text, other, code)
    if options.apart:
        tell_apart(shop, *options.apart)


def _say(text: str, indent: int) -> None:
    say(textwrap.fill(one_line(text), _WIDTH, subsequent_indent=" " * indent, break_long_words=False))


def _tell_held(found: TurnedOut) -> None:
    if found.held is not None and found.jobs:
        words = _held_words(found.held, _days(found.days))
        if found.far is not None:
            words += f". {_held_words(found.far, str(found.distance), 'far')}"
        _say(f"{words}. Only vehicles that come to us again are seen.", 2)


def _days(days: int) -> str:
    return f"{days} day{'s' * (days != 1)}"


def _held_words(held: Held, within: str, reach: str = "long") -> str:
    """Such as ``3 of 41 came back within 90 days (93 % hold, 80 to 98); 12 not followed so long``."""
    words = f"{held.back:,} of {held.watched:,} came back within {within}"
    if held.watched >= FEW and held.step is not None:
        words += f" ({_percent(held.step.held)} hold, {_percent(held.step.low)} to {_percent(held.step.high)})"
    elif held.watched >= FEW:
        words += f" (up to {_percent(held.most)} may)"
    return words + (f"; {held.unwatched:,} not followed so {reach} yet" if held.unwatched else "")


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def _tell_outcome(outcome: Outcome, found: TurnedOut, *, named: bool = True) -> None:
    share, jobs = "", len(found.jobs)
    if jobs >= FEW:
        low, high = outcome.share
        share = f", {_percent(len(outcome.jobs) / jobs)} ({100 * low:.0f} to {_percent(high)})"
    _say(f"{len(outcome.jobs):>4}  {outcome.text}: {len(outcome.jobs):,} of {jobs:,}{share}", 6)
    more = [_held_words(outcome.held, _days(found.days))] if outcome.held else []
    if outcome.far is not None and outcome.far.watched:
        more += [_held_words(outcome.far, str(found.distance), "far")]
    more += [f"median {outcome.hours:g} h"] if outcome.hours is not None else []
    more += [f"parts {', '.join(outcome.parts)}"] if outcome.parts else []
    if named:
        more += [f"jobs {_listed(outcome.jobs)}"]
        more += [f"came back: {_listed(outcome.came_back)}"] if outcome.came_back else []
    say(textwrap.fill(one_line("; ".join(more)), _WIDTH, initial_indent=" " * 6, subsequent_indent=" " * 6,
                      break_long_words=False))  # fmt: skip


def _tell_pairs(pairs: Sequence[tuple[str, str]]) -> None:
    if not pairs:
        say("No two causes look like one in other words.")
        return
    say("These may be one cause in other words; nothing is merged before you say so:")
    for one, other in pairs:
        _say(f"  --same {one!r} {other!r}", 4)


def _tell_next(shop: Shop, options: argparse.Namespace, code: str, sub: str) -> None:
    ticket = ticket_of(shop, options.on) if options.on else None
    found = next_for(shop, code, sub, on=ticket, giving_up=options.give_up)
    name = f"{code}-{sub}" if sub else code
    if options.json:
        say_json(next_json(found))
        return
    for line in lines(found, name):
        _say(line, 3)
    if options.explain:
        say()
        for line in explained(found):
            _say(line, 3)


def _listed(numbers: Sequence[int]) -> str:
    """Numbers of jobs, the newest where there are many."""
    more = f" and {len(numbers) - _MOST:,} more" if len(numbers) > _MOST else ""
    return ", ".join(map(str, numbers[:_MOST])) + more


def as_json(found: TurnedOut) -> dict[str, Any]:
    """The counts as the command prints them."""
    return {
        "code": found.code,
        "sub_code": found.sub,
        "exact": found.exact,
        "total": len(found.jobs),
        "days": found.days,
        "jobs": list(found.jobs),
        "held": asdict(found.held) if found.held else None,
        "distance": str(found.distance),
        "far": asdict(found.far) if found.far else None,
        "causes": [_outcome(outcome) for outcome in found.causes],
        "fixes": [_outcome(outcome) for outcome in found.fixes],
        "no_cause": list(found.unknown),
        "declined": list(found.declined),
        "still_open": list(found.still_open),
        "ranked": found.ranked,
        "came_back": [
            {"job": item.job, "by": item.by, "days": item.days, "distance": str(item.distance or "") or None}
            for item in found.came_back
        ],
    }


def _outcome(outcome: Outcome) -> dict[str, Any]:
    return {
        "text": outcome.text, "jobs": list(outcome.jobs), "came_back": list(outcome.came_back),
        "share": list(outcome.share), "held": asdict(outcome.held) if outcome.held else None,
        "far": asdict(outcome.far) if outcome.far else None,
        "hours": outcome.hours, "parts": list(outcome.parts), "rank": outcome.rank,
    }  # fmt: skip


def next_json(found: NextChecks) -> dict[str, Any]:
    """The proposals as the command prints them."""
    return {
        "level": found.level.words if found.level else None,
        "jobs": found.level.total if found.level else 0,
        "few": found.few,
        "checks": [
            {
                "cause": one.text, "chance": one.check.chance, "minutes": one.look.minutes, "jobs": one.jobs,
                "finds": one.check.finds, "opening": one.check.opening or None, "again": one.again,
            }
            for one in found.proposals
        ],
        "ruled_out": list(found.ruled),
        "other": found.other,
        "minutes": found.minutes,
        "likeliest_first": found.likeliest_first,
        "taken": {"cause": found.taken[0], "minutes": found.taken[1]} if found.taken else None,
        "stop": found.stop,
    }  # fmt: skip
