"""The trade's own words, short forms spelled out, sides put first, nothing else changed."""

from ticket.job.regex import Regex
from ticket.language.forms import regular_past
from ticket.story.words.compare import agree
from ticket.story.words.groups import ordered_run
from ticket.story.words.labour import verb_places
from ticket.story.words.lexicon import irregular
from ticket.story.words.spell import join, spell
from ticket.story.words.tokens import WORD, Token

_PIECES = Regex(r"([,;] *)")


def terse(text: str) -> str:
    """A text for the payer and for the shop; as typed where a short form is in doubt."""
    pieces = spell(text, plain=False)
    if not pieces:
        return text.strip()
    out: list[Token] = []
    i = 0
    while i < len(pieces):
        run, end = ordered_run(pieces, i)
        if run:
            out += run
            i = end
        else:
            out.append(pieces[i])
            i += 1
    told = join(out, spoken=False)
    return told if agree(text, told, words=False) else join(pieces, spoken=False)


def past(text: str) -> str:
    """Labour with its verbs in the past: "replaced front pads, R&R bracket"."""
    return "".join(piece if i % 2 else _piece(piece) for i, piece in enumerate(_PIECES.split(text)))


def _piece(text: str) -> str:
    if text[:4].lower() == "r&r ":
        return text[:4] + terse(text[4:])
    pieces = spell(text, plain=False)
    if not pieces:
        return text
    words = list(pieces)
    for i in verb_places(pieces):
        low = words[i].low
        bent = irregular(low)
        if bent or (low.isalpha() and not low.endswith(("ed", "ing"))):
            words[i] = Token(bent or regular_past(low), WORD)
    return terse(join(words, spoken=False))
