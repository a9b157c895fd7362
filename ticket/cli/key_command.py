"""``ticket shop key``: the keys that sign for this shop; another one for this login, or one that signs no more."""

import argparse

from ticket.cli.open_shop import open_shop
from ticket.cli.output import say, say_json
from ticket.job.errors import InputError
from ticket.machine.signing_key import new_signer, signer
from ticket.shop.opening import Shop
from ticket.store.signed_heads import shown


def key(options: argparse.Namespace) -> None:
    """List, add or end a key."""
    words = list(options.value)
    if words and (words[0] != "end" or len(words) != 2 or options.new):
        raise InputError("Name the key: ticket shop key end 62zb-6rn7-keze-dy2i --why lost.")
    with open_shop(options) as shop:
        proofs = shop.store.proofs
        if options.new:
            asked = shop.gate.permit(shop.person, "keys")
            old = signer(proofs.uid(), make=False, ended=proofs.ended_keys())
            proofs.add_key(new_signer(proofs.uid()), old, shop.person, asked=asked)
        elif words:
            shop.gate.permit(shop.person, "keys")
            proofs.end_key(words[1], options.why, shop.person)
        _tell(options, shop)


def _tell(options: argparse.Namespace, shop: Shop) -> None:
    keys = shop.store.proofs.public_keys()
    if options.json:
        say_json({"keys": list(keys.values())})
        return
    for name, told in keys.items():
        ended = f", ended at row {told['last']}" if "last" in told else ""
        vouched = told.get("vouched") or {}
        by = f", key {shown(vouched['key'])} vouches for it" if "key" in vouched else ""
        say(f"{shown(name)}  row {told['row']}, login {told['login']}{by}{ended}")
    if not keys:
        say("None yet: the first signing makes one.")
