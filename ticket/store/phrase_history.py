"""What was typed before: the most used phrases that begin with some letters, and those that stood beside a code."""

from collections.abc import Iterable

from sqlite_utils import Database

from ticket.store.index_rows import Phrase

MOST = 12
_CAP = 2000  # phrases of one long beginning that are looked at before the most used of them are taken
_RECENT = 300  # phrases read of the newest tickets with a code
_SHORT = 3  # beginnings up to this length have an index of their own
_LAST = "\U0010ffff"
_COLUMNS = "kind, text, amount, ahead, behind, open"


def beginning(db: Database, kind: str, folded: str) -> list[Phrase]:
    """Phrases of a kind whose folded text begins so, most used first; none for an empty beginning."""
    if not folded:
        return []
    if len(folded) <= _SHORT:
        where = f"kind = ? AND substr(folded, 1, {len(folded)}) = ?"
        source, values = f"phrase WHERE {where}", [kind, folded]
    else:
        inner = f"SELECT * FROM phrase WHERE kind = ? AND folded >= ? AND folded < ? LIMIT {_CAP}"  # noqa: S608
        source, values = f"({inner})", [kind, folded, folded + _LAST]
    rows = db.execute(
        f"SELECT {_COLUMNS}, uses FROM {source} ORDER BY uses DESC, ticket_id DESC LIMIT {MOST}",  # noqa: S608
        values,
    )
    return [_phrase(*row) for row in rows.fetchall()]


def beside_code(db: Database, code: str, sub: str) -> list[Phrase]:
    """Phrases on the newest tickets that hold a code, each once, with how often it stood there; most often first."""
    with_sub = " AND sub = ? COLLATE NOCASE" if sub else ""
    rows = db.execute(
        f"SELECT {_COLUMNS}, count(*) FROM (SELECT p.* FROM (SELECT DISTINCT ticket_id FROM entry_code"  # noqa: S608
        f" WHERE code = ? COLLATE NOCASE{with_sub} ORDER BY ticket_id DESC LIMIT {_RECENT // 6}) AS c"
        f" JOIN entry_phrase AS p ON p.ticket_id = c.ticket_id ORDER BY p.ticket_id DESC LIMIT {_RECENT})"
        " GROUP BY kind, folded ORDER BY count(*) DESC, max(ticket_id) DESC",
        [code, sub] if sub else [code],
    )
    return [_phrase(*row) for row in rows.fetchall()]


def _phrase(kind: str, text: str, amount: str, ahead: str, behind: str, opened: int, uses: int) -> Phrase:
    return Phrase(kind, text, amount, ahead, behind, bool(opened), uses)


def differs(db: Database) -> bool:
    """Whether the phrases are not what the rows of the entries add up to."""
    wanted = "SELECT kind, folded, count(*) AS uses, max(ticket_id) AS newest FROM entry_phrase GROUP BY kind, folded"
    held = "SELECT kind, folded, uses, ticket_id FROM phrase"
    sql = f"SELECT 1 FROM ({wanted} EXCEPT {held}) UNION ALL SELECT 1 FROM ({held} EXCEPT {wanted}) LIMIT 1"  # noqa: S608
    return db.execute(sql).fetchone() is not None


def met(db: Database, pieces: Iterable[str], least: int) -> dict[str, tuple[tuple[int, int], ...]]:
    """The phrases among these that stand on so many living entries: the newest of them, as ticket and entry."""
    found: dict[str, tuple[tuple[int, int], ...]] = {}
    for piece in dict.fromkeys(pieces):
        rows = db.execute(
            "SELECT t.number, p.no FROM (SELECT ticket_id, no FROM entry_piece WHERE piece = ?"
            " GROUP BY ticket_id, no ORDER BY ticket_id DESC, no DESC LIMIT ?) AS p"
            " JOIN ticket AS t ON t.id = p.ticket_id ORDER BY t.id DESC, p.no DESC",
            [piece, least],
        ).fetchall()
        if len(rows) == least:
            found[piece] = tuple((number, no) for number, no in rows)
    return found
