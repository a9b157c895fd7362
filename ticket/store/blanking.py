"""Blanking texts of a row of the journal: what is promised of them stays, and so does every other text."""

import json
from collections.abc import Collection
from typing import Any

from sqlite_utils import Database

from ticket.store.canonical import canonical_text, commitment


def texts_of(db: Database, seq: int) -> dict[str, str] | None:
    """The texts of a row by path, those that are blank left out; ``None`` where all of a row of format 1 are gone."""
    words, first = _words(db, seq)
    if words is None:
        return None
    return {path: one if first else one[1] for path, one in words.items() if first or isinstance(one, list)}


def blank(db: Database, seq: int, paths: Collection[str]) -> list[str] | None:
    """Blank these texts of a row.

    Returns:
        The paths that were blanked now; ``None`` where the row is of format 1, whose texts go all together.
    """
    words, first = _words(db, seq)
    if words is None:
        return None
    if first:
        db.execute("UPDATE journal SET words = NULL, salt = NULL WHERE seq = ?", [seq])
        return None
    done = [path for path in paths if isinstance(words.get(path), list)]
    held = words | {path: commitment(*words[path]) for path in done}
    if done:
        db.execute("UPDATE journal SET words = ? WHERE seq = ?", [canonical_text(held), seq])
    return sorted(done)


def _words(db: Database, seq: int) -> tuple[dict[str, Any] | None, bool]:
    """The words of a row as they are stored, and whether it is of format 1."""
    words, salt = db.execute("SELECT words, salt FROM journal WHERE seq = ?", [seq]).fetchone()
    return (None if words is None else json.loads(words)), salt is not None
