"""Signing: what the customer will read, once more, and one key that closes the ticket for good."""

from typing import ClassVar

from ticket.job.errors import TicketError
from ticket.job.ticket import Ticket
from ticket.screens.frame import Reading, bindings
from ticket.screens.rows import Span
from ticket.screens.story_rows import story_rows
from ticket.shop.shop import Shop


class SignScreen(Reading):
    """The story as it will be signed; Ctrl+S would be flow control, so the key is F12 again."""

    subject: ClassVar[str] = "sign"
    BINDINGS = bindings("sign")

    def __init__(self, shop: Shop, ticket: Ticket) -> None:
        super().__init__()
        self.shop = shop
        self.ticket = ticket

    def on_resize(self) -> None:
        """Draw for the new width."""
        story = self.shop.story(self.ticket.number)
        self.page().show(story_rows(story, max(self.size.width - 3, 20)))
        text = "  Read it once more. F12 signs it for good, Esc goes back."
        self.top([Span(f"Sign ticket {self.ticket.number}", "title"), Span(text)])
        self.hints()

    def action_sign(self) -> None:
        """Sign what was read; refused if the ticket changed meanwhile."""
        try:
            seal = self.shop.sign(self.ticket.number, rev=self.ticket.rev)
        except TicketError as error:
            self.desk.say(str(error))
            return
        self.desk.say(f"Ticket {self.ticket.number} is signed. Seal {seal}.")
        self.dismiss()
