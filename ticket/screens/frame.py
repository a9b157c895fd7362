"""What every screen of the program has in common: a top line, a page, a hint line, and keys from the registry."""

import time
from collections.abc import Callable, Coroutine, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar, cast

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.css.query import NoMatches
from textual.geometry import Region
from textual.screen import Screen
from textual.strip import Strip
from textual.worker import Worker

from ticket.grid.rows import Row, Span, cut, wrap
from ticket.job.errors import TicketError
from ticket.job.progress import told_to
from ticket.screens.actions import actions_of
from ticket.screens.bare_ground import blank_lines
from ticket.screens.desk import Desk
from ticket.screens.key_row import KeyRow
from ticket.screens.page import Page
from ticket.screens.prompt import Field
from ticket.screens.routes import name_of, route_to
from ticket.screens.small_window import fit_window

if TYPE_CHECKING:
    from ticket.grid.progress_bar import Progress

_A_MOMENT = 0.4
"""Seconds of work before it is told how far it is: what is quick needs no bar."""
_SAID = 3
"""Rows that a sentence above the keys may take."""
_FIELDS = ("form", "sign", "start")  # screens of several fields


def bindings(subject: str) -> list[BindingType]:
    """The keys of a screen, from the registry; ``priority`` where an input would keep the key for itself.

    A real terminal sends Alt and a letter with the letter as its character, which an input would type. The arrows of
    a form, and the Enter that goes on to the next field, go first too: on their way through the screen, letters typed
    ahead would still reach the field before.
    """
    first = {"back", "next", *(("up", "down") if subject in _FIELDS else ())}
    return [
        Binding(
            ",".join(action.keys),
            action.id,
            action.label,
            show=False,
            priority=action.id in first or any(key.startswith("alt+") for key in action.keys),
            id=action.id,
        )
        for action in actions_of(subject)
        if action.id not in ("help", "leave", "actions", "suspend", "open")
    ]


