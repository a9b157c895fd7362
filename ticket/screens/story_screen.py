"""The story with what it rests on: choose a reader, follow a sentence to its entries and back, hand it out."""

from collections.abc import Sequence
from dataclasses import replace
from typing import ClassVar

from textual import on
from textual.app import ComposeResult

from ticket.assist.rewording_ground import UnprovedError, Wording, ground_of
from ticket.grid.rows import Row, Span
from ticket.grid.signs import HERE, RULE, UNREAD
from ticket.job.case import AS_TYPED, UNITS
from ticket.job.errors import TicketError
from ticket.job.values import Ref
from ticket.job.width import cells
from ticket.screens.actions import key_for
from ticket.screens.bare_ground import Band
from ticket.screens.frame import Frame, bindings, strip
from ticket.screens.note_rows import note_rows, waiting_words
from ticket.screens.page import Page
from ticket.screens.routes import route_to
from ticket.screens.sides import ends, length
from ticket.screens.story_notes import Notes
from ticket.screens.story_pairs import Pairs, below_rows, entry_rows, first_row, place_of, sentence_rows, stale_of
from ticket.screens.story_words import WordsBox, flaw_rows
from ticket.screens.story_write import Wanted
from ticket.screens.tongues import tongue
from ticket.shop.opening import Shop
from ticket.shop.own_words import reword, unreword
from ticket.story.build import build
from ticket.story.judge import judge
from ticket.story.places import places
from ticket.story.rewording import PROVED_ONLY
from ticket.story.sections.files import languages
from ticket.story.sentence import READERS, Sentence

_WIDE = 110  # columns from which the entries stand beside the story
_BELOW = 3  # rows below the story that say what the pointed sentence rests on
_TALL = 20  # rows of the window from which there is room for them


