"""One place for what text may hold: cleaning at the edge, visible marks for display, folding for search."""

import re
import unicodedata

from ticket.job.regex import Regex

# Characters a terminal or a reader would obey or lose instead of showing: C0 (without newline and tab),
# DEL, C1, line and paragraph separators, direction overrides and isolates, zero-width marks, BOM; fillers that are
# letters by name and blank on paper; tags, which spell out a whole text that nobody sees.
_HIDDEN = Regex(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u00ad\u061c\u115f\u1160\u200b-\u200f\u2028-\u202e\u2060-\u2069\u3164\ufeff\uffa0"
    "\ufff9-\ufffb\ud800-\udfff\U000e0000-\U000e007f]"
)
_SURROGATE = Regex("[\ud800-\udfff]")
_SPACES = Regex(r"\s+")


def clean(text: str) -> str:
    r"""Text as it may be stored: newlines are ``\n``, NUL becomes U+2400, a lone surrogate U+FFFD.

    Nothing else changes, so that what was typed is kept. Total: any ``str`` is accepted.
    """
    if text.isascii() and text.isprintable():
        return text  # as nearly every text is
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\x00", "\u2400")
    return _SURROGATE.sub("\ufffd", text)


def _mark(match: re.Match[str]) -> str:
    code = ord(match.group())
    if code < 0x20:
        return chr(0x2400 + code)
    return "\u2421" if code == 0x7F else "\ufffd"


def visible(text: str) -> str:
    """Text that is safe to send to a terminal: every control character becomes a visible mark.

    Newline and tab stay; callers that need one line use :func:`one_line`.
    """
    return _HIDDEN.sub(_mark, text)


def escaped(json_text: str) -> str:
    """JSON text in which every character a terminal would obey is written as its escape; it means the same."""
    import json  # the first list does without

    return _HIDDEN.sub(lambda match: json.dumps(match.group())[1:-1], json_text)


def one_line(text: str) -> str:
    """:func:`visible` text on a single line: newlines show as U+23CE, tabs as one space."""
    return visible(text).replace("\n", "\u23ce").replace("\t", " ")


def sentence(text: str, most: int = 600) -> str:
    """Text as one line a person can read to its end: what was typed into it by the page is cut in the middle."""
    line = one_line(text)
    return line if len(line) <= most else f"{line[: most // 2]} ... {line[-most // 2 :]}"


def fold(text: str) -> str:
    """A key under which texts that read alike are equal: compatibility form, case-blind, single spaces."""
    if text.isascii():  # as nearly every text is: its compatibility form is itself
        return " ".join(text.lower().split())
    return _SPACES.sub(" ", unicodedata.normalize("NFKC", text).casefold()).strip()


_ESCAPE = Regex(r'\\(["\\nr])')
_DECODED = {'"': '"', "\\": "\\", "n": "\n", "r": "\r"}


def unescaped(text: str) -> str:
    """What stands between quote marks in a typed line, as meant: a mark, a backslash, an end of line behind one."""
    return _ESCAPE.sub(lambda match: _DECODED[match[1]], text)