class Frame(Screen[None]):
    """A screen with a top line and a hint line.

    Attributes:
        subject: the name under which the registry knows this screen.
        notice: what is said above the keys.
        work: how far the long work is that is done behind the screen; ``None`` where there is none.
    """

    subject: ClassVar[str] = "jobs"
    AUTO_FOCUS: ClassVar[str | None] = "Prompt"
    work: "Progress | None" = None
    notice: str = ""

    def on_resize(self) -> None:
        """Where the window is too small, say so instead; Textual calls this beside the handler of each screen."""
        fit_window(self)

    @property
    def tickets(self) -> tuple[int, ...]:
        """The numbers of the tickets this screen tells of; empty for a list."""
        number = getattr(self, "number", None)
        return (number,) if isinstance(number, int) else ()

    def on_mount(self) -> None:
        """A screen of a ticket is opened; Textual calls this beside the handler of each screen."""
        self.desk.opened(self.tickets)

    def action_names(self) -> None:
        """Show an auditor who the customers are, or hide them again."""
        self.desk.ask_names(self.tickets)

    def render_lines(self, crop: Region) -> list[Strip]:
        """Nothing: the widgets cover it."""
        return blank_lines(self, crop)

    def _clear_tooltip(self) -> None:
        """No page has a tooltip; Textual would look for one at every key."""

    @property
    def desk(self) -> Desk:
        """The running program, as far as a screen may ask it."""
        return cast("Desk", self.app)

    def top(self, spans: Sequence[Span]) -> None:
        """Draw the top line, on as many rows as it needs, three at most."""
        rows = wrap(spans, max(self.size.width - 1, 8), first=" ", rest="   ")[:3]
        self.query_one("#top", Page).show(rows)
        self.query_one("#top").styles.height = len(rows)

    def hints(self) -> None:
        """Draw the keys of this screen: names on a faint band, help at the right edge."""
        width = max(self.size.width - 2, 8)
        above = wrap([Span(self.notice, "strong")], width, first=" ", rest="   ")[:_SAID] if self.notice else []
        if self.work is not None:
            from ticket.grid.progress_bar import progress_words  # the first paint does without

            above.append(Row((Span(f" {cut(progress_words(self.work), width)}"),)))
        self.query_one("#hints", KeyRow).tell(self.hinted_as(), width, above, looks=self.desk.looks_only)

    def heeded(self) -> tuple[str, ...]:
        """What has to be heeded before the work that this screen is about; its help begins with it."""
        return ()

    def hinted_as(self) -> str:
        """The name under which the registry knows the keys that are shown."""
        return self.subject

    def helped_as(self) -> str:
        """The name of the page or of the state it is in, as the help knows it."""
        return name_of(self)

    def said(self, text: str) -> None:
        """One sentence above the keys, until the next key; nothing takes it away."""
        if text != self.notice:
            self.notice = text
            self.hints()

    def on_screen_resume(self) -> None:
        """Whatever was said while another screen went down is still to be read."""
        if self.desk.told:
            self.said(self.desk.told)
        if self.app.is_web:  # a browser says its size late: before that the line is not shown, and gets no focus
            self.set_timer(_A_MOMENT, self._focus_line)

    def _focus_line(self) -> None:
        if self.focused is None and self.AUTO_FOCUS:
            for line in self.query(self.AUTO_FOCUS):
                if line.focusable:
                    line.focus()
                    return

    @contextmanager
    def telling(self) -> Iterator[None]:
        """Show how far long work inside is, in a row above the keys, once it has taken a moment."""
        from ticket.grid.progress_bar import Progress

        heard: list[tuple[str, int, int]] = []
        begun = time.monotonic()

        def draw() -> None:
            if heard and time.monotonic() - begun > _A_MOMENT:
                self.work = Progress(*heard[0], time.monotonic() - begun)
                self.hints()

        def hear(what: str, done: int, total: int) -> None:  # on the thread of the work: only noted there
            heard[:] = [(what, done, total)]

        timer = self.set_interval(_A_MOMENT / 2, draw)
        try:
            with told_to(hear):
                yield
        finally:
            timer.stop()
            if self.work is not None:
                self.work = None
                self.hints()

    async def on_key_row_pressed(self, event: KeyRow.Pressed) -> None:
        """A key of the last row was clicked."""
        await self.do(event.action)

    async def do(self, name: str) -> None:
        """Do an action of the registry by its name, as its key would."""
        await (self if hasattr(self, f"action_{name}") else self.app).run_action(name)

    def work_behind(self, work: Callable[[], Coroutine[Any, Any, None]], group: str, *, exclusive: bool = True) -> None:
        """Do what takes longer behind the screen; with ``exclusive``, in place of what the group still does.

        Work that comes back while the screen is taken down finds its rows gone: nobody is there to see them.
        """
        # No lambda: some versions of Textual look whether what they are given is a coroutine function.
        _: Worker[None] = self.run_worker(partial(self._unless_gone, work), group=group, exclusive=exclusive)

    async def _unless_gone(self, work: Callable[[], Coroutine[Any, Any, None]]) -> None:
        try:
            await work()
        except NoMatches:
            if self.app.is_running and self.is_attached and self.query("#hints"):  # its rows are there, some only
                raise
        except TicketError as error:  # nobody waits for the answer: one sentence, and the program goes on
            if self.app.is_running and self.is_attached:
                self.desk.say(str(error))

    def page(self) -> Page:
        """The page with the cursor."""
        return self.query_one("#page", Page)

    def action_up(self) -> None:
        """Move the pointer up."""
        self.page().move(-1)

    def action_down(self) -> None:
        """Move the pointer down."""
        self.page().move(1)

    def action_page_up(self) -> None:
        """A screenful up."""
        self.page().turn(-1)

    def action_page_down(self) -> None:
        """A screenful down."""
        self.page().turn(1)

    def action_first(self) -> None:
        """The pointer on the first row."""
        self.page().to_end(last=False)

    def action_last(self) -> None:
        """The pointer on the last row."""
        self.page().to_end(last=True)

    def action_undo(self) -> None:
        """Take back typing in the field that has the focus."""
        if not (isinstance(self.focused, Field) and self.focused.take_back()):
            self.desk.say("Nothing to take back here.")

    def action_redo(self) -> None:
        """Type again what was taken back."""
        if not (isinstance(self.focused, Field) and self.focused.again()):
            self.desk.say("Nothing to do again here.")

    def action_settings(self) -> None:
        """The shop's settings."""
        self.app.push_screen(route_to("settings", self.desk.shop))

    def action_kept(self) -> None:
        """Say what whoever presses Ctrl+S wants to know."""
        self.desk.say("All is kept already: every entry is on the disk once it is written, a half line too.")


def strip(name: str, height: int = 1) -> Page:
    """A page of few lines that never scrolls: the top, the hints."""
    page = (KeyRow if name == "hints" else Page)(id=name, pointer=False)
    page.styles.height = height
    page.styles.scrollbar_size_vertical = 0
    page.scrolls = False
    if name == "top":
        page.first_ground = "top"
    return page


class Reading(Frame):
    """A screen that is read and left: no line to type in, the arrows scroll."""

    AUTO_FOCUS: ClassVar[str | None] = None

    def compose(self) -> ComposeResult:
        """Top line, what is read, hints."""
        yield strip("top")
        yield Page(id="page", pointer=False)
        yield strip("hints")

    def action_back(self) -> None:
        """Back to where it was opened."""
        self.dismiss()

    def action_up(self) -> None:
        """Scroll up a line."""
        self.page().scroll_up(animate=False)

    def action_down(self) -> None:
        """Scroll down a line."""
        self.page().scroll_down(animate=False)
