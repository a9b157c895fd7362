"""Positions that are counted: lists, counts and pairs of figures that name places rather than values."""

from dataclasses import replace

from ticket.job.regex import Regex
from ticket.notes.finding.tokens import Line, Token

_COUNTED_ON = ("cyl", "pos", "pin", "axle", "sensor")

_LISTED = Regex(r"[pw](?:(?:q{2,24})(:)|(q?(?:[,/j]q)*)([:=]?))(?=q)")


def name_listed_places(line: Line) -> None:
    """``cyls 1, 2, 3: 164 108 124``, ``tanks 1/2: 110 95``: figures that count on, as many as values behind them.

    Without a colon the last place and the first value touch (``1, 2 300, 310``), so that the count alone decides;
    where a colon stands and the count does not fit, nobody knows which value is whose.
    """
    at = 0
    while (match := _LISTED.search(line.letters, at)) is not None:
        at = max(_listed(line, match.start(), match.end(), colon=bool(match[1] or match[3])), match.start() + 1)


def _listed(line: Line, at: int, end: int, *, colon: bool) -> int:
    """Make places of the figures between ``at`` and ``end``; the position behind them."""
    tokens = line.tokens
    first = tokens[at]
    of_a_thing = first.letter == "w"
    direction, word = ("cyl", "") if of_a_thing else first.held[-1]
    name, _, number = word.rpartition(" ")
    figures = [place for place in range(at + 1, end) if tokens[place].letter == "q"]
    counts = [count for place in figures for count in _counts(tokens[place], alone=len(figures) == 1 and of_a_thing)]
    begun = counts[0] if of_a_thing and counts and counts[0] is not None else int(number) if number.isdecimal() else 0
    rising = counts == list(range(begun + (not of_a_thing), begun + (not of_a_thing) + len(counts)))
    known = begun > 0 and begun + len(counts) <= _MOST_PLACES + 1
    if not rising or not known or direction not in _COUNTED_ON or len(counts) < 1 + of_a_thing:
        return end
    values = 0
    for place in range(end, len(tokens)):
        if tokens[place].letter == "q":
            values += tokens[place - 1].letter in "q/j,:="
        elif tokens[place].letter not in "/j," or (place + 1 < len(tokens) and tokens[place + 1].letter != "q"):
            break
    fits = values == len(counts) + (not of_a_thing)
    if not fits and (of_a_thing or not colon):
        for place in figures if colon else ():
            tokens[place] = replace(tokens[place], letter="x", held=None)
        return end
    for place in reversed(figures):
        named = _counts(tokens[place], alone=len(figures) == 1)
        called = name or ("cylinder" if _about_cylinders(line) else "position")
        tokens[place : place + 1] = [
            replace(tokens[place], letter="p", held=((direction, f"{called} {count}"),)) for count in named
        ]
    for place in range(at + 1, end):
        if tokens[place].letter in ",j" and tokens[place + 1].letter == "p":
            tokens[place] = replace(tokens[place], letter="/")
    return end


def _counts(token: Token, *, alone: bool) -> list[int | None]:
    """The number of a figure; both of ``1/2`` where it stands alone and its ends count on."""
    ends = token.text.split("/")
    if alone and token.amount.shape == "fraction" and token.amount.bare and all(one.isdecimal() for one in ends):
        return [int(one) for one in ends]
    return [_whole(token)]


_SHARED = Regex(r"p((?:[,/j]{0,2}q)+)(?=(?:e|u|w|@)?i?q)")
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
        rising = None not in counts and number.isdecimal() and [int(number), *counts] == sorted({int(number), *counts})  # type: ignore[type-var]
        said = tokens[match.end()].text in _EVERY or tokens[match.end() - 2].letter == "j"
        if not rising or not said or value.amount.bare or direction not in _COUNTED_ON or not name:
            continue
        for place in range(match.start() + 1, match.end()):
            if tokens[place].letter == "q":
                held = ((direction, f"{name} {_whole(tokens[place])}"),)
                tokens[place] = replace(tokens[place], letter="p", held=held)
            else:
                tokens[place] = replace(tokens[place], letter="j")


