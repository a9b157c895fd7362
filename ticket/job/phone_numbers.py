"""Telephone numbers in running text: only forms that hardly anything else in a workshop has.

Three groups joined by one kind of sign, an area code in brackets, a number with its country, seven digits behind a word
such as ``call``. Part numbers, codes and readings come in one or two groups; those are left alone.
"""

from ticket.job.regex import Regex

PHONE = Regex(
    r"(?<![\w.,/-])(?:"
    r"\+\d{1,3}(?:[ .-]?\(?\d{1,5}\)?){2,5}"
    r"|\(\d{3}\) ?\d{3}[ .-]\d{4}"
    r"|(?:1[ .-])?\d{3}(?P<sign>[ .-])\d{3}(?P=sign)\d{4}"
    r"|(?<=\b(?:call|ring|text|cell) )\d{3}[ .-]\d{4}"
    r"|(?<=\b(?:phone) )\d{3}[ .-]\d{4}"
    r"|(?<=\b(?:mobile) )\d{3}[ .-]\d{4}"
    r"|(?<=\b(?:tel) )\d{3}[ .-]\d{4}"
    r")(?![\w/-]|[.,]\d)"
)
"""ITU E.123 writes a number with its country behind a plus; the NANP has groups of 3, 3 and 4 (both from memory)."""

_LEAST, _MOST = 7, 15  # digits; E.164 knows fifteen at most (from memory)


def phone_numbers(text: str) -> list[str]:
    """The telephone numbers a text holds, as typed."""
    found = (match[0].strip() for match in PHONE.finditer(text))
    return [one for one in found if _LEAST <= sum(map(str.isdecimal, one)) <= _MOST]
