"""References that were typed before the entry they name: read from the journal, for the question about them."""

from sqlite_utils import Database

from ticket.store import journal, state
from ticket.store.transition import changes_of

_POINTING = frozenset({"refs", "of", "answers", "fact"})


def typed_ahead(db: Database, number: int, pairs: list[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    """Those of the pairs, an entry and what it names, whose reference is older than what it names.

    An entry that was retyped since names what stands there; what was loaded was typed elsewhere, nobody knows when.
    """
    added: dict[int, int] = {}
    pointed: dict[int, int] = {}
    ticket = state.id_of(db, number)
    for record in journal.read(db, "ticket_id = ? AND verb IN ('add', 'amend', 'edit', 'undo', 'redo')", [ticket]):
        for birth in record.body.get("births", ()):
            added[birth["no"]] = pointed[birth["no"]] = record.seq
        for change in changes_of(record.body):
            if change.f in _POINTING:
                pointed[change.no] = record.seq
    return tuple((no, to) for no, to in pairs if no in added and to in added and pointed[no] < added[to])
