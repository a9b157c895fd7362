"""A typed PIN as Argon2 tells it, with a pepper that lies beside the shop and is in no copy of it.

The pepper is one file of 32 random bytes beside the database, not in the login's own key folder: several logins of one
shop check the same PINs. Without it nobody who has only a copy can try PINs; whoever has the folder can, at about a
quarter of a second each.
"""

import hmac
import os
from pathlib import Path

from ticket.job.errors import InputError
from ticket.store.file_modes import PEPPER, make_side_file

SHORTEST, LONGEST, GOOD = 4, 12, 6
_PEPPER_BYTES = 32

# RFC 9106, section 4, second recommended option: t=3, 64 MiB; one lane, since a shop's machine may have two cores.
TIME, MEMORY, LANES = 3, 64 * 1024, 1


def flaw(pin: str) -> str:
    """What is wrong with a new PIN, in one sentence; empty where nothing is."""
    if not SHORTEST <= len(pin) <= LONGEST or not (pin.isascii() and pin.isalnum()):
        return f"A PIN has {SHORTEST} to {LONGEST} figures or letters; {GOOD} or more are good."
    return "All its signs are the same." if len(set(pin)) == 1 else ""


def hashed(pin: str, database: Path) -> str:
    """What to keep of a new PIN. Raises :class:`InputError` where it will not do."""
    from argon2 import PasswordHasher

    if why := flaw(pin):
        raise InputError(f"{why} Nothing was changed.")
    hasher = PasswordHasher(time_cost=TIME, memory_cost=MEMORY, parallelism=LANES)
    return hasher.hash(_peppered(pin, _pepper(database, make=True)))


def fits(kept: str, pin: str, database: Path) -> bool:
    """Whether a typed PIN is the one that is kept."""
    from argon2 import PasswordHasher
    from argon2.exceptions import InvalidHashError, VerificationError

    try:
        return PasswordHasher().verify(kept, _peppered(pin, _pepper(database, make=False)))
    except (VerificationError, InvalidHashError):
        return False


def pepper_file(database: Path) -> Path:
    """Where the pepper lies."""
    return database.with_name(database.name + PEPPER)


def _peppered(pin: str, pepper: bytes) -> bytes:
    return hmac.digest(pepper, pin.encode("utf-8", "replace"), "sha256")


def _pepper(database: Path, *, make: bool) -> bytes:
    path = pepper_file(database)
    try:
        if make and not path.exists():
            make_side_file(path, database, os.urandom(_PEPPER_BYTES))
        held = path.read_bytes()
    except FileNotFoundError:
        raise InputError(
            f"{path} is missing: without it no PIN of this shop can be checked. Put it back beside the shop, or take"
            " all PINs away: ticket shop pin --reset"
        ) from None
    except OSError as error:
        raise InputError(f"{path} cannot be used: {(error.strerror or str(error)).lower()}.") from None
    if len(held) != _PEPPER_BYTES:
        raise InputError(f"{path} holds something else than it should: put it back from where it was kept.")
    return held
