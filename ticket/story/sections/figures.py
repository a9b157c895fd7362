"""Figures, dates, money and lists as a locale writes them; the digits stay those that were typed."""

import re
from datetime import date
from functools import cache

from ticket.job.regex import Regex
from ticket.language.figures import GROUPED_UNITS
from ticket.story.sentence import Lit, Phrase, text_of

_PLAIN = Regex(r"(\u2212?)([0-9]+(?:,[0-9]{3})*)(\.[0-9]+)?")
_MOST = 16  # digits that are read as a number; more are a string of digits


@cache
def _locale(name: str) -> "tuple[str, str, dict[str, str]]":
    """Decimal mark, thousands mark, and the patterns of a list."""
    from babel import Locale
    from babel.numbers import get_decimal_symbol, get_group_symbol

    known = Locale.parse(name)
    return get_decimal_symbol(known), get_group_symbol(known), dict(known.list_patterns["standard"])


def number(text: str, locale: str, *, grouping: bool = False) -> str:
    """A typed figure with the locale's marks: no plus sign, no digit more or less."""
    point, thousands, _ = _locale(locale)
    signed = text.lstrip("+").replace("-", "\u2212", 1) if text[:1] in "+-" else text
    found = _PLAIN.fullmatch(signed)
    if found is None:
        return signed
    whole = found[2].replace(",", "")
    set_off = "," in found[2] or grouping
    if set_off and 4 <= len(whole) < _MOST:
        whole = _split(whole, thousands)
    return found[1] + whole + (point + found[3][1:] if found[3] else "")


def _split(whole: str, mark: str) -> str:
    head = len(whole) % 3
    return mark.join(([whole[:head]] if head else []) + [whole[i : i + 3] for i in range(head, len(whole), 3)])


def groups(unit: str) -> bool:
    """Whether figures of a unit are read with their thousands set off."""
    return unit in GROUPED_UNITS


def day(when: date, locale: str) -> str:
    """A date in words: "2 de marzo de 2026"."""
    from babel.dates import format_date

    return str(format_date(when, "long", locale=locale))


def day_of_year(when: date, locale: str) -> str:
    """The same without its year: "2 de marzo"."""
    from babel.dates import format_skeleton

    return str(format_skeleton("MMMMd", when, locale=locale))


def month(when: date, locale: str) -> str:
    """The name of a month: "marzo"."""
    from babel.dates import format_date

    return str(format_date(when, "LLLL", locale=locale))


def month_of_year(when: date, locale: str) -> str:
    """The same with its year: "marzo de 2026"."""
    from babel.dates import format_skeleton

    return str(format_skeleton("yMMMM", when, locale=locale))


def listed(items: list[Phrase], locale: str, swaps: "list[tuple[str, str, str]]") -> Phrase:
    """Phrases as a list of the locale, its link changed where the next word asks for it."""
    _, _, patterns = _locale(locale)
    if not items:
        return ()
    out = items[-1]
    for i in range(len(items) - 2, -1, -1):
        name = "2" if len(items) == 2 else "end" if i == len(items) - 2 else "start" if i == 0 else "middle"
        before, between, after = re.split(r"\{[01]\}", patterns[name])
        if name == "end" and ";" in text_of(items[i]):
            between = ";" + between.removeprefix(",")
        out = (*_lit(before), *items[i], Lit(link(between, text_of(out), swaps)), *out, *_lit(after))
    return out


def _lit(text: str) -> Phrase:
    return (Lit(text),) if text else ()


def link(between: str, behind: str, swaps: "list[tuple[str, str, str]]") -> str:
    """ " y " as " e " before "inyector"."""
    word, low = between.strip(), behind.lower().lstrip("“¿¡(")
    for old, new, starts in swaps:
        held = starts.split()
        yes = any(low.startswith(start) for start in held if not start.startswith("!"))
        no = any(low.startswith(start[1:]) for start in held if start.startswith("!"))
        if word == old and yes and not no:
            return between.replace(old, new)
    return between
