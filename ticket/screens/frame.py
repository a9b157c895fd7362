"""What every screen of the program has in common: a top line, a page, a hint line, and keys from the registry."""

from collections.abc import Coroutine, Iterable, Sequence
from typing import Any, ClassVar, cast

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Grid
from textual.css.query import NoMatches
from textual.screen import Screen
from textual.widgets import Input, Static

from ticket.screens.actions import actions_of, hint_line
from ticket.screens.desk import Desk
from ticket.screens.page import Page
from ticket.screens.prompt import Field
from ticket.screens.rows import Row, Span, wrap

_FIELDS = ("form", "header", "sign", "start")  # screens of several fields


def bindings(subject: str) -> list[BindingType]:
    """The keys of a screen, from the registry; ``priority`` where an input would keep the key for itself.

    A real terminal sends Alt and a letter with the letter as its character, which an input would type. The arrows of
    a form, and the Enter that goes on to the next field, go first too: on their way through the screen, letters typed
    ahead would still reach the field before.
    """
    first = {"take", "back", "next", *(("up", "down") if subject in _FIELDS else ())}
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
        if action.id not in ("help", "leave", "actions", "open")
    ]


class Frame(Screen[None]):
    """A screen with a top line and a hint line.

    Attributes:
        subject: the name under which the registry knows this screen.
    """

    subject: ClassVar[str] = "jobs"
    AUTO_FOCUS: ClassVar[str | None] = "Prompt"

    @property
    def desk(self) -> Desk:
        """The running program, as far as a screen may ask it."""
        return cast("Desk", self.app)

    def top(self, spans: Sequence[Span]) -> None:
        """Draw the top line, on as many rows as it needs, three at most."""
        rows = wrap(spans, max(self.size.width - 2, 8), rest="  ")[:3]
        self.query_one("#top", Page).show(rows)
        self.query_one("#top").styles.height = len(rows)

    def hints(self) -> None:
        """Draw the hint line."""
        line = hint_line(self.subject, max(self.size.width - 2, 8))
        self.query_one("#hints", Page).show([Row((Span(line, "quiet"),))])

    def work_behind(self, work: Coroutine[Any, Any, None], group: str, *, exclusive: bool = True) -> None:
        """Do what takes longer behind the screen; with ``exclusive``, in place of what the group still does.

        Work that comes back while the screen is taken down finds its rows gone: nobody is there to see them.
        """
        self.run_worker(self._unless_gone(work), group=group, exclusive=exclusive)

    async def _unless_gone(self, work: Coroutine[Any, Any, None]) -> None:
        try:
            await work
        except NoMatches:
            if self.app.is_running and self.is_attached:
                raise

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
        """Scroll up."""
        self.page().scroll_page_up(animate=False)

    def action_page_down(self) -> None:
        """Scroll down."""
        self.page().scroll_page_down(animate=False)


def strip(name: str) -> Page:
    """A one-line page for the top or the hints."""
    page = Page(id=name, pointer=False)
    page.styles.height = 1
    page.styles.scrollbar_size_vertical = 0
    return page


def mark(text: str) -> Static:
    """The sign in front of the prompt."""
    return Static(text, markup=False, id="mark")


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


class Form(Frame):
    """A screen of fields, one row each; the arrows move between them, Escape leaves without a change."""

    subject: ClassVar[str] = "form"
    AUTO_FOCUS: ClassVar[str | None] = "Input"
    DEFAULT_CSS = """
    Form Grid { grid-size: 2; grid-columns: 18 1fr; grid-rows: 1; height: auto; padding: 1; }
    Form Input, Form Input:focus { border: none; height: 1; padding: 0; background: $panel; }
    Form Input:focus { text-style: bold; }
    Form #why { padding: 0 1; height: auto; }
    """

    def rows(self) -> Iterable[tuple[str, str, str, str]]:
        """The fields as (name, title, text, hint)."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        """One row a field, and a place for what is wrong or follows."""
        yield strip("top")
        with Grid():
            for name, title, text, hint in self.rows():
                yield Static(title, markup=False)
                field = Field(text, id=f"field-{name}", placeholder=hint)
                field.cursor_blink = False
                yield field
        yield Static("", id="why", markup=False)
        yield strip("hints")

    def typed(self, name: str) -> str:
        """What stands in a field."""
        return self.query_one(f"#field-{name}", Input).value

    def answer(self, text: str) -> None:
        """One sentence under the fields."""
        self.query_one("#why", Static).update(text)

    def action_back(self) -> None:
        """Leave it as it was."""
        self.dismiss()

    def action_up(self) -> None:
        """The field before."""
        self.focus_previous()

    def action_down(self) -> None:
        """The field behind."""
        self.focus_next()
