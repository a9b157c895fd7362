"""``ticket shop pin``: set, change or take away a PIN, and the ways back from one that is forgotten."""

import argparse

from ticket.cli.ask_pin import FromDescriptor
from ticket.cli.open_shop import open_shop
from ticket.cli.output import remark, say, say_json
from ticket.job.errors import InputError
from ticket.job.text import clean
from ticket.shop import settings
from ticket.shop.opening import Shop


def pin(options: argparse.Namespace) -> None:
    """Set a PIN, one's own where nobody is named."""
    if options.remove + options.reset + options.recover > 1:
        raise InputError("One of --remove, --reset and --recover at a time.")
    with open_shop(options) as shop:
        name = clean(" ".join(options.value) or shop.person).strip()
        if options.remove:
            settings.take_away(shop, name)
            _say(options, {"person": name, "pin": False}, f"{name} has no PIN any more.")
        elif options.reset:
            settings.reset(shop)
            _say(options, {"pins": []}, "All PINs of this shop are taken away; it is told for thirty days.")
        else:
            _set(options, shop, name)


def _set(options: argparse.Namespace, shop: Shop, name: str) -> None:
    if shop.gate.ask is None:
        raise InputError("A PIN is typed without being shown: run it in a terminal, or use --pin-fd.")
    if options.recover:
        code = shop.gate.ask("Recovery code: ")
        done = settings.recover(shop, code, _new(shop, shop.person))
    else:
        settings.may_set(shop, name)
        done = settings.set_pin(shop, name, _new(shop, name))
    told = {"person": done.name, "pin": True} | ({"recovery_code": done.code} if done.code else {})
    _say(options, told, f"{done.name} has a PIN now. It is asked for at signing and where the shop's rules change.")
    if done.code and not options.json:
        say(f"Recovery code: {done.code}")
        say("Write it down and keep it away from the shop: it is shown once, and stands in for an owner's lost PIN.")
    if done.short:
        remark("Six or more signs are good: a short PIN is quickly tried by whoever has the shop's folder.")


def _new(shop: Shop, name: str) -> str:
    """A new PIN, typed twice at a terminal."""
    ask = shop.gate.ask
    if ask is None:
        raise InputError("A PIN is typed without being shown: run it in a terminal, or use --pin-fd.")
    new = ask(f"New PIN of {name}: ")
    if not isinstance(ask, FromDescriptor) and ask("The same again: ") != new:
        raise InputError("They are not the same; nothing was changed.")
    return new


def _say(options: argparse.Namespace, facts: dict[str, object], words: str) -> None:
    if options.json:
        say_json(facts)
    else:
        say(words)
