"""How a sum was paid, as far as the words of a contact say it: cash, card, cheque or transfer."""

import re
from functools import cache
from pathlib import Path


def payment_way(words: str) -> str:
    """The one way that the words of a contact name: ``cash``, ``card``, ``cheque`` or ``transfer``.

    Only a piece between commas that says nothing else counts (``cash``, ``paid by card``): "check the brakes too" is no
    payment. Empty where none or several are named: which of two ways the money came is for a person to write.
    """
    pieces = (re.fullmatch(_PIECE, piece.strip(), re.IGNORECASE) for piece in re.split("[,.;]", words))
    ways = _ways()
    found = {ways[name] for hit in pieces if hit and (name := hit.group("way").lower()) in ways}
    return found.pop() if len(found) == 1 else ""


_BEFORE = r"(?:(?:paid|pays|pagado)\s+)?(?:(?:by|in|with|en|con|por)\s+)?(?:(?:an?|his|her|the|la|un)\s+)?"
_PIECE = _BEFORE + r"(?P<way>\w+(?: \w+)?)"


@cache
def _ways() -> dict[str, str]:
    """Typed words to ways; from ``payment_ways.tsv`` (common practice, no source)."""
    lines = (Path(__file__).parent / "payment_ways.tsv").read_text("utf-8").splitlines()[1:]
    return dict(line.split("\t") for line in lines)
