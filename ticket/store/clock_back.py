"""A clock that stands before what was already written: told in the row, and asked about where something is signed."""

from datetime import datetime, timedelta

from sqlite_utils import Database

from ticket.job.errors import ConflictError

BACK = {"clock": "back"}
"""What the body of such a row says."""
_SLACK = timedelta(minutes=5)  # as far as the audit lets clocks of several machines differ
_LOOKED = 16  # rows; one clock may be a little behind another
_NEWEST = (
    'SELECT max(at) FROM (SELECT at FROM journal WHERE instr(body, \'"clock":"back"\') = 0 ORDER BY seq DESC LIMIT ?)'
)


def newest(db: Database) -> str:
    """The time of the newest row whose clock was not behind; empty where there is none."""
    return str(db.execute(_NEWEST, [_LOOKED]).fetchone()[0] or "")


def behind(db: Database, at: str) -> str:
    """The time that was reached already, where a moment lies clearly before it; empty where all is well."""
    last = newest(db)
    try:
        late = bool(last) and datetime.fromisoformat(at) < datetime.fromisoformat(last) - _SLACK
    except (ValueError, TypeError):
        return ""  # a row whose time was changed behind the journal: the audit names it
    return last if late else ""


def refuse(db: Database, at: str) -> None:
    """Refuse to sign at such a moment, but in a shop for practice, whose clock may stand.

    Raises:
        ConflictError: the clock is behind, and nobody said why that may be.
    """
    last = behind(db, at)
    if not last or db.execute("SELECT json_extract(body, '$.scratch') FROM journal WHERE seq = 1").fetchone()[0]:
        return
    raise ConflictError(
        f"the clock of this machine says {words(at)}, and the journal was at {words(last)} before: nothing was signed."
        " Set the clock right, or say why it is as it is: --clock 'WHY'"
    )


def words(at: str) -> str:
    """A stored moment as people read it."""
    moment = datetime.fromisoformat(at).astimezone()
    return f"{moment:%Y-%m-%d %H:%M}"
