"""Opening a shop: the record that every verb takes, and the list of tickets, which is read without opening anything."""

import json
import sys
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from ticket.job.errors import InputError, StoreError
from ticket.job.roles import AUDITOR
from ticket.job.wall import local_day
from ticket.machine import environment
from ticket.shop.gate import Gate

if TYPE_CHECKING:
    from ticket.job.book_entry import Phrasebook
    from ticket.job.case import Settings
    from ticket.job.ticket import Person
    from ticket.shop.kept_settings import KeptSettings
    from ticket.store.signed_heads import Signer
    from ticket.store.store import Store
    from ticket.store.ticket_list import TicketRow


@dataclass(slots=True)
class Shop:
    """One shop's tickets, opened for one person at one terminal.

    What it holds beside store, person and clock was read from the store once: it is asked at every key and changes a
    few times a year. :meth:`refresh` reads it anew.

    Attributes:
        store: the open database.
        person: name under which everything is journaled.
        now: the clock.
        damaged: tickets that a question had to leave out because their rows cannot be read, and what is wrong.
        scratch: it is for practice: its papers say so.
        hidden: tickets are read without who the customer is; for showing only.
        told: what somebody should hear about the last action beside its result, such as a witness out of reach.
        gate: which PINs were typed here a short while ago.
    """

    store: "Store"
    person: str
    now: Callable[[], datetime] = environment.now
    damaged: dict[int, str] = field(default_factory=dict)
    scratch: bool = False
    hidden: bool = False
    told: tuple[str, ...] = ()
    gate: Gate = field(init=False)
    _kept: "KeptSettings | None" = None
    _people: "tuple[Person, ...]" = ()
    _book: "Phrasebook | None" = None
    _book_read: bool = False

    def __post_init__(self) -> None:
        """The gate asks the same store and the same clock."""
        self.gate = Gate(self.store, self.now, lambda: self.settings.pin_minutes)

    @classmethod
    def open(
        cls, path: Path, person: str = "", *, now: Callable[[], datetime] = environment.now, create: bool = True,
        scratch: bool = False,
    ) -> "Shop":  # fmt: skip
        """Open the shop in a database file.

        Args:
            path: the file.
            person: who works.
            now: the clock.
            create: whether a missing file is made.
            scratch: a file that is made is one for practice for good, as it is where the clock stands still.

        Raises:
            StoreError: it cannot be opened, with the reason.
            InputError: the clock stands still, and the shop is a real one.
        """
        from ticket.shop.indexer import index_rows
        from ticket.shop.job_row import job_row
        from ticket.shop.vehicle_rows import vehicle_rows
        from ticket.store.store import Store

        ours = now is environment.now
        stands = ours and environment.clock_stands()
        if stands:
            now()  # a moment that cannot be read is refused before anything is made beside the shop
        began: dict[str, object] = {"scratch": True} if scratch or stands else {} if ours else {"clock": "given"}
        store = Store.open(
            path, indexer=index_rows, of_vehicle=vehicle_rows, of_job=job_row, now=now, create=create, began=began
        )
        store.proofs.sign_with(partial(_own_key, store))
        clock = store.proofs.clock()
        if stands and clock == "real":
            store.close()
            raise InputError(
                f"{environment.NOW} is set, and {path} is no scratch shop: its times come from the clock. Unset it."
            )
        return cls(store, environment.person_name(person), now, scratch=clock == "scratch")

    def close(self) -> None:
        """Close the database; words typed today become searchable."""
        with suppress(StoreError):  # a damaged word index, or a full disk: they wait there, and no work is undone by it
            self.store.refresh_words()
        self.store.close()

    def __enter__(self) -> "Shop":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def kept(self) -> "KeptSettings":
        """Everything the shop keeps beside its tickets."""
        if self._kept is None:
            self._kept = _with_extras(self.store.settings())
            self._people = self.store.people()
            environment.use_zone(self._kept.settings.zone)
        return self._kept

    @property
    def settings(self) -> "Settings":
        """The shop's settings; a value nobody set is the default."""
        return self.kept.settings

    @property
    def people(self) -> "tuple[Person, ...]":
        """The staff."""
        _ = self.kept
        return self._people

    @property
    def book(self) -> "Phrasebook":
        """The shop's phrasebook with what was taken back, read once; empty where nobody kept a phrase yet."""
        from ticket.job.book_entry import NO_ENTRIES, Phrasebook

        known = self._book or NO_ENTRIES
        if not self._book_read:
            entries = self.store.phrasebook()
            known = known if entries == known.entries else Phrasebook(entries)  # what was worked out for it holds
            self._book, self._book_read = known, True
        return known

    @property
    def today(self) -> date:
        """The day on the shop's wall, in its zone."""
        _ = self.kept
        return local_day(self.now())

    @property
    def looks_only(self) -> bool:
        """Whether whoever is here changes nothing: an auditor."""
        return self.hidden or self.gate.role_of(self.person) == AUDITOR

    def hide(self, hidden: bool) -> None:
        """Read tickets without who the customer is, and change nothing; or with it again.

        An auditor changes nothing either way.
        """
        self.hidden = hidden
        self.store.look_only(self.looks_only)

    def hide_from_auditor(self) -> None:
        """Hide who customers are where whoever sits here is an auditor."""
        self.hide(not self.gate.may_see(self.person, (), "screens", asked=False))

    def show_names(self, numbers: Sequence[int], what: str) -> None:
        """Show who customers are to an auditor who asks, which is journaled; nothing can be changed all the same.

        Args:
            numbers: of the tickets that are shown; empty for a list of any.
            what: where they are shown.

        Raises as :meth:`~ticket.shop.gate.Gate.permit` does.
        """
        self.hidden = not self.gate.may_see(self.person, numbers, what, asked=True)

    def clock_words(self) -> str:
        """What is told where the clock stands before what was written already; empty where it does not."""
        if (found := self.store.proofs.clock_behind()) is None:
            return ""
        says, was = found
        return f"Mind: the clock of this machine says {says}, and this journal was at {was} before."

    def refresh(self) -> None:
        """Read settings, staff and phrasebook anew: something has changed them, perhaps at another terminal."""
        self._kept = None
        self._book_read = False


