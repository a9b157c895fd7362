"""Everything a rule or a sentence may look at, handed in by value: no clock, no database."""

from dataclasses import dataclass, field
from datetime import date

from ticket.job.book_entry import NO_ENTRIES, Phrasebook
from ticket.job.follow import FollowUp
from ticket.job.ticket import DISTANCE_UNITS, Person, Ticket
from ticket.job.values import Clock, Ref

DATE_STYLES = ("March 2, 2026", "2 March 2026")
PAPER_SIZES = ("Letter", "A4")
AS_TYPED = "as typed"
UNITS = (AS_TYPED, "US", "metric")


@dataclass(frozen=True, slots=True)
class Settings:
    """How one shop likes things; every field may be changed by ``ticket shop`` or on the settings screen.

    Attributes:
        shop: name printed on papers.
        currency: sign put before amounts; a story tells none until the shop chose one.
        distance: unit the shop's odometers and intervals are told in, ``mi`` or ``km``.
        dates: a sample of how dates are written.
        rates: labour rate classes a ``rate`` field may name.
        paper: size of the papers that are printed, ``Letter`` or ``A4``.
        comeback_days: an earlier ticket with the same code within so many days is a come-back.
        rules: identity of the local rules, such as ``US-FL``.
        language: of stories and papers, ``en`` or another with a catalogue.
        zone: name of the shop's time zone in the IANA database; empty for the machine's own.
        suggest: a command of the shop's own that is asked for wordings of notes; empty for none.
        photos: folder where new pictures are looked for, such as the one a phone copies them to; empty for none.
        pin_minutes: how long a PIN that was typed is good for at a terminal; 0 asks each time.
        lock_minutes: minutes without a key after which the screens of a shop with PINs are locked; 0 for never.
        witness: files elsewhere that each signed row of the journal is told to.
        copies: folder for a checked copy at the start of each day, and behind a comma how many are kept (14 without a
            number), such as ``/media/stick/copies, 14``; empty for none.
        units: measures typed in the other system are told in this one too, in brackets; ``as typed`` tells none.
        invoices: how invoices are numbered: the first number in braces, with as many figures as a number has at
            least, and ``{year}`` where each year begins anew, such as ``R-{year}-{0001}``.
        extras: folder of languages, rule packs, codes and a paper template of the shop's own; empty for none.
    """

    shop: str = ""
    currency: str = "$"
    distance: str = field(default="mi", metadata={"choices": DISTANCE_UNITS})
    dates: str = field(default=DATE_STYLES[0], metadata={"choices": DATE_STYLES})
    rates: tuple[str, ...] = ()
    paper: str = field(default=PAPER_SIZES[0], metadata={"choices": PAPER_SIZES})
    comeback_days: int = 90
    rules: str = "neutral"
    language: str = "en"
    zone: str = ""
    suggest: str = ""
    photos: str = ""
    units: str = field(default=AS_TYPED, metadata={"choices": UNITS})
    pin_minutes: int = 5
    lock_minutes: int = 10
    witness: tuple[str, ...] = ()
    copies: str = ""
    invoices: str = "{0001}"
    extras: str = ""


@dataclass(frozen=True, slots=True)
class Punch:
    """One span on the clock of one person, on the day it was typed; times as in :class:`ticket.job.values.Clock`."""

    person: str
    ticket: int
    entry: int
    day: date
    start: str
    end: str


@dataclass(frozen=True, slots=True)
class ClockEdit:
    """Clock times of a piece of labour that were changed after they were typed, and by whom."""

    entry: int
    before: tuple[Clock, ...]
    after: tuple[Clock, ...]
    person: str


@dataclass(frozen=True, slots=True)
class Met:
    """A phrase of this ticket that was met before: the entry it stands in here, and the newest entries that hold it."""

    no: int
    phrase: str
    entries: tuple[Ref, ...]


@dataclass(frozen=True, slots=True)
class Case:
    """A ticket with what surrounds it.

    Attributes:
        settings: how the shop likes things.
        today: the local day on which the question is asked.
        earlier: earlier tickets of the same vehicle, newest first.
        people: the staff.
        codes: the shop's own rows of the code table, as :mod:`ticket.faults.table` takes them.
        terms: the shop's own words for its customers: a term, and what it means in plain words.
        punches: clock times of the same days on other tickets.
        clock_edits: changed clock times of this ticket, oldest first.
        on_call: the customer is on the line, and is not told that nothing was heard from them yet.
        before_tax: totals named to customers leave the tax out.
        bare_sums: nobody at the shop chose a sign of money, so that a story tells sums without one.
        book: the shop's phrasebook, for a signed ticket as it stood when it was signed.
        follows: words recorded beside the tickets of the vehicle, by entry and ticket; no story tells them.
        ahead: references that were typed before the entry they name: entry and what it names.
        met: phrases of this ticket that stand on two entries more, here or on other tickets.
    """

    ticket: Ticket
    settings: Settings
    today: date
    earlier: tuple[Ticket, ...] = ()
    people: tuple[Person, ...] = ()
    codes: tuple[tuple[str, ...], ...] = ()
    terms: tuple[tuple[str, str], ...] = ()
    punches: tuple[Punch, ...] = ()
    clock_edits: tuple[ClockEdit, ...] = ()
    on_call: bool = False
    before_tax: bool = False
    bare_sums: bool = False
    book: Phrasebook = NO_ENTRIES
    met: tuple[Met, ...] = ()
    ahead: tuple[tuple[int, int], ...] = ()
    follows: tuple[tuple[Ref, FollowUp], ...] = ()
