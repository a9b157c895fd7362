"""Signing: what the customer will read, once more, a reason for what is left open, and one key that closes it."""

from collections.abc import Sequence
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Input, Static

from ticket.gaps.gap import Gap
from ticket.grid.rows import Row, Span
from ticket.grid.signs import UNREAD
from ticket.job.errors import PinNeededError, TicketError
from ticket.job.text import one_line
from ticket.job.ticket import Ticket
from ticket.screens.actions import key_for
from ticket.screens.frame import Reading, bindings, strip
from ticket.screens.look import look_on
from ticket.screens.page import Page
from ticket.screens.pin_line import ask_pin
from ticket.screens.prompt import Field
from ticket.screens.story_rows import story_rows
from ticket.shop.changing import sign_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import story_of


class SignScreen(Reading):
    """The story as it will be signed; Ctrl+S would be flow control, so the key is F12 again.

    Args:
        shop: the open shop.
        ticket: as it was read.
        standing: blocking gaps; each needs a typed reason, one for all of the same kind.
    """

    subject: ClassVar[str] = "sign"
    AUTO_FOCUS: ClassVar[str | None] = "Input"
    BINDINGS = bindings("sign")
    DEFAULT_CSS = """
    SignScreen #open { height: auto; max-height: 60%; }
    SignScreen #open Static { height: auto; padding: 0 1; }
    SignScreen #open Input { border: none; height: 1; padding: 0 1; margin: 0 1; background: $tone-field; }
    SignScreen #open Input:focus { background: $tone-here; background-tint: transparent 0%; }
    """

    def __init__(self, shop: Shop, ticket: Ticket, standing: Sequence[Gap] = ()) -> None:
        super().__init__()
        self.shop = shop
        self.ticket = ticket
        self.standing: dict[str, list[Gap]] = {}
        for gap in standing:
            self.standing.setdefault(gap.id, []).append(gap)

    def compose(self) -> ComposeResult:
        """Top line, what is left open with room for its reason, the story, hints."""
        yield strip("top")
        with VerticalScroll(id="open", can_focus=False):
            for gap_id, gaps in self.standing.items():
                question = one_line(" ".join(dict.fromkeys(gap.question for gap in gaps)))
                yield Static(self._asked(question), markup=False)
                field = Field(id=f"why-{gap_id}", placeholder="why it may stay open all the same")
                field.cursor_blink = False
                yield field
        yield Page(id="page", pointer=False)
        yield strip("hints")

    def _asked(self, question: str) -> Text:
        """A question that is left open."""
        shown = look_on(self.app)
        return Text().append(f"{UNREAD} ", shown.style("ask")).append(question, shown.style("ink"))

    def on_resize(self) -> None:
        """Draw for the new width."""
        story = story_of(self.shop, self.ticket.number)
        rows = story_rows(story, max(self.size.width - 4, 20))
        self.page().show([Row(), *(Row((Span(" "), *one.spans)) for one in rows)])
        key = key_for("sign")
        text = f"  Read it once more. {key} signs it for good, {key_for('back')} goes back."
        if self.standing:
            text = f"  {len(self.standing)} left open: say why each may stay so, then {key} signs it."
        self.top([Span(f"Sign ticket {self.ticket.number}", "strong"), Span(text)])
        self.hints()

    def reasons(self) -> dict[str, str]:
        """The typed reasons by gap id."""
        return {gap_id: self.query_one(f"#why-{gap_id}", Input).value.strip() for gap_id in self.standing}

    @on(Input.Submitted)
    def _next(self) -> None:
        self.focus_next()

    def action_sign(self) -> None:
        """Sign what was read; refused if the ticket changed meanwhile, or while a reason is missing."""
        reasons = self.reasons()
        bare = next((gap_id for gap_id, reason in reasons.items() if not reason), None)
        if bare is not None:
            self.query_one(f"#why-{bare}", Input).focus()
            self.desk.say(f"Type why this may stay open: {self.standing[bare][0].question}")
            return
        try:
            seal = sign_ticket(self.shop, self.ticket.number, rev=self.ticket.rev, overruled=reasons)
        except PinNeededError as needed:
            ask_pin(self, self.shop, needed, self.action_sign)
            return
        except TicketError as error:
            self.desk.say(str(error))
            return
        self.desk.say(" ".join((f"Ticket {self.ticket.number} is signed. Seal {seal}.", *self.shop.told)))
        self.dismiss()
