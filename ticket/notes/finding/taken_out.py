"""What was taken out of a circuit before a figure was read: how it was read, and never what was measured."""

from itertools import pairwise

from ticket.notes.finding.part_words import DOINGS, PRONOUNS
from ticket.notes.finding.stated import Reading, Walked
from ticket.notes.finding.tokens import Token

_OUT = frozenset("out pulled removed unplugged disconnected".split())
_TAKES = frozenset("pulled pull pulling removed remove unplugged unplug disconnected disconnect".split())
_WENT = DOINGS | PRONOUNS | frozenset("and back down up to goes went falls only".split())


def find_taken_out(done: Walked) -> None:
    """``drain 180 mA, fuse 22 out 24 mA``, ``ref 3.2 V, unplugged sensor comes back 5 V``: one thing in two states."""
    for before, reading in pairwise(done.readings):
        alike = before.clause == reading.clause and before.amount.dimension == reading.amount.dimension
        if not alike or not before.name or reading.places or reading.part == before.part:
            continue
        state = _state(reading)
        if state:
            first, last = state[0], state[-1]
            text = " ".join(token.text for token in state)
            how = Token("C", first.start, last.end, text, ())
            reading.when = [how, *(one for one in reading.when if one not in state)]
            reading.name = reading.subject = before.name
            reading.places = before.places


def _state(reading: Reading) -> list[Token]:
    """The words of a thing that was taken out and that it was; none where something else is named."""
    name = [token for token in reading.name if token.start < reading.token.start]
    when = [token for token in reading.when if token.text in _OUT and token.start < reading.token.start]
    words = sorted([*name, *when], key=lambda token: token.start)
    if not words or any(token.letter not in "wnC" for token in words):
        return []
    if words[0].text in _TAKES and reading.amount.dimension in ("current", "voltage"):
        while words[-1].text in _WENT:
            words.pop()
        return words if len(words) > 1 else []
    closed = words[-1].text in _OUT and len(words) > 1 and reading.amount.dimension == "current"
    return words if closed else []
