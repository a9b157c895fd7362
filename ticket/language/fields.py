"""Which fields of a fact hold typed prose, and the phrases in them by which a shop's own habits are counted."""

from ticket.job.kinds import Cause, Did, Fact, Found, Later, Maybe, Offer, Proof, Ruled
from ticket.job.regex import Regex
from ticket.job.text import fold

_LONGEST = 80  # characters of a phrase that may be met again
_PARTS = Regex(r"[,;.]\s+|[,;]|\s+-\s+")
_NUMBERS = Regex(r"\d+(?:[.,/]\d+)*")

# The fields of a fact that hold typed prose, each with the kind of line that reading takes it for.
FIELDS: dict[type, tuple[tuple[str, str], ...]] = {
    Found: (("what", "found"), ("seen", "found")),
    Proof: (("what", "proof"), ("seen", "proof")),
    Cause: (("text", "cause"),),
    Maybe: (("text", "maybe"),),
    Ruled: (("text", "ruled"), ("reason", "because")),
    Did: (("text", "did"),),
    Offer: (("text", "what"),),
    Later: (("text", "what"), ("risk", "risk"), ("because", "because"), ("watch", "risk")),
}


def pieces_of(fact: Fact) -> tuple[str, ...]:
    """The phrases of a fact, each under the key by which the same phrase is met again, whatever its figures are."""
    found: dict[str, None] = {}
    for field, where in FIELDS.get(type(fact), ()):
        for piece in _PARTS.split(getattr(fact, field)):
            key = _NUMBERS.sub("#", fold(piece)).strip(" .")
            if len(key) <= _LONGEST and len(key.split()) > 1:
                found[f"{where}: {key}"] = None
    return tuple(found)
