"""Work typed by its name and not by a verb: "brake check and road test", "full service, oil and filter"."""

from functools import lru_cache

from ticket.job.regex import Regex
from ticket.language.lexicon import look
from ticket.language.shortforms import spell

_NAMES = frozenset(
    "check inspection test look-over service diagnosis alignment checkover check-over relearn drive calibration".split()
)
"""What one does, as a noun; common practice, no source."""
_SERVICE = Regex(
    r"(?i)((?:the )?(?:[0-9][0-9, ]*k? ?(?:km|mi|miles?|h|hrs?|hours?|months?)? )?"
    r"(?:full|annual|yearly|major|minor|winter|summer|interim|basic|engine|scheduled|regular)? ?service)"
    r"(?:, ?|: ?|\Z)(.*)"
)
_AND = Regex(r" (?:and|&|\+|n) |, ?(?:and )?")
_FILLING = frozenset(("thing", "quality", "side", "matter", "det"))
_VOWELS = "aeiou"
_TRIED = {"test drive": "test drive", "road test": "road test"}


@lru_cache(maxsize=1024)
def named_work(text: str) -> tuple[str, ...]:
    """Each piece of work with its article; empty where one of them is no name of work, or a word of it unlisted."""
    pieces = [piece.strip() for piece in _AND.split(_spelled(text))]
    return tuple(map(_with_article, pieces)) if pieces and all(map(_is_name, pieces)) else ()


def service(text: str) -> tuple[str, str]:
    """A service by its name, and what was typed of what it held; empty where a line does not begin with one."""
    found = _SERVICE.fullmatch(_spelled(text).replace("svc", "service"))
    if found is None:
        return "", ""
    return found[1].strip().removeprefix("the "), found[2].strip()


def _spelled(text: str) -> str:
    told = spell(text.strip().rstrip("."), "did").rstrip(".").replace("look over", "look-over")
    return told if told[1:2].isupper() else told[:1].lower() + told[1:]


def _is_name(piece: str) -> bool:
    words = piece.lower().split(" ")
    if piece.lower() in _TRIED:
        return True
    *before, last = words
    return last in _NAMES and bool(before) and all(map(_fills, before))


def _fills(word: str) -> bool:
    held = look(word)
    return any(one.cls in _FILLING for one in held) and not any(
        one.cls == "work" and one.form == "past" for one in held
    )


def _with_article(piece: str) -> str:
    return f"{'an' if piece[0].lower() in _VOWELS and not piece[1:2].isupper() else 'a'} {piece}"