_PAIR_BEHIND = Regex(r"(?:\A|(?<=[,;(Pqw]))p[/j]q(?=[;)Cwc]|,(?!q)|\Z)")
_ONE_AGAIN = Regex(r"(?<=[,;])q(?=cq)")
_ONE_MORE = Regex(r"(?<=[,;])q(?=[wcyz])")


def name_places_alone(line: Line) -> None:
    """``60 ohm, pins 6 and 14``, ``cyl 5 0.4 ohm, 6 open``: another one of the numbered place before."""
    tokens = line.tokens
    for match in _PAIR_BEHIND.finditer(line.letters):
        direction, word = tokens[match.start()].held[-1]
        name, _, number = word.rpartition(" ")
        count = _whole(tokens[match.end() - 1])
        if direction in _COUNTED_ON and number.isdecimal() and count is not None and count > int(number):
            tokens[match.end() - 1] = replace(
                tokens[match.end() - 1], letter="p", held=((direction, f"{name} {count}"),)
            )
    _name_again(line)
    for match in _ONE_MORE.finditer(line.letters):
        before = [
            one.held[-1] for one in tokens[: match.start()] if one.letter == "p" and one.held[-1][0] in _COUNTED_ON
        ]
        state = _state_behind(tokens, match.end())
        count = _whole(tokens[match.start()])
        name, _, number = before[-1][1].rpartition(" ") if before else ("", "", "")
        if state and count is not None and number.isdecimal() and int(number) < count <= _MOST_PLACES:
            tokens[match.start()] = replace(
                tokens[match.start()], letter="p", held=((before[-1][0], f"{name} {count}"),)
            )
            for at in range(match.end(), match.end() + state):
                tokens[at] = replace(tokens[at], letter="y", held=None)


def _name_again(line: Line) -> None:
    """``comp 1 150 2 148 3 60 dry, 3 wet 95``: a number in front of a condition and a figure names its place again."""
    for match in _ONE_AGAIN.finditer(line.letters):
        before = line.tokens[: match.start()]
        numbers = [one.held[-1] for one in before if one.letter == "p" and one.held[-1][0] in _COUNTED_ON]
        numbers += [("cyl", f"{'cylinder' if _about_cylinders(line) else 'position'} {n}") for n in _counted_on(before)]
        count = _whole(line.tokens[match.start()])
        held = next((pair for pair in numbers if pair[1].rpartition(" ")[2] == str(count)), None)
        if count is not None and held is not None:
            line.tokens[match.start()] = replace(line.tokens[match.start()], letter="p", held=(held,))


def _counted_on(tokens: list[Token]) -> list[int]:
    """The small whole numbers that count on from one among the tokens."""
    counts: list[int] = []
    for token in tokens:
        if _whole(token) == len(counts) + 1:
            counts.append(len(counts) + 1)
    return counts if len(counts) > 1 else []


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
_ON_ONE = frozenset({"on", "no", "number"})
_ON = frozenset({"on", "in", "for", "no", "number"})


def name_places_behind(line: Line) -> None:
    """``11.5 bar on 1, 11 on 2, 7 on 3``: behind "on" stands where each value was read, not another value."""
    found = [
        (match.start() + 1, count) for match in _BEHIND.finditer(line.letters)
        if line.tokens[match.start() + 1].text in _ON and (count := _whole(line.tokens[match.end() - 1])) is not None
    ]  # fmt: skip
    counts = [count for _, count in found]
    alone = len(found) == 1 and line.tokens[found[0][0]].text in _ON_ONE
    if not counts or (len(counts) < 2 and not alone) or counts != sorted(set(counts)) or counts[-1] > _MOST_PLACES:
        return
    for at, _count in reversed(found):
        word, number = line.tokens[at : at + 2]
        line.tokens[at : at + 2] = [replace(_place(line, number), start=word.start, gap=word.gap)]


_OVER = Regex(r"q(?:[,/j]?q)+[Pkw@]?(?:q[t-]q|pq|p[t-]q|pq[t-]q)(?=[,;LlhsdC]|\Z)")


