"""Commands that close, prove and move tickets."""

import argparse
import os
import shutil
import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory, mkstemp
from typing import Any

from ticket.assist.typed_header import changed_header
from ticket.cli.open_shop import made_words, no_shop, open_or_make, open_shop, open_to_show
from ticket.cli.output import STDIN, as_json, compact_json, remark, say, say_json, write
from ticket.cli.ticket_commands import corrected_line, given_lines, report, summary, typed_fields
from ticket.gaps.gap import BLOCKING
from ticket.job.errors import InputError, NotFoundError
from ticket.job.picture import Picture
from ticket.job.progress import counted
from ticket.job.text import one_line
from ticket.job.ticket import Ticket
from ticket.job.ticket_document import PROOF, SHOP, to_document
from ticket.job.wall import asked_day
from ticket.machine.environment import database_path, workers
from ticket.machine.input_files import decoded, open_plain, read_bytes, read_file
from ticket.machine.json_file import JsonFile, begins_as_json
from ticket.notes.file import write_file
from ticket.shop.changing import NAMED, Added, amend_ticket, correct_header, load_documents, sign_ticket
from ticket.shop.opening import Shop
from ticket.shop.papers import held_by
from ticket.shop.reading import open_gaps, ticket_of
from ticket.store.session import remove_new

_HEAD = 4096  # bytes that tell JSON from lines


def sign(options: argparse.Namespace) -> None:
    """Sign a ticket."""
    overruled = {}
    for text in options.overrule:
        gap_id, found, reason = text.partition("=")
        if not found or not reason.strip():
            raise InputError(f"--overrule {text!r} needs a reason: --overrule 'GAP=why it may stand'.")
        overruled[gap_id.strip()] = reason.strip()
    with open_shop(options) as shop:
        seal = sign_ticket(shop, options.number, rev=options.rev, overruled=overruled, clock=options.clock)
    if options.json:
        say_json({"number": options.number, "status": "signed", "seal": seal})
    else:
        say(f"Ticket {options.number} is signed. Seal {seal}.")


def amend(options: argparse.Namespace) -> None:
    """Correct a signed ticket openly: entries, or what stands above them."""
    fields = typed_fields(options)
    if bool(fields) == bool(options.lines):
        raise InputError(
            "An amendment corrects either entries (a LINE) or the header (such as --plate): give one of them, the other"
            " in an amendment of its own."
        )
    if fields and options.replaces:
        raise InputError("--replaces names an entry, and vehicle, customer and odometer are none: leave it out.")
    with open_shop(options) as shop:
        before = {gap.question for gap in open_gaps(shop, options.number)}
        added: tuple[Added, ...] = ()
        if fields:
            header = changed_header(ticket_of(shop, options.number).header, fields, shop.settings.distance)
            correct_header(shop, options.number, header, options.reason, clock=options.clock)
        else:
            added = amend_ticket(
                shop, options.number, given_lines(options.lines), options.reason, replaces=options.replaces,
                clock=options.clock,
            )  # fmt: skip
        ticket = ticket_of(shop, options.number)
        asked = [gap for gap in open_gaps(shop, options.number) if gap.level == BLOCKING and gap.question not in before]
    if added:
        report(added, options, ticket)
    elif options.json:
        say_json(summary(ticket))
    else:
        say(corrected_line(ticket.corrections[-1]))
    for gap in asked:  # nobody signs an amended ticket again, so what would have kept it back is said now
        remark(f"Asked since this amendment: {gap.question}")


