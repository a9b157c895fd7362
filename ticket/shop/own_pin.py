"""Setting, changing and taking away PINs: one's own, as an owner anybody's, and the ways back from a forgotten one."""

import os
from dataclasses import dataclass

from ticket.job.errors import InputError
from ticket.job.text import clean
from ticket.machine import pin_hash
from ticket.shop.opening import Shop
from ticket.store import pins


@dataclass(frozen=True, slots=True)
class SetPin:
    """What was set.

    Attributes:
        name: whose PIN.
        code: the recovery code to write down, where a new one was made; it is shown once and kept nowhere.
        short: the PIN is one that is quickly tried.
    """

    name: str
    code: str = ""
    short: bool = False


def may_set(shop: Shop, name: str) -> None:
    """Let somebody set a PIN: the first of a shop, one's own behind the old one, anybody's as an owner.

    Raises:
        InputError: who sits here may not.
        PinNeededError: the PIN that proves it must be typed first.
    """
    known = shop.gate.known()
    who = clean(shop.person).strip()
    if not known:
        if name != who:
            raise InputError(f"The first PIN of a shop is one's own, and makes its owner: --by {name!r}.")
        return
    if name == who and name in known.promises:
        shop.gate.prove(name, "A new PIN")
        return
    shop.gate.permit(shop.person, "people")


def set_pin(shop: Shop, name: str, pin: str) -> SetPin:
    """Set a PIN; who may is asked for again. The first one of a shop makes its owner, and gives a recovery code.

    Raises:
        InputError: it will not do, or who sits here may not.
    """
    name = clean(name).strip()
    may_set(shop, name)
    first = not shop.gate.known()
    how = "own" if name == clean(shop.person).strip() else "owner"
    return _keep(shop, name, pin, how, with_code=first)


def recover(shop: Shop, code: str, pin: str) -> SetPin:
    """Set the PIN of whoever sits here, who becomes the owner, by the recovery code; a new code is given.

    Raises:
        InputError: it is not the code of this shop, or the PIN will not do.
    """
    known = shop.gate.known()
    if not known.recovery or pins.code_digest(code) != known.recovery:
        raise InputError("That is not the recovery code of this shop: six groups of five signs.")
    name = clean(shop.person).strip()
    if why := pin_hash.flaw(pin):
        raise InputError(f"{why} Nothing was changed.")
    if shop.gate.role_of(name) != "owner":
        raise InputError(f"The recovery code sets an owner's PIN, and {name} is none: use --by with an owner's name.")
    return _keep(shop, name, pin, "recovery", with_code=True)


def _keep(shop: Shop, name: str, pin: str, how: str, *, with_code: bool) -> SetPin:
    hashed = pin_hash.hashed(pin, shop.store.path)
    code = pins.new_code() if with_code else ""
    digest = pins.code_digest(code) if code else ""
    shop.store.proofs.pins.set(name, hashed, how, shop.person, digest)
    shop.gate.close()
    shop.refresh()
    return SetPin(name, code, len(pin) < pin_hash.GOOD)


def take_away(shop: Shop, name: str) -> None:
    """Take somebody's PIN away, as an owner. Raises :class:`InputError`."""
    shop.gate.permit(shop.person, "people")
    shop.store.proofs.pins.take_away(clean(name).strip(), shop.person)


def reset(shop: Shop) -> None:
    """Take all PINs away, as the login that owns the file; it is told at every start for thirty days.

    Raises:
        InputError: the file belongs to another login, or there is no PIN.
    """
    owner = shop.store.path.stat().st_uid
    if hasattr(os, "geteuid") and os.geteuid() not in (0, owner):
        raise InputError(f"{shop.store.path} belongs to another login: only that one may take all PINs away.")
    if not shop.gate.known():
        raise InputError("Nobody has a PIN here.")
    shop.store.proofs.pins.reset(shop.person)
    shop.gate.close()
