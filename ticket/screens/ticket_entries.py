"""What can be done to the entry under the pointer, and to what was done last."""

from collections.abc import Callable

from ticket.grid.rows import cut
from ticket.job.entry import Entry
from ticket.job.errors import TicketError
from ticket.job.offer_answers import standing
from ticket.job.text import one_line
from ticket.notes.write import write
from ticket.screens.actions import key_for
from ticket.screens.routes import route_to
from ticket.screens.ticket_line import TicketLine
from ticket.shop.changing import clock, mark_shop_only, move_entry, put_back, redo, strike_entry, undo

_NAMED = 40
"""Cells of an entry's words behind what was done to it: the pointer may have stood on another than was meant."""


class TicketEntries(TicketLine):
    """Retype, form, strike, move, hide, clock; undo and redo.

    Attributes:
        warned: the offer whose strike was asked about, and the contact that answered it.
    """

    warned: tuple[int, int] | None = None

    def asked_entry(self) -> Entry | None:
        """The entry that the pointed question is about; the ticket screen knows."""
        raise NotImplementedError

    def _chosen(self) -> Entry | None:
        """The entry under the pointer, or of the question there; where there is none, the typist is told the way."""
        key = self.page().key
        entry = self.view.case.ticket.entry(key) if isinstance(key, int) else self.asked_entry()
        if entry is None:
            self.refuse("Move the pointer to an entry first, with ↑ and ↓.")
        return entry

    def _unsigned(self) -> bool:
        """Whether entries may still be changed; on a signed ticket the typist is told what to do instead."""
        if self.view.case.ticket.status != "signed":
            return True
        self.said(
            f"This ticket is signed: nothing on it is changed. {key_for('amend')} writes what corrects the entry under "
            "the pointer beside it, with its reason."
        )
        return False

    def _do(self, verb: Callable[[], str], *, key: int | None = None) -> None:
        """Do something and say it; what goes wrong is said too."""
        try:
            said = verb()
        except TicketError as error:
            self.failed(error)
            return
        self.reread(key=key)
        self.said(said)

    def action_undo(self) -> None:
        """Take back typing, else what was done last at this terminal."""
        if not self.prompt().take_back() and self._unsigned():
            self._do(lambda: f"Taken back: {undo(self.shop, self.number)}.")

    def action_redo(self) -> None:
        """Do again what was taken back last, typing first."""
        if not self.prompt().again() and self._unsigned():
            self._do(lambda: f"Done again: {redo(self.shop, self.number)}.")

    def action_edit(self) -> None:
        """Bring the entry under the pointer back to the line."""
        if (entry := self._chosen()) is None:
            return
        if entry.struck:
            self.said(f"Entry {entry.no} is struck; {key_for('strike')} puts it back.")
            return
        self.retype(entry)

    def action_strike(self) -> None:
        """Strike the entry under the pointer, or put a struck one back."""
        if not self._unsigned() or (entry := self._chosen()) is None:
            return
        no = entry.no
        given = None if entry.struck else standing(self.view.case.ticket).get(no)
        if given is not None and self.warned != (no, given.told):
            self.warned = (no, given.told)
            said = f"The customer answered {given.answer} to entry {no}, as entry {given.told} says."
            self.said(f"{said} {key_for('strike')} once more strikes it all the same.")
            return
        self.warned = None
        words = cut(one_line(write(entry.fact)), _NAMED)

        def strike() -> str:
            if entry.struck:
                put_back(self.shop, self.number, no)
                return f"Entry {no} stands again: {words}"
            strike_entry(self.shop, self.number, no)
            return f"Entry {no} is struck; {key_for('strike')} puts it back: {words}"

        self._do(strike, key=no)

    def action_hide(self) -> None:
        """Keep the entry under the pointer from the customer's copy, or let it on again."""
        if not self._unsigned() or (entry := self._chosen()) is None:
            return

        def hide() -> str:
            mark_shop_only(self.shop, self.number, entry.no, shop_only=not entry.shop_only)
            return f"Entry {entry.no} is {'on the customer’s copy again' if entry.shop_only else 'for the shop only'}."

        self._do(hide, key=entry.no)

    def action_move(self) -> None:
        """Ask for the concern the entry under the pointer belongs to."""
        if not self._unsigned() or (entry := self._chosen()) is None:
            return
        letters = sorted({part for other in self.view.case.ticket.entries for part in other.concerns})

        def move(typed: str) -> None:
            wanted = typed.strip().upper().replace(" ", "")
            move_entry(self.shop, self.number, entry.no, "" if wanted in ("", "-") else wanted)
            self.leave_question()
            self.reread(key=entry.no)
            self.said(f"Entry {entry.no} belongs to {wanted or 'the whole ticket'} now.")

        known = ", ".join(letters) or "none yet"
        text = f"Which concern does entry {entry.no} belong to? There are: {known}. A+C is shared, empty is none."
        self.ask(f"concern of {entry.no}", text, move)

    def action_clock(self) -> None:
        """Clock the person at the terminal on or off the labour under the pointer."""
        if self._unsigned() and (entry := self._chosen()) is not None:
            self._do(lambda: f"{clock(self.shop, self.number, entry.no)}.", key=entry.no)

    def action_picture(self) -> None:
        """Show the picture of the entry under the pointer beside the terminal."""
        if (entry := self._chosen()) is None:
            return
        from ticket.shop.papers import view_picture

        try:
            self.said(view_picture(self.shop, self.number, entry))
        except TicketError as error:
            self.failed(error)

    def action_form(self) -> None:
        """The form with every field of the entry under the pointer."""
        if not self._unsigned() or (entry := self._chosen()) is None:
            return
        if entry.struck:
            self.said(f"Entry {entry.no} is struck; {key_for('strike')} puts it back.")
            return

        form = route_to("entry", self.shop, self.view.case.ticket, entry)
        self.app.push_screen(form, lambda _: self.said(f"Entry {entry.no} is changed.") if form.changed else None)
