"""The command that hands out heads of the journal, and the keys they are checked with, to be kept in other hands."""

import argparse
import json

from ticket.cli.open_shop import open_shop
from ticket.cli.output import as_json, columns, say, to_file, write
from ticket.cli.paper_commands import put, refuse_binary
from ticket.job.codec import Json
from ticket.job.errors import NotFoundError
from ticket.papers.formats import written
from ticket.papers.head_sheet import Letter, head_sheet, key_sheet
from ticket.shop.changing import start_day
from ticket.shop.reading import signed_head
from ticket.store.signed_heads import Head, shown


def head(options: argparse.Namespace) -> None:
    """The newest row of the journal, signed where this login has a key; or the public keys an auditor keeps."""
    with open_shop(options) as shop:
        start_day(shop)
        keys, found = shop.store.proofs.public_keys(), signed_head(shop)
        uid, now = shop.store.proofs.uid(), shop.now()
        letter = Letter(uid, shop.settings.paper, shop.settings.language, shop.scratch)
    if found is None:
        raise NotFoundError("There is no row yet to keep.")
    if options.form and not options.json:
        refuse_binary(options)
        made = key_sheet(letter, keys, now) if options.keys else head_sheet(letter, found)
        put(options, written(made, options.form, columns(options)))
    elif options.keys:
        _tell_keys(options, uid, keys)
    else:
        _tell_head(options, found)


def _tell_head(options: argparse.Namespace, found: Head) -> None:
    line = json.dumps(found.document(), ensure_ascii=False)
    if to_file(options) or options.json:
        write(options, line)
        return
    by = f"signed with key {shown(found.key)}" if found.key else "not signed: this login has no key yet"
    say(f"Head {found.seq}-{found.hash[:32]} of {found.at}, {by}.")
    say(line)


def _tell_keys(options: argparse.Namespace, uid: str, keys: dict[str, Json]) -> None:
    if options.json or to_file(options):
        write(options, as_json({"shop": uid, "keys": list(keys.values())}))
        return
    say(f"Shop {uid}. Public keys that sign for it (Ed25519):")
    for key, told in keys.items():
        ended = f", ended at row {told['last']}" if "last" in told else ""
        say(f"  {shown(key)}  {told['public']}  row {told['row']}, login {told['login']}{ended}")
    if not keys:
        say("  none yet: the first signing makes one.")
