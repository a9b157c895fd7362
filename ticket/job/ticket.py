"""The ticket: a header and an ordered list of entries."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from typing import TypeVar

from ticket.job.entry import Entry, refs_of
from ticket.job.kinds import Says
from ticket.job.reworded_sentence import Rewording
from ticket.job.roles import OWNER, ROLES
from ticket.job.values import PAYERS, SUMS_TOLD, Quantity

STATUSES = ("open", "waiting for approval", "waiting for parts", "ready", "signed")
PROOFS = ("", "verified", "unverified")
FITS = ("yes", "no", "unknown")
DISTANCE_UNITS = ("mi", "km")
METRES = {"mi": 1609.344, "km": 1000.0}
"""Of one distance unit; the mile is the international one of 1959."""
ODOMETER_UNITS = (*DISTANCE_UNITS, "h")  # machines count running hours
ROLLED_OVER = "rolled over"
ODOMETER_REASONS = ("replaced instrument", ROLLED_OVER, "not actual")
"""Why a reading may lawfully be lower than the last: another instrument, past what it can show, or known to be wrong.

49 CFR 580 knows the same three states beside the actual one (from memory).
"""

Key = TypeVar("Key")


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works in the shop; never a customer."""

    name: str
    role: str = field(default="technician", metadata={"choices": ROLES})

    @property
    def repairs(self) -> bool:
        """Whether this person may work on vehicles: an owner may, in a small shop."""
        return self.role in ("technician", OWNER)


@dataclass(frozen=True, slots=True)
class Vehicle:
    """The vehicle: what people call it, its identification number and its plate, as typed."""

    label: str = ""
    vin: str = ""
    plate: str = ""

    @property
    def name(self) -> str:
        """The shortest words that tell which vehicle is meant; empty when nothing is known."""
        return self.label or self.plate or self.vin


@dataclass(frozen=True, slots=True)
class Customer:
    """Who brought the vehicle. Kept in a table of its own, so that it can be erased one day."""

    name: str = ""
    phone: str = ""
    email: str = ""
    address: str = ""


@dataclass(frozen=True, slots=True)
class Discount:
    """What is taken off the customer's lines before tax.

    Attributes:
        amount: a sum, as typed.
        percent: instead of a sum, per cent of the lines.
        of: the classes of line it is taken of; empty for all but cores and fees.
        reason: why, in the shop's words.
    """

    amount: str = ""
    percent: str = ""
    of: tuple[str, ...] = ()
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Cover:
    """A payer beside the customer: its name, what the customer bears of the covered total first, its approval."""

    name: str = ""
    deductible: str = ""
    approval: str = ""


@dataclass(frozen=True, slots=True)
class Header:
    """What is known about a ticket before its first entry; every part may be missing.

    Attributes:
        odometer_in: reading at arrival, in the gauge's own unit (``mi``, ``km``, or ``h`` for running hours).
        odometer_out: reading at the return of the vehicle.
        odometer_reason: why the reading does not follow from the ones before, where it lawfully does not.
        ready_by: what was promised, in the shop's own words.
        discount: what is taken off the customer's lines.
        tax_place: where the tax is owed, as the price list names the place; empty for the shop's own.
        warranty: who pays lines marked ``pay warranty``.
        contract: who pays lines marked ``pay contract``.
        sums_told: whether sums told about this job hold the tax; empty for as the price list says.
        pays: who pays what is typed from now on and names nobody.
    """

    vehicle: Vehicle = Vehicle()
    customer: Customer = Customer()
    odometer_in: Quantity | None = None
    odometer_out: Quantity | None = None
    odometer_reason: str = field(default="", metadata={"choices": ODOMETER_REASONS})
    ready_by: str = ""
    discount: Discount = Discount()
    tax_place: str = ""
    warranty: Cover = Cover()
    contract: Cover = Cover()
    sums_told: str = field(default="", metadata={"choices": SUMS_TOLD})
    pays: str = field(default=PAYERS[0], metadata={"choices": PAYERS})


