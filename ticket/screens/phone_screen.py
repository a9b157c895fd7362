"""On the phone: one key for each answer, then a form with what the local rules want; one contact is written."""

from collections.abc import Iterable
from datetime import datetime
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from ticket.assist.phone_call import LEFT_MESSAGE, NO, NO_ANSWER, THINKS, UNREACHED, YES, Call, Reply, after, lacks
from ticket.grid.rows import Span
from ticket.job.errors import InputError, TicketError
from ticket.job.kinds import WAYS
from ticket.money.agreement import Agreement
from ticket.money.amount import cents, plain
from ticket.screens.actions import key_for
from ticket.screens.choice import Choice
from ticket.screens.form import Form, FormField, same
from ticket.screens.frame import Frame, bindings, strip
from ticket.screens.page import Page
from ticket.screens.phone_rows import call_rows, if_yes, lacks_words, money, stranger_words
from ticket.shop import money as billing
from ticket.shop.changing import record_reply
from ticket.shop.opening import Shop
from ticket.shop.reading import call_about


class PhoneScreen(Frame):
    """A call about one ticket.

    Args:
        shop: the open shop.
        number: the ticket.
    """

    subject: ClassVar[str] = "phone"
    AUTO_FOCUS: ClassVar[str | None] = ""
    BINDINGS = bindings("phone")

    def __init__(self, shop: Shop, number: int) -> None:
        super().__init__()
        self.shop = shop
        self.number = number
        self.call = call_about(shop, number)
        self.answers: dict[int, str] = {}
        self.at: datetime | None = None  # when the first answer came

    def compose(self) -> ComposeResult:
        """Top line, what is on the table, hints."""
        yield strip("top")
        yield Page(id="page")
        yield strip("hints")

    def on_mount(self) -> None:
        """The pointer stands on the first item."""
        self.draw()

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.draw()

    def on_screen_resume(self) -> None:
        """Coming back from the form."""
        self.changed_elsewhere()

    def changed_elsewhere(self) -> None:
        """The ticket changed: answers to items that are still there stay marked."""
        self.call = call_about(self.shop, self.number)
        there = {item.no for item in self.call.items}
        self.answers = {no: answer for no, answer in self.answers.items() if no in there}
        self.draw()

    def would(self) -> Agreement | None:
        """What would be agreed with the answers marked so far."""
        if not self.answers:
            return None
        return after(self.call, self.reply(self.call.names[0] if self.call.names else "?"), billing.prices(self.shop))

    def reply(self, who: str) -> Reply:
        """The answers so far as a contact."""
        return Reply(answers=self.answers, who=who, at=self.at or self.shop.now())

    def draw(self) -> None:
        """Draw what is on the table, and the sums of it on top."""
        would = self.would()
        page = self.page()
        page.show(call_rows(self.call, self.answers, would, max(self.size.width - 4, 20)))
        if page.key is None and self.call.items:
            page.choose(self.call.items[0].no)
        customer = self.call.ticket.header.customer
        parts = [customer.name or "customer not named", customer.phone]
        parts += [f"agreed {money(self.call, self.call.approved)}" if self.call.approved is not None else ""]
        parts += [f"so far {money(self.call, self.call.billed)}"]
        parts += [f"if yes {money(self.call, would.approved)}" if would and would.approved is not None else ""]
        told = " · ".join(part for part in parts if part)
        self.top([Span(f"On the phone, ticket {self.number}", "strong"), Span(f"  {told}")])
        self.hints()

    # -- the answers -------------------------------------------------------------------------------------------

    def _answer(self, answer: str) -> None:
        """Mark an answer to the item under the pointer; the same key again takes the mark away."""
        if self._signed():
            return
        key = self.page().key
        if not isinstance(key, int):
            self.desk.say("Move the pointer to an offer first, with ↑ and ↓.")
            return
        if any(one in UNREACHED for one in self.answers.values()):
            self.answers.clear()
        if self.answers.get(key) == answer:
            del self.answers[key]
        else:
            self.answers[key] = answer
        self._stamp()

    def _unreached(self, answer: str) -> None:
        """Nobody was reached: that goes for every item at once."""
        if self._signed():
            return
        self.answers = {item.no: answer for item in self.call.items}
        self._stamp()
        self.action_record()

    def _signed(self) -> bool:
        """Whether the ticket is signed, which is said: nothing can be written on it any more."""
        if self.call.ticket.seal:
            self.desk.say("The ticket is signed: open a new one for what the customer wants now.")
        return bool(self.call.ticket.seal)

    def _stamp(self) -> None:
        self.at = (self.at or self.shop.now()) if self.answers else None
        self.draw()

    def action_yes(self) -> None:
        """Yes to this item."""
        self._answer(YES)

    def action_no(self) -> None:
        """No to this item."""
        self._answer(NO)

    def action_thinks(self) -> None:
        """Wants to think about this item."""
        self._answer(THINKS)

    def action_no_answer(self) -> None:
        """Nobody answered the call."""
        self._unreached(NO_ANSWER)

    def action_left_message(self) -> None:
        """A message was left."""
        self._unreached(LEFT_MESSAGE)

    def action_record(self) -> None:
        """Write it down: the form asks for what is still needed."""
        if not self.answers:
            self.desk.say("Mark an answer first: y yes, n no, t thinks, v left a message, a nobody.")
            return
        form = ContactForm(self.shop, self.call, self.reply(""))
        self.app.push_screen(form, lambda _: self._left(form))

    def _left(self, form: "ContactForm") -> None:
        """The call is over once its contact is written: what is typed next belongs to the ticket."""
        if form.written:
            self.dismiss()

    def action_back(self) -> None:
        """Let the marks go that are not written, and say so; without any go back to the ticket."""
        if self.answers:
            self.answers, self.at = {}, None
            self.desk.say("The marks are gone, nothing was written. Esc once more goes back.")
            self.draw()
        else:
            self.dismiss()


