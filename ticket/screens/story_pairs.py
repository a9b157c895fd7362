"""The sentences of a story beside the entries they rest on, as rows. Pure: a story in, rows out."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from itertools import accumulate

from ticket.grid.rows import Row, Span, cut, row, wrap
from ticket.grid.signs import REWORDED, UNREAD
from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.reworded_sentence import Rewording
from ticket.job.values import Ref
from ticket.job.width import cells
from ticket.notes.write import write_plainly
from ticket.screens.sides import ends
from ticket.screens.story_rows import is_item, under_row
from ticket.story.sentence import CAUTION, TICKET, Sentence, Source, Story

LIT = " • "  # what the pointer's counterpart rests on, or is told by: a sign, so that it shows without colour
ALONG = " + "  # what the next rewording takes along
WAITING = f" {UNREAD} "  # a note without a wording
WORDED = f" {REWORDED} "  # told in somebody's own words
_DARK = "   "
_RESTS, _NUMBERS = "rests on", 12
"""The head of the right edge, and the cells that the numbers of entries take there."""
_LEAST = 56
"""Cells below which no such edge is kept."""
_OLD = "old"  # begins the keys of outdated rewordings


@dataclass(frozen=True, slots=True)
class Pairs:
    """A story with the case it was made from."""

    case: Case
    story: Story

    @property
    def sentences(self) -> tuple[Sentence, ...]:
        """Every sentence in the order it is read."""
        return tuple(sentence for section in self.story.sections for sentence in section.sentences)

    def sources(self, key: int | str | None) -> frozenset[Source]:
        """What the sentence under a key of :func:`sentence_rows` rests on; nothing for another key."""
        at = place_of(key)
        return frozenset(self.sentences[at].sources) if at is not None and at < len(self.sentences) else frozenset()

    def tellers(self, no: int) -> frozenset[int]:
        """Places of the sentences that rest on an entry of this ticket."""
        return frozenset(i for i, sentence in enumerate(self.sentences) if Ref(no) in sentence.sources)

    def words(self, source: Source) -> str:
        """A source in words: its number and the line it was typed as, or what it stands for."""
        if isinstance(source, Ref):
            tickets = [self.case.ticket, *self.case.earlier] if not source.ticket else list(self.case.earlier)
            found = next((ticket for ticket in tickets if source.ticket in (0, ticket.number)), None)
            entry = found.entry(source.no) if found else None
            return f"{source} {line_of(entry)}" if entry else f"{source} (not at hand)"
        if source == TICKET:
            return "the ticket: nothing of the kind stands on it"
        if source.startswith(CAUTION):
            return f"a caution that such work calls for ({source.removeprefix(CAUTION)})"
        return source


def key_of(place: int) -> str:
    """The key of a sentence on the screen."""
    return f"s{place}"


def place_of(key: int | str | None) -> int | None:
    """The place of a sentence among all sentences; ``None`` for a key that is no sentence's."""
    return int(key[1:]) if isinstance(key, str) and key.startswith("s") and key[1:].isdecimal() else None


def stale_of(pairs: Pairs, key: int | str | None) -> Rewording | None:
    """The outdated rewording under a key."""
    at = key.removeprefix(_OLD) if isinstance(key, str) and key.startswith(_OLD) else ""
    return pairs.story.stale[int(at)] if at.isdecimal() and int(at) < len(pairs.story.stale) else None


def line_of(entry: Entry) -> str:
    """An entry as its line."""
    return write_plainly(entry.fact, shop_only=entry.shop_only)


def sentence_rows(
    pairs: Pairs, width: int, lit: Collection[int] = (), *, along: Collection[int] = (), waiting: Collection[int] = ()
) -> list[Row]:
    """The story, one sentence a paragraph, at the right edge the numbers of the entries it rests on.

    Args:
        pairs: the story and its case.
        width: in cells.
        lit: places of sentences to mark.
        along: places of the sentences that the next rewording takes along.
        waiting: places of the notes that wait for a wording.
    """
    rows: list[Row] = []
    room = width - _NUMBERS - 2 if width >= _LEAST else width
    place = 0
    for section in pairs.story.sections:
        head = (Span(_DARK), Span(cut(section.title, room - 3), "strong"))
        rests = (Span(_RESTS, "strong"),) if not rows and room < width else ()
        rows += [*([Row()] if rows else []), Row(ends(head, rests, width))]
        before = ""
        for sentence in section.sentences:
            if sentence.under and sentence.under != before:
                rows += [Row((Span(_DARK), *line.spans)) for line in [under_row(sentence.under, room - 3)]]
            before = sentence.under
            told = wrap(_told(sentence, pairs, strong=place in lit), room - 3, key=key_of(place))
            sign = _sign(sentence, place, lit, along, waiting)
            for at, line in enumerate(told):
                spans = (sign if not at else Span(_DARK), *line.spans)
                if not at and room < width:
                    spans = ends(spans, (Span(numbers_of(sentence), "quiet"),), width)
                rows.append(Row(spans, line.key))
            place += 1
    rows += _stale(pairs.story, width)
    return rows or wrap([Span("Nothing to tell yet: no complaint is typed.")], width, first=_DARK)


