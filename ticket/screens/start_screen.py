"""The very first screen: start a shop with four short answers, or look at the demo."""

from collections.abc import Iterable
from pathlib import Path
from typing import ClassVar

from textual import on
from textual.widgets import Input

from ticket.job.errors import TicketError
from ticket.machine.environment import person_name, remember_person
from ticket.screens.actions import key_for
from ticket.screens.frame import Form, bindings
from ticket.screens.rows import Span
from ticket.story.sections.files import ENGLISH, languages


class StartScreen(Form):
    """Four fields, all but the name already filled; Enter starts the shop, F5 opens the demo.

    Args:
        database: where the shop's file will stand.
    """

    subject: ClassVar[str] = "start"
    BINDINGS = bindings("start")

    def __init__(self, database: Path) -> None:
        super().__init__()
        self.database = database
        self._busy = False

    def rows(self) -> Iterable[tuple[str, str, str, str]]:
        """What a shop must know before its first ticket."""
        yield "shop", "your shop", "", "its name, as it stands on papers; may stay empty"
        yield "person", "your name", person_name(), "stands beside everything you write"
        yield "distance", "distance", "mi", "mi or km: the unit of most odometers here"
        yield "language", "language", ENGLISH, f"{' or '.join(languages())}: of stories and papers"

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.top(
            [Span("There is no shop here yet.", "title"), Span(f"  Enter starts yours, {key_for('demo')} shows a demo")]
        )
        self.answer(f"It will be kept in {self.database}. Everything can be changed later; {key_for('leave')} leaves.")
        self.hints()

    @on(Input.Submitted)
    def action_start(self) -> None:
        """Start the shop and go to its jobs."""
        from ticket.shop.settings import ASKED, checked, start

        if self._busy:
            return
        try:
            answers = {name: self.typed(name) for name in ASKED}
            checked(self.typed("person"), answers)  # what cannot be is refused before there is a shop
            shop = self.desk.make_shop()
            start(shop, self.typed("person"), answers)
        except TicketError as error:
            self.answer(str(error))
            return
        remember_person(shop.person)
        self.dismiss()
        self.desk.work_in(self.database, shop)

    async def action_demo(self) -> None:
        """Fill a scratch shop with the demo jobs and open it."""
        if self._busy:
            return
        self._busy = True
        self.answer("Filling a shop with invented jobs ...")
        self.work_behind(self._demo(), "demo", exclusive=False)

    async def _demo(self) -> None:
        try:
            await self.desk.show_demo()
        except TicketError as error:
            self._busy = False
            self.answer(str(error))

    def action_back(self) -> None:
        """There is nothing to go back to."""
        self.answer(f"Enter starts your shop, {key_for('demo')} shows a demo, {key_for('leave')} leaves.")
