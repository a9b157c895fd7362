"""The command that proves a shop: it opens nothing for writing, adds no row, and needs nothing of what it proves."""

import argparse
import dataclasses
import shlex
from contextlib import suppress
from pathlib import Path

from ticket.cli.open_shop import open_shop
from ticket.cli.output import remark, say, say_json
from ticket.job.errors import NoShopError, StoreError
from ticket.job.text import one_line
from ticket.machine.environment import database_path
from ticket.shop.reading import audit_shop, kept_verdicts, witnesses_of
from ticket.store.driver import damaged, is_shop
from ticket.store.proof.finding import Audit


def audit(options: argparse.Namespace) -> int:
    """Name every difference between what was written and what is there."""
    path = database_path(options.db)
    if not is_shop(path):
        raise NoShopError(path, f" --db {shlex.quote(str(path))}" if options.db else "")
    try:
        found = audit_shop(path, deep=options.deep)
    except StoreError as error:
        raise _beyond_audit(path, error) from error
    witnesses, unread = witnesses_of(path)
    held = kept_verdicts(path, [*options.against, *witnesses])
    with suppress(BrokenPipeError):  # whoever reads only the first lines is told the answer all the same
        if options.json:
            say_json(as_json(found) | ({"against": [dataclasses.asdict(one) for one in held]} if held else {}))
        else:
            _tell(found)
            for one in held:
                say(one_line(one.says))
            for line in unread:
                remark(line)
    return 0 if found.ok and all(one.ok for one in held) else 1


def _beyond_audit(path: Path, error: StoreError) -> StoreError:
    """What to tell of a file of which not even the schema can be read: an audit has nothing to go on behind."""
    if not damaged(error):
        return error
    return StoreError(
        f"{path} cannot be audited: its beginning or its end is damaged or missing. Keep it as it is; ticket rescue"
        f" {shlex.quote(str(path))} NEW makes another shop of the rows that can still be read and proved"
    )


def as_json(found: Audit) -> dict[str, object]:
    """What was found, as the command prints it."""
    return {
        "ok": found.ok,
        "rows": found.rows,
        "head": found.head,
        "differences": [dataclasses.asdict(one) for one in found.differences],
        "more": found.more,
        "times": list(found.times),
        "remarks": list(found.remarks),
    }


def _tell(found: Audit) -> None:
    if found.ok:
        say(f"The journal is whole and nothing differs from it: {found.rows} rows, head {found.head}.")
    else:
        count = len(found.differences) + found.more
        say(f"{count} difference{'s' if count > 1 else ''} in {found.rows} rows, head {found.head or 'none'}:")
        for one in found.differences:
            say(f"  {one}")
        if found.more:
            say(f"  and {found.more:,} more")
        say(_what_now(found))
    for line in (*found.times, *found.remarks):
        remark(f"{line[:1].upper()}{line[1:]}.")


def _what_now(found: Audit) -> str:
    """What whoever audits, and whoever owns the file, does next."""
    if all(one.where == "index" for one in found.differences):
        return (
            "The entries are what was written. Searches, lists, counts and sums of past jobs rest on what differs: keep"
            " a copy of this file, then make it anew with ticket index --rebuild."
        )
    return "Keep a copy of this file as it is: it is evidence. Its owner puts back the newest backup that audits whole."


def index(options: argparse.Namespace) -> int:
    """Look at what is derived from the entries, or make it anew."""
    with open_shop(options) as shop:
        if options.rebuild:
            shop.store.rebuild()
            differing: list[str] = []
        else:
            differing = shop.store.check_index()
    if options.json:
        say_json({"ok": not differing, "rebuilt": options.rebuild, "differences": differing})
    elif options.rebuild:
        say("What makes tickets quick to find was made anew from the entries.")
    else:
        for line in differing:
            say(line)
        say("Make it anew: ticket index --rebuild" if differing else "It is what the entries say.")
    return 1 if differing else 0
