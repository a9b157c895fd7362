"""What a line begins with before it names a thing: ``wheel off, front discs ...``, ``looked again today, ...``.

Such a clause says what somebody did or how the vehicle stood. It names nothing that is read behind it, so it is kept
as typed and takes no part in what follows.
"""

from ticket.language.lexicon import look
from ticket.notes.finding.part_words import PRONOUNS, STATES
from ticket.notes.finding.tokens import Token

_SAID = frozenset({"past", "third"})
_PLAIN = frozenset("wucCkPjy@")


def is_preamble(part: list[Token], following: list[Token]) -> bool:
    """A clause without a figure or a position, in front of a part that names its own thing and reads it."""
    if any(token.letter not in _PLAIN or token.held for token in part) or not _names_and_reads(following):
        return False
    words = [word for token in part for word in token.text.split(" ")]
    return len(words) > 1 and (words[-1] in STATES or any(map(_is_of_a_clause, words)))


def _is_of_a_clause(word: str) -> bool:
    """A pronoun or a verb that can be nothing else."""
    found = look(word)
    told = any(one.form in _SAID and one.cls in ("doing", "link", "work") for one in found)
    return word in PRONOUNS - {"the"} or (told and not any(one.cls in ("thing", "state", "matter") for one in found))


def _names_and_reads(part: list[Token]) -> bool:
    """A word that is no state stands in front of its first figure."""
    figure = next((at for at, token in enumerate(part) if token.letter == "q"), 0)
    ahead = part[:figure]
    stands_in = bool(ahead) and all(token.letter == "C" and not token.held for token in ahead)  # "charging 14.1 V"
    return stands_in or any(token.letter in "wn" and token.text not in STATES for token in ahead)
