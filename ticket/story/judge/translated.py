"""Words of another language than the typed one: refused where figures or sides differ, proved only as a telling."""

import re

from ticket.language.spans import spans
from ticket.story.judge.answer import NOT_PROVED, REFUSED, Answer, Finding
from ticket.story.judge.ground import Ground
from ticket.story.judge.statement import numbers_in


def answer(text: str, ground: Ground, reader: str, language: str) -> Answer:
    """Never proved by chance: words of another language are proved where the program itself tells the typed line so."""
    if reader != "shop" and any(entry.shop_only or entry.kind == "note" for entry in ground.entries):
        return Answer(REFUSED, (Finding("inside", "A cited entry stays inside the shop.", 0, len(text)),))
    for span in spans(text, "story"):
        if span.value and not numbers_in(span.value) <= ground.digits:
            reason = f"“{span.text}” is not typed."
            return Answer(REFUSED, (Finding("figure", reason, span.start, span.end),))
    return Answer(
        NOT_PROVED, (Finding("proof", "Words of this language cannot be proved by the typed ones.", 0, len(text)),)
    )


def plain(text: str) -> str:
    """A text for comparing: small letters, one space, no final stop."""
    return re.sub(r"\s+", " ", text.replace("\u00a0", " ")).strip(" .").lower()
