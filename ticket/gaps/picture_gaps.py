"""What is best shown by a picture."""

import re
from collections.abc import Iterator

from ticket.gaps.gap import ADVICE, Gap, Rule
from ticket.gaps.ticket_lookup import each
from ticket.job.case import Case
from ticket.job.kinds import Note, Offer, Photo
from ticket.job.offer_answers import standing
from ticket.job.regex import Regex
from ticket.job.values import Ref

_PRESSING = ("do now", "do not drive")
_NO_PICTURE = Regex(r"\bno (?:picture|photo)s?\b", re.I)


def declined_not_shown(case: Case) -> Iterator[Gap]:
    """Pressing work that was declined is best shown: words of a danger fade, and nobody remembers it alike."""
    refused = {no for no, one in standing(case.ticket).items() if one.answer == "no"}
    shown = {ref for _, photo in each(case, Photo) for ref in photo.refs}
    for entry, offer in each(case, Offer):
        if entry.no in refused and offer.judgement in _PRESSING and not shown & {Ref(entry.no), *offer.refs}:
            if any(_NO_PICTURE.search(note.text) for _, note in each(case, Note)):
                continue
            found = next((ref.no for ref in offer.refs if not ref.ticket), entry.no)
            question = "The answer was no: is there a picture of what was found?"
            question += f" Add: photo: FILE; ...; for {found}, or: note: no picture"
            yield Gap("declined-not-shown", ADVICE, question, entry.no)


RULES: tuple[Rule, ...] = (declined_not_shown,)
