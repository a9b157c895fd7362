"""Quoted spans: text that is taken as it is, whatever it looks like."""

from dataclasses import dataclass

from ticket.job.regex import Regex
from ticket.job.text import unescaped

# A span opens only where a quote mark cannot mean inches, and closes only where the text may go on: 11" drum is none.
_SPAN = Regex(r'(?:(?<=[\s,;(])|(?<=[\s,;(]#)|(?<![\s\S])|(?<=^#))"((?:[^"\\\n]|\\[^\n])*)"(?=[\s,;)@]|\Z)')
_OPENED = Regex(r'(?<![^\s,;(])"(?![^"\n]*")')
BLANK = "\0"
"""Stands for every character of a span in ``Body.bare``; clean text never holds it."""


@dataclass(frozen=True, slots=True)
class Body:
    """A piece of a line, with a copy of equal length in which spans are blanked.

    Patterns look at ``bare`` and slice ``raw``.

    Attributes:
        raw: the text as typed.
        bare: the same with every span as blanks.
        at: position of its first character in the line.
    """

    raw: str
    bare: str
    at: int = 0

    @classmethod
    def of(cls, raw: str, at: int = 0) -> "Body":
        """A body with its spans found and blanked."""
        if '"' not in raw:
            return cls(raw, raw, at)
        return cls(raw, _SPAN.sub(lambda match: BLANK * len(match[0]), raw), at)

    def cut(self, start: int, end: int | None = None) -> "Body":
        """The piece between two positions."""
        return Body(self.raw[start:end], self.bare[start:end], self.at + start)

    def strip(self) -> "Body":
        """The same without outer white space."""
        start = len(self.raw) - len(self.raw.lstrip())
        return self.cut(start, max(start, len(self.raw.rstrip())))

    @property
    def text(self) -> str:
        """What the piece says: the inside of a span that stands alone, else the piece itself, literally."""
        raw = self.raw.strip()
        return unquote(raw) if is_span(raw) else raw

    @property
    def unclosed(self) -> int:
        """Position in the line of a quote mark that opens and never closes, or -1."""
        match = _OPENED.search(self.bare)
        return self.at + match.start() if match else -1


def is_span(text: str) -> bool:
    """True where the text is one span and nothing else."""
    if len(text) < 2 or text[0] != '"' or text[-1] != '"':
        return False
    match = _SPAN.match(text)
    return match is not None and match.end() == len(text)


def unquote(span: str) -> str:
    """The text inside a span. A backslash before anything it cannot escape means itself."""
    return unescaped(span[1:-1])


def quote(text: str) -> str:
    """The text as a span."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\r", "\\r")
    return f'"{escaped}"'
