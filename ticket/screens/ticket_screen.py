"""One ticket: its head, the entries with what helps beside them, and the line to type in."""

from dataclasses import replace
from typing import ClassVar

from textual.app import ComposeResult

from ticket.assist.known_beginnings import KnownBeginnings
from ticket.assist.typing_context import TypingContext, codes_of, gather
from ticket.gaps.gap import Gap
from ticket.grid.columns import Columns, columns_for, pane_of
from ticket.grid.entries import STRUCK_KEY
from ticket.grid.entry_words import entry_words
from ticket.grid.rows import Row, Span
from ticket.grid.signs import BAR
from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.machine.draft_lines import DraftLines
from ticket.machine.new_pictures import newest_pictures
from ticket.screens.actions import key_for
from ticket.screens.ask_row import ANSWERED_BY_CALL, answered_how, ask_row, field_asked
from ticket.screens.bare_ground import Band
from ticket.screens.frame import bindings, strip
from ticket.screens.page import Page
from ticket.screens.prompt import Prompt
from ticket.screens.ticket_beside import picture_about
from ticket.screens.ticket_entries import TicketEntries
from ticket.screens.ticket_head import WHOLE, Standing, head_rows, letters_of
from ticket.screens.ticket_pane import WIDEST, pane_rows
from ticket.screens.ticket_rows import Shown, entries_of, first_to_see, ticket_rows
from ticket.screens.ticket_view import TicketView
from ticket.shop.money import account_of
from ticket.shop.opening import Shop
from ticket.shop.reading import case_of, gaps_of
from ticket.story.build import build
from ticket.story.facts.concerns import states
from ticket.story.precautions import cautions_for
from ticket.story.sentence import Story

_LINE, _ASKS, _ENTRIES = "the line", "what is asked", "the entries"
"""Places that one key goes round, the concerns behind them."""
_WIDE = 110
"""Columns from which a second pane stands beside the entries."""


