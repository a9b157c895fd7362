"""The list of all actions: what can be done where one came from, found by typing, done by Enter."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from ticket.grid.list_grid import told_lines
from ticket.grid.rows import Row, Span, cut
from ticket.grid.signs import RULE
from ticket.job.text import fold
from ticket.job.width import cells
from ticket.screens.action_table import Action
from ticket.screens.actions import actions_of, keys_of, shown_key
from ticket.screens.frame import Frame, bindings, strip
from ticket.screens.long_page import Lines, LongPage
from ticket.screens.page import Page
from ticket.screens.prompt import FIND, Prompt

_ROWS = 3
"""Rows that the pointed action takes below the list, its rule included."""
_MOVING = ("up", "down", "page_up", "page_down", "first", "last", "actions", "choose", "put", "take", "mark", "next")
"""Actions that mean nothing from a list: whoever reads it has moved already."""


def listed(subject: str, typed: str) -> list[Action]:
    """The actions of a screen that hold every typed word, in the order of the registry."""
    words = fold(typed).split()
    actions = (action for action in actions_of(subject) if action.id not in _MOVING)
    return [one for one in actions if all(word in fold(f"{one.label} {one.help} {one.id}") for word in words)]


def action_row(action: Action, width: int) -> Row:
    """One line an action: its words, its key, what it does."""
    key = shown_key(keys_of(action)[0])
    name, room = cut(action.label, 18), max(width - 32, 8)
    spans = (
        Span(" "), Span(name, "strong"), Span(" " * (20 - cells(name))), Span(f"{key:<9}", "quiet"), Span("  "),
        Span(cut(action.help, room)),
    )  # fmt: skip
    return Row(spans, action.id)


class ActionsScreen(Frame):
    """Everything that can be done on the screen below.

    Args:
        below: the screen it was asked on.
    """

    subject: ClassVar[str] = "actions"
    BINDINGS = bindings("actions")
    DEFAULT_CSS = """
    ActionsScreen #page { scrollbar-size-vertical: 0; }
    """

    def __init__(self, below: Frame) -> None:
        super().__init__()
        self.below = below

    def compose(self) -> ComposeResult:
        """Top line, actions, the pointed one whole, line to find with, keys."""
        yield strip("top", 2)
        yield LongPage(id="page")
        yield strip("whole", _ROWS)
        yield Prompt(id="prompt", lead=FIND, placeholder="what you want to do")
        yield strip("hints")

    def on_mount(self) -> None:
        """Draw all of them."""
        prompt = self.query_one(Prompt)
        prompt.listener, prompt.enter, prompt.finds = self.draw, self.action_choose, True
        self.page().on_pointed = self._draw_whole

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.draw()

    def page(self) -> LongPage:
        """The list."""
        return self.query_one("#page", LongPage)

    def draw(self) -> None:
        """Draw what fits the typed words."""
        width = max(self.size.width - 2, 20)
        found = listed(self.below.subject, self.query_one(Prompt).value)
        head = [] if found else [Row((Span(" Nothing here is called that; fewer words find more."),))]
        self.page().show_lines(Lines(head, [action.id for action in found], lambda i: [action_row(found[i], width)]))
        top = Row((Span(" "), Span("All actions", "strong"), Span(f"  {len(found)}", "quiet")))
        self.query_one("#top", Page).show([top, Row()])
        self._draw_whole()
        self.hints()

    def _draw_whole(self) -> None:
        """What the pointed action does, whole, under a rule."""
        key, width = self.page().key, self.size.width
        told = [(one.label, one.help) for one in listed(self.below.subject, "") if one.id == key]
        rows = told_lines(told, _ROWS - 1, width, 18)
        self.query_one("#whole", Page).show([Row((Span(RULE * width, "rule"),)), *rows])

    def action_choose(self) -> None:
        """Leave the list and do what the pointer stands on."""
        key = self.page().key
        if isinstance(key, str):
            self.dismiss()
            self.below.call_after_refresh(self.below.do, key)

    @on(Page.Chosen)
    def _clicked(self) -> None:
        self.action_choose()

    @on(Input.Submitted)
    def _submitted(self) -> None:
        self.action_choose()

    def action_back(self) -> None:
        """Clear the words, else back to where it was asked."""
        if self.query_one(Prompt).value:
            self.query_one(Prompt).value = ""
        else:
            self.dismiss()
