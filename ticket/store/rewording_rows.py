"""Sentences of a story reworded, and rewordings taken back."""

from ticket.job.codec import Json
from ticket.job.errors import ConflictError, NotFoundError, SealedError
from ticket.job.reworded_sentence import Rewording
from ticket.store import state, stored_values
from ticket.store.session import Session
from ticket.store.state import TicketState
from ticket.store.transition import WORDING, FieldChange


def reword(session: Session, number: int, new: Rewording, by: str, *, expected: Rewording | None = None) -> Rewording:
    """Keep somebody's own words for one sentence."""
    with session.writing() as db:
        before = state.load(db, number)
        if before.signed:
            raise SealedError(
                f"ticket {number} is signed: its sentences stay as they were signed; amend it to correct a fact"
            )
        held = stored_values.store_wording(new, session.person(by)) | {"at": session.moment()}
        new = state.reworded(held, state.people(db))
        slot = _slot(session, before, new)
        old = before.wordings.get(slot)
        found = state.reworded(old, state.people(db)) if old else None
        if found != expected:
            theirs = f"{found.by} made it “{found.text}”" if found else "its rewording was taken back"
            raise ConflictError(
                f"ticket {number}: that sentence was changed meanwhile: {theirs}; yours was “{new.text}”: "
                "nothing was written"
            )
        _change_wording(session, before, "reword", slot, old, held, by)
        return new


def unreword(session: Session, number: int, old: Rewording, by: str) -> None:
    """Take a rewording back; the story's own sentence stands again."""
    with session.writing() as db:
        before = state.load(db, number)
        if before.signed:
            raise SealedError(f"ticket {number} is signed: its sentences stay as they were signed")
        names = state.people(db)
        slots = [slot for slot, data in before.wordings.items() if state.reworded(data, names) == old]
        if not slots:
            raise NotFoundError(f"ticket {number} has no such rewording any more: nothing was written")
        _change_wording(session, before, "unreword", slots[0], before.wordings[slots[0]], None, by)


def _slot(session: Session, before: TicketState, new: Rewording) -> int:
    names = state.people(session.db)
    for slot, data in before.wordings.items():
        if state.reworded(data, names).sentence == new.sentence:
            return slot
    return max(before.wordings, default=0) + 1


def _change_wording(
    session: Session, before: TicketState, verb: str, slot: int, old: Json | None, new: Json | None, by: str
) -> None:
    change = FieldChange(f"{WORDING}{slot}", old, new)
    session.act(before, verb, {"changes": [change.document("")]}, by)
