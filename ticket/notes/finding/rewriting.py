"""One step of the cascade: what a pattern over the letters matches is made anew from its tokens."""

from collections.abc import Callable

from ticket.job.regex import Regex
from ticket.notes.finding.tokens import Line, Token

Maker = Callable[[Line, list[Token], int], "list[Token] | None"]


def rewrite(line: Line, pattern: Regex, make: Maker) -> None:
    """Put what ``make`` gives in the place of each match; where it gives ``None`` the tokens stay."""
    letters = line.letters
    if pattern.search(letters) is None:
        return
    made: list[Token] = []
    at = 0
    for match in pattern.finditer(letters):
        new = make(line, line.tokens[match.start() : match.end()], match.start()) if match.start() >= at else None
        if new is not None:
            made += line.tokens[at : match.start()] + new
            at = match.end()
    line.tokens = made + line.tokens[at:]
