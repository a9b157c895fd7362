"""The body of a journal row with its texts put back by their paths, in either format of rows."""

import json
from typing import Any

from ticket.store.canonical import committed, promise

MASK = "\u25ae\u25ae\u25ae"  # stands where a text was blanked

Row = tuple[Any, ...]
"""seq, at, person, sitting, ticket, verb, of, body, words, salt, promise, hash; texts as the bytes that are stored."""

COLUMNS = "seq, at, person_id, sitting, ticket_id, verb, of, body, words, salt, promise, hash"


def whole_body(body: bytes, words: bytes | None) -> Any:
    """The body as it was written, the mask where a text is gone. Raises ``ValueError`` where it is none."""
    facts = json.loads(body)
    if not isinstance(facts, dict):
        raise TypeError("it is no object")
    if words is None:
        return _masked(facts)
    texts = json.loads(words)
    if not isinstance(texts, dict):
        raise TypeError("its words are no object")
    for path, held in texts.items():
        *way, last = path.split("/")
        at: Any = facts
        for step in way:
            at = at[int(step)] if isinstance(at, list) else at[step]
        at[int(last) if isinstance(at, list) else last] = _text(held) if facts.get("v") == 2 else held
    return facts


def _text(held: Any) -> str:
    return MASK if isinstance(held, str) else str(held[1])


def _masked(value: Any) -> Any:
    if value is None:
        return MASK
    if isinstance(value, dict):
        return {name: _masked(item) for name, item in value.items()}
    return [_masked(item) for item in value] if isinstance(value, list) else value


def words_hold(words: bytes | None, salt: bytes | None, kept: bytes | None) -> bool:
    """Whether the texts of a row are those that were promised; blanked ones are judged by the row that blanked them.

    A row of format 1 has one salt for all of them and a promise of the column, one of format 2 a salt for each.
    """
    if kept is None or words is None:
        return words is None and salt is None
    if salt is not None:
        return promise(salt, words) == kept
    try:
        return committed(json.loads(words)) == kept
    except (ValueError, TypeError, AttributeError):
        return False


def blanked(words: bytes | None, salt: bytes | None, kept: bytes | None) -> list[str] | None:
    """Paths of the texts that are gone; ``None`` where all of a row of format 1 are."""
    if kept is not None and words is None:
        return None
    if words is None or salt is not None:
        return []
    try:
        return [path for path, held in json.loads(words).items() if isinstance(held, str)]
    except (ValueError, AttributeError):
        return []
