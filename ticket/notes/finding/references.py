"""What a thing should be, told as one figure: new, stamped, rated, asked for, or what stands there instead.

Such a figure is no reading of today and no bound either. Behind a reading it could be measured in, it is kept as the
value specified for it, which judges nothing; anywhere else a person is asked.
"""

from dataclasses import replace

from ticket.job.regex import Regex
from ticket.language.lexicon import look
from ticket.notes.finding.tokens import GivenLimits, Line, Token
from ticket.notes.finding.under_conditions import LET_GO

_REFERRED = Regex(r"vq(?=[,;.)LCc@]|w{1,3}(?:[,;.)]|\Z)|\Z)|(?<=[,;])qvw{0,3}(?=[,;.)]|\Z)")
_OTHER_STATES = frozenset(
    "was were previously prev earlier last-time last-visit worn system-charge".replace("-", " ").split()
)
_LEADING = frozenset("on by in it the its a per for plate side tag label sticker book door housing cap case".split())
"""Words behind the figure that only say where it stands."""


def find_references(line: Line) -> None:
    """``71 °C instead of 88``, ``1-7/16, new 1-1/2``, ``0.9 bar, 1.4 stamped on it``: a value that is specified."""
    texts = {token.text for token in line.tokens}
    if texts & {"old", "was", "were", "now"}:
        return  # "0.62 V old, new 0.04": two moments of one thing
    for match in reversed(list(_REFERRED.finditer(line.letters))):
        tokens = line.tokens[match.start() : match.end()]
        if all(one.letter != "w" or one.text in _LEADING for one in _behind(line, match.end(), tokens)):
            made = _specified(line, match.start(), tokens)
            line.tokens[match.start() : match.end()] = made or tokens


_NEW = frozenset("full new normal healthy good correct original standard stock fresh unworn".split())
_TOLD = Regex(r"(?<=[,;])([wvycusg]{1,5})q(?=[,;)LC]|\Z)")
_LIKENED = frozenset(
    "is are was would one ones part parts gives give reads measures makes has had does takes holds be at".split()
)


_COMPARED = Regex(r"(?<!,)v(?=q[cw]?p|pw{0,2}q)")


_BUT = Regex(r"[wP]w?p(@?)(?=q)")


def part_compared(line: Line) -> None:
    """``rotor RF 410 F vs 190 LF``: with a place of its own the other value was read as well."""
    for match in _COMPARED.finditer(line.letters):
        token = line.tokens[match.start()]
        if token.text in ("vs", "versus", "against", "compared to", "compared with"):
            line.tokens[match.start()] = replace(token, letter=",")
    for match in reversed(list(_BUT.finditer(line.letters))):
        if line.tokens[match.start()].text in ("but", "except", "bar"):  # "1.24 all but cell 9 at 1.11"
            line.tokens[match.start()] = replace(line.tokens[match.start()], letter=",")
            line.tokens[match.start(1) : match.end(1)] = []


def find_new_ones(line: Line) -> None:
    """``new part measures 35.1``, ``full is 1.28``: another state of the thing, told beside what was read of it."""
    for match in reversed(list(_TOLD.finditer(line.letters))):
        words, number = line.tokens[match.start() : match.end() - 1], line.tokens[match.end() - 1]
        texts = [word for token in words for word in token.text.split(" ")]
        known = texts[0] in _NEW and len(texts) > 1 and not _LIKENED.isdisjoint(texts[1:])
        if known and (made := _specified(line, match.start(), [replace(words[0], letter="v"), number])):
            line.tokens[match.start() : match.end()] = made


def find_found(line: Line) -> None:
    """``axle nut 108 Nm, found 60``: what was found is told, so the figure in front of it is what it should be."""
    told = [i for i, one in enumerate(line.tokens[:-1]) if one.text in _READ and line.tokens[i + 1].letter == "q"]
    at = told[0] if told else 0
    figures = [i for i, one in enumerate(line.tokens[:at]) if one.letter in "qxL"]
    if len(figures) != 1 or line.tokens[figures[0]].letter != "q":
        return
    number, found = line.tokens[figures[0]], line.tokens[at + 1]
    amount = number.amount
    alike = amount.bare or found.amount.bare or amount.dimension == found.amount.dimension
    if alike and not amount.to and not amount.than and amount.value is not None:
        given = GivenLimits(nominal=amount)
        line.tokens[figures[0]] = Token("L", number.start, number.end, "", given)