class TicketScreen(TicketEntries):
    """One ticket at one terminal.

    Args:
        shop: the open shop.
        number: the ticket.
    """

    subject: ClassVar[str] = "ticket"
    BINDINGS = bindings("ticket")
    DEFAULT_CSS = """
    TicketScreen #mark { width: 3; height: 1; }
    TicketScreen #body { height: 1fr; }
    TicketScreen #page, TicketScreen #story { scrollbar-size-vertical: 0; overflow-y: scroll; }
    TicketScreen #story { display: none; width: 1fr; }
    TicketScreen.beside #story { display: block; }
    """

    def __init__(self, shop: Shop, number: int) -> None:
        super().__init__()
        self.shop = shop
        self.number = number
        self.shown = Shown()
        self.view = self._read()
        self.around = self._look_around()
        self.draft_lines = DraftLines(shop.store.path, shop.person)
        self._told: tuple[Case, Story] | None = None
        self._fresh = True  # it was read a moment ago
        self._pictured = ""  # the picture in the pane
        self.home: int | str | None = None  # where the pointer stands while nobody moves it
        self._been: tuple[str, Shown | None, int | str | None] = (_LINE, None, None)  # the place that a key led to

    def _look_around(self) -> TypingContext:
        store = self.shop.store
        codes = codes_of(self.view.case.ticket)
        self.history = KnownBeginnings(store.phrases, store.PHRASES)
        return gather(
            self.view.case,
            [(code, store.phrases_beside(code, sub)) for code, sub in codes],
            newest_pictures(self.shop.settings.photos),
        )

    def _read(self) -> TicketView:
        case = case_of(self.shop, self.number)
        account = account_of(self.shop, case.ticket)
        gaps, told = gaps_of(self.shop, case, account), self.told_before(case.ticket)
        signed = self.shop.store.overruled(self.number) if case.ticket.seal else ()
        return TicketView(case, states(case), gaps, told, self.told_next(case.ticket), account, signed)

    def compose(self) -> ComposeResult:
        """Head, entries with the pane beside, the count of questions, the line, what is said to it, keys."""
        yield strip("top", 4)
        with Band(id="body"):
            yield Page(id="page")
            yield Page(id="story", pointer=False)
        yield strip("ask")
        with Band(classes="line"):
            yield strip("mark")
            yield Prompt(id="prompt")
        yield strip("understood")
        yield strip("hints")

    def on_mount(self) -> None:
        """Draw the ticket from the first entry that nobody read, else its newest."""
        page = self.page()
        page.on_scrolled = self.draw_head
        page.on_pointed = self._pointed
        self.listen()

    def on_resize(self) -> None:
        """Draw for the new size."""
        first = self.home is None
        self.redraw(self._go_home() if first else None)
        if first:
            self.call_after_refresh(self.page().settle)

    def hinted_as(self) -> str:
        """A signed ticket takes amendments, and shows their key."""
        return "signed" if self.view.case.ticket.status == "signed" else self.subject

    def helped_as(self) -> str:
        """The same for its help."""
        return self.hinted_as()

    def heeded(self) -> tuple[str, ...]:
        """The cautions of this work, the gravest first."""
        return tuple(called.precaution.words for called in cautions_for(self.view.case))

    def _go_home(self) -> int | None:
        home = first_to_see(self.view, self.shown)
        self.home = home
        return home

    # -- drawing -----------------------------------------------------------------------------------------------

    @property
    def _pane(self) -> bool:
        return self.size.width >= _WIDE

    def grid(self) -> Columns:
        """The columns of the entries as they stand now."""
        return columns_for(self._entries_width())

    def _entries_width(self) -> int:
        return pane_of(self.size.width) if self._pane else self.size.width

    def redraw(self, key: int | str | None = None) -> None:
        """Draw everything from what was read last, with the pointer on a row."""
        width, page = self.size.width, self.page()
        page.show(ticket_rows(self.view, self._entries_width(), self.shown), key=key)
        self.draw_pane()
        signed = self.view.case.ticket.status == "signed"
        self.query_one("#ask", Page).show([ask_row(self.view.gaps, width, signed=signed)])
        self.draw_head()
        self.ask_before()
        self.hints()
        self.draw_prompt()
        self.draw_understanding()

    def draw_pane(self) -> None:
        """Draw the second pane; without room or need for one the entries take the width."""
        rows = self._beside()
        self.set_class(bool(rows), "beside")
        self.page().styles.width = self._entries_width() if rows else "1fr"
        self.query_one("#story", Page).show(rows)

    def _beside(self) -> list[Row]:
        if not self._pane:
            return []
        width, height = min(self.size.width - (self._entries_width() + 3), WIDEST), max(self.size.height - 9, 8)
        self._pictured = self._picture_key()
        picture = self.picture_of(self._pointed_entry(), width, height // 3)
        rows = pane_rows(self.view, width, height, asks=self.shown.asks, picture=picture, story=self._story())
        blank = [Row()] * max(self.size.height - 8 - len(rows), 0) if rows else []
        return [Row((Span(BAR, "rule"), Span(" "), *row.spans)) for row in (*rows, *blank)]

    def _story(self) -> Story:
        """The story of the ticket as it was read last, built once: the pane is drawn more often than that."""
        case = self.view.case
        if self._told is None or self._told[0] is not case:
            self._told = case, build(case, language=case.settings.language)
        return self._told[1]

    def _pointed_entry(self) -> Entry | None:
        key = self.page().key
        return self.view.case.ticket.entry(key) if isinstance(key, int) else None

    def _picture_key(self) -> str:
        return picture_about(self.view.case.ticket, self._pointed_entry())

    def draw_head(self) -> None:
        """Draw the four rows above the entries."""
        standing = Standing(self.shown.concern, self.company(), self._away())
        rows = head_rows(self.view, standing, self.size.width)
        self.query_one("#top", Page).show(rows)

    def _away(self) -> str:
        """What of the entries is out of sight, in words."""
        page = self.page()
        if self.shown.asks:
            seen = {row.key for row in page.rows if isinstance(row.key, int)}
            return f"{len(seen)} of {len(self.view.case.ticket.entries)} entries"
        above, below = page.out_of_sight()
        words = [f"{above} earlier" if above else "", f"{below} below" if below else ""]
        return ", ".join(word for word in words if word)

    def silent(self) -> tuple[Span, ...]:
        """What is told below the empty line: of the pointed entry or question, all that its row has no room for."""
        key = self.page().key
        entry = self.view.case.ticket.entry(key) if isinstance(key, int) else None
        if entry is not None:
            return Span(f"{entry.no} ", "quiet"), Span(entry_words(self.view.sight, entry, self.grid()))
        if isinstance(key, str) and key.startswith("gap"):
            return (Span(answered_how(self.pointed_question()), "quiet"),)
        if not self.view.case.ticket.entries:
            return (Span("What does the customer say? F1 lists all kinds of line.", "quiet"),)
        return ()

    def _pointed(self) -> None:
        if self._pane and self._picture_key() != self._pictured:
            self.draw_pane()
        if not self.prompt().value and not self.message and self.question is None:
            self.draw_understanding()

    def reread(self, *, key: int | str | None = None) -> None:
        """Read the ticket again and draw it; the line being typed stays.

        Once it is signed its questions are closed, unless it was signed in spite of some: their reasons stand there.
        """
        before, self.view = self.view.case.ticket.status, self._read()
        if before != self.view.case.ticket.status == "signed" and not self.view.overruled:
            self.shown = Shown(struck=self.shown.struck)
            key = self._go_home() if key is None else key
        self.around = self._look_around()
        entry = self.view.case.ticket.entry(key) if isinstance(key, int) else None
        if entry is not None and entry not in entries_of(self.view, self.shown):
            self.shown = Shown(entry.concerns[0] if entry.concerns else WHOLE, struck=self.shown.struck)
        self.shown = replace(self.shown, kept=entry.no if entry is not None and entry.struck else 0)
        self.redraw(key)
        if key is not None and key not in self.page().keys and isinstance(key, int):
            self.said(f"Entry {key} is written; {key_for('back')} shows all entries again.")
        if key is not None:
            self.home = key
        elif self.home not in self.page().keys:  # it was taken back: the pointer is at home where it is
            self.home = self.page().key

    def called(self, no: int) -> None:
        """The pointer goes to the contact that was just written."""
        self.reread(key=no)

    def changed_elsewhere(self) -> None:
        """Another terminal changed something; the pointer and the line stay where they are."""
        self.reread()

    def on_screen_suspend(self) -> None:
        """What was said is of before: behind another page it is no answer to what is done there."""
        self.message = ""

    def on_screen_resume(self) -> None:
        """Coming back from a form; the first time it was read a moment ago."""
        if not self._fresh:
            self.reread()
        self._fresh = False

    # -- moving ------------------------------------------------------------------------------------------------

    def action_back(self) -> None:
        """Clear the line, close the questions, put the pointer back, or leave: whichever comes first."""
        if self.clear_line():
            return
        if self.shown.asks:
            self._show(Shown(self.shown.concern, struck=self.shown.struck))
        elif self.shown.concern != WHOLE:
            self._show(Shown(struck=self.shown.struck))
        elif self.page().key != self.home and self.home is not None:
            self.page().choose(self._go_home())
        else:
            self.dismiss()

    def _show(self, shown: Shown, key: int | str | None = None) -> None:
        self.shown = shown
        self.page().key = None
        self.redraw(key if key is not None else self._go_home())

    def action_down(self) -> None:
        """Show the next answer of the open question, or move the pointer down."""
        if not self.next_answer():
            super().action_down()

    def action_put(self) -> None:
        """What Enter in the line does."""
        self._entered()

    def action_places(self) -> None:
        """From the line to the questions, the entries, each concern and back; letters typed go to the line anywhere."""
        self._go(1)

    def action_places_back(self) -> None:
        """The same round the other way."""
        self._go(-1)

    def _go(self, step: int) -> None:
        letters = letters_of(self.view.case)
        asks = [_ASKS] if self.view.gaps else []
        places = [_LINE, *asks, _ENTRIES, *(letters if len(letters) > 1 else ())]
        self._go_to(places[(places.index(self._place()) + step) % len(places)])

    def _place(self) -> str:
        if self._been[1:] == (self.shown, self.page().key):
            return self._been[0]  # the first entry may be where the pointer is at home
        if self.shown.asks or self.shown.concern != WHOLE:
            return _ASKS if self.shown.asks else self.shown.concern
        return _LINE if self.page().key == self.home else _ENTRIES

    def _go_to(self, place: str) -> None:
        if place == _ASKS:
            self.shown = Shown(struck=self.shown.struck)
            self.action_gaps()
            return
        self._show(Shown(place if place not in (_LINE, _ENTRIES) else WHOLE, struck=self.shown.struck))
        if place == _ENTRIES:
            self.page().to_end(last=False)
        elif place != _LINE:
            self.said(f"Concern {place} alone; {key_for('places')} goes on, {key_for('back')} shows all of it.")
        self._been = place, self.shown, self.page().key

    def action_concern_before(self) -> None:
        """Show the concern before."""
        self._turn(-1)

    def action_concern_after(self) -> None:
        """Show the next concern, behind the last one all of them."""
        self._turn(1)

    def _turn(self, step: int) -> None:
        letters = letters_of(self.view.case)
        if len(letters) > 1:
            tabs = [*letters, WHOLE]
            self._show(Shown(tabs[(tabs.index(self.shown.concern) + step) % len(tabs)], struck=self.shown.struck))

    def action_struck(self) -> None:
        """Show what was struck, or fold it."""
        self._show(Shown(self.shown.concern, struck=not self.shown.struck), self.page().key)
        if self.page().key is None:  # it stood on one that is folded now: on no other one
            self.page().choose(STRUCK_KEY)

    def pointed_question(self) -> Gap | None:
        """The question under the pointer."""
        key = self.page().key
        at = key.removeprefix("gap") if isinstance(key, str) else ""
        return self.view.gaps[int(at)] if at.isdecimal() and int(at) < len(self.view.gaps) else None

    def asked_entry(self) -> Entry | None:
        """The entry that the pointed question is about."""
        gap = self.pointed_question()
        return self.view.case.ticket.entry(gap.entry) if gap is not None and gap.entry else None

    def action_gaps(self) -> None:
        """Open the questions beside their entries, then go from one to the next."""
        if not self.view.gaps:
            self.said("Nothing is missing.")
            return
        if not self.shown.asks:
            self._show(Shown(self.shown.concern, asks=True))
            self._point_at(next((key for key in self.page().keys if isinstance(key, str)), None))
            return
        keys = [key for key in self.page().keys if isinstance(key, str)]
        here = keys.index(str(self.page().key)) + 1 if self.page().key in keys else 0
        self._point_at(keys[here % len(keys)])

    def _point_at(self, question: str | None) -> None:
        """The pointer on a question, its entry in sight above it."""
        self.page().choose(question)
        asked = self.asked_entry()
        if asked is not None:
            self.page().reveal_too(asked.no)

    def entered_nothing(self) -> None:
        """Enter on an empty line: answer the pointed question, bring the pointed entry back, show what was struck."""
        key, gap = self.page().key, self.pointed_question()
        if key == STRUCK_KEY:
            self.action_struck()
            return
        if gap is not None and self.view.case.ticket.status != "signed" and self._answer_begun(gap):
            return
        entry = self.asked_entry() or (self.view.case.ticket.entry(key) if isinstance(key, int) else None)
        if entry is not None and not entry.struck and (key != self.home or self.shown.asks):
            self.retype(entry)
        elif self.view.gaps and not self.shown.asks:
            self.said(f"{key_for('gaps')} shows what is still to ask; an arrow moves the pointer to an entry.")

    def _answer_begun(self, gap: Gap) -> bool:
        """Go where a question is answered, unless that is the line of its own entry; whether it is elsewhere."""
        if gap.id == ANSWERED_BY_CALL:
            self.action_call()
        elif gap.line:
            asked = self.asked_entry()
            if asked is not None and len(asked.concerns) == 1:
                self.sticky = asked.concern
            self.prompt_line(gap.line)
            self.refuse(gap.question)
        elif not gap.entry:
            self.open_header(field_asked(gap))
        elif gap.behind and (entry := self.asked_entry()) is not None:
            self.retype(entry)
            self.prompt_line(f"{self.prompt().value}{gap.behind}")
            self.refuse(gap.question)
        else:
            return False
        return True
