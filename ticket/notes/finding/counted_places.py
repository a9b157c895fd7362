"""Positions that are counted: lists, counts and pairs of figures that name places rather than values."""

from dataclasses import replace

from ticket.job.regex import Regex
from ticket.notes.finding.tokens import Line, Token

_COUNTED_ON = ("cyl", "pos", "pin", "axle", "sensor")

_LISTED = Regex(r"p((?:[,/j]q)+)(:?)(?=q)")


def name_listed_places(line: Line) -> None:
    """``cyls 1, 2, 3: 164 108 124``: figures that count on behind a numbered place, as many as values behind them.

    Without a colon the last place and the first value touch (``1, 2 300, 310``), so that the count alone decides.
    """
    match = _LISTED.search(line.letters)
    while match is not None:
        last = _listed(line, match.start(), match.end())
        match = _LISTED.search(line.letters, max(last, match.end()))


def _listed(line: Line, at: int, end: int) -> int:
    """Make places of the figures between ``at`` and ``end``; the position behind them."""
    tokens = line.tokens
    direction, word = tokens[at].held[-1]
    name, _, number = word.rpartition(" ")
    figures = [token for token in tokens[at + 1 : end] if token.letter == "q"]
    counts = [_whole(token) for token in figures]
    if (
        direction not in _COUNTED_ON
        or not number.isdigit()
        or counts != list(range(int(number) + 1, int(number) + 1 + len(counts)))
    ):
        return end
    values = 0
    for place in range(end, len(tokens)):
        if tokens[place].letter == "q":
            values += tokens[place - 1].letter in "q/j,:"
        elif tokens[place].letter not in "/j," or (place + 1 < len(tokens) and tokens[place + 1].letter != "q"):
            break
    if tokens[end - 1].letter != ":" and values != len(figures) + 1:
        return end
    for place in range(at + 1, end):
        if tokens[place].letter == "q":
            tokens[place] = replace(tokens[place], letter="p", held=((direction, f"{name} {_whole(tokens[place])}"),))
    return end


_SHARED = Regex(r"p((?:[,/j]{0,2}q)+)(?=(?:e|u|w)?i?q)")
_EVERY = frozenset({"all", "both", "each", "ea", "every", "are"})


def name_places_of_one(line: Line) -> None:
    """``cyl 1 2 and 4 all 0.8 ohm``: figures behind a numbered place name more of them, with one value for all."""
    for match in _SHARED.finditer(line.letters):
        tokens = line.tokens
        direction, word = tokens[match.start()].held[-1]
        name, _, number = word.rpartition(" ")
        figures = [token for token in tokens[match.start() + 1 : match.end()] if token.letter == "q"]
        counts = [_whole(token) for token in figures]
        value = next(token for token in tokens[match.end() :] if token.letter == "q")
        rising = None not in counts and number.isdigit() and [int(number), *counts] == sorted({int(number), *counts})  # type: ignore[type-var]
        said = tokens[match.end()].text in _EVERY or tokens[match.end() - 2].letter == "j"
        if not rising or not said or value.amount.bare or direction not in _COUNTED_ON or not name:
            continue
        for place in range(match.start() + 1, match.end()):
            if tokens[place].letter == "q":
                held = ((direction, f"{name} {_whole(tokens[place])}"),)
                tokens[place] = replace(tokens[place], letter="p", held=held)
            else:
                tokens[place] = replace(tokens[place], letter="j")


_OF_A_THING = Regex(r"wq(?:[,/j]q)+(?=u?q)")


def name_places_of_a_thing(line: Line) -> None:
    """``glow plugs 1 and 3 0.8 ohm, 2 and 4 open``: figures that rise behind several of a thing say which of them."""
    match = _OF_A_THING.search(line.letters)
    if match is None or not line.tokens[match.start()].text.endswith("s"):
        return
    tokens = line.tokens
    counts = [_whole(token) for token in tokens[match.start() + 1 : match.end()] if token.letter == "q"]
    value = next(token for token in tokens[match.end() :] if token.letter == "q")
    small = [count for count in counts if count is not None and 0 < count <= _MOST_PLACES]
    if value.amount.bare or len(small) < len(counts) or small != sorted(set(small)):
        return
    for at in range(match.start() + 1, match.end()):
        tokens[at] = _place(line, tokens[at]) if tokens[at].letter == "q" else replace(tokens[at], letter="j")
    for more in Regex(r"(?<=[,;])q(?:[,/j]q)*(?=[wc])").finditer(line.letters):
        for at in range(more.start(), more.end()):
            if more.start() > match.end() and _whole(tokens[at]) is not None:
                tokens[at] = replace(tokens[at], letter="x", held=None)  # "2 and 4 open": the others, by their numbers


_BEHIND = Regex(r"q[Pk@wu]q(?=[,;]|\Z)")
_ON = frozenset({"on", "in", "for", "no", "number"})


