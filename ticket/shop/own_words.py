"""The writer's own words for a sentence of a story: kept, taken back, looked over."""

from typing import TYPE_CHECKING

from ticket.assist.rewording_ground import UNPROVED_LONGEST, UnprovedError, Wording, ground_of, reasons
from ticket.job.errors import ConflictError, InputError, NotFoundError, SealedError
from ticket.job.reworded_sentence import Merged, Rewording
from ticket.job.text import clean, one_line
from ticket.shop.reading import case_of, ticket_of

if TYPE_CHECKING:
    from ticket.job.case import Case
    from ticket.shop.opening import Shop
    from ticket.story.judge import Answer
    from ticket.story.sentence import Story


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
    case = case_of(shop, number)
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
    own = [one for one in ticket_of(shop, number).rewordings if (one.reader, one.language) == (reader, language)]
    named = [one for one in own if words in (plain(one.original), plain(one.text))]
    if len(named) == 1:
        found: Rewording | None = named[0]
    else:
        found = sentence_at(_story(shop, number, reader, language)[1], sentence).reworded
    if found is None:
        raise NotFoundError(f"Ticket {number}: nobody reworded sentence {sentence!r} of the {reader}'s story.")
    shop.store.unreword(number, found, shop.person)
    return found


def outdated(shop: "Shop", number: int) -> tuple[tuple[Rewording, tuple[str, ...]], ...]:
    """The rewordings that no story shows any more, each with the sources that changed since."""
    from ticket.gaps.rewording_gaps import outdated_rewordings

    return tuple(outdated_rewordings(case_of(shop, number)))


def _story(shop: "Shop", number: int, reader: str, language: str) -> "tuple[Case, Story]":
    from ticket.story.build import build

    case = case_of(shop, number)
    return case, build(case, reader, language)