def name_places_counted_behind(line: Line) -> None:
    """``24, 23.5, 17, 24 bar on 1 to 4``: a count of places behind as many values; each stands in front of its own."""
    for match in reversed(list(_OVER.finditer(line.letters))):
        tokens = line.tokens[match.start() : match.end()]
        ends = [_number_of(token) for token in (tokens[-3], tokens[-1])]
        led = tokens[:-3]
        while led and led[-1].letter in "Pkw@p":
            led = led[:-1]
        values = [token for token in led if token.letter == "q"]
        first, last = ends
        joined = tokens[-2].letter in "t-"
        if not joined or first != 1 or last != len(values) or values[-1].amount.bare or not _is_led(tokens[len(led) :]):
            continue
        word = "cylinder" if _about_cylinders(line) or any(one.letter == "p" for one in tokens) else "position"
        made: list[Token] = []
        for token in led:
            if token.letter == "q":
                count = sum(one.letter == "q" for one in made) + 1
                made.append(replace(tokens[-3], letter="p", held=(("cyl", f"{word} {count}"),)))
            made.append(token)
        line.tokens[match.start() : match.end()] = made


def _number_of(token: Token) -> int | None:
    """The number of a figure or of a numbered cylinder."""
    if token.letter != "p":
        return _whole(token)
    direction, word = token.held[-1]
    number = word.rpartition(" ")[2]
    return int(number) if direction == "cyl" and number.isdecimal() else None


def _is_led(behind: list[Token]) -> bool:
    """Nothing but "on", "in" or a word for a cylinder stands between the values and the count."""
    return all(token.text in _ON | {"cyl", "cyls", "cylinder", "cylinders"} for token in behind[:-3])


def _place(line: Line, token: Token) -> Token:
    word = "cylinder" if _about_cylinders(line) else "position"
    return replace(token, letter="p", held=(("cyl", f"{word} {_whole(token)}"),))


def name_lettered_places(line: Line) -> None:
    """``glow plugs c1 0.7 c2 0.8 c3 140``: one letter with numbers that count on from 1, a value behind each."""
    found = [
        at for at, token in enumerate(line.tokens[:-1])
        if token.letter == "n" and token.text[:1].casefold() == "c" and token.text[1:].isdecimal()
        and line.tokens[at + 1].letter in "q:="
    ]  # fmt: skip
    counts = [int(line.tokens[at].text[1:]) for at in found]
    if len(counts) < 2 or counts != list(range(1, len(counts) + 1)) or not _about_cylinders(line):
        return
    for at in found:
        held = (("cyl", f"cylinder {line.tokens[at].text[1:]}"),)
        line.tokens[at] = replace(line.tokens[at], letter="p", held=held)


def name_counted_places(line: Line) -> None:
    """``cyl 1 120 2 125 3 60``, ``coils 1 0.5 ohm, 2 dead, 3 0.5`` and ``1-150 2-155``: numbers that count on."""
    tokens = line.tokens
    at = 0
    while at < len(tokens):
        in_a_row = at > 1 and tokens[at - 1].letter in ",/j" and tokens[at - 2].letter == "p"
        if not in_a_row and (first := _counted_first(line, at)) and (made := _counting_on(tokens, at, first)):
            tokens[at:] = made
        elif tokens[at].letter == "q" and (dashed := _dashed(line, at)):
            tokens[at:] = dashed
        at += 1


def _counted_first(line: Line, at: int) -> Token | None:
    """A numbered place, or the number behind a thing of which there are several, as the place it may be."""
    token = line.tokens[at]
    if token.letter == "p":
        direction, word = token.held[-1]
        return token if direction in _COUNTED_ON and word.rpartition(" ")[2].isdecimal() and " " in word else None
    before = line.tokens[at - 1] if at else None
    if before is None or before.letter != "w" or token.letter not in "nq" or not token.text.isdecimal():
        return None
    if token.text != "1" and (token.letter == "q" or before.text.endswith("s")):
        return None
    word = "cylinder" if _about_cylinders(line) else "position"
    return replace(token, letter="p", held=(("cyl", f"{word} {token.text}"),))


