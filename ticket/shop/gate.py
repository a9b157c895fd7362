"""Who may do what in a shop whose people have PINs, and how long a PIN that was typed is good for at this terminal.

In a shop without a single PIN everything is open to everybody and a name is a claim. A PIN is asked for where a name is
put under something or the rules of the shop change, never for typing facts, reading or printing.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from types import MappingProxyType
from typing import TYPE_CHECKING

from ticket.job.errors import InputError, PinNeededError
from ticket.job.roles import AUDITOR
from ticket.job.text import clean

if TYPE_CHECKING:
    from ticket.store.pins import Known
    from ticket.store.store import Store

_ONE_ACTION = timedelta(seconds=3)  # an action may write several rows: with no minutes at all they are one
_TOLD_FOR = timedelta(days=30)


@dataclass(frozen=True, slots=True)
class Right:
    """Something that not everybody may do.

    Attributes:
        what: as the beginning of a sentence.
        roles: who may.
    """

    what: str
    roles: tuple[str, ...]


RIGHTS: Mapping[str, Right] = MappingProxyType(
    {
        "sign": Right("Signing", ("technician", "writer", "owner")),
        "amend": Right("Amending", ("technician", "writer", "owner")),
        "prices": Right("Changing prices, rules and what papers show", ("writer", "owner")),
        "people": Right("Changing people, roles and PINs", ("owner",)),
        "keys": Right("Changing whom the shop trusts", ("owner",)),
        "forget": Right("Forgetting a customer", ("owner",)),
        "restore": Right("Putting a copy back", ("owner",)),
        "names": Right("Showing customers' names", ("technician", "writer", "auditor", "owner")),
    }
)


class Gate:
    """What this terminal knows of who sits at it.

    Args:
        store: the open database.
        now: the clock.
        minutes: how long a PIN that was typed is good for.

    Attributes:
        ask: asks somebody for a PIN, where there is a way to; without one :class:`PinNeededError` is raised.
    """

    def __init__(self, store: "Store", now: Callable[[], datetime], minutes: Callable[[], int]) -> None:
        self.ask: Callable[[str], str] | None = None
        self._store = store
        self._now = now
        self._minutes = minutes
        self._opened: dict[str, datetime] = {}

    def known(self) -> "Known":
        """Who has a PIN."""
        return self._store.proofs.pins.known()

    def permit(self, person: str, name: str) -> bool:
        """Let somebody do something; whether a PIN was asked for, else the name is a claim.

        Args:
            person: who says to be here.
            name: of the right in :data:`RIGHTS`.

        Raises:
            InputError: the role may not, there is no PIN for that name, or it was wrong.
            PinNeededError: the PIN must be typed first, and nothing here can ask for it.
        """
        known = self.known()
        if not known:
            return False
        right, person = RIGHTS[name], clean(person).strip()
        role = self.role_of(person)
        if role not in right.roles:
            raise InputError(f"{right.what} is for {_either(right.roles)}: {person} is {_a(role)} here.")
        if person not in known.promises:
            raise InputError(
                f"{right.what} asks for a PIN in this shop, and {person} has none: an owner sets it with ticket shop"
                f" pin {person!r}."
            )
        self.prove(person, right.what)
        return True

    def may_see(self, person: str, numbers: Sequence[int], what: str, *, asked: bool) -> bool:
        """Whether somebody is shown who customers are; an auditor only where that is asked, which is journaled.

        Args:
            person: who says to be here.
            numbers: of the tickets that would be shown.
            what: they are shown by, such as ``show``.
            asked: the names were asked for.

        Raises as :meth:`permit` does.
        """
        if self.role_of(clean(person).strip()) != AUDITOR:
            return True
        if asked:
            self.permit(person, "names")
            self._store.proofs.note_look(numbers, what, person)
        return asked

    def prove(self, person: str, what: str) -> None:
        """Ask for a PIN where it was not typed here a short while ago; ``what`` it is for. Raises as :meth:`permit`."""
        if not self._is_open(person):
            if self.ask is None:
                raise PinNeededError(person, what)
            self.unlock(person, self.ask(f"PIN of {person}: "))

    def unlock(self, person: str, pin: str) -> None:
        """Take a typed PIN; the try is counted before the answer is known.

        Raises:
            InputError: it is wrong, or was wrong too often just now.
            ConflictError: what is kept of it is not what was set.
        """
        from ticket.machine.pin_hash import fits
        from ticket.store.pins import FREE

        pins = self._store.proofs.pins
        if not fits(pins.begin_try(person), pin, self._store.path):
            wrong = pins.was_wrong(person)
            left = f" {FREE - wrong} more before a wait." if wrong < FREE else ""
            raise InputError(f"That is not the PIN of {person}.{left}")
        pins.was_right(person)
        self._opened[person] = self._now()

    def close(self) -> None:
        """Forget every PIN that was typed."""
        self._opened.clear()

    def role_of(self, person: str) -> str:
        """What somebody is here; whoever is new is a technician."""
        return next((one.role for one in self._store.people() if one.name == person), "technician")

    def reset_words(self) -> str:
        """What is told at every start after all PINs were taken away; empty where that is long ago or never was."""
        at = self.known().reset
        if at is None or self._now() - at > _TOLD_FOR:
            return ""
        return f"All PINs of this shop were taken away on {at.astimezone():%Y-%m-%d %H:%M} without one being typed."

    def _is_open(self, person: str) -> bool:
        since = self._opened.get(person)
        good = max(timedelta(minutes=self._minutes()), _ONE_ACTION)
        return since is not None and timedelta(0) <= self._now() - since <= good


def _either(roles: tuple[str, ...]) -> str:
    told = [_a(role) for role in roles]
    return " or ".join((", ".join(told[:-1]), told[-1])) if len(told) > 1 else told[0]


def _a(role: str) -> str:
    return f"an {role}" if role[0] in "ao" else f"a {role}"
