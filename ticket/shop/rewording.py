"""The writer's own words for a sentence of a story: kept, taken back, looked over."""

from typing import TYPE_CHECKING

from ticket.job.errors import ConflictError, InputError, NotFoundError, SealedError
from ticket.job.rewording import Rewording
from ticket.job.text import clean, one_line

if TYPE_CHECKING:
    from ticket.job.case import Case
    from ticket.shop.shop import Shop
    from ticket.story.faithful import Finding
    from ticket.story.sentence import Sentence


def reword(
    shop: "Shop", number: int, reader: str, sentence: str, text: str, language: str = "en", *, seen: str | None = None
) -> Rewording:  # fmt: skip
    """Put somebody's own words in place of one sentence of a story.

    Args:
        shop: the open shop; its person is the writer.
        number: the ticket.
        reader: whose story: ``customer``, ``payer`` or ``shop``.
        sentence: its place (``3.2``), or the sentence itself.
        text: the new words.
        language: of the story.
        seen: the sentence as the writer saw it, where another terminal may have changed it since.

    Raises:
        NotFoundError: no such ticket or sentence.
        SealedError: the ticket is signed.
        ConflictError: the sentence is no longer the one seen; both wordings are shown.
        InputError: the words say what the sources of the sentence do not, each flaw in one sentence.
    """
    text = clean(text).strip(" ")
    case, told = _told(shop, number, reader, sentence, language)
    if seen is not None and told.text != seen:
        whose = f" by {told.reworded.by}" if told.reworded else ""
        raise ConflictError(
            f"Ticket {number}: that sentence was changed meanwhile{whose}: it now says “{told.text}”; "
            f"yours was “{one_line(text)}”: nothing was written."
        )
    if text == told.original:
        raise InputError(f"Ticket {number}: these are the story's own words already; nothing was written.")
    if case.ticket.status == "signed":
        raise SealedError(
            f"Ticket {number} is signed: its sentences stay as they were signed; correct a fact with ticket amend."
        )
    from ticket.story.rewording import basis, judge

    if against := [one for one in judge(case, reader, told, text, language) if not one.advice]:
        raise InputError(f"Ticket {number}: the story cannot say this. {' '.join(reasons(against, text))}")
    new = Rewording(reader, told.original, text, shop.person, shop.now(), basis(case, told.sources), language)
    held = {one.sentence: one for one in case.ticket.rewordings}
    return shop.store.reword(number, new, shop.person, expected=held.get(new.sentence))


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
    from ticket.story.places import plain

    words = plain(sentence)
    own = [one for one in shop.ticket(number).rewordings if (one.reader, one.language) == (reader, language)]
    named = [one for one in own if words in (plain(one.original), plain(one.text))]
    found = named[0] if len(named) == 1 else _told(shop, number, reader, sentence, language)[1].reworded
    if found is None:
        raise NotFoundError(f"Ticket {number}: nobody reworded sentence {sentence!r} of the {reader}'s story.")
    shop.store.unreword(number, found, shop.person)
    return found


def flaws(
    shop: "Shop", number: int, reader: str, sentence: "Sentence", text: str, language: str = "en"
) -> "tuple[Finding, ...]":  # fmt: skip
    """What speaks against these words for a sentence, while they are typed; advice among it is marked as such.

    Who judges at every key reads the case once and asks :func:`ticket.story.rewording.judge`.
    """
    from ticket.story.rewording import judge

    return judge(shop.case(number), reader, sentence, clean(text), language)


def outdated(shop: "Shop", number: int) -> tuple[tuple[Rewording, tuple[str, ...]], ...]:
    """The rewordings that no story shows any more, each with the sources that changed since."""
    from ticket.gaps.rewording import outdated_rewordings

    return tuple(outdated_rewordings(shop.case(number)))


def reasons(findings: "list[Finding]", text: str) -> tuple[str, ...]:
    """Each flaw in one sentence, with the words it is about where it names them."""
    return tuple(dict.fromkeys(_reason(one, text) for one in findings))


def _reason(one: "Finding", text: str) -> str:
    about = one_line(text[one.start : one.end])
    if not about or about in one.reason or one.end - one.start >= len(text):
        return one.reason
    return f"“{about}”: {one.reason}"


def _told(shop: "Shop", number: int, reader: str, sentence: str, language: str) -> "tuple[Case, Sentence]":
    from ticket.story.build import build
    from ticket.story.places import sentence_at

    case = shop.case(number)
    return case, sentence_at(build(case, reader, language), sentence)
