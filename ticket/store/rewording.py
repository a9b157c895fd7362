"""Sentences of a story reworded, and rewordings taken back."""

from ticket.job.codec import Json
from ticket.job.errors import ConflictError, NotFoundError, SealedError
from ticket.job.rewording import Rewording
from ticket.store import state, stored
from ticket.store.session import Session
from ticket.store.state import TicketState
from ticket.store.step import WORDING, Change


class Rewordings(Session):
    """The verbs about the writer's own words. Whether the words are true is judged by whoever calls them."""

    def reword(self, number: int, new: Rewording, by: str, *, expected: Rewording | None = None) -> Rewording:
        """Keep somebody's own words for one sentence.

        Args:
            number: the ticket.
            new: the words and the sentence they stand in for; who and when are put in here.
            by: who wrote them.
            expected: the rewording of that sentence which the writer has seen, ``None`` where there was none.

        Raises:
            ConflictError: somebody else reworded that sentence since; both wordings are shown.
            SealedError: the ticket is signed.
        """
        with self._writing() as db:
            before = state.load(db, number)
            if before.signed:
                raise SealedError(
                    f"ticket {number} is signed: its sentences stay as they were signed; amend it to correct a fact"
                )
            held = stored.store_wording(new, self._person(by)) | {"at": self._moment()}
            new = state.reworded(held, state.people(db))
            slot = self._slot(before, new)
            old = before.wordings.get(slot)
            found = state.reworded(old, state.people(db)) if old else None
            if found != expected:
                theirs = f"{found.by} made it “{found.text}”" if found else "its rewording was taken back"
                raise ConflictError(
                    f"ticket {number}: that sentence was changed meanwhile: {theirs}; yours was “{new.text}”: "
                    "nothing was written"
                )
            self._change_wording(before, "reword", slot, old, held, by)
            return new

    def unreword(self, number: int, old: Rewording, by: str) -> None:
        """Take a rewording back; the story's own sentence stands again.

        Raises:
            NotFoundError: there is no such rewording, or it was changed since.
            SealedError: the ticket is signed.
        """
        with self._writing() as db:
            before = state.load(db, number)
            if before.signed:
                raise SealedError(f"ticket {number} is signed: its sentences stay as they were signed")
            names = state.people(db)
            slots = [slot for slot, data in before.wordings.items() if state.reworded(data, names) == old]
            if not slots:
                raise NotFoundError(f"ticket {number} has no such rewording any more: nothing was written")
            self._change_wording(before, "unreword", slots[0], before.wordings[slots[0]], None, by)

    def _slot(self, before: TicketState, new: Rewording) -> int:
        names = state.people(self._db)
        for slot, data in before.wordings.items():
            if state.reworded(data, names).sentence == new.sentence:
                return slot
        return max(before.wordings, default=0) + 1

    def _change_wording(
        self, before: TicketState, verb: str, slot: int, old: Json | None, new: Json | None, by: str
    ) -> None:  # fmt: skip
        change = Change(f"{WORDING}{slot}", old, new)
        self._act(before, verb, {"changes": [change.document("")]}, by)
