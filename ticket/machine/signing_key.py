"""The key of this login: made at its first signing, kept outside the database, never copied to another machine."""

import base64
import contextlib
import getpass
import os
import stat
from collections.abc import Collection
from pathlib import Path

from ticket.job.errors import InputError
from ticket.store.file_modes import make_own_folder, write_private
from ticket.store.signed_heads import Signer, key_id


def keys_folder() -> Path:
    """Where keys of this login lie: its own data folder, not the shop's."""
    from platformdirs import user_data_path

    return user_data_path("job-ticket", appauthor=False) / "keys"


def signer(shop: str, *, make: bool, ended: Collection[str] = ()) -> Signer | None:
    """The key of this login for a shop; the newest, where it has several.

    Args:
        shop: the random name of its file.
        make: make one where there is none.
        ended: names of keys that sign no more.

    Raises:
        InputError: its file may be read by others, or holds no key.
    """
    folder = keys_folder()
    found = [path for path in folder.glob(f"{shop}-*.key") if path.stem.removeprefix(f"{shop}-") not in ended]
    if found:
        return _read(max(found, key=lambda path: (path.stat().st_mtime_ns, path.name)))
    if not make:
        return None
    try:
        return _make(folder, shop)
    except OSError:
        return None  # a home that cannot be written to stops no work: the row is signed by no key


def new_signer(shop: str) -> Signer:
    """Another key of this login for a shop. Raises :class:`InputError` where it cannot be kept."""
    try:
        return _make(keys_folder(), shop)
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise InputError(f"A key cannot be kept in {keys_folder()}: {why}.") from None


def _read(path: Path) -> Signer:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    try:
        if os.name == "posix" and path.stat().st_mode & (stat.S_IRWXG | stat.S_IRWXO):
            raise InputError(f"The key file {path} may be read by others: chmod 600 {path}")
        if os.name == "posix" and path.parent.stat().st_mode & (stat.S_IWGRP | stat.S_IWOTH):
            raise InputError(
                f"The folder {path.parent} may be written to by others, who could exchange the key in it: chmod 700"
                f" {path.parent}"
            )
        key = load_pem_private_key(path.read_bytes(), password=None)
    except (OSError, ValueError, TypeError) as error:
        raise InputError(f"The key file {path} cannot be used: {error}. Move it away for a new key.") from None
    if not isinstance(key, Ed25519PrivateKey):
        raise InputError(f"The key file {path} holds a key of another kind. Move it away for a new key.")
    return _signer(key)


def _make(folder: Path, shop: str) -> Signer:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

    key = Ed25519PrivateKey.generate()
    made = _signer(key)
    make_own_folder(folder)
    content = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    write_private(folder / f"{shop}-{made.id}.key", content)
    return made


def _signer(key: "object") -> Signer:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

    assert isinstance(key, Ed25519PrivateKey)  # noqa: S101 - both callers have looked
    public = key.public_key().public_bytes(Encoding.Raw, PublicFormat.Raw)
    login = ""
    with contextlib.suppress(KeyError, OSError):
        login = getpass.getuser()
    return Signer(key_id(public), base64.b64encode(public).decode(), login, key.sign)
