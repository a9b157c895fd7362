"""Commands about the archive of several shops."""

import argparse
import secrets
from collections.abc import Sequence
from dataclasses import asdict, fields, replace
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from ticket.cli.output import compact_json, say, say_json, write
from ticket.cli.past_exports import limit_of, put_bytes, put_table, remark_cut
from ticket.job.csv_table import csv_table
from ticket.job.errors import InputError
from ticket.job.text import one_line
from ticket.machine import environment
from ticket.machine.environment import named
from ticket.machine.input_files import SHORT, read_plain, reason
from ticket.money.amount import grouped, plain
from ticket.past.drawn_sample import draw, what_it_says
from ticket.past.query import Here, parse_query
from ticket.past.turned_out import TurnedOut, told
from ticket.store.file_modes import write_private
from ticket.store.seen_jobs import Window

if TYPE_CHECKING:
    from ticket.archive.archive_search import ArchivedJob, DrawnJob

_KEY_BYTES = 32
_EPOCH = date(1970, 1, 1)


def gather(options: argparse.Namespace) -> None:
    """Take the signed tickets of several shops in."""
    from ticket.archive.engines import check_address, publish
    from ticket.archive.gathering import check
    from ticket.archive.gathering import gather as take_in

    archive, sources = named(options.to), [named(name) for name in options.files]
    if not archive.name:
        raise InputError(f"{one_line(options.to)!r} names no folder for the archive.")
    if options.into:
        check_address(options.into)
    check(sources, archive)
    found = take_in(sources, archive, _key(options, archive), names=options.names)
    if options.into:
        publish(archive, options.into)
    if options.json:
        say_json(asdict(found))
    else:
        say(
            f"{archive} holds {_many(found.tickets, 'signed ticket')} of {_many(found.shops, 'shop')};"
            f" {_many(found.written, 'part')} written, {found.kept:,} held all already."
        )


def _many(count: int, what: str) -> str:
    return f"{count:,} {what}{'s' * (count != 1)}"


def _key(options: argparse.Namespace, archive: Path) -> bytes:
    """The key of the chain: beside the archive, never in it, made at the first gathering."""
    path = named(options.key) if options.key else archive.with_name(f"{archive.name}.key")
    try:
        if not path.exists():
            write_private(path, secrets.token_bytes(_KEY_BYTES))
    except (OSError, ValueError) as error:
        raise InputError(f"The key cannot be kept as {one_line(str(path))}: {reason(error)}.") from None
    key = read_plain(path, SHORT)
    if len(key) < _KEY_BYTES:
        raise InputError(f"{path} is no key of an archive: it holds {len(key)} bytes, {_KEY_BYTES} are needed.")
    return key


def past(options: argparse.Namespace) -> int:
    """Jobs of an archive that fit a query; 1 where none does."""
    from ticket.archive.archive_search import ArchivedJob, find

    form = "json" if options.json else options.form
    limit = limit_of(options, form)
    query = replace(parse_query(" ".join(options.query), Here()), offset=(limit or 0) * (options.page - 1))
    total, jobs = find(options.archive, replace(query, limit=2**40 if limit is None else limit))
    remark_cut(form, len(jobs), total)
    rows = [asdict(job) for job in jobs]
    if form == "text":
        write(options, "\n".join(_told(total, jobs)), fit=True)
    elif form == "json":
        say_json({"total": total, "from": query.offset + 1, "jobs": rows})
    elif form == "jsonl":
        write(options, "\n".join(map(compact_json, rows)))
    else:
        put_table(options, form, [item.name for item in fields(ArchivedJob)], rows)
    return 0 if jobs else 1


def _told(total: int, jobs: Sequence["ArchivedJob"]) -> list[str]:
    lines = [f"{len(jobs):,} of {total:,} jobs fit, newest first:" if total else "No job fits."]
    for job in jobs:
        day = _EPOCH + timedelta(seconds=job.opened)
        sums = f" · {grouped(job.total)}{' above what was agreed' if job.over else ''}" if job.total is not None else ""
        lines += ["", f"{job.shop}/{job.number}  {day}  {one_line(job.label)} · {job.state}{sums}"]
        for title, text in (("codes", job.codes), ("cause", job.causes), ("done", job.work), ("by", job.techs)):
            lines += [f"       {title}: {one_line(text)}"] if text else []
    return lines


def sample(options: argparse.Namespace) -> int:
    """Draw jobs of an archive for an audit; 1 where one of them was billed above what was agreed."""
    from ticket.archive.archive_search import drawn, keys

    if options.form == "pdf":
        raise InputError("A sample of an archive is text, csv or JSON; a paper is a shop's own.")
    archive, text = options.archive, " ".join(options.query)
    every = keys(archive, parse_query(text, Here()))
    jobs = drawn(archive, draw(every, options.n, options.seed))
    odd = sum(job.over for job in jobs)
    says = what_it_says(odd, len(jobs), len(every))
    if options.json:
        rows = [asdict(job) | {"total": _sum(job.total), "agreed": _sum(job.agreed)} for job in jobs]
        say_json({"query": text, "seed": options.seed, "total": len(every), "says": says, "jobs": rows})
    elif options.form == "csv":
        cells = [[str(cell) for cell in _cells(job)] for job in jobs]
        made = csv_table(("ticket", "day", "vehicle", "state", "total", "agreed", "above agreed"), cells).encode()
        put_bytes(options, made)
    else:
        say(f"{len(jobs):,} of {len(every):,} jobs, seed {one_line(options.seed)}:")
        for job in jobs:
            name, day, label, state, total, agreed, above = _cells(job)
            sums = f"  bill {total}, {agreed or 'no sum'} agreed" if total else ""
            say(f"{name:>10}  {day}  {label} · {state}{sums}{'  billed above what was agreed' * (above == 'yes')}")
        say(f"\n{says}")
        say(
            "A bill is of all payers, with tax; what was agreed may be told before tax, and is the customer's alone. An"
            " archive holds neither customers nor journals: questions and seals are looked at in each shop."
        )
    return 1 if odd else 0


def _cells(job: "DrawnJob") -> tuple[str, ...]:
    day = _EPOCH + timedelta(seconds=job.opened)
    sums = ["" if cents is None else grouped(cents) for cents in (job.total, job.agreed)]
    above = "" if job.total is None else "yes" if job.over else "no"
    return (f"{job.shop}/{job.number}", str(day), one_line(job.label), job.state, *sums, above)


def _sum(cents: int | None) -> str | None:
    return None if cents is None else plain(cents)


def before(archive: str, code: str, sub: str, days: int | None = None, *, fixes: bool = True) -> TurnedOut:
    """What the jobs of an archive with a code turned out to be; jobs by their keys in it.

    Args:
        archive: its folder, or the address of a server that holds it.
        code: in the notation searches use.
        sub: its sub-code; empty for any.
        days: within so many a job counts as having come back; ``None`` for the usual number.
        fixes: count what put them right too.
    """
    from ticket.archive.archive_counts import count_archived

    window = Window(Here().comeback_days if days is None else days, environment.now().timestamp())
    counted = count_archived(archive, code, sub, window, fixes=fixes)
    exact = not (counted.empty and sub)
    counted = counted if exact else count_archived(archive, code, "", window, fixes=fixes)
    return told(code, sub, counted, window, exact=exact)
