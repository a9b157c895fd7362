"""The ways from a ticket to the screens that belong to it; each is imported when it is first opened."""

from collections.abc import Callable

from ticket.assist.merging import merge_facts
from ticket.job.errors import ConflictError
from ticket.job.kinds import Fact
from ticket.job.ticket import STATUSES, Ticket
from ticket.screens.actions import key_for
from ticket.screens.routes import route_to
from ticket.screens.ticket_beside import TicketBeside, told_codes
from ticket.screens.ticket_view import TicketView
from ticket.shop.changing import edit_entry
from ticket.shop.opening import Shop
from ticket.shop.reading import ticket_of


class TicketDoors(TicketBeside):
    """What a ticket screen can open beside itself.

    Attributes:
        shop: the open shop.
        number: the ticket.
        view: the ticket as last read.
        refused_rev: the state in which signing was refused once.
    """

    shop: Shop
    number: int
    view: TicketView
    refused_rev: int = -1

    def prompt_line(self, line: str) -> None:
        """Put a line into the prompt; the ticket screen knows how."""
        raise NotImplementedError

    def action_gaps(self) -> None:
        """Go to the next gap; the ticket screen knows where."""
        raise NotImplementedError

    def called(self, no: int) -> None:
        """A call was written as an entry; the ticket screen points at it."""
        raise NotImplementedError

    def action_header(self) -> None:
        """The form for vehicle, customer, odometer and status."""
        self.open_header()

    def open_header(self, field: str = "") -> None:
        """The same, gone to one of its fields."""
        self.app.push_screen(route_to("header", self.shop, self.view.case.ticket, field))

    def action_story(self) -> None:
        """The story with what it rests on, to reword, write out and print."""
        self.app.push_screen(route_to("story", self.shop, self.number))

    def action_call(self) -> None:
        """On the phone with the customer."""
        if not self.desk.may_write():
            return
        screen = route_to("phone", self.shop, self.number)
        self.app.push_screen(screen, lambda _: self.called(screen.written) if screen.written else None)

    def settle_conflict(
        self, no: int, before: Fact, mine: Fact, error: ConflictError, *, done: Callable[[int], None],
        line: Callable[[], None] | None = None,
    ) -> bool:  # fmt: skip
        """Let the person choose between two versions of an entry; ``False`` where there are no two to choose from.

        Args:
            no: the entry.
            before: what both saw.
            mine: what was typed here.
            error: what the shop said when it refused to write.
            done: called with the entry's number once it is decided.
            line: takes the typed line back.
        """
        entry = ticket_of(self.shop, self.number).entry(no)
        if entry is None or entry.struck:
            return False
        theirs = entry.fact
        merged, clashes = merge_facts(before, mine, theirs)
        if not clashes:
            return False

        def write_mine() -> None:
            edit_entry(self.shop, self.number, no, merged, theirs)

        screen = route_to("conflict", str(error), clashes, write_mine, lambda: None, line)
        self.app.push_screen(screen, lambda _: done(no) if screen.decided else None)
        return True

    def action_balance(self) -> None:
        """The form for a balance of two reservoirs; its line comes to the prompt."""
        self.app.push_screen(route_to("balance", self.prompt_line))

    def action_new(self) -> None:
        """The form for a new ticket, in place of this one."""
        if not self.desk.may_write():
            return
        self.app.switch_screen(route_to("new", self.shop))

    def action_past(self) -> None:
        """Past jobs; the newest code of this ticket is looked for first."""
        self.app.push_screen(route_to("past", code_in_hand(self.view.case.ticket), self.number))

    def action_followups(self) -> None:
        """Deferred work by date."""
        self.app.push_screen(route_to("followups", self.shop))

    def action_sign(self) -> None:
        """Sign; while something blocks it only when asked twice, and then with a typed reason."""
        from ticket.shop.reading import unanswered

        if not self.desk.may_write():
            return
        ticket = self.view.case.ticket
        if ticket.status == STATUSES[-1]:
            self.desk.say(f"It is signed already; {key_for('amend')} corrects it with an amendment.")
            return
        left = unanswered(self.shop, self.number)
        if left and self.refused_rev != ticket.rev:
            self.refused_rev = ticket.rev
            again = f"{key_for('sign')} once more signs in spite of it, with a reason."
            there = f"{key_for('gaps')} goes there; " if left[0] in self.view.gaps else ""
            self.desk.say(f"Not yet: {left[0].question} {there}{again}")
            if there:
                self.action_gaps()
            return

        self.app.push_screen(route_to("sign", self.shop, ticket, left))


def code_in_hand(ticket: Ticket) -> str:
    """The code typed last on a ticket, as a search takes it; empty without one."""
    for code, sub in told_codes(ticket)[:1]:
        return f"{code}-{sub}" if sub else code
    return ""