class ContactForm(Form):
    """The fields of one contact: who and how always, the rest where the local rules or the answers need it."""

    BINDINGS = bindings("form")

    def __init__(self, shop: Shop, about: Call, reply: Reply) -> None:
        super().__init__()
        self.shop = shop
        self.call = about
        self.reply = reply
        self.written = False
        self.warned = ""
        self.prices, self.pack = billing.prices(shop), billing.pack(shop)

    def rows(self) -> Iterable[FormField]:
        """The fields with what is known already."""
        customer = self.call.ticket.header.customer
        yes = YES in self.reply.answers.values()
        yield FormField("who", "who", self.call.names[0] if self.call.names else "", "who was spoken to")
        yield FormField("way", "how", WAYS[0], choices=same(*WAYS))
        if not yes or "number or address" in self.call.asked:
            yield FormField("address", "number or address", customer.phone, "the one used")
        if yes:
            agreed = after(self.call, self.reply, self.prices)
            bare = any(item.price is None for item in self.call.items if self.reply.answers.get(item.no) == YES)
            total = "" if bare or agreed.approved is None else plain(agreed.approved)
            yield FormField("total", "new total", total, f"as told to the customer, {self.call.basis}", width=12)
            if "who recorded" in self.call.asked:
                yield FormField("by", "taken by", self.shop.person, "who took it")
        yield FormField("words", "what was said", "", "only where it matters", width=0)

    def on_resize(self) -> None:
        """Draw for the new width."""
        marked = ", ".join(f"{no} {answer}" for no, answer in self.reply.answers.items())
        lead = Span(f"Contact: {marked}", "strong")
        self.top([lead, Span(f"  {key_for('save')} writes it", "quiet")])
        self._typed()
        self.hints()

    def _reply(self) -> Reply:
        there = {name: text.strip() for name, text in self.values().items()}
        by = there.get("by", "")
        return Reply(
            answers=self.reply.answers,
            who=there["who"],
            way=there["way"],
            address=there.get("address", ""),
            total=there.get("total", ""),
            words=there.get("words", ""),
            by="" if by == self.shop.person else by,
            at=self.reply.at,
        )

    def _flaw(self, reply: Reply) -> str:
        """What is wrong with a field, in one sentence; empty where nothing is."""
        if reply.total and cents(reply.total) is None:
            return f"{reply.total!r} is no sum of money: write it as 228.40."
        return "" if reply.who else "Say who was spoken to, or whose number was tried."

    @on(Input.Changed)
    @on(Choice.Changed)
    def _typed(self) -> None:
        reply = self._reply()
        flaw = self._flaw(reply)
        if not flaw and YES in reply.answers.values():
            flaw = lacks_words(lacks(self.call, reply, self.prices, self.pack)) or stranger_words(self.call, reply.who)
            if not flaw and not reply.total:
                flaw = f"If yes: {if_yes(self.call, reply.answers, after(self.call, reply, self.prices))}"
        self.answer(flaw or f"{key_for('save')} writes it, with the time of the first answer.")

    def action_save(self) -> None:
        """Write the contact; where the local rules want more, only when asked twice."""
        reply = self._reply()
        try:
            if flaw := self._flaw(reply):
                raise InputError(flaw)
            missing = lacks_words(lacks(self.call, reply, self.prices, self.pack))
            if missing and self.warned != missing:
                self.warned = missing
                self.answer(f"{missing} {key_for('save')} once more writes it all the same.")
                return
            added = record_reply(self.shop, self.call.ticket.number, reply)
        except TicketError as error:
            self.answer(str(error))
            return
        self.written = True
        self.desk.say(f"Written as entry {added.entry.no}.")
        self.dismiss()
