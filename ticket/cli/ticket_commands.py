"""Commands that open, fill and show tickets."""

import argparse
import os
import shutil
import textwrap
from collections.abc import Sequence
from shlex import quote
from typing import Any

from ticket.assist.field_fit import may_be_plate, misfit
from ticket.assist.typed_header import changed_header
from ticket.cli.open_shop import open_or_make, open_shop, open_to_show
from ticket.cli.output import read_text, remark, say, say_json
from ticket.followups.waiting_threads import from_earlier, waiting_words
from ticket.grid.plain_table import table_lines
from ticket.grid.sight import Sight
from ticket.job.case import Case, Settings
from ticket.job.codec import instant
from ticket.job.entry import Entry, Remark
from ticket.job.errors import InputError, NotFoundError
from ticket.job.header_fields import HEADER_FIELDS
from ticket.job.header_texts import corrected
from ticket.job.kinds import Cause, Found, Proof
from ticket.job.text import clean, one_line
from ticket.job.ticket import STATUSES, Correction, Header, Ticket
from ticket.job.ticket_document import READ, to_document
from ticket.machine.terminal_signs import needs_letters
from ticket.notes.meaning import meaning_of
from ticket.notes.open_pieces import again
from ticket.notes.segments import lead_to_refs
from ticket.notes.write import write, write_plainly
from ticket.readings.measured_groups import labels
from ticket.readings.pairing import judge_entry
from ticket.shop.changing import (
    Added,
    add_lines,
    edit_entry,
    new_ticket,
    set_header,
    set_status,
    start_day,
    strike_entry,
)
from ticket.shop.money import account_of
from ticket.shop.opening import Shop
from ticket.shop.reading import case_of, open_gaps, ticket_of, understand
from ticket.story.facts.concerns import states
from ticket.story.precautions import STANDING, cautions_for


def typed_fields(options: argparse.Namespace) -> dict[str, str]:
    """The header fields that the flags name. Raises :class:`InputError` for what belongs into another one."""
    given = {name: getattr(options, name.replace("-", "_"), None) for name in HEADER_FIELDS}
    for name, text in given.items():
        if text is not None and (wrong := misfit(name, text)):
            raise InputError(f"{HEADER_FIELDS[name].flag} {one_line(text)}: {wrong.why}.")
        if text is not None and name == "vehicle" and may_be_plate(text):
            remark(f"Is {one_line(text)} a plate? Then it belongs behind {HEADER_FIELDS['plate'].flag}.")
    return {name: text for name, text in given.items() if text is not None}


def new(options: argparse.Namespace) -> None:
    """Open a ticket."""
    fields = typed_fields(options)
    changed_header(Header(), fields, Settings().distance)  # what cannot be read is refused before a shop is made for it
    with open_or_make(options) as (shop, made):
        start_day(shop)
        number = new_ticket(shop, changed_header(Header(), fields, shop.settings.distance))
        case = case_of(shop, number)
    if options.json:
        waits = [f"{thread.ref.ticket}/{thread.ref.no}" for thread in from_earlier(case)]
        say_json(summary(case.ticket) | made | ({"waits": waits} if waits else {}))
        return
    say(f"Ticket {number} is open. Add to it: ticket add {number} 'says: ...'")
    for text in waiting_words(case):
        say(f"Waits from earlier: {one_line(text)}")


def summary(ticket: Ticket) -> dict[str, Any]:
    """A ticket in one line of facts."""
    return {
        "number": ticket.number,
        "status": ticket.status,
        "vehicle": ticket.header.vehicle.name,
        "customer": ticket.header.customer.name,
        "opened": instant(ticket.opened),
        "entries": len(ticket.living),
    }


def change_header(options: argparse.Namespace) -> None:
    """Set header fields and status."""
    with open_shop(options) as shop:
        before = ticket_of(shop, options.number)
        header = changed_header(before.header, typed_fields(options), shop.settings.distance)
        if options.status is not None and options.status not in STATUSES[:-1]:
            hint = " Use ticket sign." if options.status == STATUSES[-1] else ""
            raise InputError(f"{options.status!r} is no status: {', '.join(STATUSES[:-1])}.{hint}")
        if header != before.header:
            set_header(shop, options.number, header)
        if options.status is not None and options.status != before.status:
            set_status(shop, options.number, options.status)
        ticket = ticket_of(shop, options.number)
    if options.json:
        say_json(summary(ticket))
    else:
        say(head_line(ticket))


def given_lines(lines: Sequence[str]) -> str:
    """The lines of a command as one text; ``-`` stands for standard input."""
    return "\n".join(read_text("-") if line == "-" else clean(line) for line in lines)


