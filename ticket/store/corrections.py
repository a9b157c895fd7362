"""Header fields put right after the signature: an amendment that keeps what was signed beside what is right."""

from ticket.job.codec import Json, encode
from ticket.job.errors import ConflictError, InputError
from ticket.job.text import clean
from ticket.job.ticket import Correction, Header
from ticket.store import state, stored_values
from ticket.store.erasable import Words
from ticket.store.sealing import PLAIN, Signing
from ticket.store.session import Session
from ticket.store.state import TicketState
from ticket.store.transition import CORRECTED


def correct_header(
    session: Session, number: int, new: Header, reason: str, by: str, signing: Signing = PLAIN
) -> Correction:  # fmt: skip
    """Put right what was signed wrong in a header, openly: old and new values are kept, and it is sealed at once."""
    new, reason = stored_values.tidy_header(new), clean(reason).strip()
    if not reason:
        raise InputError("an amendment needs a reason")
    with session.writing() as db:
        before = state.load(db, number)
        if not before.signed:
            raise ConflictError(f"ticket {number} is not signed: change it directly")
        was, now = _differing(session, before, new)
        if not (was or now):
            raise ConflictError(f"ticket {number}: its header says that already: nothing was written")
        sides = {"was": stored_values.mark_header(was), "now": stored_values.mark_header(now)}
        after, _ = session.act(
            before, "amend", {"reason": Words(reason), CORRECTED: sides}, by, sealed=True, signing=signing
        )
        return session.assembled(after).corrections[-1]


def _differing(session: Session, before: TicketState, new: Header) -> tuple[Json, Json]:
    """The fields that change, before and after, as stored. Raises :class:`InputError` for one that may not."""
    old_values, new_values = encode(session.assembled(before).header), encode(new)
    was: Json = {}
    now: Json = {}
    for field in stored_values.HEADER_FIELDS:
        value = stored_values.get(new_values, field)
        if value == stored_values.get(old_values, field):
            continue
        if field not in stored_values.CORRECTABLE:
            name = field.replace("/", " ").replace("_", " ")
            raise InputError(
                f"ticket {before.number} is signed: {name} stays as it was signed, for sums and promises hang on it;"
                " vehicle, customer and odometer can be corrected, and a sum by an entry"
            )
        if value is not None and stored_values.is_private(field):
            value = session.identify(field.replace("/", "."), value)
        stored_values.put(was, field, stored_values.get(before.header, field))
        stored_values.put(now, field, value)
    return was, now
