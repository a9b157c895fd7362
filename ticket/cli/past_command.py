"""The command that finds past jobs: as text, as a table, as JSON, counted by whatever is asked for."""

import argparse
import textwrap
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

from ticket.cli.open_shop import open_shop
from ticket.cli.output import compact_json, remark, say_json, screen_columns, write
from ticket.cli.past_exports import PAGE, limit_of, put_bytes, put_table, remark_cut
from ticket.job.codec import instant
from ticket.job.csv_table import csv_table
from ticket.job.errors import InputError
from ticket.job.text import one_line
from ticket.job.wall import local_day
from ticket.money.amount import grouped, plain
from ticket.shop.opening import Shop
from ticket.shop.past import find_jobs, search_remarks, similar_to, spread
from ticket.store.briefs import Brief
from ticket.store.search import FoundTickets

COLUMNS = (
    "number", "status", "opened", "vehicle", "customer", "odometer", "codes", "causes", "work", "techs", "hours",
    "total", "billed", "agreed", "base", "difference", "over", "outcome", "back", "back_days", "entries", "signed",
)  # fmt: skip


def past(options: argparse.Namespace) -> int:
    """Past jobs that fit a query; 1 where none does."""
    text = " ".join(options.query)
    if options.archive:
        from ticket.cli import archive_commands

        return archive_commands.past(options)
    if options.like:
        return _tell_like(options)
    form = "json" if options.json else options.form
    if not text.strip() and form == "text" and not options.count:
        raise InputError("Search for what? Give a code, a word or a field, or --like N; all jobs with --count or --as.")
    with open_shop(options) as shop:
        shop.hide(shop.hidden and not options.names)  # who asks for names is journaled with the jobs found
        if options.count:
            return _tell_counts(options, shop, text)
        limit = limit_of(options, form)
        offset = (limit or 0) * (options.page - 1)
        found, jobs = find_jobs(shop, text, limit=limit, offset=offset, best=options.best)
        _may_see(options, shop, jobs)
        _remark(shop, text, found.total)
    remark_cut(form, len(jobs), found.total)
    _put(options, form, found, jobs, offset)
    return 0 if jobs else 1


def _put(
    options: argparse.Namespace, form: str, found: FoundTickets, jobs: Sequence[Brief], offset: int
) -> None:  # fmt: skip
    """The jobs in the form that is asked for."""
    if form == "text":
        write(options, "\n".join(_lines(found, jobs, offset, best=options.best)), fit=True)
    elif form == "json":
        say_json({"total": found.total, "from": offset + 1, "jobs": [_job(job) for job in jobs]})
    elif form == "jsonl":
        write(options, "\n".join(compact_json(_job(job)) for job in jobs))
    else:
        put_table(options, form, COLUMNS, [_job(job) for job in jobs])


def _tell_counts(options: argparse.Namespace, shop: Shop, text: str) -> int:
    """How the jobs that fit spread; 1 where none does, as without counting."""
    _may_see(options, shop, ())
    found = spread(shop, text, options.count)
    _remark(shop, text, len(found))
    _tell_spread(options, found)
    return 0 if found else 1


def _remark(shop: Shop, text: str, found: int) -> None:
    for line in search_remarks(shop, text, found):
        remark(line)


def _tell_like(options: argparse.Namespace) -> int:
    """Jobs that are told like a ticket; with the words both share, and no figure of likeness."""
    if options.query:
        raise InputError("Either a search or --like N: the words of the ticket are the search.")
    with open_shop(options) as shop:
        shop.hide(shop.hidden and not options.names)
        near, jobs = similar_to(shop, options.like, most=min(options.limit or PAGE, 20))
        _may_see(options, shop, jobs)
    if options.json or options.form == "json":
        say_json([_job(job) | {"words": list(one.words)} for one, job in zip(near, jobs, strict=True)])
        return 0 if jobs else 1
    lines = [] if jobs else ["No similar job."]
    for one, job in zip(near, jobs, strict=True):
        lines += [*_told(job), f"       shares: {', '.join(one.words)}" if one.words else "", ""]
    write(options, "\n".join(lines), fit=True)
    return 0 if jobs else 1


