"""The words of danger and warning that the trade uses, as one table holds them."""

import re
from functools import cache
from pathlib import Path

_MAY = r"(?:can|could|may|might|will) (?:\w+ ){0,2}?"
RISK = ("stop", "may", "risk", "bid")
"""The rows that are patterns of typed words; every other row is what a finding names."""


@cache
def rows() -> dict[str, str]:
    """Each row of ``dangers.tsv``; its head says what the columns mean."""
    text = (Path(__file__).with_name("dangers.tsv")).read_text(encoding="utf-8")
    lines = [line for line in text.split("\n") if line and not line.startswith("#")][1:]
    return {name: words for name, _, words in (line.partition("\t") for line in lines)}


@cache
def said(names: tuple[str, ...]) -> re.Pattern[str]:
    """A pattern that finds the words of some rows."""
    words = (word.strip() for name in names for word in rows()[name].split(";"))
    return re.compile(rf"(?i)\b(?:{'|'.join(words)})\b".replace("{may}", _MAY))