def add(options: argparse.Namespace) -> None:
    """Add entries."""
    with open_shop(options) as shop:
        added = add_lines(
            shop, options.number, given_lines(options.lines), options.concern.upper(), accept=options.accept
        )
        ticket = ticket_of(shop, options.number)
        apart = [] if options.json else _counted_apart(shop, ticket, added)
    report(added, options, ticket, accepted=options.accept)
    for line in apart:
        remark(line)


def _counted_apart(shop: Shop, ticket: Ticket, added: Sequence[Added]) -> list[str]:
    """For each cause that may be an earlier one in other words, how to say so."""
    lines = []
    for item in added:
        if isinstance(item.entry.fact, Cause):
            from ticket.shop.past import said_before

            text = one_line(item.entry.fact.text)
            if (earlier := said_before(shop, ticket, text)) is not None:
                told, jobs = one_line(earlier.text), f"{earlier.jobs:,} job{'s' * (earlier.jobs != 1)}"
                lines.append(
                    f"It is counted apart from {told!r} ({jobs} with {earlier.code}). If it is the same:"
                    f" ticket before {earlier.code} --same {quote(text)} {quote(told)}"
                )
    return lines


def report(added: Sequence[Added], options: argparse.Namespace, ticket: Ticket, *, accepted: bool = True) -> None:
    """What was made of the lines: as JSON, or a line each with its verdict behind and its remarks under it."""
    if options.json:
        say_json([added_facts(item, ticket) for item in added])
        return
    many = len(added) > 1  # remarks go to another stream than the lines: with many each says which one it is about
    for item in added:
        say(entry_line(item.entry, ticket))
        about = f"{ticket.number}/{item.entry.no} " if many else "      "
        for note in item.settled.draft.remarks:
            for i, line in enumerate(_remark_lines(note, ticket.number, item.entry.no)):
                remark(f"{about if i == 0 else '      '}{line}")
        if item.settled.proposed and not accepted:
            numbers = " ".join(str(ref) for ref in item.settled.proposed)
            lead = lead_to_refs(item.entry.kind)
            remark(f"{about}It may rest on {numbers}: add '{lead} {numbers}', or use --accept.")


def _remark_lines(note: Remark, number: int, no: int) -> list[str]:
    """A remark in one line; where it offers something to add, wrapped, with what that is and how it gets there."""
    if note.state != "remark" or not note.answers:
        return [note.text]
    choices = " or ".join(f"'{answer.strip()}'" for answer in note.answers)
    how = f"To have it judged, add {choices}: ticket edit {number} {no} 'LINE'."
    return [line for text in (note.text, how) for line in textwrap.wrap(text, 72, break_long_words=False)]


def added_facts(item: Added, ticket: Ticket) -> dict[str, Any]:
    """What was made of a line, as JSON: the entry, its remarks, proposals and verdicts, and how it was read."""
    return {
        "id": item.entry.no,
        "ticket": ticket.number,
        "kind": item.entry.kind,
        "concern": item.entry.concern,
        "line": write(item.entry.fact, concern=item.entry.concern, shop_only=item.entry.shop_only),
        "remarks": [
            {
                "text": note.text,
                "start": note.start,
                "end": note.end,
                "state": note.state,
                "answers": list(note.answers),
            }
            for note in item.settled.draft.remarks
        ],
        "proposed": [str(ref) for ref in item.settled.proposed],
        "verdicts": [verdict.word for verdict in judge_entry(ticket, item.entry)],
        "read": meaning_of((item.settled.draft,)),
    }


def verdict_words(ticket: Ticket, entry: Entry, earlier: Sequence[Ticket] = ()) -> str:
    """What is wrong with the readings of an entry, or ``in`` where they were judged and nothing is."""
    words = [verdict.word for verdict in judge_entry(ticket, entry, earlier)]
    named = labels(entry.fact) if isinstance(entry.fact, Found | Proof) else ()
    odd = [f"{label} {word}".strip() for label, word in zip(named, words, strict=False) if word not in ("in", "none")]
    return ", ".join(odd) or ("in limits" if "in" in words else "")


def entry_line(entry: Entry, ticket: Ticket, earlier: Sequence[Ticket] = ()) -> str:
    """An entry as one line with its number; verdicts, struck and amended ones say so behind it."""
    line = one_line(write_plainly(entry.fact, concern=entry.concern, shop_only=entry.shop_only))
    marks = [words] if (words := verdict_words(ticket, entry, earlier)) and not entry.struck else []
    marks += [text for text, on in (("struck", entry.struck), ("added after signing", entry.amended)) if on]
    if entry.replaces:
        marks.append(f"replaces {entry.replaces}")
    if entry.reason:
        marks.append(f"reason: {one_line(entry.reason)}")
    return f"{entry.no:>4}  {line}" + (f"   [{'; '.join(marks)}]" if marks else "")