def _may_see(options: argparse.Namespace, shop: Shop, jobs: Sequence[Brief]) -> None:
    """Journal that an auditor asked for names, and ask for the PIN, before any is printed."""
    shop.gate.may_see(shop.person, [job.number for job in jobs], "past", asked=options.names)


def _tell_spread(options: argparse.Namespace, found: Sequence[tuple[str, int]]) -> None:
    if options.json:
        say_json([{options.count: name, "jobs": jobs} for name, jobs in found])
    elif options.form == "csv":
        put_bytes(options, csv_table((options.count, "jobs"), found).encode())
    else:
        shown = found[: options.limit or PAGE]
        lines = [f"{jobs:>7,}  {one_line(name)}" for name, jobs in shown]
        lines += [f"and {len(found) - len(shown):,} more"] if len(found) > len(shown) else []
        write(options, "\n".join(lines) or "No job fits.", fit=True)


def _lines(found: FoundTickets, jobs: Sequence[Brief], offset: int, *, best: bool) -> list[str]:
    """The jobs in words, and how many of how many they are."""
    if not found.total:
        return ["No job fits."]
    if not jobs:
        return [f"{_count(found.total)}; none is left behind the first {offset:,}."]
    order = "best of the newest 1,000 first" if best else "newest first"
    shown = f"{_count(found.total)}, {order}:"
    if len(jobs) < found.total:
        part = f"{offset + 1:,} to {offset + len(jobs):,}" if offset else f"{len(jobs):,}"
        shown = f"{part} of {_count(found.total)}, {order}:"
    return [shown, *(line for job in jobs for line in ("", *_told(job)))]


def _count(total: int) -> str:
    return "1 job fits" if total == 1 else f"{total:,} jobs fit"


def _told(job: Brief) -> list[str]:
    head = f"{job.number:>5}  {local_day(job.opened)}  {one_line(job.vehicle)} · {job.status}"
    head += f" · {one_line(job.odometer)}" if job.odometer else ""
    wide = min(screen_columns(), 78)
    lines = textwrap.wrap(head, wide, subsequent_indent=" " * 7, drop_whitespace=True) or [head]
    lines[0] = head[: len(head) - len(head.lstrip())] + lines[0].lstrip()
    above = f", {grouped(job.difference or 0)} above what was agreed" if job.over else ""
    money = [f"{grouped(job.total)}{above}"] if job.total is not None else []
    money += [f"{job.hours:g} h"] if job.hours else []
    money += [", ".join(job.techs)] if job.techs else []
    back = [f"as {job.back} after {job.back_days} days"] if job.back else []
    for title, texts, between in (
        ("codes", _codes(job), ", "), ("cause", job.causes, "; "), ("done", job.work, "; "),
        ("", money, " · "), ("came back", back, ""),
    ):  # fmt: skip
        if texts:
            text = one_line(f"{title}: {between.join(texts)}" if title else between.join(texts))
            lines += textwrap.wrap(text, wide, initial_indent=" " * 7, subsequent_indent=" " * 14)
    return lines


def _codes(job: Brief) -> list[str]:
    return [code + (f" {sub}" if " " in sub else f"-{sub}" if sub else "") for code, sub in job.codes]


def _job(job: Brief) -> dict[str, Any]:
    return {
        "number": job.number, "status": job.status, "vehicle": job.vehicle, "customer": job.customer,
        "opened": instant(job.opened), "entries": job.entries, "odometer": job.odometer, "codes": _codes(job),
        "causes": list(job.causes), "work": list(job.work), "techs": list(job.techs), "hours": job.hours,
        "total": _sum(job.total), "billed": _sum(job.billed), "agreed": _sum(job.agreed), "base": job.base,
        "difference": _sum(job.difference), "over": job.over, "outcome": job.state,
        "back": job.back or None, "back_days": job.back_days if job.back else None,
        "signed": None if job.closed is None else instant(datetime.fromtimestamp(job.closed, UTC)),
    }  # fmt: skip


def _sum(cents: int | None) -> str | None:
    return None if cents is None else plain(cents)