def _told(sentence: Sentence, pairs: Pairs, *, strong: bool) -> list[Span]:
    bullet = "- " if is_item(sentence, pairs.story.reader) else ""
    spans = [Span(f"{bullet}{sentence.text}", "strong" if strong else "ink")]
    if sentence.reworded:
        spans.append(Span(f" (in the words of {sentence.reworded.by}{_unproved(sentence)})", "quiet"))
    return spans


def _sign(
    sentence: Sentence, place: int, lit: Collection[int], along: Collection[int], waiting: Collection[int]
) -> Span:
    if place in along or place in lit:
        return Span(ALONG if place in along else LIT, "strong")
    if place in waiting:
        return Span(WAITING, "ask")
    return Span(WORDED if sentence.reworded else _DARK, "quiet")


def numbers_of(sentence: Sentence) -> str:
    """The entries a sentence rests on, as far as they fit at the right edge: ``3 4 and 9 more``."""
    refs = [str(source) for source in sentence.sources if isinstance(source, Ref)]
    for shown in range(len(refs), 0, -1):
        more = f" and {len(refs) - shown} more" if shown < len(refs) else ""
        text = " ".join(refs[:shown]) + more
        if cells(text) <= _NUMBERS or shown == 1:
            return text
    return ""


def below_rows(pairs: Pairs, key: int | str | None, width: int, height: int, *, beside: bool = False) -> list[Row]:
    """What the sentence under a key rests on, in words, and what it stands for where it was reworded.

    Args:
        pairs: the story and its case.
        key: of the sentence.
        width: in cells.
        height: rows; what has no room is counted.
        beside: the entries of this ticket stand beside, so only what is not among them is listed.
    """
    at = place_of(key)
    if at is None or at >= len(pairs.sentences):
        return []
    sentence = pairs.sentences[at]
    there = [source for source in sentence.sources if not (beside and _own(source))]
    texts = [Span(pairs.words(source)) for source in there] + [Span(text, "quiet") for text in _was(sentence)]
    told = [wrap([text], width - 2, first=" ", rest="    ") for text in texts]
    if sum(map(len, told)) <= height or len(told) == 1:
        return [one for lines in told for one in lines][:height]
    shown = max(sum(1 for size in accumulate(map(len, told)) if size < height), 1)
    rows = [one for lines in told[:shown] for one in lines]
    return [*rows[: height - 1], *wrap([Span(f"and {len(told) - shown} more", "quiet")], width - 2, first=" ")]


def _unproved(sentence: Sentence) -> str:
    return ", not proved" if sentence.reworded and sentence.reworded.unproved else ""


def _was(sentence: Sentence) -> list[str]:
    """What the story would say in place of a reworded sentence."""
    if sentence.reworded is None:
        return []
    return [f"was: {text}" for text in (sentence.original, *(one.original for one in sentence.reworded.merges))]


def _own(source: Source) -> bool:
    return isinstance(source, Ref) and not source.ticket


def _stale(story: Story, width: int) -> list[Row]:
    """Rewordings that nobody is shown any more, because what they rest on has changed."""
    rows: list[Row] = (
        [Row(), row(f"{_DARK}{cut('Words that no longer stand for anything', width - 3)}", "strong")]
        if story.stale
        else []
    )
    for i, rewording in enumerate(story.stale):
        spans = [
            Span(rewording.text),
            Span(f" (in the words of {rewording.by}; what it rests on has changed)", "quiet"),
        ]
        rows += wrap(spans, width, first=_DARK, rest=_DARK, key=f"{_OLD}{i}")
    return rows


def entry_rows(
    pairs: Pairs, width: int, chosen: int | str | None = None, lit: Collection[Source] = (), *, under: bool = False,
    along: Collection[int] = (),
) -> list[Row]:  # fmt: skip
    """The entries that count, newest last, in the manner of :func:`sentence_rows`.

    Args:
        pairs: the story and its case.
        width: in cells.
        chosen: the number of the entry under the pointer.
        lit: what the sentence under the pointer rests on.
        under: list what tells the chosen entry under it.
        along: entries that the next rewording takes along.
    """
    rows = [row(cut("The entries", width), "strong")]
    for entry in pairs.case.ticket.living:
        here = Ref(entry.no) in lit
        spans = [Span(line_of(entry), "strong" if here else "ink")]
        number = f"{entry.no:>3} "
        sign = ALONG if entry.no in along else LIT if here else _DARK
        rows += wrap(spans, width, first=sign + number, rest=" " * 7, key=entry.no)
        if under and entry.no == chosen:
            told = [pairs.sentences[place].text for place in sorted(pairs.tellers(entry.no))]
            rows += _listed("told by", told or ["no sentence for this reader"], width, entry.no)
    return rows


def _listed(lead: str, texts: Sequence[str], width: int, key: int | str) -> list[Row]:
    rows: list[Row] = []
    for i, text in enumerate(texts):
        head = f"    {lead if not i else '':<8}  "
        rows += wrap([Span(text, "quiet")], width, first=head, rest=" " * len(head), key=key)
    return rows


def first_row(rows: Sequence[Row], lit: Callable[[int | str | None], bool]) -> int | None:
    """The place of the first row whose key is lit, to scroll there."""
    return next((y for y, one in enumerate(rows) if one.key is not None and lit(one.key)), None)