def name_places_behind(line: Line) -> None:
    """``11.5 bar on 1, 11 on 2, 7 on 3``: behind "on" stands where each value was read, not another value."""
    found = [
        (match.start() + 1, count) for match in _BEHIND.finditer(line.letters)
        if line.tokens[match.start() + 1].text in _ON and (count := _whole(line.tokens[match.end() - 1])) is not None
    ]  # fmt: skip
    counts = [count for _, count in found]
    if len(counts) < 2 or counts != sorted(set(counts)) or counts[-1] > _MOST_PLACES:
        return
    for at, _count in reversed(found):
        word, number = line.tokens[at : at + 2]
        line.tokens[at : at + 2] = [replace(_place(line, number), start=word.start, gap=word.gap)]


def _place(line: Line, token: Token) -> Token:
    word = "cylinder" if _about_cylinders(line) else "position"
    return replace(token, letter="p", held=(("cyl", f"{word} {_whole(token)}"),))


def name_counted_places(line: Line) -> None:
    """``cyl 1 120 2 125 3 60`` and ``1-150 2-155 3-90``: numbers that count on are positions."""
    tokens = line.tokens
    at = 0
    while at < len(tokens):
        in_a_row = at > 1 and tokens[at - 1].letter in ",/j" and tokens[at - 2].letter == "p"
        if tokens[at].letter == "p" and not in_a_row and (made := _counting_on(tokens, at)):
            tokens[at:] = made
        elif tokens[at].letter == "q" and (dashed := _dashed(line, at)):
            tokens[at:] = dashed
        at += 1


def _counting_on(tokens: list[Token], at: int) -> list[Token] | None:
    direction, word = tokens[at].held[-1]
    name, _, number = word.rpartition(" ")
    if direction not in _COUNTED_ON or not number.isdigit() or not name:
        return None
    made, place, count, steps = [tokens[at]], at + 1, int(number), 0
    while place < len(tokens):
        if tokens[place].letter in ":=-" and place + 1 < len(tokens) and tokens[place + 1].letter == "q":
            place += 1
        if tokens[place].letter not in "qi" or (_whole(tokens[place]) == count + 1 and steps == 0):
            break
        if tokens[place].letter == "i":
            made.append(tokens[place])
            place += 1
            continue
        made.append(tokens[place])
        place += 1
        comma = place < len(tokens) and tokens[place].letter in ",/"
        following = place + comma
        if following < len(tokens) and tokens[following].letter == "p" and tokens[following].held[-1][0] == direction:
            break
        if following + 1 >= len(tokens) or _whole(tokens[following]) != count + 1:
            break
        if tokens[following + 1].letter not in "q:=-i":
            break
        count, steps = count + 1, steps + 1
        made.append(replace(tokens[following], letter="p", held=((direction, f"{name} {count}"),)))
        place = following + 1
    return made + tokens[place:] if steps else None


def name_counted_over(line: Line) -> None:
    """``comps 1 to 4 11.5 11.8 7.9 11.6 bar``: a count of places in front of as many values."""
    tokens = line.tokens
    for at, token in enumerate(tokens):
        if token.letter != "q" or not token.amount.to or not token.amount.bare or not token.amount.text.isdigit():
            continue
        if not token.amount.to.isdigit():
            continue
        first, last = int(token.amount.text), int(token.amount.to)
        colon = at + 1 < len(tokens) and tokens[at + 1].letter in ":="
        every = [one for one in tokens[at + 1 + colon :] if one.letter not in "/,"]
        behind = every[: last - first + 1]
        if first == 1 and 1 < last <= _MOST_PLACES and len(behind) == last and all(one.letter == "q" for one in behind):
            word = "cylinder" if _about_cylinders(line) else "position"
            tokens[at : at + 1] = [
                replace(token, letter="p", held=(("cyl", f"{word} {n}"),)) for n in range(first, last + 1)
            ]
            return


_MOST_PLACES = 24


def _dashed(line: Line, at: int) -> list[Token] | None:
    """``1-150 2-155``, ``1: 120, 2: 125``: at least two pairs whose first figures count on from 1."""
    tokens = line.tokens
    made: list[Token] = []
    place, count = at, 1
    while place + 2 < len(tokens) and tokens[place + 1].letter in "-:=" and _whole(tokens[place]) == count:
        if tokens[place + 2].letter != "q":
            break
        word = "cylinder" if _about_cylinders(line) else "position"
        made.append(replace(tokens[place], letter="p", held=(("cyl", f"{word} {count}"),)))
        made.append(tokens[place + 2])
        place, count = place + 3, count + 1
        if place < len(tokens) and tokens[place].letter in ",/" and place + 1 < len(tokens):
            place += _whole(tokens[place + 1]) == count
    return made + tokens[place:] if count > 2 else None


def _about_cylinders(line: Line) -> bool:
    starts = ("glow", "comp", "leak", "cyl", "inj", "plug", "coil", "misfire", "cranking", "balance", "spark")
    return any(token.letter == "w" and token.text.startswith(starts) for token in line.tokens)


def _whole(token: Token) -> int | None:
    if token.letter != "q" or not token.amount.bare or token.amount.shape != "whole" or not token.amount.text.isdigit():
        return None
    return int(token.amount.text)
