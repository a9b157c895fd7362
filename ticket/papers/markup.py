"""Building HTML out of elements: a text becomes markup in one place only, and there it is escaped."""

from html import escape

from ticket.job.regex import Regex
from ticket.job.text import one_line

# Code points that are no characters (Unicode 23.7); the HTML standard calls them a parse error.
_LAST_TWO = "".join(f"{chr(plane + 0xFFFE)}{chr(plane + 0xFFFF)}" for plane in range(0, 0x110000, 0x10000))
_NO_CHARACTER = Regex(f"[\ufdd0-\ufdef{_LAST_TWO}]")
_EMPTY = frozenset({"meta", "br", "img"})


class Html(str):
    """Markup that is ready; every other ``str`` is text."""

    __slots__ = ()


def literal(text: str) -> Html:
    """Text as markup that shows it as it is, on one line, every control character a visible mark."""
    return Html(escape(_NO_CHARACTER.sub("\ufffd", one_line(text))))


def joined(*parts: str, mark: str = "") -> Html:
    """Parts one after the other; those that are text are escaped."""
    return Html(mark.join(part if isinstance(part, Html) else literal(part) for part in parts))


def element(tag: str, *parts: str, **attributes: str | None) -> Html:
    """An element with its contents; texts and values of attributes are escaped, an attribute of ``None`` is left out.

    An underscore at the end of a name falls away, any other becomes a dash: ``class_``, ``aria_label``.
    """
    given = "".join(
        f' {name.rstrip("_").replace("_", "-")}="{literal(value)}"'
        for name, value in attributes.items()
        if value is not None
    )
    return Html(f"<{tag}{given}>" if tag in _EMPTY else f"<{tag}{given}>{joined(*parts)}</{tag}>")


def css_string(text: str) -> str:
    """A text as a string of a style sheet: all but letters and digits of ASCII are written as their escapes."""
    shown = one_line(text)
    return '"' + "".join(c if c.isascii() and c.isalnum() else f"\\{ord(c):06x}" for c in shown) + '"'
