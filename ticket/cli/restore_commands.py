"""Commands that copy, put back and rescue a shop's file."""

import argparse
import contextlib
import dataclasses
from pathlib import Path

from ticket.cli.ask_pin import make_able_to_ask
from ticket.cli.open_shop import open_shop
from ticket.cli.output import remark, say, say_json
from ticket.job.errors import ConflictError, InputError, StoreError
from ticket.machine.environment import database_path
from ticket.shop.changing import copy_into, tell_signed
from ticket.shop.opening import Shop
from ticket.shop.reading import audit_shop, rescue_shop
from ticket.store import restoring
from ticket.store.driver import is_shop, is_there
from ticket.store.file_modes import make_folder
from ticket.store.proof.finding import runs


def backup(options: argparse.Namespace) -> None:
    """A checked copy of the database; in a folder, one of the newest so many."""
    target, made, gone = Path(options.file), True, list[Path]()
    if options.keep is not None and not target.is_dir():
        raise InputError(f"{target} is no folder: --keep keeps the newest copies in a folder.")
    with open_shop(options) as shop:
        if options.keep is None:
            shop.store.backup(target)
        else:
            target, made, gone = copy_into(shop, target, options.keep)
    _say_copy(options, target, gone, made=made)


def _say_copy(options: argparse.Namespace, target: Path, gone: list[Path], *, made: bool) -> None:
    if options.json:
        say_json({"backup": str(target), "made": made, "removed": [str(path) for path in gone]})
        return
    say(f"The copy is in {target}." if made else f"Nothing was done since the copy {target}.")
    if gone:
        say(f"{len(gone)} older {'copies were' if len(gone) > 1 else 'copy was'} taken away.")


def restore(options: argparse.Namespace) -> int:
    """Put a checked copy back, never over the present file."""
    copy, target = Path(options.copy), Path(options.to) if options.to else database_path(options.db)
    _check_places(copy, target, options.to)
    found = audit_shop(copy)
    if not found.ok:
        raise StoreError(f"The copy {copy} does not prove itself ({found.reason}): take an older one.")
    loss = restoring.loss(copy, target)
    if loss.present is not None and not options.aside:
        raise ConflictError(
            f"{loss.words} Nothing was changed. To put it back all the same, and keep the present file beside it:"
            " add --aside."
        )
    if loss.present is not None:
        _permit(options, target)
    try:
        make_folder(target.parent)
        aside = restoring.put_back(copy, target)
    except OSError as error:
        raise InputError(f"{target} cannot be put there: {(error.strerror or str(error)).lower()}.") from None
    with Shop.open(target, options.by or "", create=False) as shop:
        shop.store.proofs.note_restore(restoring.body_of(loss), shop.person)
        tell_signed(shop)
    for sentence in shop.told:
        remark(sentence)
    if options.json:
        say_json({"restored": str(target), "aside": str(aside) if aside else None})
        return 0
    say(f"{loss.words} The copy is in its place now: {target}.")
    if aside:
        say(f"What stood there is kept as {aside}.")
    return 0


def _check_places(copy: Path, target: Path, typed: str | None) -> None:
    """Raise :class:`InputError` where there is no copy, or nothing can be put there."""
    if typed == "-":
        raise InputError("A shop cannot be put on standard output: name a file.")
    if not is_shop(copy):
        raise InputError(f"{copy} is no copy of a shop.")
    if is_there(target) and copy.samefile(target):
        raise InputError(f"{copy} is the shop itself.")


def _permit(options: argparse.Namespace, target: Path) -> None:
    """An owner's PIN, where the present file can still say that there are any."""
    with contextlib.suppress(StoreError), Shop.open(target, options.by or "", create=False) as present:
        make_able_to_ask(present, options)
        present.gate.permit(present.person, "restore")


def rescue(options: argparse.Namespace) -> int:
    """A new shop from the readable part of a damaged file."""
    damaged, new = Path(options.damaged), Path(options.new)
    if not is_there(damaged):
        raise InputError(f"There is no file {damaged}.")
    if is_there(new):
        raise InputError(f"{new} is there already: name a new file.")
    found = rescue_shop(damaged, new, options.by or "")
    if options.json:
        say_json(dataclasses.asdict(found))
        return 0 if not (found.doubtful or found.lost) else 1
    say(f"{len(found.tickets)} tickets were rescued into {options.new}; {found.rows} rows of the journal are proved.")
    for lead, numbers in (("May lack something", found.doubtful), ("Could not be made", found.lost)):
        if numbers:
            say(f"{lead}: ticket {runs(sorted(numbers))}.")
    if found.missing:
        say(f"Rows not found: {found.missing}.")
    say("Signed ones say that they came from elsewhere: compare them with their papers.")
    if found.pins or found.keys:
        say(
            f"PINs ({found.pins}) and keys ({found.keys}) do not come over: an owner sets PINs anew with ticket shop"
            " pin NAME, the first signature makes a key; keep the damaged file, its journal holds the old public keys."
        )
    return 0 if not (found.doubtful or found.lost) else 1
