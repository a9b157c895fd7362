"""What stands beside a token: the small questions that settling and naming ask of a line."""

from ticket.notes.finding.tokens import Line, Token


def is_time(token: Token | None) -> bool:
    """Whether the token is an amount of time."""
    return token is not None and token.letter == "q" and token.amount.dimension == "time"


def at_place(line: Line, at: int) -> Token | None:
    """The token of that index, ``None`` beyond either end."""
    return line.tokens[at] if 0 <= at < len(line.tokens) else None


def is_any(token: Token | None, letters: str) -> bool:
    """Whether there is a token, of one of these classes."""
    return token is not None and token.letter in letters


def later_amount(line: Line, at: int) -> bool:
    """Whether an amount follows in this part of the line."""
    for token in line.tokens[at:]:
        if token.letter == ";":
            return False
        if token.letter in "qx":
            return True
    return False
