"""The notes on the story screen: from one to the next, a wording taken, a word classed, a wording kept in the book."""

import asyncio
from collections.abc import Callable, Coroutine
from functools import partial
from typing import TYPE_CHECKING, Any, Protocol

from ticket.assist.suggestions import Asked, Offers, offers
from ticket.job.errors import TicketError
from ticket.screens.note_rows import doubt_of
from ticket.screens.routes import route_to
from ticket.screens.story_pairs import key_of
from ticket.shop.wordings import READER, sources, teach, widths_of
from ticket.story.noted import Noted, note_of, notes

if TYPE_CHECKING:
    from textual.app import App

    from ticket.screens.desk import Desk
    from ticket.screens.story_pairs import Pairs
    from ticket.screens.story_write import Wanted
    from ticket.shop.opening import Shop
    from ticket.story.sentence import Sentence


class StoryShown(Protocol):
    """What the notes need of the screen that shows their story."""

    shop: "Shop"
    number: int
    pairs: "Pairs"
    wanted: "Wanted"

    @property
    def app(self) -> "App[Any]": ...  # noqa: D102

    @property
    def desk(self) -> "Desk": ...  # noqa: D102

    @property
    def is_attached(self) -> bool: ...  # noqa: D102

    def draw(self) -> None: ...  # noqa: D102

    def changed_elsewhere(self) -> None: ...  # noqa: D102

    def work_behind(self, work: Callable[[], Coroutine[Any, Any, None]], group: str) -> None: ...  # noqa: D102


class Notes:
    """The notes of the story that a story screen shows, worst first, and what was offered for each.

    Args:
        screen: the story screen; it is asked for the story and told to draw.
    """

    def __init__(self, screen: StoryShown) -> None:
        self._screen = screen
        self._offers: dict[str, Offers] = {}
        self.waiting: tuple[Noted, ...] = ()

    def read(self) -> None:
        """Look at the story anew; nothing waits on a signed ticket, or in a reader's story that is not put in words."""
        pairs, wanted = self._screen.pairs, self._screen.wanted
        open_to = pairs.case.ticket.status != "signed" and wanted.reader == READER
        self.waiting = notes(pairs.case, pairs.story) if open_to else ()
        self._offers.clear()

    def of(self, sentence: "Sentence | None") -> Noted | None:
        """The note that a sentence is, where it waits."""
        return next((one for one in self.waiting if one.sentence is sentence), None)

    def next_to(self, sentence: "Sentence | None", step: int) -> Noted | None:
        """The note behind or before a sentence, in the order of what a driver needs; round at the ends."""
        if not self.waiting:
            return None
        at = next((i for i, one in enumerate(self.waiting) if one.sentence is sentence), -1 if step > 0 else 0)
        return self.waiting[(at + step) % len(self.waiting)]

    def key(self, note: Noted) -> str:
        """The key of a note's sentence on the page."""
        return key_of(next(i for i, one in enumerate(self._screen.pairs.sentences) if one is note.sentence))

    def offers(self, note: Noted) -> Offers:
        """What was offered for a note. The shop's command is asked behind the screen, everybody else at once."""
        found = self._offers.get(note.place)
        if found is None:
            asked = Asked(self._screen.pairs.case, note, self._screen.wanted.language)
            inside, outside = sources(self._screen.shop)[:2], sources(self._screen.shop)[2:]
            found = self._offers[note.place] = offers(asked, inside)
            if outside:
                self._screen.work_behind(partial(self._ask, note, asked), f"offers {note.place}")
        return found

    async def _ask(self, note: Noted, asked: Asked) -> None:
        outside = sources(self._screen.shop)[2:]
        more = await asyncio.to_thread(offers, asked, outside)
        had = self._offers.get(note.place)
        if had is not None and self._screen.is_attached:
            self._offers[note.place] = Offers((*had.offers, *more.offers), more.failed)
            self._screen.draw()

    def class_word(self, note: Noted, cls: str) -> None:
        """Say what the underlined word is, for every ticket."""
        screen = self._screen
        start, end = doubt_of(note, self.offers(note).offers)
        word = note.line[start:end]
        if not word or word not in note.unlisted:
            screen.desk.say("Every word of this note is listed: Enter says it in plain words.")
            return
        if screen.wanted.language != "en":
            screen.desk.say(
                f"Say how it is told there: ticket phrases word {word} {cls} --told WORD --language"
                f" {screen.wanted.language}"
            )
            return
        try:
            teach(screen.shop, word, cls, language=screen.wanted.language, ticket=screen.number)
        except TicketError as error:
            screen.desk.say(str(error))
            return
        screen.desk.say(f"“{word}” is a {cls} from now on; ticket phrases find {word} shows it.")
        screen.changed_elsewhere()

    def keep(self, sentence: "Sentence") -> None:
        """Show how much of the wording of a sentence may be kept in the phrasebook."""
        screen = self._screen
        note = note_of(screen.pairs.case, screen.pairs.story, sentence)
        if note is None or sentence.reworded is None:
            screen.desk.say("Give a note its words first: Enter writes them, then this keeps them for every ticket.")
            return
        wording = note.wording(sentence.text)
        choices = widths_of(screen.shop, screen.number, note, wording, screen.wanted.language)
        if not choices:
            screen.desk.say(
                "Nothing of these words can be kept for other lines: each figure and side stands in them once, and no"
                " other."
            )
            return
        screen.app.push_screen(route_to("keep", screen.shop, choices))
