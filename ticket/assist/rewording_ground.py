"""What somebody's own words for a sentence of a story stand in for, and what they rest on. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ticket.job.errors import InputError, NotFoundError
from ticket.job.text import clean, one_line
from ticket.job.values import Ref

if TYPE_CHECKING:
    from ticket.job.case import Case
    from ticket.story.judge import Finding
    from ticket.story.sentence import Section, Sentence, Source, Story


UNPROVED_LONGEST = 300  # characters of the reason that is kept with words that are not proved


class UnprovedError(InputError):
    """The entries do not prove these words; their writer may keep them all the same."""


@dataclass(frozen=True, slots=True)
class Wording:
    """Somebody's own words for a sentence of a story.

    Attributes:
        reader: whose story: ``customer``, ``payer`` or ``shop``.
        sentence: its place (``3.2``), or the sentence itself.
        text: the new words.
        language: of the story.
        cites: numbers of further entries the words draw on, such as ``17`` or ``2107/12``.
        merges: further sentences of the same section that the words stand in for, named like ``sentence``.
        keep: keep the words although the entries do not prove them.
    """

    reader: str
    sentence: str
    text: str
    language: str = "en"
    cites: tuple[str, ...] = ()
    merges: tuple[str, ...] = ()
    keep: bool = False


@dataclass(frozen=True, slots=True)
class RewordingGround:
    """What new words for a sentence are held against.

    Attributes:
        told: the sentence as it is told now, reworded or not.
        own: the same in the story's own words.
        others: sentences merged into it, in the story's own words.
        cites: further entries.
    """

    told: "Sentence"
    own: "Sentence"
    others: "tuple[Sentence, ...]" = ()
    cites: "tuple[Source, ...]" = ()

    @property
    def whole(self) -> "Sentence":
        """All of it as one sentence."""
        from ticket.story.rewording import as_one

        return as_one(self.own, self.others, self.cites)


def ground_of(case: "Case", wording: Wording) -> RewordingGround:
    """What a wording stands in for and rests on; what an earlier one merged and cited stays with the sentence.

    Raises:
        NotFoundError: there is no such sentence or entry.
        InputError: a sentence cannot be merged, an entry cannot be cited.
    """
    from ticket.story.build import build
    from ticket.story.places import sentence_at
    from ticket.story.rewording import in_own_words

    story = build(case, wording.reader, wording.language)
    told = sentence_at(story, clean(wording.sentence))
    bare = build(replace(case, ticket=replace(case.ticket, rewordings=())), wording.reader, wording.language)
    section, own = _untouched(bare, in_own_words(told))
    before = told.reworded
    merged = [one.original for one in before.merges] if before else []
    merged += [sentence_at(story, clean(one)).original for one in wording.merges]
    others = []
    for words in dict.fromkeys(merged):
        found = next((one for one in section.sentences if one.text == words and one != own), None)
        if found is None:
            raise InputError(
                f"Ticket {case.ticket.number}: only other sentences of “{section.title}” can be merged with this one."
            )
        others.append(found)
    numbers = [*(one.source for one in before.cites), *wording.cites] if before else wording.cites
    return RewordingGround(told, own, tuple(others), cited(case, wording.reader, tuple(dict.fromkeys(numbers))))


def _untouched(story: "Story", own: "Sentence") -> "tuple[Section, Sentence]":
    """Where a sentence stands in the story without any rewording, and how: a note that was reworded is none any more.

    Raises:
        NotFoundError: the story says it no longer.
    """
    for section in story.sections:
        for one in section.sentences:
            if one.text == own.text and one.sources == own.sources:
                return section, one
    raise NotFoundError(f"The story no longer says “{own.text}”: take the rewording back first.")


def cited(case: "Case", reader: str, numbers: Sequence[str]) -> "tuple[Source, ...]":
    """Further entries that words for a reader may draw on.

    Raises:
        NotFoundError: there is no such entry.
        InputError: it is kept from this reader.
    """
    out: list[Source] = []
    for number in numbers:
        ticket_no, _, no = number.strip().rpartition("/")
        wanted = ticket_no or str(case.ticket.number)
        ticket = next((one for one in (case.ticket, *case.earlier) if str(one.number) == wanted), None)
        entry = next((one for one in ticket.living if str(one.no) == no), None) if ticket else None
        if entry is None or ticket is None:
            raise NotFoundError(f"Ticket {case.ticket.number}: there is no entry {number} to cite.")
        if reader != "shop" and entry.shop_only:
            raise InputError(f"Ticket {case.ticket.number}: entry {number} stays inside the shop; it cannot be cited.")
        out.append(Ref(entry.no, 0 if ticket is case.ticket else ticket.number))
    return tuple(out)


def reasons(findings: "Sequence[Finding]", text: str) -> tuple[str, ...]:
    """Each flaw in one sentence, with the words it is about where it names them."""
    return tuple(dict.fromkeys(_reason(one, text) for one in findings))


def _reason(one: "Finding", text: str) -> str:
    about = one_line(text[one.start : one.end])
    if not about or about in one.reason or one.end - one.start >= len(text):
        return one.reason
    return f"“{about}”: {one.reason}"
