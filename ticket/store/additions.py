"""Tickets opened, entries born, tickets signed and amended."""

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from ticket.job.codec import Json, instant
from ticket.job.entry import CONCERN_LETTERS, Entry, next_letter
from ticket.job.errors import ConflictError, InputError, SealedError
from ticket.job.kinds import Fact, Says
from ticket.job.picture import Picture
from ticket.job.text import clean
from ticket.job.ticket import Header
from ticket.job.wall import FIRST_DAY, LAST_DAY, in_bounds
from ticket.store import picture_rows, state, stored_values
from ticket.store.erasable import Words
from ticket.store.sealing import PLAIN, Signing
from ticket.store.session import Session
from ticket.store.state import TicketState
from ticket.store.stored_values import Identify

EPOCH = date(1970, 1, 1)
DAY_BITS = 17  # 131,072 tickets a day
LARGEST = 2**53
"""Every reader of JSON keeps whole numbers below it exact."""


@dataclass(frozen=True, slots=True)
class NewEntry:
    """An entry about to be added.

    Attributes:
        concern: letter or letters; where empty, a complaint opens the next letter, and what follows it in the same
            call belongs to that concern. Everything else stays without.
        replaces: number of the entry an amendment stands in for.
        raw: the line as typed, kept with the journal row.
        at: when it was typed, with a zone; now where not given.
        no: its number; the next one where not given.
    """

    fact: Fact
    concern: str = ""
    shop_only: bool = False
    replaces: int | None = None
    raw: str = ""
    at: datetime | None = None
    no: int | None = None


def open_ticket(
    session: Session, header: Header, by: str, *, number: int | None = None, opened: datetime | None = None
) -> int:
    """Open a ticket and give its number."""
    header = stored_values.tidy_header(header)
    opened = opened or session.now()
    with session.writing():
        number = free_number(session, number)
        body: Json = {
            "number": number,
            "opened": as_instant(opened),
            "header": stored_values.mark_header(stored_values.store_header(header, session.identify)),
        }
        session.act(None, "ticket.open", body, by, ticket=_new_id(session, opened))
    return number


def free_number(session: Session, number: int | None, taken: Container[int] = ()) -> int:
    """A number for a new ticket: the one asked for, or the next. Raises :class:`ConflictError`: it is taken."""
    if number is None:
        # A number that was lost when a copy was put back may stand on a paper: it is never given again.
        number = int(
            session.db.execute(
                "SELECT max((SELECT coalesce(max(number), 0) + 1 FROM ticket), (SELECT coalesce(max(json_extract(body,"
                " '$.next')), 1) FROM journal WHERE ticket_id IS NULL AND verb = 'shop.restore'))"
            ).fetchone()[0]
        )
    if not 0 < number < LARGEST:
        raise InputError(f"{number} cannot be a ticket's number")
    if number in taken or session.db.execute("SELECT 1 FROM ticket WHERE number = ?", [number]).fetchone():
        raise ConflictError(f"there is a ticket {number} already")
    return number


def _new_id(session: Session, opened: datetime) -> int:
    first = day_id(opened.date())
    return next_key(first, last_key(session, first))


def last_key(session: Session, first: int) -> int:
    """The last key of a day that is taken; ``first`` is its lowest."""
    row = session.db.execute("SELECT max(id) FROM ticket WHERE id BETWEEN ? AND ?", [first, _end(first)]).fetchone()
    return first if row[0] is None else int(row[0])


def next_key(first: int, last: int) -> int:
    """The key behind the last one of a day. Raises :class:`ConflictError` where the day has no more."""
    if last == _end(first):
        raise ConflictError(f"no more tickets can be opened on {EPOCH + timedelta(first >> DAY_BITS)}")
    return last + 1


def _end(first: int) -> int:
    return first + (1 << DAY_BITS) - 1


def add_entries(
    session: Session, number: int, births: Sequence[NewEntry], by: str, held: Sequence[Picture] = ()
) -> tuple[Entry, ...]:
    """Add entries as one action, with the pictures they name; they get the next numbers."""
    if any(birth.replaces for birth in births):
        raise InputError("only an amendment replaces an entry: change the entry itself")
    return _bear(session, number, births, by, "add", {}, held)


def amend_ticket(
    session: Session,
    number: int,
    births: Sequence[NewEntry],
    reason: str,
    by: str,
    held: Sequence[Picture] = (),
    signing: Signing = PLAIN,
) -> tuple[Entry, ...]:
    """Add entries to a signed ticket, openly: they say what they replace and why, and are sealed at once."""
    reason = clean(reason).strip()
    if not reason:
        raise InputError("an amendment needs a reason")
    return _bear(session, number, births, by, "amend", {"reason": Words(reason)}, held, signing)


