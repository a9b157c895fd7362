"""Tickets opened, entries born, tickets signed, amended and loaded."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from ticket.job.codec import Json, instant
from ticket.job.entry import CONCERN_LETTERS, Entry
from ticket.job.errors import ConflictError, InputError, SealedError
from ticket.job.kinds import Fact, Says
from ticket.job.picture import Picture
from ticket.job.text import clean
from ticket.job.ticket import Header, Ticket
from ticket.job.wall import FIRST_DAY, LAST_DAY, in_bounds
from ticket.store import index, pictures, state, stored
from ticket.store.session import Session
from ticket.store.state import TicketState
from ticket.store.words import Words

EPOCH = date(1970, 1, 1)
DAY_BITS = 17  # 131,072 tickets a day
_LARGEST = 2**53  # every reader of JSON keeps whole numbers below it exact


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


class Adding(Session):
    """The verbs that add to the shop's record."""

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
                "opened": as_instant(opened),
                "header": stored.mark_header(stored.store_header(header, self._identify)),
            }
            self._act(None, "ticket.open", body, by, ticket=self._new_id(opened))
        return number

    def _free_number(self, number: int | None) -> int:
        if number is None:
            number = int(self._db.execute("SELECT coalesce(max(number), 0) + 1 FROM ticket").fetchone()[0])
        if not 0 < number < _LARGEST:
            raise InputError(f"{number} cannot be a ticket's number")
        if self._db.execute("SELECT 1 FROM ticket WHERE number = ?", [number]).fetchone():
            raise ConflictError(f"there is a ticket {number} already")
        return number

    def _new_id(self, opened: datetime) -> int:
        first = day_id(opened.date())
        last = first + (1 << DAY_BITS) - 1
        row = self._db.execute("SELECT max(id) FROM ticket WHERE id BETWEEN ? AND ?", [first, last]).fetchone()
        taken: int = first if row[0] is None else row[0]
        if taken == last:
            raise ConflictError(f"no more tickets can be opened on {opened.date()}")
        return taken + 1

    def add(
        self, number: int, births: Sequence[Birth], by: str, held: Sequence[Picture] = ()
    ) -> tuple[Entry, ...]:  # fmt: skip
        """Add entries as one action, with the pictures they name; they get the next numbers.

        Raises:
            NotFoundError: no such ticket.
            SealedError: it is signed.
            InputError: a fact breaks its declaration, a concern is no letter, a picture is not there.
        """
        if any(birth.replaces for birth in births):
            raise InputError("only an amendment replaces an entry: change the entry itself")
        return self._bear(number, births, by, "add", {}, held)

    def amend(
        self, number: int, births: Sequence[Birth], reason: str, by: str, held: Sequence[Picture] = ()
    ) -> tuple[Entry, ...]:  # fmt: skip
        """Add entries to a signed ticket, openly: they say what they replace and why, and are sealed at once.

        Raises:
            ConflictError: the ticket is not signed, or an entry to replace is not there.
        """
        reason = clean(reason).strip()
        if not reason:
            raise InputError("an amendment needs a reason")
        return self._bear(number, births, by, "amend", {"reason": Words(reason)}, held)

    def _bear(
        self, number: int, births: Sequence[Birth], by: str, verb: str, body: Json, held: Sequence[Picture]
    ) -> tuple[Entry, ...]:  # fmt: skip
        facts = [stored.tidy(birth.fact) for birth in births]
        if not facts:
            return ()
        with self._writing() as db:
            before = state.load(db, number)
            if before.signed and verb == "add":
                raise SealedError(f"ticket {number} is signed: amend it instead")
            if not before.signed and verb == "amend":
                raise ConflictError(f"ticket {number} is not signed: change it directly")
            wanted = [birth.replaces for birth in births if birth.replaces]
            if missing := [no for no in wanted if no not in before.entries or before.entries[no].struck]:
                raise ConflictError(f"ticket {number} has no entry {missing[0]} to replace")
            pictures.keep(db, held)
            pictures.check(db, facts)
            body["births"] = self._births(before, births, facts)
            after, _ = self._act(before, verb, body, by, sealed=verb == "amend")
            born = {birth["no"]: after.entries[birth["no"]] for birth in body["births"]}
            return self._assembled(replace(after, entries=born)).entries

    def _births(self, before: TicketState, births: Sequence[Birth], facts: Sequence[Fact]) -> list[Json]:
        documents: list[Json] = []
        last = max(before.entries, default=0)
        used = [entry.concern for entry in before.entries.values()]
        opened = ""
        for birth, fact in zip(births, facts, strict=True):
            last = _next_no(birth.no, last)
            letter = as_concern(birth.concern)
            if not letter and isinstance(fact, Says):
                opened = _next_letter(used)
            used.append(letter or opened)
            documents.append(self._birth(birth, fact, last, letter or opened))
        return documents

    def _birth(self, birth: Birth, fact: Fact, no: int, concern: str) -> Json:
        document: Json = {
            "no": no,
            "kind": fact.kind,
            "at": as_instant(birth.at or self._now()),
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
            gaps = [{"gap": clean(gap), "reason": Words(clean(why))} for gap, why in sorted((overruled or {}).items())]
            after, _ = self._act(before, "sign", {"rev": rev, "overruled": gaps}, by, sealed=True)
            return after.seal

    def load(
        self, tickets: Sequence[Ticket], by: str, source: str, held: Sequence[Picture] = ()
    ) -> tuple[int, ...]:  # fmt: skip
        """Take whole tickets in; ``held`` are the pictures their entries name, else as :meth:`take_in`."""
        return self.take_in(((ticket, held if i == 0 else ()) for i, ticket in enumerate(tickets)), by, source)

    def take_in(
        self, arrived: Iterable[tuple[Ticket, Sequence[Picture]]], by: str, source: str
    ) -> tuple[int, ...]:  # fmt: skip
        """Take whole tickets in, all or none, with their numbers; signed ones are sealed again by this shop.

        Args:
            arrived: each as read from its document, with the pictures its entries name, as far as they are not here;
                they are asked for one by one, so that any number of them needs little memory.
            by: who loads them.
            source: where they come from, such as a file name.

        Raises:
            ConflictError: a number is taken, here or twice among the given.
            InputError: a number or a time cannot be stored.
        """
        words: dict[int, tuple[str, ...]] = {}
        numbers = []
        with self._writing() as db:
            for ticket, held in arrived:
                pictures.keep(db, held)
                pictures.check(db, [entry.fact for entry in ticket.entries])
                self._free_number(ticket.number)
                new = self._new_id(ticket.opened)
                after, _ = self._act(None, "shop.load", self._loaded(ticket, by, source), by, ticket=new)
                words[new] = index.word_row(self._assembled(after), self._indexer)
                numbers.append(ticket.number)
            index.write_new_words(db, words)
        return tuple(numbers)

    def _loaded(self, ticket: Ticket, by: str, source: str) -> Json:
        if not 0 < ticket.rev < _LARGEST:
            raise InputError(f"ticket {ticket.number}: {ticket.rev} cannot be its revision")
        header = stored.store_header(stored.tidy_header(ticket.header), self._identify)
        body: Json = {
            "source": Words(clean(source)), "number": ticket.number, "opened": as_instant(ticket.opened),
            "header": stored.mark_header(header), "status": ticket.status, "rev": ticket.rev,
            "births": [self._loaded_entry(ticket.number, entry) for entry in ticket.entries],
        }  # fmt: skip
        if ticket.rewordings:
            held = [stored.store_wording(one, self._person(one.by)) for one in ticket.rewordings]
            body["rewordings"] = [stored.mark_wording(one) for one in held]
        if ticket.status == "signed":
            body |= {
                "closed": as_instant(ticket.closed or self._now()),
                "signed_by": self._person(ticket.signed_by or by),
            }
            if ticket.elsewhere:
                body |= {"was": clean(ticket.elsewhere.seal), "fits": ticket.elsewhere.fits}
        return body

    def _loaded_entry(self, number: int, entry: Entry) -> Json:
        if not 0 < entry.no < _LARGEST:
            raise InputError(f"ticket {number}: {entry.no} cannot be the number of an entry")
        if entry.replaces is not None and not 0 < entry.replaces < _LARGEST:
            raise InputError(f"ticket {number}: entry {entry.no} cannot replace {entry.replaces}")
        plain = Birth(entry.fact, as_concern(entry.concern), entry.shop_only, entry.replaces, at=entry.at)
        document = self._birth(plain, stored.tidy(entry.fact), entry.no, plain.concern)
        document["person"] = self._person(entry.person)
        document |= {name: True for name in ("struck", "amended") if getattr(entry, name)}
        return document | ({"reason": Words(clean(entry.reason))} if entry.reason else {})


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


def _next_letter(used: Sequence[str]) -> str:
    """The letter behind the last one used; none where the alphabet is used up."""
    last = max((letter for letters in used for letter in letters.split("+")), default="")
    return next((letter for letter in CONCERN_LETTERS if letter > last), "")


def _next_no(wanted: int | None, last: int) -> int:
    if wanted is None:
        return last + 1
    if not last < wanted < _LARGEST:
        raise ConflictError(f"entry numbers rise: {wanted} cannot follow {last}")
    return wanted