def load(options: argparse.Namespace) -> None:
    """Take tickets in."""
    with TemporaryDirectory(prefix="ticket-load-") as folder:
        documents = [(name, _source(name, Path(folder))) for name in options.files]
        new = database_path(options.db) if no_shop(options) else None
        folders = [folder for folder in new.parents if not folder.exists()] if new is not None else []
        try:
            with open_or_make(options, tell=False) as (shop, made):
                loaded = load_documents(shop, documents, workers())
        except BaseException:
            if new is not None:  # documents that cannot be loaded are no reason to make a shop
                remove_new(new)
                new.with_name(f"{new.name}.lock").unlink(missing_ok=True)
                for made_folder in folders:
                    with suppress(OSError):  # somebody put something there meanwhile
                        made_folder.rmdir()
            raise
    if options.json:
        say_json({"loaded": list(loaded.numbers)} | made)
        return
    if new is not None:
        remark(made_words(new))
    numbers = loaded.numbers
    say(f"Loaded {len(numbers):,}: ticket{'s' * (len(numbers) != 1)} {_in_runs(numbers)}.")
    if sum(loaded.words.values()) > len(loaded.came):
        for words, count in loaded.words.items():
            remark(f"{count:,} of them were {one_line(words)}.")
    else:
        for number, words in loaded.came.items():
            remark(f"Ticket {number} was {one_line(words)}.")


def _in_runs(numbers: Sequence[int]) -> str:
    """Numbers in a row as ``1 to 2,000``; of many runs the first ones."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1] = [runs[-1][0], number]
        else:
            runs.append([number])
    told = [str(run[0]) if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs[:NAMED]]
    return ", ".join(told) + (f" and {len(runs) - NAMED} more" if len(runs) > NAMED else "")


def _source(name: str, folder: Path) -> str | JsonFile:
    """A file or standard input: the text of plain lines, or JSON to go through; what was sent is kept meanwhile."""
    if name != "-":
        with open_plain(Path(name)) as stream:
            json = begins_as_json(stream.read(_HEAD))
        return JsonFile(Path(name), name) if json else read_file(Path(name))
    head = read_bytes(sys.stdin.buffer, STDIN, _HEAD, whole=False)
    if not begins_as_json(head):
        return decoded(head + read_bytes(sys.stdin.buffer, STDIN), STDIN)
    handle, sent = mkstemp(dir=folder)
    with os.fdopen(handle, "wb") as kept:
        kept.write(head)
        shutil.copyfileobj(sys.stdin.buffer, kept)
    return JsonFile(Path(sent), STDIN)


def dump(options: argparse.Namespace) -> None:
    """Tickets as documents: one object for one number, else a list; or all that is kept of a customer."""
    if options.since and (options.numbers or options.customer):
        raise InputError("--since chooses tickets itself: name no numbers and no customer beside it.")
    if options.customer:
        from ticket.cli.forget_command import tell_customer

        tell_customer(options)
        return
    with open_to_show(options, options.numbers, "dump") as shop:
        _ = shop.kept  # days are those of the shop's zone
        numbers = options.numbers or shop.store.numbers(asked_day(options.since) if options.since else None)
        tickets = [ticket_of(shop, number) for number in counted(numbers, "write out", len(numbers))]
        documents = [] if options.form == "lines" else [_document(shop, ticket) for ticket in tickets]
        uid = shop.store.proofs.uid()
    if options.since and not tickets:
        remark(f"No ticket was changed on {options.since} or later.")
    if options.form == "lines":
        write(options, "\n".join(write_file(ticket) for ticket in tickets))
    else:
        _write_documents(options, documents, uid)


def _write_documents(options: argparse.Namespace, documents: Sequence[dict[str, Any]], uid: str) -> None:
    if options.form == "json":
        write(options, as_json(documents[0] if len(options.numbers) == 1 else documents))
    elif documents:
        write(options, "\n".join(compact_json(document | {SHOP: uid}) for document in documents))


def _document(shop: Shop, ticket: Ticket) -> dict[str, Any]:
    """A ticket as it leaves the shop: masked without pictures and proof, which tell whose it is, or fit no mask."""
    if shop.hidden:
        return to_document(ticket)
    proof = shop.store.proofs.document_proof(ticket) if ticket.seal else None
    return to_document(ticket, _pictures(shop, ticket)) | ({PROOF: proof} if proof else {})


def _pictures(shop: Shop, ticket: Ticket) -> list[Picture]:
    """The pictures of a ticket; one that is gone or was changed is left out and named, so that the rest gets out."""
    found = []
    for entry in ticket.entries:
        try:
            found += [picture for _, picture in held_by(shop, (entry,))]
        except NotFoundError as error:
            remark(f"Ticket {ticket.number}, entry {entry.no}: {error}")
    return found
