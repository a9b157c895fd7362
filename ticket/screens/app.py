"""The app: one shop at one terminal. It paints the list first and opens the shop behind it."""

import asyncio
import contextlib
import functools
import gc
import importlib
import os
import signal
import threading
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, cast

from textual import events
from textual.app import App
from textual.binding import Binding
from textual.content import Content
from textual.screen import Screen
from textual.theme import Theme
from textual.worker import Worker

from ticket.job.errors import DamagedError, PinNeededError, StoreError, TicketError
from ticket.machine.environment import LOOK, SIGNS, person_name
from ticket.machine.terminal_ground import Ground
from ticket.screens.action_table import ACTIONS
from ticket.screens.actions import change_keys, key_for, shown_key
from ticket.screens.alt_keys import know_alt_keys
from ticket.screens.frame import Frame
from ticket.screens.idle_time import IdleTime
from ticket.screens.look import theme_of
from ticket.screens.routes import route_to
from ticket.screens.small_window import CSS as SMALL
from ticket.screens.terminal import colours_of, environment, look_of
from ticket.store.driver import is_shop

if TYPE_CHECKING:
    from tempfile import TemporaryDirectory

    from ticket.machine.presence import Presence
    from ticket.screens.behind import Behind
    from ticket.shop.opening import Shop

_PAINTED = 0.15  # seconds after which the first list stands on the screen; loading before would only delay it
_GRACE = 2.0  # seconds to leave the terminal clean after a signal
GARBAGE = (700, 10, 1000)
"""When Python looks for garbage by itself: in all of a long list it would take 50 ms, amid typing."""
_TIDY = 10  # rounds through the young garbage after which all of it is looked through, where nobody types
_QUIET = 2.0  # seconds after which what can wait is done, where nobody types
_POLL = 0.25  # seconds between two looks at what other terminals did


