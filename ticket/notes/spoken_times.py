"""Times as they are said: ``half four``, ``ten past two``, and ``9.45`` where no sum has a place."""

from collections.abc import Sequence

from ticket.job.regex import Regex
from ticket.notes.hours import part_end, part_start
from ticket.notes.phrases import means, phrase_at
from ticket.notes.tokens import Token

_DOTTED = Regex(r"([0-9]{1,2})\.([0-5][0-9])")
_OPENS, _CLOSES = 6, 20
"""Hours between which a shop is reached: a figure outside them is more likely a sum."""
_MORNING = 7  # "half four" is in the afternoon, "half ten" in the morning
_HALF = 30
_LED = frozenset("at one about around @ time was again".split())
_PARTS = {"quarter": 15, "twenty": 20, "twenty-five": 25}
_MOST_HOURS, _MOST_MINUTES, _HOURS_A_DAY = 12, 59, 24


def told_time(tokens: Sequence[Token]) -> tuple[str, int, int] | None:
    """The one time that is told in words or with a full stop: the time, its first token and the one behind."""
    found = [hit for at in range(len(tokens)) if (hit := _hit(tokens, at)) is not None]
    return found[0] if len(found) == 1 else None


def _hit(tokens: Sequence[Token], at: int) -> tuple[str, int, int] | None:
    return _in_words(tokens, at) or _dotted(tokens, at) or _lettered(tokens, at)


def _lettered(tokens: Sequence[Token], at: int) -> tuple[str, int, int] | None:
    """``14h10``: hours and minutes with a letter between them, as much of the world writes a time of day."""
    hour, *rest = tokens[at : at + 2]
    if hour.kind != "number" or hour.glued.casefold() != "h" or not rest or rest[0].start != hour.end:
        return None
    figures = (hour.text, rest[0].text)
    timed = all(figure.isdecimal() for figure in figures) and len(figures[1]) == len("10")
    if not timed or int(figures[0]) >= _HOURS_A_DAY or int(figures[1]) > _MOST_MINUTES:
        return None
    led = at > 0 and tokens[at - 1].low in ("at", "@")
    return f"{int(figures[0])}:{figures[1]}", at - led, at + 2


def _in_words(tokens: Sequence[Token], at: int) -> tuple[str, int, int] | None:
    """``half four``, ``quarter to nine``, ``ten past 2``."""
    led = at - 1 if at and tokens[at - 1].low in ("at", "@", "about", "around") else at
    begins = led == 0 or led < at or tokens[at - 1].low in (",", ";") or bool(means("way", tokens[at - 1].low))
    low = [token.low for token in tokens[at : at + 3]]
    if not begins or len(low) < len(("half", "four")):
        return None
    hour = _number(low[1])
    if low[0] == "half" and hour:
        return _clock(hour, _HALF), led, at + 2
    minutes = _PARTS.get(low[0]) or _number(low[0])
    if len(low) < len(("ten", "past", "two")) or low[1] not in ("past", "to") or not minutes or not _number(low[2]):
        return None
    hour = _number(low[2])
    if low[1] == "past":
        return _clock(hour, minutes), led, at + 3
    return _clock(hour - 1 or _MOST_HOURS, _MOST_MINUTES + 1 - minutes), led, at + 3


def _number(word: str) -> int:
    """An hour or minutes, in digits or in words; 0 where the word is neither."""
    typed = word if word.isdecimal() else means("numeral", word) if word not in ("a", "an") else ""
    return int(typed) if len(typed) < 3 and typed.isdecimal() and 0 < int(typed) <= _MOST_HOURS else 0


def _clock(hour: int, minutes: int) -> str:
    return f"{hour + _MOST_HOURS if hour < _MORNING else hour}:{minutes:02}"


def _dotted(tokens: Sequence[Token], at: int) -> tuple[str, int, int] | None:
    """``last one 11.20``, ``, 9.45,``, ``depot 8.15 ok the lot``: a part of its own, led, or in front of the answer."""
    match = _DOTTED.fullmatch(tokens[at].text) if tokens[at].kind == "number" and not tokens[at].glued else None
    if match is None or not _OPENS <= int(match[1]) <= _CLOSES:
        return None
    first, end = part_start(tokens, at), part_end(tokens, at)
    before = tokens[first:at]
    summed = any(
        phrase_at(table, tokens, i)
        for i in range(first, at)
        for table in ("total", "ceiling", "estimate", "deposit", "answer")
    )
    led = bool(before) and before[-1].low in _LED
    alone = not before and end == at + 1 and first > 0
    answered = end > at + 1 and phrase_at("answer", tokens, at + 1) is not None
    called = bool(before) and all(token.kind == "word" for token in before) and answered
    if summed or not (led or alone or called):
        return None
    return f"{int(match[1])}:{match[2]}", at - (led and before[-1].low in ("at", "@")), at + 1
