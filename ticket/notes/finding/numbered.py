"""Numbers behind the word of a place: ``cyl 3``, ``#3``, ``number 2``, and lists that count the cylinders."""

from dataclasses import replace

from ticket.notes.finding.neighbours import at_place, is_any
from ticket.notes.finding.tokens import Line, Token


def list_cylinders(line: Line) -> None:
    """``compression cyl 178 175 92 180 psi``: a list behind the word counts the cylinders from the first on."""
    for at, token in enumerate(line.tokens):
        if token.text not in _CYLINDERS:
            continue
        values: list[Token] = []
        for one in line.tokens[at + 1 + is_any(at_place(line, at + 1), ":") :]:
            if one.letter == "q" and (not values or values[-1].amount.bare) and not one.amount.to:
                values.append(one)
            elif one.letter not in ",/":
                break
        first = values[0].amount if values else None
        sure = first and (first.shape == "decimal" or (first.value or 0) > _MOST_CYLINDERS)
        if first and sure and 2 < len(values) <= _MOST_CYLINDERS:
            named = [replace(token, letter="p", held=(("cyl", f"cylinder {n}"),)) for n in range(1, len(values) + 1)]
            line.tokens[at : at + 1] = named
            return


_NUMBER_WORDS = frozenset({"number", "num", "nbr", "nr", "no"})
_OF_CYLINDERS = ("comp", "leak", "cyl", "inj", "plug", "coil", "misfire", "cranking", "spark", "glow")


def count_in_words(line: Line) -> None:
    """``compression number 1 168 number 2 165``: a small whole number between the word and a value is a place."""
    words = [token.text for token in line.tokens if token.letter == "w"]
    if not any(word.startswith((*_OF_CYLINDERS, *_NUMBERED_APART)) for word in words):
        return
    for at in range(len(line.tokens) - 3, -1, -1):
        word, number, *value = line.tokens[at : at + 4]
        small = number.letter == "q" and number.amount.bare and number.amount.text.isdecimal()
        if word.text not in _NUMBER_WORDS or not small or (number.amount.value or 0) > _MOST_CYLINDERS:
            continue
        if value[0].letter == "q" or (value[0].letter in ":=ia" and is_any(at_place(line, at + 3), "q")):
            place = (("cyl", f"# {number.amount.text}"),)
            text = f"{word.text} {number.text}"
            line.tokens[at : at + 2] = [replace(word, letter="p", end=number.end, text=text, held=place)]


_CYLINDERS = frozenset({"cyl", "cyls", "cylinder", "cylinders"})
_MOST_CYLINDERS = 16
"""A number above it is no number of a cylinder."""


def number_places(line: Line) -> None:
    """``cyl 3`` becomes one position; so does ``#3``, whose thing its neighbours name."""
    made: list[Token] = []
    at, tokens = 0, line.tokens
    while at < len(tokens):
        token = tokens[at]
        if (token.letter == "p" and len(token.held) == 1 and token.held[0][1] == token.held[0][0]) or _counted(token):
            number = at_place(line, at + 1)
            if number is not None and number.letter == "p" and number.held[0][1][:2] == "# ":
                direction, word = token.held[0]
                made.append(replace(token, end=number.end, held=((direction, f"{word} {number.held[0][1][2:]}"),)))
                at += 2
                continue
            behind = at_place(line, at + 2)
            before = at_place(line, at - 1)  # "18 bar one port 14 other"
            others = behind is not None and behind.text.startswith("other")
            apart = others and before is not None and before.text == "one"
            bare = number is not None and number.letter == "q" and number.amount.bare
            if number is not None and bare and number.amount.shape == "whole" and not apart:
                direction, word = token.held[0]
                name = (direction, f"{word} {number.amount.text}")
                if token.text.startswith("bat"):  # "batt 1" names one of them, as "pump 1" does
                    made += [replace(token, letter="w", held=None), replace(number, letter="n", held=None)]
                    at += 2
                    continue
                if token.text.startswith("cell"):  # the cell is what was measured, its number where
                    made += [
                        replace(token, letter="w", held=None),
                        replace(number, letter="p", text=f"{token.text} {number.text}", held=(name,)),
                    ]
                    at += 2
                    continue
                made.append(replace(token, end=number.end, text=f"{token.text} {number.text}", held=(name,)))
                at += 2
                continue
        if token.letter == "p" and token.held[0][1].startswith("# "):
            numbered = [one.held[-1] for one in made if one.letter == "p" and one.held[-1][1][-1:].isdecimal()]
            way, word = (numbered[-1][0], numbered[-1][1].rpartition(" ")[0]) if numbered else ("", "")
            way, word = (way, word) if way == "pos" else (token.held[0][0], _hash_word(line))
            made.append(replace(token, held=((way, f"{word} {token.held[0][1][2:]}"),)))
            at += 1
            continue
        made.append(token)
        at += 1
    line.tokens = made


_COUNTED_WORDS = frozenset(
    {
        "injector",
        "cylinder",
        "axle",
        "bank",
        "sensor",
        "pin",
        "terminal",
        "position",
        "cell",
        "module",
        "block",
        "phase",
        "port",
        "channel",
    }
)
_NUMBERED_APART = (
    "bat",
    "tank",
    "tyre",
    "tire",
    "wheel",
    "axle",
    "brake",
    "pump",
    "cell",
    "module",
    "fan",
    "hose",
    "chamber",
    "bag",
)


def _counted(token: Token) -> bool:
    return token.letter == "p" and len(token.held) == 1 and token.held[0][1] in _COUNTED_WORDS


def _hash_word(line: Line) -> str:
    words = [token.text for token in line.tokens if token.letter == "w"]
    return "position" if any(word.startswith(_NUMBERED_APART) for word in words) else "cylinder"
