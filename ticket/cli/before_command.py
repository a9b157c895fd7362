"""The command that tells what jobs with a code turned out to be."""

import argparse
import textwrap
from collections.abc import Sequence
from typing import Any

from ticket.cli.open_shop import open_shop
from ticket.cli.output import say, say_json
from ticket.job.text import one_line
from ticket.past.turned_out import Outcome, TurnedOut, in_words
from ticket.shop.past import asked_code, before

_MOST = 12  # jobs named in a line


def tell(options: argparse.Namespace) -> None:
    """What this shop's jobs with a code turned out to be."""
    code, sub = asked_code(" ".join(options.code))
    with open_shop(options) as shop:
        found = before(shop, code, sub)
    if options.json:
        say_json(as_json(found))
        return
    say(textwrap.fill(one_line(in_words(found)) + ".", 80, subsequent_indent="  "))
    for title, outcomes in (("turned out to be", found.causes), ("work done", found.fixes)):
        if outcomes:
            say(f"{title}:")
        for outcome in outcomes:
            numbers = _listed(outcome.jobs)
            back = f"; came back: {_listed(outcome.came_back)}" if outcome.came_back else ""
            text = one_line(f"{len(outcome.jobs):>4}  {outcome.text} ({numbers}{back})")
            say(textwrap.fill(text, 80, subsequent_indent=" " * 6, break_long_words=False))
    for title, jobs in (("declined", found.declined), ("not finished", found.still_open)):
        if jobs:
            say(textwrap.fill(f"{title}, not counted: {_listed(jobs)}", 80, subsequent_indent="  "))
    for item in found.came_back[:_MOST]:
        driven = f" and {item.distance}" if item.distance else ""
        say(f"{item.job} came back as {item.by} after {item.days} days{driven}.")
    if len(found.came_back) > _MOST:
        say(f"{len(found.came_back) - _MOST:,} more came back; --json names all.")


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
        "jobs": list(found.jobs),
        "causes": [_outcome(outcome) for outcome in found.causes],
        "fixes": [_outcome(outcome) for outcome in found.fixes],
        "no_cause": list(found.unknown),
        "declined": list(found.declined),
        "still_open": list(found.still_open),
        "came_back": [
            {"job": item.job, "by": item.by, "days": item.days, "distance": str(item.distance or "") or None}
            for item in found.came_back
        ],
    }


def _outcome(outcome: Outcome) -> dict[str, Any]:
    return {"text": outcome.text, "jobs": list(outcome.jobs), "came_back": list(outcome.came_back)}
