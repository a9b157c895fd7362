"""The box in which a sentence gets other words, and what speaks against them while they are typed."""

from textual import events
from textual.message import Message
from textual.widgets import TextArea

from ticket.grid.rows import Row, Span, cut, row, wrap
from ticket.story.judge import NOT_PROVED, REFUSED, Answer, Finding

FLAWS = 4  # rows under the box at most


def flaw_rows(answer: Answer, text: str, width: int, *, proved_only: bool = False) -> list[Row]:
    """What the judge says of these words, then advice, and what Enter does; :data:`FLAWS` rows at most.

    Args:
        answer: as :func:`ticket.story.judge.judge` gives it.
        text: the words.
        width: in cells.
        proved_only: this reader is never told what is not proved.
    """
    lead = "no   " if answer.word == REFUSED else "?    "
    rows: list[Row] = []
    for flaw in answer.findings:
        rows += _told(lead, flaw, text, width)
    for flaw in answer.advice:
        rows += _told("may  ", flaw, text, width)
    if answer.word == REFUSED:
        end = "They are not kept while this stands. Esc leaves the sentence as it was."
    elif answer.word == NOT_PROVED and proved_only:
        end = "This copy tells only what is proved. Esc leaves the sentence as it was."
    elif answer.word == NOT_PROVED:
        end = "Not proved by the entries. Enter twice keeps them anyway, Esc leaves it."
    else:
        end = "Nothing speaks against these words. Enter keeps them, Esc leaves it."
    return [*rows[: FLAWS - 1], row(cut(end, width), "quiet")]


def _told(lead: str, flaw: Finding, text: str, width: int) -> list[Row]:
    about = text[flaw.start : flaw.end]
    named = f" (“{about}”)" if about and about not in flaw.reason and len(about) < len(text) else ""
    return wrap([Span(lead, "strong"), Span(flaw.reason + named)], width, rest="     ")


class WordsBox(TextArea):
    """One row of text, or the few it needs; one paragraph: Enter is done, a pasted line break is a space."""

    DEFAULT_CSS = """
    WordsBox { height: auto; max-height: 4; width: 1fr; border: none; padding: 0 1; background: $panel; }
    WordsBox:focus { border: none; }
    """

    class Done(Message):
        """Enter was pressed."""

    class Moved(Message):
        """Up or Down was pressed while a note is in the box: the one before, or the next."""

        def __init__(self, step: int) -> None:
            super().__init__()
            self.step = step

    def __init__(self) -> None:
        super().__init__("", id="words", soft_wrap=True, show_line_numbers=False)
        self.cursor_blink = False
        self.walks = False  # a note is in it: Up and Down go to other notes

    async def _on_key(self, event: events.Key) -> None:
        if event.key == "enter":
            event.stop()
            event.prevent_default()
            self.post_message(self.Done())
            return
        if self.walks and event.key in ("up", "down"):
            event.stop()
            event.prevent_default()
            self.post_message(self.Moved(-1 if event.key == "up" else 1))
            return
        await super()._on_key(event)

    async def _on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        self.insert(" ".join(event.text.split()))
