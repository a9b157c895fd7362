"""On the phone: one key for each answer; the line shows the contact as it will be written, and takes corrections."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from typing import ClassVar

from textual.app import ComposeResult

from ticket.assist.phone_call import (
    LEFT_MESSAGE,
    NO,
    NO_ANSWER,
    THINKS,
    UNREACHED,
    YES,
    after,
    answered,
    answers_in,
    lacks,
)  # fmt: skip
from ticket.grid.rows import Row, Span, wrap
from ticket.grid.signs import HERE
from ticket.job.errors import TicketError
from ticket.job.kinds import WAYS, Told
from ticket.money.agreement import Agreement
from ticket.money.amount import cents, plain
from ticket.notes.read import read
from ticket.notes.write import write
from ticket.screens.bare_ground import Band
from ticket.screens.frame import Frame, bindings, strip
from ticket.screens.page import Page
from ticket.screens.phone_rows import (
    asked_row,
    call_rows,
    head_rows,
    if_yes,
    lacks_words,
    open_words,
    stranger_words,
    sum_rows,
    written_row,
)  # fmt: skip
from ticket.screens.prompt import Prompt
from ticket.shop import money as billing
from ticket.shop.changing import record_contact
from ticket.shop.opening import Shop
from ticket.shop.reading import call_about

_LOW = 18
"""Rows of the window below which only the new sum is told."""
_LEAD = f"{Told.kind}: "


class PhoneScreen(Frame):
    """A call about one ticket.

    Args:
        shop: the open shop.
        number: the ticket.

    Attributes:
        written: the entry that the call became.
    """

    subject: ClassVar[str] = "phone"
    AUTO_FOCUS: ClassVar[str | None] = ""
    BINDINGS = bindings("phone")
    DEFAULT_CSS = """
    PhoneScreen #mark { width: 8; }
    PhoneScreen #page { scrollbar-size-vertical: 0; }
    """

    def __init__(self, shop: Shop, number: int) -> None:
        super().__init__()
        self.shop = shop
        self.number = number
        self.call = call_about(shop, number)
        self.prices, self.pack = billing.prices(shop, self.call.ticket), billing.pack(shop)
        self.fact = self._usual()
        self.total: str | None = None  # as typed into the line; else what the answers come to
        self.at: datetime | None = None  # when the first answer came
        self.flawed = ""
        self.asked = ""  # the question that the typed line leaves open
        self.written = 0
        self._own = False  # the line is written by the program, not typed

    def _usual(self) -> Told:
        """Who is called, and how, where nobody typed anything else."""
        who = self.call.names[0] if self.call.names else ""
        return Told(who=who, way=WAYS[0], address=self.call.ticket.header.customer.phone)

    @property
    def answers(self) -> dict[int, str]:
        """The answers so far, by the item's number."""
        return answers_in(self.fact)

    def compose(self) -> ComposeResult:
        """Whose call it is, what is on the table, the sums, the line that will be written, what is said to it, keys."""
        yield strip("top", 4)
        yield Page(id="page")
        yield strip("sums", 4)
        yield strip("ask")
        with Band(classes="line"):
            yield strip("mark")
            yield Prompt(id="prompt")
        yield strip("understood")
        yield strip("hints")

    def on_mount(self) -> None:
        """The pointer stands on the first item."""
        prompt = self.query_one(Prompt)
        prompt.listener, prompt.enter = self._typed, self.action_record
        sign = (Span(" "), Span(Told.kind, "strong"), Span(f" {HERE}", "strong"))
        self.query_one("#mark", Page).show([Row(sign)])

    def on_resize(self) -> None:
        """Draw for the new width."""
        self.draw()

    def on_screen_resume(self) -> None:
        """Coming back from the help."""
        self.changed_elsewhere()

    def changed_elsewhere(self) -> None:
        """The ticket changed: answers to items that are still there stay marked."""
        self.call = call_about(self.shop, self.number)
        there = {item.no for item in self.call.items}
        self._mark({no: answer for no, answer in self.answers.items() if no in there})

    def would(self) -> Agreement | None:
        """What would be agreed with the answers so far; ``None`` while nobody said yes."""
        if YES not in self.answers.values():
            return None
        return after(self.call, replace(self.fact, who=self.fact.who or "?"), self._when(), self.prices)

    def _when(self) -> datetime:
        return self.at or self.shop.now()

    def draw(self) -> None:
        """Draw what is on the table, the sums of it, and what is said to the line."""
        width, page = max(self.size.width, 20), self.page()
        low = self.size.height < _LOW
        self._strip("#top", [row for i, row in enumerate(head_rows(self.call, width)) if not (low and i == 1)])
        page.show(call_rows(self.call, self.answers, width))
        if page.key is None and self.call.items:
            page.choose(self.call.items[0].no)
        sums = sum_rows(self.call, self.answers, self.would(), width)
        self._strip("#sums", [sums[0], sums[2]] if low else sums)
        self.query_one("#ask", Page).show([written_row(width)])
        self._strip("#understood", wrap(self._verdict(), width - 3, first=" ", rest="   ")[:3])
        self.hints()

    def _strip(self, name: str, rows: Sequence[Row]) -> None:
        page = self.query_one(name, Page)
        page.styles.height = len(rows)
        page.show(rows)

    def _verdict(self) -> tuple[Span, ...]:
        """What is said below the line: what is missing, what stays open, else what a yes comes to."""
        if not self.query_one(Prompt).value.strip():
            return (Span("Mark an answer: y yes, n no, t thinks, v message, a nobody; Tab types it.", "quiet"),)
        if flaw := self._flaw():
            return asked_row(flaw)
        if YES in self.answers.values():
            if stranger := stranger_words(self.call, self.fact.who):
                return asked_row(stranger)
            if not self.fact.total:
                return asked_row(f"If yes: {if_yes(self.call, self.answers, self.would())}")
        left = open_words(self.call, self.answers)
        told = if_yes(self.call, self.answers, self.would()) if YES in self.answers.values() else ""
        if left:
            return asked_row(left)
        return (Span(f"If yes: {told}" if told else "Enter writes it, with the time of the first answer.", "quiet"),)

    def _flaw(self) -> str:
        """What keeps the line from being written, or what the local rules want with it; empty where nothing is."""
        if self.asked:
            return self.asked
        if self.fact.total and cents(self.fact.total) is None:
            return f"{self.fact.total!r} is no sum of money: write it as 228.40."
        if not self.fact.who.strip():
            return "Say who was spoken to, or whose number was tried."
        if not self.answers:
            return "Say who answered what, with the entry: yes 9, no 10."
        return lacks_words(lacks(self.call, self.fact, self._when(), self.prices, self.pack))

    # -- the answers -------------------------------------------------------------------------------------------

    def _answer(self, answer: str) -> None:
        """Mark an answer to the item under the pointer; the same key again takes the mark away."""
        if self._signed():
            return
        key = self.page().key
        if not isinstance(key, int):
            self.desk.say("Move the pointer to an offer first, with ↑ and ↓.")
            return
        answers = {} if any(one in UNREACHED for one in self.answers.values()) else self.answers
        if answers.get(key) == answer:
            del answers[key]
        else:
            answers[key] = answer
        self._mark(answers)

    def _unreached(self, answer: str) -> None:
        """Nobody was reached: that goes for every item at once."""
        if not self._signed():
            self._mark({item.no: answer for item in self.call.items})

    def _signed(self) -> bool:
        """Whether the ticket is signed, which is said: nothing can be written on it any more."""
        if self.call.ticket.seal:
            self.desk.say("The ticket is signed: open a new one for what the customer wants now.")
        return bool(self.call.ticket.seal)

    def _mark(self, answers: dict[int, str]) -> None:
        """Take answers, and write the line anew with them; who, how and what was said stay as typed."""
        self.at = (self.at or self.shop.now()) if answers else None
        self.fact = replace(self.fact, answers=answered(answers), total="")
        self.fact = replace(self.fact, total=self._sum() if self.total is None else self.total)
        self._own, self.asked = True, ""
        self.query_one(Prompt).put(write(self.fact).removeprefix(_LEAD) if answers else "")
        self._own = False
        self.draw()

    def _sum(self) -> str:
        """The new total, where every yes has a price."""
        bare = any(item.price is None for item in self.call.items if self.answers.get(item.no) == YES)
        would = self.would()
        return "" if bare or would is None or would.approved is None else plain(would.approved)

    def _typed(self) -> None:
        """The line was typed into: what stands there counts."""
        if self._own:
            return
        typed = self.query_one(Prompt).value
        drafts = read(f"{_LEAD}{typed}", tuple(person.name for person in self.shop.people))
        fact = drafts[0].fact if len(drafts) == 1 else None
        if not typed.strip():  # begun anew: the next mark names the customer again
            self.fact, self.total, self.asked = self._usual(), None, ""
        elif isinstance(fact, Told):
            asked = next((remark for remark in drafts[0].remarks if remark.state != "remark"), None)
            self.asked = asked.text if asked else ""
            self.total = fact.total if fact.total != self.fact.total or self.total is not None else None
            self.fact = fact
            self.at = self.at or self.shop.now()
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

    # -- the line ----------------------------------------------------------------------------------------------

    def action_line(self) -> None:
        """Into the line, and back to the answers."""
        prompt = self.query_one(Prompt)
        self.set_focus(None if prompt.has_focus else prompt)

    def action_kept(self) -> None:
        """What stands on this page is written by Enter alone."""
        if self.answers:
            self.desk.say("The call is not written yet: Enter writes it.")
        else:
            super().action_kept()

    def action_record(self) -> None:
        """Write the contact; where the local rules want more, only when asked twice."""
        if self._signed():
            return
        if not self.query_one(Prompt).value.strip():
            self.desk.say("Mark an answer first: y yes, n no, t thinks, v left a message, a nobody.")
            return
        fact = replace(self.fact, at=self.fact.at or f"{self._when().astimezone():%H:%M}")
        fact = replace(fact, by="" if fact.by == self.shop.person else fact.by)
        flaw = self._flaw()
        passes = bool(fact.who.strip() and fact.answers) and (not fact.total or cents(fact.total) is not None)
        if flaw and not (passes and flaw == self.flawed):
            self.flawed = flaw if passes else ""
            self.desk.say("Enter once more writes it all the same." if passes else "Nothing was written yet.")
            return
        try:
            self.written = record_contact(self.shop, self.number, fact).entry.no
        except TicketError as error:
            self.desk.say(str(error))
            return
        self.desk.say(f"Written as entry {self.written}.")
        self.dismiss()

    def action_back(self) -> None:
        """Out of the line; then let the marks go that are not written, and say so; without any back to the ticket."""
        prompt = self.query_one(Prompt)
        if prompt.has_focus:
            self.set_focus(None)
        elif prompt.value.strip():
            self.total = None
            self._mark({})
            self.desk.say("The marks are gone, nothing was written. Esc once more goes back.")
        else:
            self.dismiss()