class TicketApp(App[int]):
    """The screens of one shop.

    Args:
        database: the shop's file, read for the first list before anything heavy is loaded.
        open_shop: opens the shop; called once, after the first paint.
        make_shop: makes and opens it, where the very first screen is left with Enter; ``open_shop`` where not given.
        person: who works here; the login's name where not given.
        ground: how light the terminal's background is, and what was typed while it was asked.

    Attributes:
        inks: the inks and signs of this terminal.
        told: what was said since the last key; a screen that comes up shows it too.
    """

    TITLE = "ticket"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar = [
        *(
            Binding(",".join(action.keys), action.id, action.label, show=False, priority=True, id=action.id)
            for action in ACTIONS
            if action.id in ("help", "leave", "actions", "suspend")
        ),
    ]
    CSS = (
        SMALL
        + """
    Screen { layout: vertical; overflow: hidden; background: $background; color: $foreground; }
    Input > .input--cursor { color: $tone-strong; background: $tone-bg; text-style: reverse; }
    Input > .input--suggestion, Input > .input--placeholder { color: $tone-quiet; text-style: none; }
    Input > .input--selection { color: $tone-ink; background: $tone-bg; text-style: reverse; }
    .line { height: 1; }
    .gap { height: 1; }
    """
    )

    def __init__(
        self, database: Path, open_shop: "Callable[[], Shop]", make_shop: "Callable[[], Shop] | None" = None,
        ground: Ground | None = None, person: str = "",
    ) -> None:  # fmt: skip
        know_alt_keys()
        self._around = environment()
        self._light = ground.light if ground else None
        self.inks = look_of(self._around, colours_of(self._around), self._light)
        self._worn = theme_of(self.inks)
        self.person = person_name(person)
        super().__init__(ansi_color=True if self.inks.ansi else None)
        self._disable_tooltips = self._disable_notifications = True  # neither is used: two widgets a screen less
        self.database = database
        self._ahead = ground.ahead if ground else ""
        self._open_shop = open_shop
        self._make_shop = make_shop or open_shop
        self._behind: Behind | None = None
        self._shop: Shop | None = None
        self._presence: Presence | None = None
        self._scratch: TemporaryDirectory[str] | None = None
        self.told = ""
        self._seen = -1
        self._file: tuple[int, int] | None = None  # which file was opened
        self._idle = IdleTime()
        self.names_asked = False
        self._gave_up = False
        self.fault: Exception | None = None

    def get_theme(self, theme_name: str) -> Theme | None:
        """The look of this terminal, whatever the name: Textual would begin with its own, and style all of it twice."""
        return self._worn

    @property
    def shop(self) -> "Shop":
        """The open shop; opened now if nothing needed it before."""
        return self._shop or self._open(self._open_shop)

    def make_shop(self) -> "Shop":
        """The shop, made where there is none."""
        return self._shop or self._open(self._make_shop)

    def _open(self, door: "Callable[[], Shop]") -> "Shop":
        self._shop = shop = door()
        self._seen = shop.store.data_version()
        self._file = _identity(self.database)
        for notice in shop.store.notices:
            self.say(notice)
        return shop

    @property
    def behind(self) -> "Behind":
        """Where what takes longer is asked."""
        if self._behind is None:
            from ticket.screens.behind import Behind

            self._behind = Behind(self._open_behind)
        return self._behind

    def _open_behind(self) -> "Shop":
        """A second opening of the shop, which shows what the first may show."""
        made = self._open_shop()
        if self._shop is not None:
            made.hide(self._shop.hidden)
        return made

    def _unlocked(self, _: None) -> None:
        """Somebody else may sit here by now: an auditor sees no names, and whoever follows one does."""
        before = self.shop.hidden
        self.shop.hide_from_auditor()
        self.names_asked = False
        self._seen_anew(before)

    def _seen_anew(self, before: bool) -> None:
        """Draw all screens as whoever sits here may see them; a form with names in it goes where they are hidden."""
        shop = self.shop
        if shop.hidden != before and self._behind is not None:
            self._behind.close()
            self._behind = None
        while (
            shop.hidden and not before and len(self.screen_stack) > 1 and not hasattr(self.screen, "changed_elsewhere")
        ):
            self.pop_screen()
        for screen in self.screen_stack:
            changed = getattr(screen, "changed_elsewhere", None)
            if changed is not None:
                changed()

    @property
    def looks_only(self) -> bool:
        """Whether whoever sits here changes nothing; asked without opening a shop."""
        return self._shop is not None and self._shop.looks_only

    def may_write(self) -> bool:
        """Whether something may be written here; where not, that is said before anybody types it."""
        if self.shop.looks_only:
            self.say("An auditor looks at this shop and changes nothing in it.")
        return not self.shop.looks_only

    def ask_names(self, numbers: tuple[int, ...]) -> None:
        """Show an auditor the names of customers, or hide them again; ``numbers``: the tickets on the screen."""
        shop, before = self.shop, self.shop.hidden
        if not before and not self.names_asked:
            self.say("Names are hidden from auditors alone: you see them.")
            return
        try:
            if self.names_asked:
                shop.hide_from_auditor()
            else:
                shop.show_names(numbers, "screens")
        except PinNeededError as needed:
            from ticket.screens.pin_line import ask_pin

            ask_pin(cast("Screen[None]", self.screen), shop, needed, lambda: self.ask_names(numbers))
            return
        except TicketError as error:
            self.say(str(error))
            return
        self.names_asked = not shop.hidden
        self._seen_anew(before)
        if self.names_asked:
            self.say(f"Names are shown, and the journal says that you asked. {key_for('names')} hides them again.")

    def opened(self, numbers: tuple[int, ...]) -> None:
        """A screen of some tickets was opened: where names were asked for, that is journaled too."""
        if self.names_asked and numbers:
            try:
                self.shop.show_names(numbers, "screens")
            except TicketError as error:  # the PIN is no longer good, or nothing can be written: then nothing is shown
                self.shop.hide_from_auditor()
                self.names_asked = False
                self._seen_anew(False)
                self.say(str(error))

    @property
    def presence(self) -> "Presence":
        """This terminal among the others of the shop."""
        if self._presence is None:
            from ticket.machine.presence import Presence

            self._presence = Presence(self.database, self.shop.person, self.shop.store.sitting)
        return self._presence

    def on_mount(self) -> None:
        """Leave the terminal clean on signals, and load the rest behind the first paint.

        Where there is no shop yet, ask for one first.
        """
        self._catch_signals()
        if isinstance(self.screen, Frame):
            self.set_timer(_PAINTED, self._warm_up)
        elif not self._gave_up:
            self.push_screen(route_to("start", self.database))

    def get_default_screen(self) -> Screen[Any]:
        """The jobs, so that no empty screen is laid out and painted before them; without a shop Textual's own."""
        try:
            there = is_shop(self.database)
        except TicketError as error:
            self.give_up(error)
            there = False
        if not there:
            return super().get_default_screen()
        return cast("Screen[Any]", route_to("jobs", self.database, self.person))

    def on_ready(self) -> None:
        """Type again what was typed while the terminal was asked for its ground."""
        for char in self._ahead:
            enter = char in "\r\n"
            self.post_message(events.Key("enter" if enter else char, None if enter else char))
        self._ahead = ""

    def work_in(self, database: Path, shop: "Shop | None" = None) -> None:
        """Show the jobs of a shop that was just made, and load the rest behind.

        Args:
            database: its file.
            shop: the shop in it, where it is open already.
        """
        self.database = database
        self._shop = shop
        self.push_screen(route_to("jobs", database, shop.person if shop is not None else self.person))
        self.set_timer(_PAINTED, self._warm_up)

    async def show_demo(self) -> None:
        """A scratch shop of invented jobs, gone when the program is left."""
        from ticket.scratch_shop import DATABASE, scratch

        folder, self._open_shop = await asyncio.to_thread(scratch)
        self._scratch = folder
        self._behind = None
        self.pop_screen()
        self.work_in(Path(folder.name) / DATABASE)

    def _catch_signals(self) -> None:
        leave = functools.partial(self._told_to_leave, asyncio.get_running_loop())
        for name in ("SIGTERM", "SIGHUP"):
            number = getattr(signal, name, None)
            if number is not None:
                with contextlib.suppress(ValueError):  # not the main thread: no signals here
                    signal.signal(number, leave)

    def _told_to_leave(self, loop: asyncio.AbstractEventLoop, number: int, _frame: object) -> None:
        # At the signal, not in the loop: with the terminal gone, whatever the loop does next may wait for ever to
        # write to it, as the answer to the SIGCONT behind a hang-up does. Entries are on the disk already.
        if hasattr(signal, "SIGCONT"):
            signal.signal(signal.SIGCONT, lambda *_: None)
        code = 128 + number
        last = threading.Timer(_GRACE, os._exit, (code,))
        last.daemon = True
        last.start()
        with contextlib.suppress(RuntimeError):  # the loop is closed: it is being left already
            loop.call_soon_threadsafe(self._leave_with, code)

    def _leave_with(self, code: int) -> None:
        for screen in self.screen_stack:
            keep = getattr(screen, "keep_line", None)
            if keep is not None:
                keep()
        self.exit(code, return_code=code)

    async def _warm_up(self) -> None:
        """Import what the ticket screen needs in a thread, then open the shop and look for other terminals' changes."""
        await self._take_keys()
        await asyncio.to_thread(_load_ahead)
        await asyncio.to_thread(importlib.import_module, "ticket.screens.ticket_screen")
        await asyncio.to_thread(_read_ahead)
        try:
            _ = self.shop
        except TicketError as error:
            self.give_up(error)
            return
        self.set_interval(_POLL, self.look)
        self.set_timer(_QUIET, self._begin_day)
        # All that was imported lives as long as the program: looking through it for garbage would stall keys for 60 ms.
        gc.freeze()

    def _begin_day(self) -> None:
        """The row of a day that begins, once everything stands; the clock, where it is behind."""
        from ticket.shop.changing import begin_day

        if self._shop is None or not self._idle.is_pause():
            self.set_timer(_QUIET, self._begin_day)
            return
        with contextlib.suppress(TicketError):  # a full disk, or somebody at work: it is told where work is done
            begin_day(self._shop)
            for told in (*self._shop.told, self._shop.clock_words()):
                if told:
                    self.say(told)
        if self._shop.settings.copies:
            _: Worker[None] = self.run_worker(self._copy_day())

    async def _copy_day(self) -> None:
        """The copy of the day, behind the screens: a large shop takes seconds."""
        from ticket.shop.changing import copy_of_day

        if told := await self.behind.ask(copy_of_day):
            self.say(told)

    async def _take_keys(self) -> None:
        """Use the keys of the settings file, where there is one; say what in it cannot be used."""
        from ticket.machine.environment import keys_file
        from ticket.screens.keys import load_keys

        changes = await asyncio.to_thread(lambda: load_keys(keys_file()))
        change_keys(changes.keys)
        if changes.keys:
            self.set_keymap({action_id: ",".join(keys) for action_id, keys in changes.keys.items()})
            if isinstance(self.screen, Frame):
                self.screen.hints()
        for sentence in changes.refused:
            self.say(sentence)

    def give_up(self, error: TicketError) -> None:
        """Leave with one sentence, once: nothing can be done without the database."""
        if not self._gave_up:
            self._gave_up = True
            self.exit(2, return_code=2, message=Content(f"ticket: {error}"))

    def look(self) -> None:
        """Tell the screen on top when another terminal has changed something; leave where the shop's file is gone.

        A deleted file goes on taking what is written by those who have it open, and none of it would be found again.
        """
        if self._shop is None:
            return
        if self._file is not None and _identity(self.database) != self._file:
            self.give_up(StoreError(f"{self.database} was moved or deleted while the screens were open; put it back."))
            return
        if gc.get_count()[2] >= _TIDY and self._idle.is_pause():
            gc.collect()
        locked = any(getattr(screen, "subject", "") == "lock" for screen in self.screen_stack)
        if not locked and self._idle.too_long(self._shop):
            self.push_screen(route_to("lock", self._shop, self.presence), self._unlocked)
        version = self._shop.store.data_version()
        if version != self._seen:
            self._seen = version
            self._shop.refresh()
            changed = getattr(self.screen, "changed_elsewhere", None)
            if changed is not None:
                changed()

    async def on_event(self, event: events.Event) -> None:
        """A key takes away what was said before it, and shows that somebody is here."""
        if isinstance(event, events.Key | events.MouseEvent | events.Paste):
            self._idle.touched()
        if isinstance(event, events.Key) and self.told:
            self.told = ""
            if isinstance(self.screen, Frame):
                self.screen.said("")
        await super().on_event(event)

    async def _check_bindings(self, key: str, priority: bool = False) -> bool:
        """As Textual's own; no letter goes before the line that takes it, so none is looked up at every key."""
        return not (priority and len(key) == 1) and await super()._check_bindings(key, priority)

    def on_key(self, event: events.Key) -> None:
        """A key that means nothing here says so: whoever pressed it need not guess whether it did something."""
        if event.key not in self.screen.active_bindings:
            pressed = event.character if event.is_printable and event.character else shown_key(event.key)
            self.say(f"{pressed} does nothing here; {key_for('help')} tells the keys.")

    def say(self, text: str) -> None:
        """One sentence for the person at the screen, never read as markup; it does not cover the line to type in."""
        if text not in self.told:
            self.told = f"{self.told} {text}".strip()
        if isinstance(self.screen, Frame):
            self.screen.said(self.told)

    def wear(self, colours: str, signs: str) -> None:
        """Look otherwise from now on; colours of the terminal itself, or none, from the next start on."""
        wanted = look_of(dict(self._around) | {LOOK: colours, SIGNS: signs}, colours_of(self._around), self._light)
        if wanted.ansi != self.inks.ansi:
            self.say("It looks so from the next start on.")
            return
        self.inks = wanted
        self._worn = theme_of(wanted)
        self.register_theme(self._worn)
        self.theme = self._worn.name
        self.refresh_css()
        self.screen.refresh(layout=True)

    def open_ticket(self, number: int) -> None:
        """Show a ticket."""
        try:
            screen = route_to("ticket", self.shop, number)
        except DamagedError as error:
            self.say(str(error))
        else:
            self.push_screen(screen)

    def action_help(self) -> None:
        """Show what can be done here; pressed again, go back."""
        from ticket.screens.help_screen import HelpScreen

        below = self.screen
        if isinstance(below, HelpScreen):
            below.dismiss()
        elif isinstance(below, Frame):
            self.push_screen(HelpScreen(below.subject, below.heeded(), below.helped_as()))

    def action_actions(self) -> None:
        """The searchable list of what can be done on the screen on top; of itself there is none."""
        if isinstance(self.screen, Frame) and self.screen.subject != "actions":
            self.push_screen(route_to("actions", self.screen))

    def action_suspend(self) -> None:
        """Put the program aside as the terminal's own key would, were it not the one that takes back."""
        self.action_suspend_process()

    def action_leave(self) -> None:
        """Leave the program."""
        self.exit(0)

    async def action_quit(self) -> None:
        """Textual's own way out is ours too."""
        self.exit(0)

    def close_shop(self) -> None:
        """Close the database, once."""
        if self._behind is not None:
            self._behind.close()
        if self._presence is not None:
            self._presence.leave()
        if self._shop is not None:
            self._shop.close()
            self._shop = None
        if self._scratch is not None:
            self._scratch.cleanup()
            self._scratch = None

    def _handle_exception(self, error: Exception) -> None:
        """Leave with the first fault at hand; the edge that started the screens tells it, never the terminal."""
        # Of work behind a screen Textual tells no more than that it failed; the report needs what did.
        cause = getattr(error, "error", error)
        self.fault = self.fault or (cause if isinstance(cause, Exception) else error)
        super()._handle_exception(error)

    def _fatal_error(self) -> None:
        """No trace on the terminal: it would show nobody what to do, and perhaps a customer's name."""
        self.bell()
        self._close_messages_no_wait()


def _load_ahead() -> None:
    from ticket.shop.opening import load_ahead

    load_ahead()


def _read_ahead() -> None:
    """Read a line of every kind once, with its word and without.

    Patterns are compiled where they are first asked, which a key would wait for.
    """
    from ticket.job.kinds import KINDS
    from ticket.notes.read import read

    for kind in KINDS.values():
        read(kind.example, live=True)
        read(kind.example.partition(": ")[2], live=True)


def _identity(path: Path) -> tuple[int, int] | None:
    """Which file stands at a path; only looked at, never opened: closing it again would drop SQLite's locks."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def run(
    database: Path,
    open_shop: "Callable[[], Shop]",
    make_shop: "Callable[[], Shop] | None" = None,
    ground: Ground | None = None,
    person: str = "",
) -> int:
    """Run the screens until they are left; the exit code. Arguments as for :class:`TicketApp`."""
    app = TicketApp(database, open_shop, make_shop, ground, person)
    gc.set_threshold(*GARBAGE)
    try:
        code = app.run()
    finally:
        app.close_shop()
    if app.fault is not None:
        raise app.fault
    return code if code is not None else app.return_code or 0