def _counting_on(tokens: list[Token], at: int, first: Token) -> list[Token] | None:
    direction, word = first.held[-1]
    name, _, number = word.rpartition(" ")
    made, place, count, steps = [first], at + 1, int(number), 0
    while place < len(tokens):
        marked = tokens[place].letter in ":=-" and place + 1 < len(tokens)
        if marked and (tokens[place + 1].letter == "q" or _state_behind(tokens, place + 1)):
            place += 1
        state = _state_behind(tokens, place)
        if not state and (tokens[place].letter not in "qi" or (_whole(tokens[place]) == count + 1 and steps == 0)):
            break
        if tokens[place].letter == "i" and not state:
            made.append(tokens[place])
            place += 1
            continue
        states = [replace(one, letter="y", held=None) for one in tokens[place : place + state]]
        made += states or [tokens[place]]
        place += max(1, state)
        comma = place < len(tokens) and tokens[place].letter in ",/"
        following = place + comma
        if following < len(tokens) and tokens[following].letter == "p" and tokens[following].held[-1][0] == direction:
            break
        if following + 1 >= len(tokens) or _whole(tokens[following]) != count + 1:
            break
        if tokens[following + 1].letter not in "q:=-i" and not _state_behind(tokens, following + 1):
            break
        told = following + 1 + (tokens[following + 1].letter in ":=-")
        made += [tokens[place]] if comma and (state or _state_behind(tokens, told)) else []
        count, steps = count + 1, steps + 1
        made.append(replace(tokens[following], letter="p", held=((direction, f"{name} {count}"),)))
        place = following + 1
    return made + tokens[place:] if steps else None


def _state_behind(tokens: list[Token], at: int) -> int:
    """How many tokens say what state it is in that stands there instead of a value; none where they do not."""
    stop = next((i for i in range(at, len(tokens)) if tokens[i].letter in ",;/"), len(tokens))
    piece = tokens[at:stop]
    known = piece and piece[0].text.split(" ")[0] in _STATES
    return len(piece) if known and len(piece) <= _LONGEST_STATE and all(one.letter in "wcyzp" for one in piece) else 0


_LONGEST_STATE = 3  # words: "open circuit", "no reading"
_STATES = frozenset(
    "open o/c oc dead short shorted s/c ok good fine bad leaking missing broken seized stuck blown faulty failed"
    " nothing infinite burnt".split()
)


def name_counted_over(line: Line) -> None:
    """``comps 1 to 4 11.5 11.8 7.9 11.6 bar``: a count of places in front of as many values."""
    tokens = line.tokens
    for at, token in enumerate(tokens):
        if token.letter != "q" or not token.amount.to or not token.amount.bare or not token.amount.text.isdecimal():
            continue
        if not token.amount.to.isdecimal():
            continue
        first, last = int(token.amount.text), int(token.amount.to)
        colon = at + 1 < len(tokens) and (tokens[at + 1].letter in ":=" or tokens[at + 1].text in _ARE)
        every = [one for one in tokens[at + 1 + colon :] if one.letter not in "/,"]
        behind = every[: last - first + 1]
        listed = [one.letter for one in behind[:2]] == ["q", "q"]
        if first != 1 or not listed or not 1 < last <= _MOST_PLACES:
            continue
        if len(behind) < last or any(one.letter != "q" for one in behind):
            tokens[at] = replace(token, letter="x", held=None)  # "1 thru 4 .8 .9 .8 open": which has which?
        else:
            word = "cylinder" if _about_cylinders(line) else "position"
            said = colon and tokens[at + 1].text in _ARE
            tokens[at : at + 1 + said] = [
                replace(token, letter="p", held=(("cyl", f"{word} {n}"),)) for n in range(first, last + 1)
            ]
            return


_ARE = frozenset({"are", "is", "were", "was", "read", "reads", "at"})


def name_headings(line: Line) -> None:
    """``compression low on 2: 260 psi``: a small whole number in front of a colon and a value says which of several."""
    for at, token in enumerate(line.tokens[:-2]):
        number = _whole(token)
        if at and line.tokens[at - 1].letter in "t-/,j":
            continue  # "cyl 1 to 4: 385 390"
        if number and number <= _MOST_PLACES and [one.letter for one in line.tokens[at + 1 : at + 3]] == [":", "q"]:
            line.tokens[at] = _place(line, token) if _about_cylinders(line) else replace(token, letter="n", held=None)


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
    if (
        token.letter != "q"
        or not token.amount.bare
        or token.amount.shape != "whole"
        or not token.amount.text.isdecimal()
    ):
        return None
    return int(token.amount.text)
