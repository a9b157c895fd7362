"""The writer's own words for a sentence of a story: kept, taken back, looked over."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ticket.job.errors import ConflictError, InputError, NotFoundError, SealedError
from ticket.job.rewording import Merged, Rewording
from ticket.job.text import clean, one_line
from ticket.job.values import Ref

if TYPE_CHECKING:
    from ticket.job.case import Case
    from ticket.shop.shop import Shop
    from ticket.story.judge import Answer, Finding
    from ticket.story.sentence import Sentence, Source, Story

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


def reword(shop: "Shop", number: int, wording: Wording, *, seen: str | None = None) -> Rewording:
    """Put somebody's own words in place of one sentence of a story, or of several of one section.

    Args:
        shop: the open shop; its person is the writer.
        number: the ticket.
        wording: the words, and what they stand in for.
        seen: the sentence as the writer saw it, where another terminal may have changed it since.

    Raises:
        NotFoundError: no such ticket, sentence or entry.
        SealedError: the ticket is signed.
        ConflictError: the sentence is no longer the one seen; both wordings are shown.
        UnprovedError: the entries do not prove the words, and ``keep`` is not set.
        InputError: the words say what the sources do not, each flaw in one sentence.
    """
    text = clean(wording.text).strip(" ")
    reader = wording.reader
    case = shop.case(number)
    ground = ground_of(case, wording)
    told = ground.told
    if seen is not None and told.text != seen:
        whose = f" by {told.reworded.by}" if told.reworded else ""
        raise ConflictError(
            f"Ticket {number}: that sentence was changed meanwhile{whose}: it now says “{told.text}”; "
            f"yours was “{one_line(text)}”: nothing was written."
        )
    if text == told.original and not ground.others:
        raise InputError(f"Ticket {number}: these are the story's own words already; nothing was written.")
    if case.ticket.status == "signed":
        raise SealedError(
            f"Ticket {number} is signed: its sentences stay as they were signed; correct a fact with ticket amend."
        )
    from ticket.story.judge import NOT_PROVED, judge
    from ticket.story.rewording import basis

    answer = judge(case, reader, ground.whole, text, wording.language)
    why = " ".join(reasons(answer.findings, text))
    _let_in(number, answer, why, wording)
    new = Rewording(
        reader, ground.own.text, text, shop.person, shop.now(), basis(case, ground.own.sources), wording.language,
        cites=basis(case, ground.cites),
        merges=tuple(Merged(one.text, basis(case, one.sources)) for one in ground.others),
        unproved=why[:UNPROVED_LONGEST] if answer.word == NOT_PROVED else "",
    )  # fmt: skip
    held = {one.sentence: one for one in case.ticket.rewordings}
    return shop.store.reword(number, new, shop.person, expected=held.get(new.sentence))


def _let_in(number: int, answer: "Answer", why: str, wording: Wording) -> None:
    """Words that are refused, or not proved and not kept, raise."""
    from ticket.story.judge import NOT_PROVED, REFUSED
    from ticket.story.rewording import PROVED_ONLY

    if answer.word == REFUSED:
        raise InputError(f"Ticket {number}: the story cannot say this. {why}")
    if answer.word == NOT_PROVED and wording.reader in PROVED_ONLY:
        raise InputError(f"Ticket {number}: the {wording.reader}'s copy tells only what the entries prove. {why}")
    if answer.word == NOT_PROVED and not wording.keep:
        raise UnprovedError(f"Ticket {number}: the entries do not prove this. {why}")


@dataclass(frozen=True, slots=True)
class Ground:
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


def ground_of(case: "Case", wording: Wording) -> Ground:
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
    own = in_own_words(told)
    bare = replace(case, ticket=replace(case.ticket, rewordings=()))
    section = next(one for one in build(bare, wording.reader, wording.language).sections if own in one.sentences)
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
    return Ground(told, own, tuple(others), cited(case, wording.reader, tuple(dict.fromkeys(numbers))))


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


def unreword(shop: "Shop", number: int, reader: str, sentence: str, language: str = "en") -> Rewording:
    """Take the rewording of a sentence back, also an outdated one; the one taken back.

    Args:
        shop: the open shop.
        number: the ticket.
        reader: whose story.
        sentence: its place, the sentence itself, or the words of an outdated rewording, old or new.
        language: of the story.

    Raises:
        NotFoundError: there is no such rewording.
        SealedError: the ticket is signed.
    """
    from ticket.story.places import plain, sentence_at

    words = plain(sentence)
    own = [one for one in shop.ticket(number).rewordings if (one.reader, one.language) == (reader, language)]
    named = [one for one in own if words in (plain(one.original), plain(one.text))]
    if len(named) == 1:
        found: Rewording | None = named[0]
    else:
        found = sentence_at(_story(shop, number, reader, language)[1], sentence).reworded
    if found is None:
        raise NotFoundError(f"Ticket {number}: nobody reworded sentence {sentence!r} of the {reader}'s story.")
    shop.store.unreword(number, found, shop.person)
    return found


def answer_to(
    shop: "Shop", number: int, reader: str, sentence: "Sentence", text: str, language: str = "en"
) -> "Answer":  # fmt: skip
    """What the judge says of these words for a sentence.

    Who asks at every key reads the case once and asks :func:`ticket.story.judge.judge`.
    """
    from ticket.story.judge import judge
    from ticket.story.rewording import in_own_words

    return judge(shop.case(number), reader, in_own_words(sentence), clean(text), language)


def outdated(shop: "Shop", number: int) -> tuple[tuple[Rewording, tuple[str, ...]], ...]:
    """The rewordings that no story shows any more, each with the sources that changed since."""
    from ticket.gaps.rewording import outdated_rewordings

    return tuple(outdated_rewordings(shop.case(number)))


def reasons(findings: "Sequence[Finding]", text: str) -> tuple[str, ...]:
    """Each flaw in one sentence, with the words it is about where it names them."""
    return tuple(dict.fromkeys(_reason(one, text) for one in findings))


def _reason(one: "Finding", text: str) -> str:
    about = one_line(text[one.start : one.end])
    if not about or about in one.reason or one.end - one.start >= len(text):
        return one.reason
    return f"“{about}”: {one.reason}"


def _story(shop: "Shop", number: int, reader: str, language: str) -> "tuple[Case, Story]":
    from ticket.story.build import build

    case = shop.case(number)
    return case, build(case, reader, language)
