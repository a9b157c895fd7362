"""A note of a story, what was offered for it, and how wide a wording may be kept, as rows. Pure."""

from collections.abc import Sequence

from ticket.assist.suggestions import Offered
from ticket.grid.rows import Row, Span, cut, row, wrap
from ticket.job.book_entry import BookEntry
from ticket.story.noted import Noted

ROWS = 4  # under the story


def waiting_words(count: int) -> str:
    """How many notes wait, for the top line; empty for none."""
    if not count:
        return ""
    return "1 waits for a wording" if count == 1 else f"{count} wait for a wording"


def doubt_of(note: Noted, offers: Sequence[Offered]) -> tuple[int, int]:
    """Where the word in doubt stands in the typed line: the one an offer names, else the first that nobody listed."""
    named = next(((one.start, one.end) for one in offers if one.end), (0, 0))
    if named[1] or not note.unlisted:
        return named
    at = note.line.find(note.unlisted[0])
    return (at, at + len(note.unlisted[0])) if at >= 0 else (0, 0)


def note_rows(note: Noted, offers: Sequence[Offered], failed: Sequence[str], width: int) -> list[Row]:
    """The line as typed with the word in doubt underlined, and the wordings offered; as many rows as there is room."""
    start, end = doubt_of(note, offers)
    spans = [Span(note.line[:start]), Span(note.line[start:end], "unread"), Span(note.line[end:])]
    rows = wrap([one for one in spans if one.text], width, first="typed ", rest="      ")[:2]
    if note.unlisted:
        word = note.line[start:end] if end else note.unlisted[0]
        rows += [row(cut(f"      {word}: 1 a thing, 2 a matter, 3 a state, 4 a doing", width), "quiet")]
    for one in offers:
        rows += wrap([Span(one.text), Span(f"  ({one.source})", "quiet")], width, first="offer ", rest="      ")[:2]
    rows += [row(cut(text, width), "quiet") for text in failed]
    if not offers and not failed:
        rows.append(row(cut("Enter: say it in plain words; Esc leaves it as it is.", width), "quiet"))
    rows = rows[
        :ROWS
    ]  # as many for every note: the story stays where it is while the pointer goes from one to the next
    return [*rows, *[Row()] * (ROWS - len(rows))]


def width_rows(choices: Sequence[BookEntry], chosen: int, width: int) -> list[Row]:
    """Every width a wording may be kept in: the phrase with its places, and how it is told."""
    rows: list[Row] = []
    for i, one in enumerate(choices):
        style = "strong" if i == chosen else "ink"
        rows += wrap([Span(one.typed, style)], width, first=f"{one.size:<8}", rest=" " * 8, key=i)
        rows += wrap([Span(one.told, style)], width, first="  told  ", rest=" " * 8, key=i)
        rows.append(Row())
    return rows
