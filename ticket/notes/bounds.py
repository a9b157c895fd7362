"""How much text is taken for lines: more than anybody types or pastes is a wrong file."""

from ticket.job.errors import InputError

LONGEST, MOST = 64 * 1024, 20_000
"""Characters of a line, and lines of a file."""


def check_size(text: str, name: str = "") -> None:
    """Raises :class:`InputError` for a line, or a number of lines, that nobody typed."""
    lead = f"{name}: " if name else ""
    lines = text.split("\n")
    if len(lines) > MOST:
        raise InputError(f"{lead}{len(lines):,} lines; {MOST:,} are the most. Take them in in parts.")
    for number, line in enumerate(lines, 1):
        if len(line) > LONGEST:
            raise InputError(
                f"{lead}line {number} has {len(line):,} characters; {LONGEST:,} are the most. Is it the right file?"
            )