def head_line(ticket: Ticket) -> str:
    """Number, status, vehicle, customer and odometer in one line."""
    header = ticket.header
    parts = [f"Ticket {ticket.number}", ticket.status, header.vehicle.name, header.vehicle.plate, header.customer.name]
    parts += [f"in {header.odometer_in}" if header.odometer_in else ""]
    parts += [f"out {header.odometer_out}" if header.odometer_out else ""]
    parts += [f"ready by {header.ready_by}" if header.ready_by else ""]
    return " · ".join(dict.fromkeys(one_line(part) for part in parts if part))


def edit(options: argparse.Namespace) -> None:
    """Put another line in place of an entry."""
    with open_shop(options) as shop:
        ticket = ticket_of(shop, options.number)
        before = ticket.entry(options.no)
        if before is None:
            raise NotFoundError(f"ticket {options.number} has no entry {options.no}")
        settled = understand(shop, ticket, clean(options.line), before.concern, retyped=options.no)
        if len(settled) != 1:
            raise InputError("Give one line that stands in for the entry.")
        entry = edit_entry(shop, options.number, options.no, settled[0].draft.fact, before.fact)
        ticket = ticket_of(shop, options.number)
    report([Added(entry, settled[0])], options, ticket)


def strike(options: argparse.Namespace) -> None:
    """Take an entry back."""
    with open_shop(options) as shop:
        strike_entry(shop, options.number, options.no)
        ticket = ticket_of(shop, options.number)
        (entry,) = (entry for entry in ticket.entries if entry.no == options.no)
    if options.json:
        say_json({"id": entry.no, "ticket": options.number, "kind": entry.kind, "struck": entry.struck})
    else:
        say(entry_line(entry, ticket))


def show(options: argparse.Namespace) -> None:
    """One ticket."""
    with open_to_show(options, [options.number], "show") as shop:
        case = case_of(shop, options.number)
        if options.json:
            document = to_document(case.ticket)
            for written, entry in zip(document["entries"], case.ticket.entries, strict=True):
                written[READ] = meaning_of((again(entry.fact),))
            say_json(document)
            return
        say(head_line(case.ticket))
        if case.ticket.elsewhere:
            say(f"  {one_line(case.ticket.elsewhere.words)}")
        elif case.ticket.seal:
            say(f"  {signed_line(shop, case.ticket)}")
        for one in case.ticket.corrections:
            say(f"  {corrected_line(one)}")
        for state in states(case):
            say(f"  {state.letter or 'Job'}: {state.words}")
        say()
        sight = Sight(case, account_of(shop, case.ticket).bill)
        for line in table_lines(sight, shutil.get_terminal_size().columns, letters=needs_letters(os.environ)):
            say(line)
        for line in before_lines(case):
            say(line)
        found = open_gaps(shop, options.number)
    if found:
        blocking = sum(gap.level == "blocking" for gap in found)
        say(f"\nStill to ask: {blocking} blocking, {len(found) - blocking} advice; see ticket gaps {options.number}.")


def signed_line(shop: Shop, ticket: Ticket) -> str:
    """Who signed a ticket and when; a name that no PIN proved is a claim, and is called one."""
    claim = "" if shop.store.proofs.name_checked(ticket.number) else " (name not checked)"
    day = f"{ticket.closed.astimezone():%Y-%m-%d %H:%M}" if ticket.closed else ""
    return f"Signed by {one_line(ticket.signed_by)}{claim}, {day}, record {ticket.seal}"


def corrected_line(one: Correction) -> str:
    """What was corrected after signing: by whom, when, why, and each field before and now."""
    pairs = (
        f"{HEADER_FIELDS[name].title} {one_line(was) or 'empty'} is now {one_line(now) or 'empty'}"
        for name, was, now in corrected(one)
    )
    by = f"{one_line(one.person)}, {one.at.astimezone():%Y-%m-%d %H:%M}"
    return f"Corrected by {by}: {'; '.join(pairs)} (why: {one_line(one.reason)})"


def before_lines(case: Case) -> list[str]:
    """What to heed before the work, each with the entry that calls for it, its source, and how sure its words are."""
    lines = []
    for called in cautions_for(case):
        row = called.precaution
        text = f"[{called.entry.no}] {row.words} ({row.source}; {STANDING[row.standing]})"
        lines.append(textwrap.fill(text, 78, initial_indent="  ", subsequent_indent=" " * 6, break_long_words=False))
    return ["", *lines] if lines else []