def _with_extras(stored: Mapping[str, str]) -> "KeptSettings":
    """What is kept beside the tickets; a folder of the shop's own is looked into where one is named, or was before."""
    from ticket.shop.kept_settings import read_kept_settings

    kept = read_kept_settings(stored)
    if not kept.settings.extras and "ticket.shop.extras" not in sys.modules:
        return kept
    from ticket.shop.extras import with_extras

    return with_extras(kept)


def _own_key(store: "Store") -> "Signer | None":
    """The key of this login that signed for the shop before; one that cannot be used is told where somebody signs."""
    from ticket.machine.signing_key import signer

    with suppress(InputError):
        own = signer(store.proofs.uid(), make=False, ended=store.proofs.ended_keys())
        return own if own is not None and own.id in store.proofs.public_keys() else None
    return None


def load_ahead() -> None:
    """Load what opening a shop needs, so that it opens at once; nothing is opened."""
    import_module("ticket.store.store")
    import_module("ticket.shop.indexer")
    import_module("ticket.shop.job_row")
    import_module("ticket.shop.vehicle_rows")


def document(shop: Shop, key: str) -> str | None:
    """The text of a document kept beside the settings, such as the price list; ``None`` where there is none.

    Its key begins with one of :data:`ticket.shop.kept_settings.DOCUMENTS`; :func:`set_setting` keeps it.
    """
    from ticket.shop.kept_settings import BROKEN

    found = shop.kept.documents.get(key)
    if found == BROKEN:
        raise StoreError(f"{key.strip()} as kept in {shop.store.path} cannot be read: take it in again from its file")
    return found


def documents(shop: Shop, lead: str) -> dict[str, str]:
    """The documents whose keys begin with a lead."""
    from ticket.shop.kept_settings import BROKEN

    found: Mapping[str, str] = shop.kept.documents
    return {key: text for key, text in found.items() if key.startswith(lead) and text != BROKEN}


FREE_SETTINGS = ("suggest", "photos", "limits")
"""Settings that no paper shows, or that grow out of daily work: nobody is asked for a PIN to change them."""


_OWNERS = {
    "pin_minutes": "people",
    "lock_minutes": "people",
    "witness": "keys",
    "copies": "keys",
}  # settings that are an owner's


def set_setting(shop: Shop, key: str, value: object) -> None:
    """Change one of the shop's settings. Raises :class:`InputError` for a language without a catalogue."""
    if key not in FREE_SETTINGS:
        shop.gate.permit(shop.person, _OWNERS.get(key, "prices"))
    if key == "language":
        from ticket.story.sections.files import known

        known(str(value))
    shop.store.set_shop(key, json.dumps(value), shop.person)
    if key == "zone":
        shop.store.count_in_new_zone()  # other days count from now on
    shop.refresh()


def add_person(shop: Shop, person: "Person") -> None:
    """Add somebody who works here, or change their role."""
    shop.gate.permit(shop.person, "people")
    shop.store.add_person(person, shop.person)
    shop.refresh()


def without_names(rows: "list[TicketRow]") -> "list[TicketRow]":
    """The list as an auditor sees it."""
    from ticket.shop.masking import mask_of_name
    from ticket.store.erasable import MASK

    return [
        row._replace(
            customer=MASK if row.customer else "", vehicle=mask.text(row.vehicle), ready_by=mask.text(row.ready_by)
        )
        for row in rows
        for mask in (mask_of_name(row.customer),)
    ]
