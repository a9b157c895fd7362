"""The list of all actions: what can be done where one came from, found by typing, done by Enter."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from ticket.grid.rows import Row, Span, cut
from ticket.job.text import fold
from ticket.job.width import cells
from ticket.screens.action_table import Action
from ticket.screens.actions import actions_of, keys_of, shown_key
from ticket.screens.bare_ground import Band
from ticket.screens.frame import Frame, bindings, mark, strip
from ticket.screens.long_page import Lines, LongPage
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt

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

    def __init__(self, below: Frame) -> None:
        super().__init__()
        self.below = below

    def compose(self) -> ComposeResult:
        """Top line, actions, line to find with, keys."""
        yield strip("top")
        yield LongPage(id="page")
        with Band(classes="line"):
            yield mark("find ›")
            yield Prompt(id="prompt", placeholder="what you want to do")
        yield strip("hints")

    def on_mount(self) -> None:
        """Draw all of them."""
        prompt = self.query_one(Prompt)
        prompt.listener, prompt.enter, prompt.finds = self.draw, self.action_choose, True

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
        self.top([Span("All actions", "strong"), Span(f"  {len(found)}", "quiet")])
        self.hints()

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
