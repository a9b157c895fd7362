"""Figures told from a mark: so far below the least or above the fullest level, whose mark is their nought."""

from dataclasses import replace

from ticket.job.regex import Regex
from ticket.notes.finding.measures import STANDING
from ticket.notes.finding.rewriting import rewrite
from ticket.notes.finding.tokens import Amount, GivenLimits, Line, Token

_LEVELLED = ("length", "volume")
_SUNK = Regex(r"qw(?=[,;.]|\Z)")
_OFF = Regex(r"qL?,?[bB](?!q)|[bB][wP]q")
_LOOSELY = frozenset({"down", "low", "short", "high"})
_WHICH_SIDE = "Above or below the mark? Write the figure with its sign: -45 mm stands below it."


def _off_mark(_line: Line, tokens: list[Token], _at: int) -> list[Token] | None:
    """``13 mm under min`` is 13 below that mark, which is its nought."""
    number = next(token for token in tokens if token.letter == "q")
    mark = next(token for token in tokens if token.letter in "bB")
    amount = number.amount
    if amount.dimension not in _LEVELLED or amount.value is None or amount.signed or amount.to:
        return None
    if tokens[0] is mark and tokens[1].text != "by":
        return None
    if amount.dimension == "length" and mark.text in _LOOSELY and not any(t.text in STANDING for t in _line.tokens):
        return None  # "bent 4 mm down", "strut leaking 200 mm down": no level of anything
    if tokens[1].letter == "L":
        return [number.with_amount(asked=_WHICH_SIDE), tokens[1], replace(mark, letter="w")]
    if any(t.letter in "LX" and _of_length(t) for t in _line.tokens[_at + len(tokens) :]):
        return [number.with_amount(asked=_WHICH_SIDE), replace(mark, letter="w")]  # "14 mm below mark (0 to 3 below)"
    below = mark.letter == "b"
    zero = Amount("0", amount.value * 0, amount.unit, amount.dimension, bare=False)
    held = replace(amount, text=f"-{amount.text}", value=-amount.value) if below else amount
    inside = ("max" if below else "min") in mark.text
    if inside and below:  # "3 mm under max mark": whether that is too little does not stand on this line
        return [replace(number, held=held), replace(mark, letter="w")]
    limits = GivenLimits(low=zero) if below or inside else GivenLimits(high=zero)
    made = replace(number, held=held, start=tokens[0].start, end=tokens[-1].end)
    words = replace(mark, letter="w", start=mark.start)
    return [replace(made, start=number.start, end=number.end), words, Token("L", mark.start, mark.end, "mark", limits)]


def _of_length(limits: Token) -> bool:
    """Limits, or a bracket nobody understands, that hold a length or a volume, or a figure in no unit."""
    held = (
        limits.held.amounts
        if isinstance(limits.held, GivenLimits)
        else [t.amount for t in limits.held or () if t.letter == "q"]
    )
    return any(one.bare or one.dimension in _LEVELLED for one in held)


def find_marks(line: Line) -> None:
    """Figures that are told from a mark, upwards or downwards."""
    rewrite(line, _SUNK, _below_its_mark)
    rewrite(line, _OFF, _off_mark)


def _below_its_mark(line: Line, tokens: list[Token], _at: int) -> list[Token] | None:
    """``proof: 3 now 1 mm below``: whether entry 3 counts downward, or below nought, does not stand on this line."""
    number, word = tokens
    if word.text not in ("below", "under") or number.amount.dimension != "length" or number.amount.signed:
        return None
    alone = not any(one.letter == "w" for one in line.tokens if one is not word)
    return [number.with_amount(asked=_WHICH_SIDE), word] if alone else None