_HAPPENED = Regex(r"wqw{1,2}@q(?=[,;]|\Z)")


def find_rated(line: Line) -> None:
    """``cap 13 psi lets go at 9``: right behind a part stands what it is made for, behind the verb what was read."""
    for match in reversed(list(_HAPPENED.finditer(line.letters))):
        part, size, *verbs, _at, found = line.tokens[match.start() : match.end()]
        words = {word for verb in verbs for word in verb.text.replace("-", " ").split(" ")}
        amount = size.amount
        alike = found.amount.bare or found.amount.dimension == amount.dimension
        made = any(one.cls == "thing" and one.kind == "part" for one in look(part.text)[:1])
        if made and alike and words & LET_GO and not (amount.to or amount.than or amount.value is None):
            held = found.amount
            if held.bare:
                held = replace(held, unit=amount.unit, dimension=amount.dimension, bare=amount.bare)
            rated = Token("L", size.start, size.end, "", GivenLimits(nominal=amount))
            line.tokens[match.start() + 1 : match.end()] = [*verbs, replace(found, held=held), rated]


def find_worn(line: Line) -> None:
    """``chain 13 mm worn to 11.8``: the first figure is what it was new, the second what was read."""
    for at in range(len(line.tokens) - 3):
        size, worn, to, number = line.tokens[at : at + 4]
        told = worn.text == "worn" and to.text in ("to", "down to") and number.letter == size.letter == "q"
        alike = told and (number.amount.bare or number.amount.dimension == size.amount.dimension)
        if alike and not size.amount.to and not size.amount.than and size.amount.value is not None:
            held = number.amount
            if held.bare:
                held = replace(held, unit=size.amount.unit, dimension=size.amount.dimension, bare=size.amount.bare)
            given = GivenLimits(nominal=size.amount)
            limits = Token("L", size.start, to.end, "", given)
            line.tokens[at : at + 4] = [replace(number, held=held), limits]
            return


_READ = frozenset({"found", "actual"})


def _behind(line: Line, at: int, tokens: list[Token]) -> list[Token]:
    stop = next((i for i in range(at, len(line.tokens)) if line.tokens[i].letter in ",;.)LC"), len(line.tokens))
    return [*tokens, *line.tokens[at:stop]]


def _specified(line: Line, at: int, tokens: list[Token]) -> list[Token] | None:
    number = next(token for token in tokens if token.letter == "q")
    state = next(token for token in tokens if token.letter == "v")
    amount = number.amount
    read = [one.amount for one in line.tokens[:at] if one.letter == "q"]
    alike = [one for one in read if amount.bare or one.bare or one.dimension == amount.dimension]
    if not alike or _of_another_thing(line.tokens[:at]):
        return None
    if amount.to and state.text in _AGAINST and amount.value is not None:
        low = replace(amount, than="", to="", to_value=None)  # "0.45 mm against 0.15 to 0.25"
        given = GivenLimits(low=low, high=replace(low, text=amount.to, value=amount.to_value))
        return [Token("L", tokens[0].start, tokens[-1].end, "", given)]
    if state.text.split(" ")[0] in _OTHER_STATES or amount.to or amount.than or amount.value is None:
        return None
    made = Token("L", tokens[0].start, tokens[-1].end, "", GivenLimits(nominal=replace(amount, than="")))
    return [made]


_AGAINST = frozenset({"against", "vs", "versus", "instead of"})


def _of_another_thing(before: list[Token]) -> bool:
    """``ball is 2 in, coupler stamped 2-5/16``: a noun opens the part the figure stands in."""
    for place in range(len(before) - 1, -1, -1):
        if before[place].letter in "qCL":
            return False
        if before[place].letter in ",;j" or before[place].text == "but":
            return place < len(before) - 1
    return True