def _bear(
    session: Session,
    number: int,
    births: Sequence[NewEntry],
    by: str,
    verb: str,
    body: Json,
    held: Sequence[Picture],
    signing: Signing = PLAIN,
) -> tuple[Entry, ...]:
    facts = [stored_values.tidy(birth.fact) for birth in births]
    if not facts:
        return ()
    with session.writing() as db:
        before = state.load(db, number)
        if before.signed and verb == "add":
            raise SealedError(f"ticket {number} is signed: amend it instead")
        if not before.signed and verb == "amend":
            raise ConflictError(f"ticket {number} is not signed: change it directly")
        wanted = [birth.replaces for birth in births if birth.replaces]
        if missing := [no for no in wanted if no not in before.entries or before.entries[no].struck]:
            raise ConflictError(f"ticket {number} has no entry {missing[0]} to replace")
        picture_rows.keep(db, held)
        picture_rows.check(db, facts)
        body["births"] = _births(session, before, births, facts)
        after, _ = session.act(before, verb, body, by, sealed=verb == "amend", signing=signing)
        born = {birth["no"]: after.entries[birth["no"]] for birth in body["births"]}
        return session.assembled(replace(after, entries=born)).entries


def _births(session: Session, before: TicketState, births: Sequence[NewEntry], facts: Sequence[Fact]) -> list[Json]:
    documents: list[Json] = []
    last = max(before.entries, default=0)
    used = [entry.concern for entry in before.entries.values() if entry.kind == Says.kind]
    opened = ""
    for birth, fact in zip(births, facts, strict=True):
        last = _next_no(birth.no, last)
        letter = as_concern(birth.concern)
        if not letter and isinstance(fact, Says):
            opened = next_letter(used)
        used += [letter or opened] * isinstance(fact, Says)
        at = birth.at or session.now()
        documents.append(birth_of(session.identify, birth, fact, last, letter or opened, at))
    return documents


def birth_of(identify: Identify, birth: NewEntry, fact: Fact, no: int, concern: str, at: datetime) -> Json:
    """An entry as the journal row that brings it holds it."""
    document: Json = {
        "no": no,
        "kind": fact.kind,
        "at": as_instant(at),
        "fact": stored_values.mark_fact(fact.kind, stored_values.store_fact(fact, identify)),
    }
    optional = {"concern": concern, "shop_only": birth.shop_only, "replaces": birth.replaces}
    document |= {name: value for name, value in optional.items() if value}
    return document | ({"raw": Words(clean(birth.raw))} if birth.raw else {})


def sign_ticket(
    session: Session,
    number: int,
    rev: int,
    by: str,
    overruled: Mapping[str, str] | None = None,
    signing: Signing = PLAIN,
) -> str:
    """Close a ticket for good."""
    with session.writing() as db:
        before = state.load(db, number)
        if before.signed:
            raise SealedError(f"ticket {number} is signed already")
        if before.rev != rev:
            raise ConflictError(f"ticket {number} changed while you read it: read it again, then sign")
        gaps = [{"gap": clean(gap), "reason": Words(clean(why))} for gap, why in sorted((overruled or {}).items())]
        after, _ = session.act(before, "sign", {"rev": rev, "overruled": gaps}, by, sealed=True, signing=signing)
        return after.seal


def day_id(day: date) -> int:
    """The lowest internal id of a day; ids grow with the day a ticket was opened. Days before 1970 share the first."""
    return max(0, (day - EPOCH).days) << DAY_BITS


def as_instant(at: datetime) -> str:
    """A time as stored. Raises :class:`~ticket.job.errors.InputError` where that cannot be."""
    if at.tzinfo is None or not in_bounds(at):
        raise InputError(f"{at} cannot be used as a time: it needs a zone and a day from {FIRST_DAY} to {LAST_DAY}")
    return instant(at)


def as_concern(typed: str) -> str:
    """Letters of concerns in their order. Raises :class:`~ticket.job.errors.InputError` for anything else."""
    letters = typed.split("+") if typed else []
    if any(len(letter) != 1 or letter not in CONCERN_LETTERS for letter in letters):
        raise InputError(f"{typed!r} is no concern: a letter from A to Z without I and O, or several joined by +")
    return "+".join(sorted(set(letters)))


def _next_no(wanted: int | None, last: int) -> int:
    if wanted is None:
        return last + 1
    if not last < wanted < LARGEST:
        raise ConflictError(f"entry numbers rise: {wanted} cannot follow {last}")
    return wanted
