"""The shop's database: every action is one transaction that holds its journal row and the state it leads to."""

import secrets
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Self

from ticket import __version__
from ticket.job.codec import Json, instant
from ticket.job.entry import CONCERN_LETTERS, Entry
from ticket.job.errors import ConflictError, InputError, SealedError
from ticket.job.kinds import Fact, Says
from ticket.job.text import clean
from ticket.job.ticket import Header, Person, Ticket
from ticket.store import audit, light, state, stored
from ticket.store.driver import plain_errors
from ticket.store.indexing import Indexer
from ticket.store.session import Session
from ticket.store.state import TicketState
from ticket.store.words import Words

_EPOCH = date(1970, 1, 1)
_DAY_BITS = 17  # 131,072 tickets a day
_LARGEST = 2**53  # the largest number every reader of JSON keeps exact


@dataclass(frozen=True, slots=True)
class Birth:
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


class Store(Session):
    """One shop's tickets. Every method that changes something is one durable action, or raises and changes nothing.

    Besides what each method names, all raise :class:`~ticket.job.errors.StoreError` when the file cannot be used.
    ``by`` is the name of who does it, added to the shop's people when new.
    """

    @classmethod
    def open(
        cls, path: Path, *, indexer: Indexer, now: Callable[[], datetime],
        token_bytes: Callable[[int], bytes] = secrets.token_bytes, create: bool = True, version: str = __version__,
    ) -> Self:  # fmt: skip
        """Open a database, make it where there is none, and bring it up to date where it is older.

        Args:
            path: the file; its folder is made too.
            indexer: computes what makes an entry quick to find.
            now: the clock; its times carry a zone.
            token_bytes: where salts and the name of the sitting come from.
            create: whether a missing file is made.
            version: the program's version; the views are remade when it differs.
        """
        return cls._open(path, indexer=indexer, now=now, token_bytes=token_bytes, create=create, version=version)

    # --- reading ---

    def data_version(self) -> int:
        """A number that differs once another connection has written."""
        with plain_errors(self.path):
            return int(self._db.execute("PRAGMA data_version").fetchone()[0])

    def ticket(self, number: int) -> Ticket:
        """The whole ticket. Raises :class:`~ticket.job.errors.NotFoundError`."""
        with self._reading() as db:
            return self._assembled(state.load(db, number))

    def numbers(self) -> list[int]:
        """Every ticket's number, rising."""
        with self._reading() as db:
            return [row[0] for row in db.execute("SELECT number FROM ticket ORDER BY number").fetchall()]

    def rows(self, *, signed: bool | None = None) -> list[light.TicketRow]:
        """The list of tickets, newest first."""
        with self._reading() as db:
            return light.read_rows(db.conn, signed)

    def people(self) -> tuple[Person, ...]:
        """Who works here, in the order they came."""
        with self._reading() as db:
            return tuple(Person(*row) for row in db.execute("SELECT name, role FROM person ORDER BY id").fetchall())

    # --- doing ---

    def open_ticket(
        self, header: Header, by: str, *, number: int | None = None, opened: datetime | None = None
    ) -> int:  # fmt: skip
        """Open a ticket and give its number.

        Args:
            header: what is known so far.
            by: who opens it.
            number: what people will type; the next free one where not given.
            opened: when, in the shop's own zone: its calendar day there sorts the ticket. Now where not given.

        Raises:
            ConflictError: the number is taken.
        """
        header = stored.tidy_header(header)
        opened = opened or self._now()
        with self._writing():
            number = self._free_number(number)
            body: Json = {
                "number": number,
                "opened": _instant(opened),
                "header": stored.mark_header(stored.store_header(header, self._identify)),
            }
            self._act(None, "ticket.open", body, by, ticket=self._new_id(opened))
        return number

    def _free_number(self, number: int | None) -> int:
        if number is None:
            return int(self._db.execute("SELECT coalesce(max(number), 0) + 1 FROM ticket").fetchone()[0])
        if not 0 < number < _LARGEST:
            raise InputError(f"{number} cannot be a ticket's number")
        if self._db.execute("SELECT 1 FROM ticket WHERE number = ?", [number]).fetchone():
            raise ConflictError(f"there is a ticket {number} already")
        return number

    def _new_id(self, opened: datetime) -> int:
        first = max(0, (opened.date() - _EPOCH).days) << _DAY_BITS
        last = first + (1 << _DAY_BITS) - 1
        row = self._db.execute("SELECT max(id) FROM ticket WHERE id BETWEEN ? AND ?", [first, last]).fetchone()
        taken: int = first if row[0] is None else row[0]
        if taken == last:
            raise ConflictError(f"no more tickets can be opened on {opened.date()}")
        return taken + 1

    def add(self, number: int, births: Sequence[Birth], by: str) -> tuple[Entry, ...]:
        """Add entries as one action; they get the next numbers.

        Raises:
            NotFoundError: no such ticket.
            SealedError: it is signed.
            InputError: a fact breaks its declaration, a concern is no letter.
        """
        if any(birth.replaces for birth in births):
            raise InputError("only an amendment replaces an entry: change the entry itself")
        return self._bear(number, births, by, "add", {})

    def amend(self, number: int, births: Sequence[Birth], reason: str, by: str) -> tuple[Entry, ...]:
        """Add entries to a signed ticket, openly: they say what they replace and why, and are sealed at once.

        Raises:
            ConflictError: the ticket is not signed, or an entry to replace is not there.
        """
        reason = clean(reason).strip()
        if not reason:
            raise InputError("an amendment needs a reason")
        return self._bear(number, births, by, "amend", {"reason": Words(reason)})

    def _bear(self, number: int, births: Sequence[Birth], by: str, verb: str, body: Json) -> tuple[Entry, ...]:
        facts = [stored.tidy(birth.fact) for birth in births]
        if not facts:
            return ()
        with self._writing() as db:
            before = state.load(db, number)
            if before.signed and verb == "add":
                raise SealedError(f"ticket {number} is signed: amend it instead")
            if missing := [
                birth.replaces for birth in births if birth.replaces and birth.replaces not in before.entries
            ]:
                raise ConflictError(f"ticket {number} has no entry {missing[0]} to replace")
            body["births"] = self._birth_documents(before, births, facts)
            after, _ = self._act(before, verb, body, by, sealed=verb == "amend")
            numbers = {birth["no"] for birth in body["births"]}
            return tuple(entry for entry in self._assembled(after).entries if entry.no in numbers)

    def _birth_documents(self, before: TicketState, births: Sequence[Birth], facts: Sequence[Fact]) -> list[Json]:
        documents: list[Json] = []
        last = max(before.entries, default=0)
        used = {letter for entry in before.entries.values() for letter in entry.concern.split("+")}
        used |= {letter for birth in births for letter in birth.concern.split("+")}
        opened = ""
        for birth, fact in zip(births, facts, strict=True):
            last = _next_no(birth.no, last)
            concern = _concern(birth.concern)
            if not concern and isinstance(fact, Says):
                opened = next((letter for letter in CONCERN_LETTERS if letter > max(used) and letter not in used), "")
                used.add(opened)
            documents.append(self._birth_document(birth, fact, last, concern or opened))
        return documents

    def _birth_document(self, birth: Birth, fact: Fact, no: int, concern: str) -> Json:
        document: Json = {
            "no": no,
            "kind": fact.kind,
            "at": _instant(birth.at or self._now()),
            "fact": stored.mark_fact(fact.kind, stored.store_fact(fact, self._identify)),
        }
        optional = {"concern": concern, "shop_only": birth.shop_only, "replaces": birth.replaces}
        document |= {name: value for name, value in optional.items() if value}
        return document | ({"raw": Words(clean(birth.raw))} if birth.raw else {})

    def sign(self, number: int, rev: int, by: str, overruled: Mapping[str, str] | None = None) -> str:
        """Close a ticket for good.

        Args:
            number: the ticket.
            rev: the revision the signer has read.
            by: who signs.
            overruled: reasons by the id of each blocking gap that is overruled.

        Returns:
            The seal, ``sequence-hex16``, to print.

        Raises:
            ConflictError: it changed since it was read.
            SealedError: it is signed already.
        """
        with self._writing() as db:
            before = state.load(db, number)
            if before.signed:
                raise SealedError(f"ticket {number} is signed already")
            if before.rev != rev:
                raise ConflictError(f"ticket {number} changed while you read it: read it again, then sign")
            gaps = [{"gap": gap, "reason": Words(clean(why))} for gap, why in sorted((overruled or {}).items())]
            after, _ = self._act(before, "sign", {"rev": rev, "overruled": gaps}, by, sealed=True)
            return after.seal

    # --- proving ---

    def audit(self, *, deep: bool = False) -> audit.Audit:
        """Prove or disprove that nothing was altered; ``deep`` also replays the journal and compares the tables."""
        with self._reading() as db:
            return audit.audit(db, deep=deep)


def _instant(at: datetime) -> str:
    try:
        return instant(at)
    except (ValueError, OverflowError):
        raise InputError(f"{at} cannot be used as a time: it needs a zone and a common year") from None


def _next_no(wanted: int | None, last: int) -> int:
    if wanted is None:
        return last + 1
    if not last < wanted < _LARGEST:
        raise ConflictError(f"entry numbers rise: {wanted} cannot follow {last}")
    return wanted


def _concern(typed: str) -> str:
    letters = typed.split("+") if typed else []
    if any(len(letter) != 1 or letter not in CONCERN_LETTERS for letter in letters):
        raise InputError(f"{typed!r} is no concern: a letter from A to Z without I and O, or several joined by +")
    return "+".join(sorted(set(letters)))