class StoryScreen(Frame):
    """One ticket's story at one terminal.

    Args:
        shop: the open shop.
        number: the ticket.
    """

    subject: ClassVar[str] = "telling"
    AUTO_FOCUS: ClassVar[str | None] = ""
    BINDINGS = bindings("telling")
    DEFAULT_CSS = """
    StoryScreen #body { height: 1fr; }
    StoryScreen #entries { display: none; }
    StoryScreen.wide #entries { display: block; width: 45%; padding-left: 1; border-left: solid $panel; }
    StoryScreen.turned #entries { display: block; }
    StoryScreen.turned #page { display: none; }
    StoryScreen .words { display: none; height: auto; max-height: 4; }
    StoryScreen #say { width: 7; }
    StoryScreen #flaws { display: none; height: 1; padding: 0 1; scrollbar-size-vertical: 0; }
    StoryScreen.rewording .words, StoryScreen.rewording #flaws, StoryScreen.noting #flaws { display: block; }
    """

    def __init__(self, shop: Shop, number: int) -> None:
        super().__init__()
        self.shop = shop
        self.number = number
        settings = shop.settings
        self.wanted = Wanted(number, READERS[0], settings.language, settings.units)
        self.at_entries = False
        self.rewording: Sentence | None = None  # the sentence in the box, as it was seen
        self.whole: Sentence | None = None  # the same in the story's own words, with all it takes along
        self.along: set[int | str] = set()  # entries, and originals of sentences, that the next rewording takes along
        self.asked = ""  # words that are not proved, after the first Enter
        self.pairs = self._read()
        self.notes = Notes(self)
        self.notes.read()

    def _read(self) -> Pairs:
        case = self.wanted.case(self.shop)
        story = build(case, self.wanted.reader, self.wanted.language)
        if self.wanted.units != self.shop.settings.units:
            story = replace(story, stale=())  # words for the shop's own measures are not outdated by other ones
        return Pairs(case, story)

    def compose(self) -> ComposeResult:
        """Top line, the story with the entries beside, what the pointed sentence rests on or its words, keys."""
        yield strip("top")
        with Band(id="body"):
            yield Page(id="page")
            yield Page(id="entries")
        yield strip("ask")
        yield strip("below", 0)
        with Band(classes="words"):
            yield strip("say")
            yield WordsBox()
        yield Page(id="flaws", pointer=False)
        yield strip("hints")

    def on_mount(self) -> None:
        """Draw the story with the pointer on its first sentence."""
        for page in self.query("#page, #entries").results(Page):
            page.on_pointed = self.draw  # whatever moved it: an arrow, Home and End, a screenful, a click
        self.draw()
        self.action_down()

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw()

    def on_screen_resume(self) -> None:
        """Coming back from a form."""
        self.changed_elsewhere()

    def changed_elsewhere(self) -> None:
        """The ticket changed: read it again, the pointer stays."""
        self.pairs = self._read()
        self.notes.read()
        self.draw()

    def page(self) -> Page:
        """The page with the pointer: the story, or the entries."""
        return self.query_one("#entries" if self.at_entries else "#page", Page)

    # -- drawing -----------------------------------------------------------------------------------------------

    def draw(self) -> None:
        """Draw both sides: the pointer on one, what belongs to it marked on the other."""
        width, wide = self.size.width, self.size.width >= _WIDE
        self.set_class(wide, "wide")
        self.set_class(self.at_entries and not wide, "turned")
        beside = width * 45 // 100 if wide else width
        key = self.page().key
        rests = frozenset() if self.at_entries else self.pairs.sources(key)
        tells = self.pairs.tellers(key) if self.at_entries and isinstance(key, int) else frozenset()
        told = sentence_rows(
            self.pairs,
            max((width - beside if wide else width) - 3, 20),
            tells,
            along={i for i, one in enumerate(self.pairs.sentences) if one.original in self.along},
            waiting={i for i, one in enumerate(self.pairs.sentences) if self.notes.of(one) is not None},
        )
        cited = {no for no in self.along if isinstance(no, int)}
        entries = entry_rows(self.pairs, max(beside - 5, 20), key, rests, under=self.at_entries, along=cited)
        self.query_one("#page", Page).show(told)
        self.query_one("#entries", Page).show(entries)
        if wide:
            self._follow(told, entries, tells, {source.no for source in rests if isinstance(source, Ref)})
        waits = waiting_words(len(self.notes.waiting))
        left = [Span(str(self.number), "strong"), Span("  story for the "), Span(self.wanted.reader, "strong")]
        measures = "" if self.wanted.units == AS_TYPED else f", measures {self.wanted.units}"
        language = Span(f"  in {tongue(self.wanted.language)}{measures}", "quiet")
        right = [Span(f"{UNREAD} {waits}", "ask")] if waits else []
        left += [language] if length((*left, language, *right)) < width - 3 else []
        self.query_one("#top", Page).show([Row((Span(" "), *ends(left, right, width - 2)))])
        self._draw_note()
        self.hints()

    def hinted_as(self) -> str:
        """While a sentence or a note gets other words its keys are those of the words; entries have theirs."""
        if self.rewording is not None:
            return "wording" if self.notes.of(self.rewording) else "words"
        return "cited" if self.at_entries else self.subject

    def _draw_note(self) -> None:
        """Under the story what the pointed sentence rests on; of a note that waits, the line and what was offered."""
        note = self.notes.of(self._pointed()) if self.rewording is None else None
        self.set_class(note is not None, "noting")
        width = max(self.size.width, 20)
        if note is not None:
            found = self.notes.offers(note)
            self._tell(note_rows(note, found.offers, found.failed, max(width - 3, 20)))
        wide = width >= _WIDE
        free = note is None and self.rewording is None and not self.at_entries and self.size.height >= _TALL
        below = below_rows(self.pairs, self.page().key, width, _BELOW, beside=wide) if free else []
        page = self.query_one("#below", Page)
        page.styles.height = (len(below) if wide else _BELOW) if free else 0
        page.show(below)
        asks = note is not None or self.rewording is not None
        words = f"{UNREAD} a wording for this note" if note else "your words" if self.rewording else "rests on"
        self.query_one("#ask", Page).styles.height = 1 if asks or below or (free and not wide) else 0
        ink = "ask" if note else "quiet"
        rule = Span(RULE * max(width - cells(words) - 4, 0), "rule")
        self.query_one("#ask", Page).show([Row((Span(RULE * 2, "rule"), Span(f" {words} ", ink), rule))])

    def _tell(self, rows: Sequence[Row], least: int = 1) -> None:
        """What is said under the box or the story, on as many rows as it needs."""
        page = self.query_one("#flaws", Page)
        page.styles.height = max(len(rows), least)
        page.show(rows)

    def _follow(self, told: list[Row], entries: list[Row], tells: frozenset[int], rests: set[int]) -> None:
        """Scroll the side without the pointer to what is marked there."""
        if self.at_entries:
            other, line = "#page", first_row(told, lambda key: place_of(key) in tells)
        else:
            other, line = "#entries", first_row(entries, lambda key: key in rests)
        if line is not None:
            page = self.query_one(other, Page)
            page.call_after_refresh(page.scroll_to, y=max(line - 2, 0), animate=False, force=True)

    # -- moving ------------------------------------------------------------------------------------------------

    @on(Page.Chosen)
    def _clicked(self, event: Page.Chosen) -> None:
        self.at_entries = event.page.id == "entries"
        self.draw()

    def action_side(self) -> None:
        """From a sentence to the first entry it rests on, or from an entry to the first sentence that tells it."""
        if self.rewording is not None:
            return
        key = self.page().key
        if self.at_entries:
            wanted = min(self.pairs.tellers(key), default=None) if isinstance(key, int) else None
            target: int | str | None = f"s{wanted}" if wanted is not None else None
        else:
            target = min((ref.no for ref in self.pairs.sources(key) if isinstance(ref, Ref) and not ref.ticket),
                         default=None)  # fmt: skip
        self.at_entries = not self.at_entries
        self.draw()
        page = self.page()
        page.choose(target if target is not None else page.key)
        if page.key is None:
            page.move(1)
        self.draw()

    def action_back(self) -> None:
        """Leave the box with its words, or go back to the ticket."""
        if self.rewording is not None:
            self._leave_box()
        else:
            self.dismiss()

    # -- rewording ---------------------------------------------------------------------------------------------

    def _pointed(self) -> Sentence | None:
        """The sentence under the pointer, if it stands on one."""
        at = None if self.at_entries else place_of(self.page().key)
        return self.pairs.sentences[at] if at is not None and at < len(self.pairs.sentences) else None

    def _chosen(self) -> tuple[int, Sentence] | None:
        """The sentence under the pointer with its place among all, or one sentence says what to do."""
        at = None if self.at_entries else place_of(self.page().key)
        if at is None or at >= len(self.pairs.sentences):
            self.desk.say("Move the pointer to a sentence first, with ↑ and ↓.")
            return None
        return at, self.pairs.sentences[at]

    def action_along(self) -> None:
        """Take the sentence or entry under the pointer along for the next rewording, or leave it again."""
        if self.rewording is not None:
            return
        key: int | str | None = self.page().key
        if not self.at_entries:
            chosen = self._chosen()
            key = chosen[1].original if chosen else None
        if key is not None:
            self.along ^= {key}
            self.draw()

    def _wording(self, sentence: Sentence, text: str = "", *, keep: bool = False) -> Wording:
        """Words for a sentence with all that was taken along."""
        merges = [one.original for one in self.pairs.sentences if one.original in self.along - {sentence.original}]
        cites = sorted(no for no in self.along if isinstance(no, int))
        return Wording(
            self.wanted.reader, sentence.original, text, self.wanted.language,
            cites=tuple(map(str, cites)), merges=tuple(merges), keep=keep,
        )  # fmt: skip

    def action_reword(self) -> None:
        """Put the sentence under the pointer into the box; keep what stands there; go to the sentence of an entry."""
        if self.rewording is not None:
            self._keep()
            return
        if self.at_entries:
            self.action_side()
            return
        chosen = self._chosen()
        if chosen is None:
            return
        if not self.desk.may_write():
            return
        if self.pairs.case.ticket.status == "signed":
            self.desk.say("The ticket is signed: its sentences stay as they were signed.")
            return
        if self.wanted.units != self.shop.settings.units:
            kept = self.shop.settings.units
            self.desk.say(
                f"Other words are kept for the shop's own measures ({kept}): {key_for('measures')} goes there."
            )
            return
        wording = self._wording(chosen[1])
        try:
            self.whole = ground_of(self.pairs.case, wording).whole
        except TicketError as error:
            self.desk.say(str(error))
            return
        self.rewording, self.asked = chosen[1], ""
        self.query_one("#say", Page).show([Row((Span(" say ", "strong"), Span(HERE, "strong")))])
        self._tell(())
        box = self.query_one(WordsBox)
        note = self.notes.of(chosen[1])
        offered = self.notes.offers(note).offers if note else ()
        box.walks = note is not None
        box.load_text(note.whole(offered[0].text) if note and offered else " ".join([chosen[1].text, *wording.merges]))
        box.move_cursor(box.document.end)
        self.add_class("rewording")
        self._draw_note()
        self.hints()
        box.focus()
        self._judge()

    @on(WordsBox.Changed)
    def _judge(self) -> None:
        if self.rewording is None or self.whole is None:
            return
        text = self.query_one(WordsBox).text
        answer = judge(self.pairs.case, self.wanted.reader, self.whole, text, self.wanted.language)
        proved_only = self.wanted.reader in PROVED_ONLY
        rows = flaw_rows(answer, text, max(self.size.width - 3, 20), proved_only=proved_only)
        self._tell(rows, least=self.query_one("#flaws", Page).size.height)  # never lower while the same words are typed

    @on(WordsBox.Done)
    def _keep(self) -> None:
        note = self.notes.of(self.rewording)
        following = self.notes.next_to(self.rewording, 1) if note else None
        if self._take() and following is not None and following is not note:
            self._point_at(following.place)

    @on(WordsBox.Moved)
    def _walk(self, event: WordsBox.Moved) -> None:
        note = self.notes.next_to(self.rewording, event.step)
        self._leave_box()
        if note is not None:
            self._point_at(note.place)
            self.action_reword()

    def _point_at(self, place: str) -> None:
        """The pointer on a note, which the story may have been read anew since."""
        note = next((one for one in self.notes.waiting if one.place == place), None)
        if note is not None:
            self.at_entries = False
            self.page().choose(self.notes.key(note))
            self.draw()

    def action_note(self) -> None:
        """The next note, what a driver needs most first."""
        if self.rewording is not None:
            return
        note = self.notes.next_to(self._pointed(), 1)
        if note is None:
            self.desk.say("No note waits for a wording.")
            return
        self._point_at(note.place)

    def action_keep(self) -> None:
        """Take what stands in the box, then show how much of it may be kept in the phrasebook."""
        place = next((one.place for one in self.notes.waiting if one.sentence is self.rewording), "")
        if self.rewording is not None:
            taken = self.rewording.generated
            if not self._take() or not place:
                return
            # It may stand elsewhere now: a note stands behind the sentences of its section.
            found = (one for _, one in places(self.pairs.story) if one.reworded and one.generated == taken)
            sentence: Sentence | None = next(found, None)
        else:
            sentence = self._pointed()
        if sentence is not None:
            self.notes.keep(sentence)

    def action_thing(self) -> None:
        """The underlined word is a thing."""
        self._class("thing")

    def action_matter(self) -> None:
        """The underlined word is some matter or fault."""
        self._class("matter")

    def action_state(self) -> None:
        """The underlined word is a state."""
        self._class("state")

    def action_doing(self) -> None:
        """The underlined word is something that a thing does."""
        self._class("doing")

    def _class(self, cls: str) -> None:
        note = self.notes.of(self._pointed())
        if note is None:
            self.desk.say("Move the pointer to a note first.")
        else:
            self.notes.class_word(note, cls)

    def _take(self) -> bool:
        """Tell the sentence in the words of the box; whether it could be done."""
        if self.rewording is None:
            return False
        text = self.query_one(WordsBox).text
        if text.strip() != self.rewording.text:
            wording = self._wording(self.rewording, text, keep=bool(text.strip()) and text == self.asked)
            try:
                reword(self.shop, self.number, wording, seen=self.rewording.text)
            except UnprovedError as error:
                self.asked = text
                self.desk.say(f"{error} Enter once more keeps it all the same; this reason is kept with it.")
                return False
            except TicketError as error:
                self.desk.say(str(error))
                return False
        self.along.clear()
        self._leave_box()
        self.changed_elsewhere()
        return True

    def _leave_box(self) -> None:
        self.rewording = self.whole = None
        self.asked = ""
        self.remove_class("rewording")
        self.set_focus(None)
        self._draw_note()
        self.hints()

    def action_unword(self) -> None:
        """Take the rewording under the pointer back, also one that nobody is shown any more."""
        old = stale_of(self.pairs, self.page().key)
        chosen = None if old else self._chosen()
        if old is None and chosen is None:
            return
        words = old.text if old else chosen[1].original if chosen else ""
        try:
            unreword(self.shop, self.number, self.wanted.reader, words, self.wanted.language)
        except TicketError as error:
            self.desk.say(str(error))
            return
        self.changed_elsewhere()

    # -- choosing ----------------------------------------------------------------------------------------------

    def action_reader(self) -> None:
        """Tell it to the next reader."""
        self._want(replace(self.wanted, reader=_next(READERS, self.wanted.reader)))

    def action_tongue(self) -> None:
        """Tell it in the next language."""
        self._want(replace(self.wanted, language=_next(languages(), self.wanted.language)))

    def action_measures(self) -> None:
        """Tell measures as typed, or the other system's too."""
        self._want(replace(self.wanted, units=_next(UNITS, self.wanted.units)))

    def _want(self, wanted: Wanted) -> None:
        """Another telling of the same ticket, from its first sentence; a pointer at an entry stays there."""
        self.wanted = wanted
        self.along.clear()
        self.changed_elsewhere()
        if not self.at_entries:
            self.page().choose(None)
            self.action_down()

    # -- handing out -------------------------------------------------------------------------------------------

    def action_write(self) -> None:
        """Write it to a file."""
        self.app.push_screen(route_to("write", self.shop, self.wanted))

    def action_sign(self) -> None:
        """Back to the ticket, and sign it there."""
        below = self.app.screen_stack[-2]
        if self.rewording is None and isinstance(below, Frame):
            self.dismiss()
            below.call_after_refresh(below.do, "sign")

    def action_printer(self) -> None:
        """Hand it to the printer; the answer comes when the printing system has given one."""
        self.work_behind(self._print, "print")

    async def _print(self) -> None:
        import asyncio

        from ticket.machine.printer import print_out
        from ticket.screens.story_write import for_printer, sheet

        try:
            copy = sheet(self.shop, self.wanted)
            title = f"ticket {self.number}, for the {self.wanted.reader}"
            said = await asyncio.to_thread(lambda: print_out(for_printer(copy), title))
        except TicketError as error:
            self.desk.say(str(error))
            return
        self.desk.say(f"Sent to the printer: {said or 'it said nothing'}.")


def _next(choices: tuple[str, ...], now: str) -> str:
    """The choice behind the present one, the first behind the last."""
    return choices[(choices.index(now) + 1) % len(choices)] if now in choices else choices[0]
