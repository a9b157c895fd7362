"""Copies of the shop in a folder, kept by count: by command, and by the setting ``copies`` at the start of a day.

The name of a copy is a head too: its day, its last row and six digits of that row's hash.
"""

from pathlib import Path

from ticket.job.errors import InputError, StoreError, TicketError
from ticket.job.regex import Regex
from ticket.job.text import one_line
from ticket.machine.witness_file import in_time
from ticket.shop.opening import Shop
from ticket.store.kept_heads import file_name

KEPT = 14  # copies, where the setting names no number
MOST = 999
_ROLLING = Regex(r"-\d{4}-\d\d-\d\d-r(\d+)-[0-9a-f]{6}\.db")


def parse_copies(text: str) -> tuple[Path, int] | None:
    """The folder and the number a setting names, such as ``/media/stick/copies, 14``; ``None`` for none.

    Raises:
        InputError: the folder is no whole path, or the number is none.
    """
    if not text.strip():
        return None
    folder, comma, number = (part.strip() for part in text.rpartition(","))
    if not comma:
        folder, number = number, str(KEPT)
    if not (number.isascii() and number.isdecimal() and 0 < int(number[:6]) <= MOST):
        raise InputError(f"{number!r} is no number of copies: name the folder, and behind a comma 1 to {MOST}.")
    if not Path(folder).is_absolute():
        raise InputError("Name the folder of the copies by its whole path, such as /media/stick/copies, 14.")
    return Path(folder), int(number)


def copy_of_day(shop: Shop) -> str:
    """Make the copy of a day that has none yet, where the shop wants one; a sentence where it cannot be made."""
    try:
        wanted = parse_copies(shop.settings.copies)
        if wanted is None or shop.scratch or shop.hidden:
            return ""
        folder, keep = wanted
        lead = f"{shop.store.path.stem}-{shop.today.isoformat()}-r"
        if _is_there(folder, lead):
            return ""
        try:
            roll(shop, folder, keep)
        except TicketError:
            if not _is_there(folder, lead):  # else another terminal made it meanwhile
                raise
    except (TicketError, OSError) as error:
        reason = (error.strerror or str(error)).lower() if isinstance(error, OSError) else str(error).rstrip(".")
        return f"There is no copy of today: {one_line(reason)}. It is tried again at the next start."
    return ""


def _is_there(folder: Path, lead: str) -> bool:
    """Whether a folder, which may be a share that never answers, holds a copy whose name begins so."""
    return in_time(lambda: any(one.name.startswith(lead) for one in folder.iterdir()))


def roll(shop: Shop, folder: Path, keep: int) -> tuple[Path, bool, list[Path]]:
    """Make a checked copy in a folder and take the oldest beyond a number away.

    Returns:
        The copy, whether it was made now, and those that were taken away.

    Raises:
        InputError: it is no folder.
        StoreError: the copy cannot be made, or does not prove itself: none is taken away then.
    """
    if not folder.is_dir():
        raise InputError(f"{folder} is no folder: the newest copies are kept in a folder.")
    head = shop.store.proofs.head()
    if head is None:
        raise StoreError("there is no row yet to copy")
    target = folder / f"{shop.store.path.stem}-{shop.today.isoformat()}-r{head.seq}-{head.hash[:6]}.db"
    if target.exists():
        return target, False, []
    shop.store.backup(target)
    return target, True, _drop_older(target, keep, shop.store.proofs.uid())


def old_copies(shop: Shop) -> list[Path]:
    """The copies of this shop that can be found: in the folder of the setting, and beside its file."""
    path = shop.store.path
    beside = [
        one for one in path.parent.iterdir() if one.name.startswith((f"{path.name}.before-", f"{path.name}.aside-"))
    ]
    wanted = _wanted(shop)
    folder = wanted[0] if wanted and wanted[0].is_dir() else path.parent
    rolling = [one for one in folder.iterdir() if _ROLLING.fullmatch(one.name.removeprefix(path.stem))]
    uid = shop.store.proofs.uid()
    files = (one for one in (*beside, *rolling) if one.is_file() and not one.is_symlink())
    return sorted(one for one in files if file_name(one) == uid)


def renew_copies(shop: Shop, old: list[Path]) -> Path:
    """Make a new checked copy, then take the old ones away; nothing goes where the new one does not prove itself.

    Raises as :func:`roll` does, and :class:`InputError` for a copy that cannot be taken away.
    """
    wanted = _wanted(shop)
    made, _, _ = roll(shop, wanted[0] if wanted else shop.store.path.parent, MOST)
    for path in old:
        try:
            if path != made:
                path.unlink()
        except OSError as error:
            raise InputError(f"{path} cannot be taken away: {(error.strerror or str(error)).lower()}.") from None
    return made


def _wanted(shop: Shop) -> tuple[Path, int] | None:
    try:
        return parse_copies(shop.settings.copies)
    except InputError:
        return None


def _drop_older(newest: Path, keep: int, uid: str) -> list[Path]:
    """Take older copies of this shop and this login away; the one that was just made and checked always stays."""
    lead = newest.name[: newest.name.index(_ROLLING.search(newest.name)[0])]  # type: ignore[index]
    mine = newest.stat().st_uid
    others = [
        path
        for path in newest.parent.iterdir()
        if path != newest
        and path.name.startswith(lead)
        and _ROLLING.fullmatch(path.name.removeprefix(lead))
        and path.lstat().st_uid == mine
        and path.is_file()
        and file_name(path) == uid  # two shops may keep their copies in one folder
    ]
    gone = sorted(others, key=_age, reverse=True)[max(keep - 1, 0) :]
    for path in gone:
        path.unlink()
    return gone


def _age(path: Path) -> tuple[str, int]:
    """The day of a copy and its last row, which its name says."""
    name = _ROLLING.search(path.name)
    return (name[0][1:11], int(name[1])) if name else ("", 0)
