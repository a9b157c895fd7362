"""The very first screen: a few short answers and the look start a shop, or show one full of invented jobs."""

from collections.abc import Iterable
from pathlib import Path
from typing import ClassVar

from textual import on

from ticket.grid.rows import Span
from ticket.job.errors import TicketError
from ticket.job.ticket import DISTANCE_UNITS
from ticket.machine.environment import person_name, remember_look, remember_person
from ticket.screens.actions import key_for
from ticket.screens.choice import Choice
from ticket.screens.form import Form, FormField, same
from ticket.screens.frame import bindings
from ticket.screens.terminal import DRAWN_AS, WANTED, told_choices
from ticket.screens.tongues import tongue
from ticket.story.sections.files import ENGLISH, languages

_DEMO = "invented"
_JOBS = (("none", "none yet"), (_DEMO, "invented ones, to look round"))


class StartScreen(Form):
    """All fields but the name of the shop are filled already; one key starts.

    Args:
        database: where the shop's file will stand.
    """

    subject: ClassVar[str] = "start"
    BINDINGS = bindings("start")

    def __init__(self, database: Path) -> None:
        super().__init__()
        self.database = database
        self._busy = False

    def rows(self) -> Iterable[FormField]:
        """What a shop must know before its first ticket."""
        yield FormField("shop", "shop", "", "on papers; may stay empty", "Start your shop")
        yield FormField("person", "your name", person_name(), "stands beside all you write", "Start your shop")
        yield FormField("distance", "distance", DISTANCE_UNITS[0], "", "Start your shop", choices=same(*DISTANCE_UNITS))
        yield FormField(
            "language",
            "language",
            ENGLISH,
            "",
            "Start your shop",
            choices=tuple((code, tongue(code)) for code in languages()),
        )
        colours, signs = told_choices()
        yield FormField("colours", "colours", colours, "", "How it looks here", choices=same(*WANTED))
        yield FormField("signs", "signs", signs, "", "How it looks here", choices=same(*DRAWN_AS))
        yield FormField("jobs", "jobs", "none", "", "Start with", choices=_JOBS)

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.top([Span("Job tickets", "strong"), Span("  There is no shop here yet.", "quiet")])
        self.answer(f"It will be kept in {self.database}. All of this can be changed later. {self.keys_told()}")
        self.hints()

    @on(Choice.Changed, "#field-colours")
    @on(Choice.Changed, "#field-signs")
    def _look(self) -> None:
        """The look that is chosen, seen at once and kept for this login."""
        self.desk.wear(self.typed("colours"), self.typed("signs"))
        try:
            remember_look(self.typed("colours"), self.typed("signs"))
        except TicketError as error:
            self.answer(str(error))

    def keys_told(self) -> str:
        """Which key starts and which leaves."""
        return f"{key_for('save')} starts, {key_for('leave')} leaves."

    async def action_save(self) -> None:
        """Start the shop and go to its jobs, or fill a scratch shop with invented ones."""
        if self.typed("jobs") == _DEMO:
            self._show_demo()
        elif not self._busy:
            self._busy = True
            self.answer("Starting ...")  # on the screen before the work begins: it takes a moment
            self.call_after_refresh(self._start)

    def _start(self) -> None:
        from ticket.shop.settings import ASKED, checked, start

        try:
            answers = {name: self.typed(name) for name in ASKED}
            checked(self.typed("person"), answers)  # what cannot be is refused before there is a shop
            shop = self.desk.make_shop()
            start(shop, self.typed("person"), answers)
        except TicketError as error:
            self._busy = False
            self.answer(str(error))
            return
        remember_person(shop.person)
        self.dismiss()
        self.desk.work_in(self.database, shop)

    def _show_demo(self) -> None:
        if self._busy:
            return
        self._busy = True
        self.answer("Filling a shop with invented jobs; nothing of it is kept.")
        self.work_behind(self._demo, "demo", exclusive=False)

    async def _demo(self) -> None:
        try:
            with self.telling():
                await self.desk.show_demo()
        except TicketError as error:
            self._busy = False
            self.answer(str(error))

    def action_back(self) -> None:
        """There is nothing to go back to."""
        self.answer(f"Nothing was made yet. {self.keys_told()}")
