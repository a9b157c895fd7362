"""What a screen may ask of the running program; the app is one, and no screen knows more of it."""

from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from ticket.job.errors import TicketError

if TYPE_CHECKING:
    from ticket.machine.presence import Presence
    from ticket.screens.behind import Behind
    from ticket.shop.opening import Shop


class Desk(Protocol):
    """One shop at one terminal."""

    @property
    def told(self) -> str:
        """What was said since the last key."""

    @property
    def shop(self) -> "Shop":
        """The open shop; opened now if nothing needed it before."""

    @property
    def behind(self) -> "Behind":
        """Where what takes longer is asked."""

    @property
    def presence(self) -> "Presence":
        """This terminal among the others of the shop."""

    def make_shop(self) -> "Shop":
        """The shop, made where there is none."""

    @property
    def names_asked(self) -> bool:
        """Whether an auditor asked here for the names of customers."""

    @property
    def looks_only(self) -> bool:
        """Whether whoever sits here changes nothing; asked without opening a shop."""

    def may_write(self) -> bool:
        """Whether something may be written here; where not, that is said."""

    def ask_names(self, numbers: "tuple[int, ...]") -> None:
        """Show an auditor the names of customers, or hide them again; ``numbers``: the tickets on the screen."""

    def opened(self, numbers: "tuple[int, ...]") -> None:
        """A screen of some tickets was opened: where names were asked for, that is journaled too."""

    def work_in(self, database: Path, shop: "Shop | None" = None) -> None:
        """Show the jobs of a shop."""

    async def show_demo(self) -> None:
        """A scratch shop of invented jobs, gone when the program is left."""

    def open_ticket(self, number: int) -> None:
        """Show a ticket."""

    def say(self, text: str) -> None:
        """One sentence for the person at the screen."""

    def give_up(self, error: TicketError) -> None:
        """Leave with one sentence: nothing can be done without the database."""

    def action_help(self) -> None:
        """Show what can be done here."""

    def wear(self, colours: str, signs: str) -> None:
        """Look otherwise from now on."""
