"""The line to type in on a ticket: understood and completed at every key, kept half-typed, turned into entries."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from textual import on
from textual.timer import Timer

from ticket.assist.completing import Candidate, History, complete, next_word
from ticket.assist.line_settling import Settled
from ticket.assist.typing_context import TypingContext
from ticket.grid.rows import Row, Span
from ticket.grid.signs import HERE
from ticket.job.entry import CONCERN_LETTERS, Entry
from ticket.job.errors import ConflictError, TicketError
from ticket.job.kinds import KINDS, Fact, Says
from ticket.machine.draft_lines import DraftLines
from ticket.notes.likely_kinds import with_next_kind
from ticket.notes.segments import lead_to_refs
from ticket.notes.write import write
from ticket.screens.actions import key_for
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt
from ticket.screens.routes import route_to
from ticket.screens.sides import length, spaced
from ticket.screens.ticket_doors import TicketDoors
from ticket.screens.ticket_head import letters_of
from ticket.screens.understanding import HEIGHT, Reply, inks_of, open_question, understanding_rows
from ticket.shop.changing import add_settled, edit_entry
from ticket.shop.reading import ticket_of, understand, with_limits

_KIND_WIDTH = max(map(len, KINDS))
_DELAY = 0.3  # seconds after the last key until a half-typed line is kept, and limits of the book are offered for it


@dataclass(frozen=True, slots=True)
class Question:
    """Something asked in the line, until it is answered or left.

    Attributes:
        sign: stands before the line.
        text: what is asked, shown above the line.
        answer: called with what was typed; raises an error of ours to ask again.
        before: the line that stood there.
    """

    sign: str
    text: str
    answer: Callable[[str], None]
    before: str = ""


class TicketLine(TicketDoors):
    """What happens in the line of a ticket.

    Attributes:
        sticky: letter of the concern that lines belong to; empty for the one opened last.
        editing: the entry whose line was brought back.
        refused: the proposed entries are not wanted.
        question: what the line is used to ask for, if anything.
    """

    draft_lines: DraftLines
    around: TypingContext
    history: History
    sticky: str = ""
    editing: Entry | None = None
    refused: bool = False
    question: Question | None = None
    settled: tuple[Settled, ...] = ()
    candidates: tuple[Candidate, ...] = ()
    choice: int = 0
    answer: int = 0
    message: str = ""
    asks: bool = False
    _prompt: Prompt | None = None
    _resting: Timer | None = None
    _sign: tuple[Span, ...] = ()  # what stands before the line
    _tall: int = 1  # rows below the line, while it holds text
    _line: str = ""  # as it stood at the last key: when the screen ends, its input has gone already

    def reread(self, *, key: int | str | None = None) -> None:
        """Read the ticket again and draw it."""
        raise NotImplementedError

    def prompt(self) -> Prompt:
        """The line."""
        if self._prompt is None:  # asked several times a key
            self._prompt = self.query_one(Prompt)
        return self._prompt

    def prompt_line(self, line: str) -> None:
        """Put a line into the prompt, the cursor behind it."""
        self.prompt().put(line)

    def listen(self) -> None:
        """Take the line's changes from now on, and offer what was left half-typed."""
        prompt = self.prompt()
        prompt.listener, prompt.taker, prompt.enter = self._typed, self._take_completion, self._entered
        left = self.draft_lines.left(self.number)
        if left:
            prompt.put(left)
            self.said("Still in the line from before; Esc clears it.")

    def on_unmount(self) -> None:
        """Keep the line that was being typed."""
        self.keep_line()

    # -- drawing -----------------------------------------------------------------------------------------------

    def said(self, text: str) -> None:
        """One sentence below the line, until the next key: it never covers what is typed."""
        self._say(text, asks=False)

    def refuse(self, text: str) -> None:
        """The same, marked as something that the person has to do something about."""
        self._say(text, asks=True)

    def _say(self, text: str, *, asks: bool) -> None:
        self.message, self.asks = text, asks
        self.draw_understanding()

    def failed(self, error: TicketError) -> None:
        """Say what went wrong; the line is kept."""
        self.refuse(str(error))

    def draw_prompt(self) -> None:
        """What stands before the line: the concern, then what is asked, the entry being retyped, or the kind."""
        asked = self.question.sign if self.question else f"{self.editing.no} again" if self.editing else ""
        concern = "" if self.question else self._concern()
        parts = ((concern, "quiet"), (asked, "ask"), (self._kind_word(), "strong"), (HERE, "strong"))
        shown = tuple(Span(text, ink) for text, ink in parts if text)
        if shown != self._sign:  # a new width is a new layout of the screen: never at every key
            self._sign = shown
            spans = spaced([(span,) for span in shown], 1)
            width = length(spans) + 2
            mark = self.query_one("#mark", Page)
            if mark.styles.width is None or mark.styles.width.value != width:
                mark.styles.width = width
            mark.show([Row((Span(" "), *spans))])

    def _concern(self) -> str:
        """The letter that Enter would give the line; a blank for what belongs to the whole ticket."""
        letters, new = letters_of(self.view.case), not self.view.case.ticket.entries
        if not letters and not new:
            return ""
        usual = self.sticky or (letters or CONCERN_LETTERS)[-1 if letters else 0]  # a new ticket asks for its first
        return (self.settled[-1].draft.concern if self.settled else usual) or " "

    def _kind_word(self) -> str:
        """The kind that Enter would take, as wide for every kind and for none, so that the line stays where it is.

        Before a new ticket's first line it is the one that is asked.
        """
        if self.question is not None or (self.editing is not None and not self.settled):
            return ""
        kind = self.settled[-1].draft.fact.kind if self.settled else ""
        return f"{kind if kind or self.view.case.ticket.entries else Says.kind:>{_KIND_WIDTH}}"

    def draw_understanding(self) -> None:
        """What the typed line would become, and how it may go on."""
        prompt = self.prompt()
        text = prompt.value
        reading = bool(text.strip()) and self.question is None
        self.settled = self._understand(text, live=True) if reading else ()
        # What was typed on other tickets may hold their customers' names.
        history = _nothing if self.shop.hidden else self.history
        self.candidates = complete(text, self.around, history) if reading else ()
        self.choice = self.answer = 0
        asked = open_question(self.settled)
        prompt.answerer = self._take_answer if asked and asked.answers else None
        prompt.proposer = self.action_take if self.settled and self.settled[-1].proposed else None
        prompt.inks = inks_of(self.settled)
        prompt.ghost(self.candidates[0].line if self.candidates and prompt.answerer is None else "")
        prompt.refresh()
        self._show_understood()

    def _understand(self, text: str, *, live: bool = False) -> tuple[Settled, ...]:
        retyped = self.editing.no if self.editing else 0
        return understand(
            self.shop, self.view.case.ticket, text, self.sticky, live=live, asked=True, retyped=retyped
        )  # fmt: skip

    def _show_understood(self, *, typing: bool = True) -> None:
        """Draw what there is to say.

        A sentence longer than a row gets its other rows once nobody types: they are a new layout of the screen, and the
        next key may settle it. Only what offers an answer is shown whole at once: Right takes what is seen.
        """
        asked = self.question.text if self.question else ""
        reply = Reply(
            self.settled, self.refused, self.message or asked, self.candidates, self.choice, self.answer,
            () if self.settled else self.silent(), asks=self.asks if self.message else bool(asked),
        )  # fmt: skip
        brief = typing and self.settled and self.prompt().answerer is None and not reply.message
        rows = understanding_rows(reply, self.view.case, max(self.size.width - 2, 20), self._tall if brief else HEIGHT)
        # Never lower while the same line is typed: then only the rows that changed are drawn again.
        typed = bool(self.prompt().value.strip())
        self._tall = max(len(rows), self._tall if typed else 1)
        below = self.query_one("#understood", Page)
        if below.styles.height is None or below.styles.height.value != self._tall:
            below.styles.height = self._tall
        below.show([*(Row((Span(" "), *row.spans)) for row in rows), *[Row()] * (self._tall - len(rows))])
        self.draw_prompt()

    def silent(self) -> tuple[Span, ...]:
        """What is told below the empty line; the ticket screen knows."""
        raise NotImplementedError

    # -- typing ------------------------------------------------------------------------------------------------

    def _typed(self) -> None:
        self.refused = False
        self.message = ""
        self._line = self.prompt().value
        self.draw_understanding()
        if self._resting is None:
            self._resting = self.set_timer(_DELAY, self._rested)
        else:
            self._resting.reset()

    def _rested(self) -> None:
        """What may wait until nobody types: keep the line, and look what the limits book has for it."""
        self._resting = None
        self.keep_line()
        with_book = with_limits(self.shop, self.view.case.ticket, self.settled)
        if self.settled:
            self.settled = with_book
            self._show_understood(typing=False)

    def keep_line(self) -> None:
        """Keep the line that is being typed, to offer it again."""
        if self.question is None and self.editing is None:
            self.draft_lines.keep(self.number, self._line)

    def _entered(self) -> None:
        text = self.prompt().value
        if self.question is not None:
            self._answered(self.question, text)
        elif text.strip():
            self._put(text)
        else:
            self.entered_nothing()

    def entered_nothing(self) -> None:
        """Enter on an empty line; the ticket screen knows what is pointed at."""
        raise NotImplementedError

    @on(Prompt.Pasted)
    def _pasted(self, event: Prompt.Pasted) -> None:
        if self.question is None:
            self._put(event.text)

    @on(Prompt.Asked)
    def _asked_for_help(self) -> None:
        self.desk.action_help()

    def ask(self, sign: str, text: str, answer: Callable[[str], None]) -> None:
        """Ask for something in the line; what stands there comes back afterwards."""
        before = self.question.before if self.question else self.prompt().value
        self.question = Question(sign, text, answer, before)
        self.prompt().put("")
        self.draw_prompt()
        self.draw_understanding()

    def leave_question(self) -> None:
        """Ask no longer; the line from before is back."""
        before = self.question.before if self.question else ""
        self.question = None
        self.prompt().put(before)
        self.draw_prompt()
        self.draw_understanding()

    def _answered(self, question: Question, text: str) -> None:
        try:
            question.answer(text)
        except TicketError as error:
            self.failed(error)
            return
        if self.question is question:
            self.leave_question()

    def _put(self, text: str) -> None:
        """Make entries of typed or pasted text; whatever goes wrong, the text stays in the line."""
        if self._concern_alone(text) or self._word_alone(text):
            return
        if self.view.case.ticket.status == "signed":
            self._amend(text if self.refused else self._with_proposed(text))
            return
        try:
            number = self._write(text)
        except ConflictError as error:
            self._conflicting(text, error)
            return
        except TicketError as error:
            self.failed(error)
            return
        self._done(number)

    def _conflicting(self, text: str, error: ConflictError) -> None:
        """Somebody changed the entry that was retyped: both versions are shown, or what happened is said."""
        entry = self.editing
        mine = self._fact(self._understand(text)[0])
        if entry is None or not self.settle_conflict(
            entry.no, entry.fact, mine, error, done=self._done, line=partial(self._retype_over, entry.no)
        ):
            self.failed(error)

    def _retype_over(self, no: int) -> None:
        """Go on with the typed line, from now on over what the other person wrote."""
        self.editing = ticket_of(self.shop, self.number).entry(no)

    def _write(self, text: str) -> int:
        settled = self._understand(text)
        if self.editing is not None and settled:
            edit_entry(self.shop, self.number, self.editing.no, self._fact(settled[0]), self.editing.fact)
            return self.editing.no
        added = add_settled(self.shop, self.view.case.ticket, settled, accept=not self.refused)
        self.sticky = added[-1].entry.concern.split("+")[0] or self.sticky
        return added[-1].entry.no

    def _fact(self, item: Settled) -> Fact:
        """What Enter writes: with the entries that the row below says it takes."""
        return item.draft.fact if self.refused else item.accepted

    def _done(self, number: int) -> None:
        self.editing = None
        self.refused = False
        self.prompt().begin_anew()
        self.draft_lines.keep(self.number, "")
        self.reread(key=number)

    def _concern_alone(self, text: str) -> bool:
        """A letter alone sets the sticky concern; without a space behind it, since ``B pillar bent`` is a finding."""
        letter = text.strip()
        if self.editing is not None or len(letter) != 1 or letter not in CONCERN_LETTERS:
            return False
        if letter in {part for entry in self.view.case.ticket.entries for part in entry.concerns}:
            self.sticky = letter
            self.prompt().value = ""
            self.said(f"Lines belong to concern {letter} now.")
        else:
            self.said(f"There is no complaint {letter} yet; says: opens the next one.")
        self.draw_prompt()
        return True

    def _word_alone(self, text: str) -> bool:
        """A word of the notation with nothing behind it is not written: an example shows what belongs there."""
        kind = KINDS.get(text.strip().removesuffix(":").rstrip().casefold())
        if kind is not None:
            self.refuse(f"What belongs behind {kind.kind}? Such as: {kind.example}")
        return kind is not None

    def _amend(self, text: str = "") -> None:
        """Correct a signed ticket: a form asks which entry, what and why; the line is taken along."""
        if not self.desk.may_write():
            return
        key = self.page().key
        no = self.editing.no if self.editing else key if isinstance(key, int) and not text else 0
        screen = route_to("amend", self.shop, self.view.case.ticket, no, text)
        self.app.push_screen(screen, lambda _: self._done(screen.written) if screen.written else None)

    def action_amend(self) -> None:
        """Correct a signed ticket; one that is not signed is simply retyped."""
        if self.view.case.ticket.status == "signed":
            self._amend(self.prompt().value.strip())
        else:
            self.said(f"This ticket is not signed yet: {key_for('edit')} retypes the entry under the pointer.")

    # -- actions -----------------------------------------------------------------------------------------------

    def retype(self, entry: Entry) -> None:
        """Bring an entry's line back."""
        self.editing = entry
        self.prompt_line(write(entry.fact, concern=entry.concern, shop_only=entry.shop_only))
        self.draw_prompt()

    def clear_line(self) -> bool:
        """Leave a question, a retyping or a line, whichever comes first; whether there was one."""
        if self.question is not None:
            self.leave_question()
        elif self.prompt().value or self.editing:
            self.editing = None
            self.prompt().value = ""
            self.draw_prompt()
        else:
            return False
        return True

    def _take_completion(self, word: bool) -> None:
        if self.candidates:
            line = self.candidates[self.choice].line
            self.prompt_line(next_word(self.prompt().value, line) if word else line)

    def _take_answer(self) -> None:
        """Put the answer shown in the place of the piece it is about."""
        asked = open_question(self.settled)
        if asked and asked.answers:
            typed = self.prompt().value
            self.prompt_line(f"{typed[: asked.start]}{asked.answers[self.answer]}{typed[asked.end :]}")

    def next_answer(self) -> bool:
        """Show the next answer of the open question; whether there is one."""
        asked = open_question(self.settled)
        if asked is None or len(asked.answers) < 2:
            return False
        self.answer = (self.answer + 1) % len(asked.answers)
        self._show_understood()
        return True

    def action_other(self) -> None:
        """The next completion."""
        if self.candidates:
            self.choice = (self.choice + 1) % len(self.candidates)
            self.prompt().ghost(self.candidates[self.choice].line)
            self._show_understood()
        else:
            self.said("Nothing is known of how this line may go on.")

    def action_kind(self) -> None:
        """Make the line another kind: the next one its words may mean, as a word in front of it."""
        line = self.prompt().value
        if line.strip() and self.question is None:
            self.prompt_line(with_next_kind(line))
        else:
            self.said(f"Type a line first: {key_for('kind')} takes it as another kind of fact.")

    def action_rest(self) -> None:
        """Do not take the proposed entries."""
        if not (self.settled and self.settled[-1].proposed):
            self.said("No entries are proposed for this line.")
            return
        self.refused = True
        self._show_understood()

    def action_take(self) -> None:
        """Write the proposal into the line, so that it can be changed; without one, take the completion."""
        if not self.settled or not self.settled[-1].proposed or self.refused:
            self._take_completion(word=False)
            return
        self.prompt_line(self._with_proposed(self.prompt().value))

    def _with_proposed(self, line: str) -> str:
        """The line with the proposed entries written out."""
        item = self.settled[-1] if self.settled else None
        if item is None or not item.proposed:
            return line
        numbers = " ".join(str(ref) for ref in item.proposed)
        return f"{line.rstrip().rstrip(';')}; {lead_to_refs(item.draft.fact.kind)} {numbers}"


def _nothing(_kind: str, _beginning: str) -> tuple[()]:
    """No phrase of the past."""
    return ()