@dataclass(frozen=True, slots=True)
class Correction:
    """Header fields that were found wrong after the ticket was signed: what stood there, and what stands there now.

    Attributes:
        was: nothing but the corrected fields, as they were signed.
        now: the same fields as they stand since; a field that was emptied is missing.
        person: who corrected them.
        at: when; carries a zone.
        reason: why, in that person's words.
    """

    was: Header
    now: Header
    person: str
    at: datetime
    reason: str


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """A signature that was not given in this shop: the ticket came as a document.

    Attributes:
        seal: the seal it came with; only the shop that gave it can prove it.
        fits: whether the document still held what it held when it was written out: ``yes``, ``no``, or ``unknown``
            where it carried no digest. Who changes a document on purpose can make a new digest too.
        proof: ``verified`` where a signature of a shop known here proved it, ``unverified`` where nobody here can;
            empty for tickets that were loaded before that was asked.
    """

    seal: str
    fits: str = field(default="unknown", metadata={"choices": FITS})
    proof: str = field(default="", metadata={"choices": PROOFS})

    @property
    def words(self) -> str:
        """Both in one phrase."""
        if self.proof == "verified":
            return f"signed elsewhere, seal {self.seal}; its signature was proved"
        if self.proof == "unverified":
            seal = f", seal {self.seal}" if self.seal else ""
            return f"signed elsewhere, as its document says{seal}; nobody here can prove that"
        told = {"yes": "its document was whole", "no": "its document was changed after it was written out"}
        unknown = "its document cannot tell whether it was changed"
        return f"signed elsewhere, seal {self.seal}; {told.get(self.fits, unknown)}"


@dataclass(frozen=True)  # without slots: what is asked of the entries again and again is worked out once and kept
class Ticket:
    """A whole ticket as it stands.

    Attributes:
        number: what people type; given once.
        opened: when it was opened; carries a zone.
        closed: when it was signed.
        signed_by: who signed it.
        seal: ``sequence-hex16`` of the journal row that signed it; empty before.
        rev: rises with every change; a signer states the one that was read.
        entries: in the order of their numbers, struck ones included.
        rewordings: sentences of its stories in somebody's own words, outdated ones included.
        elsewhere: what it was signed with before it was loaded here.
        corrections: what was found wrong in its header after it was signed, in the order of time.
    """

    number: int
    opened: datetime
    status: str = field(default="open", metadata={"choices": STATUSES})
    header: Header = Header()
    entries: tuple[Entry, ...] = ()
    closed: datetime | None = None
    signed_by: str = ""
    seal: str = ""
    rev: int = 1
    rewordings: tuple[Rewording, ...] = ()
    elsewhere: Elsewhere | None = None
    corrections: tuple[Correction, ...] = ()

    @cached_property
    def living(self) -> tuple[Entry, ...]:
        """The entries that count: neither struck nor replaced by a living amendment."""
        replaced = {entry.replaces for entry in self.entries if entry.replaces and not entry.struck}
        return tuple(entry for entry in self.entries if not entry.struck and entry.no not in replaced)

    def entry(self, no: int) -> Entry | None:
        """The entry with that number, or ``None``."""
        return self._numbered.get(no)

    def of_kind(self, kind: type[object]) -> tuple[Entry, ...]:
        """The living entries of one kind."""
        return self._kinds.get(kind, ())

    def pointing_at(self, no: int) -> tuple[Entry, ...]:
        """The living entries that refer to an entry of this ticket by its number."""
        return self._pointing.get(no, ())

    def sharing(self, concern: str) -> tuple[Entry, ...]:
        """The living entries that have to do with a concern such as ``A`` or ``A+C``, those of no concern among them.

        All of them where no concern is given, or where there are not several complaints to keep apart.
        """
        if not concern or len(self.of_kind(Says)) < 2:
            return self.living
        if concern not in self._sharing:
            letters = set(concern.split("+"))
            mine = (entry for entry in self.living if not entry.concern or letters.intersection(entry.concerns))
            self._sharing[concern] = tuple(mine)
        return self._sharing[concern]

    @cached_property
    def _numbered(self) -> dict[int, Entry]:
        return {entry.no: entry for entry in reversed(self.entries)}

    @cached_property
    def _kinds(self) -> dict[type[object], tuple[Entry, ...]]:
        return _grouped((type(entry.fact), entry) for entry in self.living)

    @cached_property
    def _pointing(self) -> dict[int, tuple[Entry, ...]]:
        numbers = ((entry, {ref.no for _, ref in refs_of(entry.fact) if not ref.ticket}) for entry in self.living)
        return _grouped((no, entry) for entry, mine in numbers for no in mine)

    @cached_property
    def _sharing(self) -> dict[str, tuple[Entry, ...]]:
        return {}


def _grouped(pairs: Iterable[tuple[Key, Entry]]) -> dict[Key, tuple[Entry, ...]]:
    groups: dict[Key, list[Entry]] = {}
    for key, entry in pairs:
        groups.setdefault(key, []).append(entry)
    return {key: tuple(entries) for key, entries in groups.items()}
