"""Whether words that were said to the customer are a warning, by a closed table."""

import re
from functools import cache
from pathlib import Path

_MAY = r"(?:can|could|may|might|will) (?:\w+ ){0,2}?"


@cache
def _pattern() -> re.Pattern[str]:
    text = Path(__file__).with_name("warnings.tsv").read_text(encoding="utf-8")
    rows = [line for line in text.splitlines() if line and not line.startswith("#")][1:]
    return re.compile(rf"(?i)\b(?:{'|'.join(rows)})\b".replace("{may}", _MAY))


def warns(text: str) -> bool:
    """Whether a piece of a talk warns of something."""
    return _pattern().search(text) is not None
