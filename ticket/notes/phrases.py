"""The phrase tables of the fields: closed lists of words of the trade, each with what it means.

They stand in ``phrases.tsv``; a grammar names the table it asks. The longest phrase at a place wins.
"""

from collections.abc import Sequence
from functools import cache, lru_cache
from importlib.resources import files

from ticket.notes.tokens import Token

Table = dict[str, list[tuple[tuple[str, ...], str]]]


@cache
def _tables() -> dict[str, Table]:
    tables: dict[str, Table] = {}
    text = files("ticket.notes").joinpath("phrases.tsv").read_text(encoding="utf-8")
    for line in text.splitlines():
        if not line or line.startswith(("#", "table\t")):
            continue
        name, phrases, meaning = line.split("\t")
        table = tables.setdefault(name, {})
        for phrase in phrases.split(","):
            words = tuple(phrase.split())
            table.setdefault(words[0], []).append((words, meaning))
    for table in tables.values():
        for rows in table.values():
            rows.sort(key=lambda row: -len(row[0]))
    return tables


def phrase_at(table: str, tokens: Sequence[Token], at: int) -> tuple[str, int] | None:
    """The meaning of the longest phrase of a table that begins at a token, and the place behind it."""
    if at >= len(tokens):
        return None
    rows = _tables()[table].get(tokens[at].low)
    if rows is None:
        return None
    for words, meaning in rows:
        end = at + len(words)
        if len(words) == 1 or [token.low for token in tokens[at + 1 : end]] == list(words[1:]):
            return meaning, end
    return None


def means(table: str, word: str) -> str:
    """What a single word means in a table; empty where it does not stand there."""
    return _single_words(table).get(word, "")


@cache
def _single_words(table: str) -> dict[str, str]:
    rows = _tables()[table]
    return {first: meaning for first, phrases in rows.items() for words, meaning in phrases[::-1] if len(words) == 1}


@lru_cache(maxsize=4096)
def swapped(table: str, word: str) -> str:
    """The meaning of the one word of a table of which this is a slip: two neighbouring letters changed places."""
    if len(word) < 3:
        return ""
    slips = (word[:i] + word[i + 1] + word[i] + word[i + 2 :] for i in range(len(word) - 1) if word[i] != word[i + 1])
    found = {meaning for slip in slips if (meaning := means(table, slip))}
    return found.pop() if len(found) == 1 else ""
