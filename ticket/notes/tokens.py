"""A typed line as tokens with their places: what the grammars of the fields are written over.

One pass, no look at meaning: a token says what its characters are (number, sum of money, day, clock time, number or
name with digits, word, mark), and what they mean is decided by the kind of the line and its phrase tables.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from ticket.job.numbers import exact
from ticket.job.regex import Regex

_DIGITS = (
    r"(?:[0-9]{1,3}[ ][0-9]{3}(?=[ ]?(?:kms?|mi|miles?)\b|[ ]on[ ]the[ ])"
    r"|[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?|[0-9]+\.[0-9]+|[0-9]+,[0-9]{1,2}(?![0-9])|\.[0-9]+|[0-9]+)"
)
_PARTED = r"(?:[0-9]+[ \-][0-9]{1,2}/(?:2|3|4|6|8|10|12|15|16|30|32|60|64)|[0-9]*[¼½¾]|[0-9]{1,4}/[0-9]{1,4})"
_FREE = r"(?![0-9A-Za-z]|[.,:'’\-][0-9A-Za-z]|/[0-9])"  # what follows belongs to no longer figure or name
_SHORT = (
    r"(?:hours?|hrs?|h|minutes?|mins?|mi|miles?|kms?|quarts?|qts?|gals?|ltrs?|lit(?:er|re)s?|l|ml|cc|lbs?|kgs?|gm?|ft|oz"
    r"|each|ea|pcs?|prs?|sets?|x|pts?|wks?|weeks?|mos?|mths?|months?|yrs?|years?|days?)"
)
_TOKEN = Regex(
    rf"""(?P<plain>(?<!@)(?<!@[ ])[^\W\d_]+(?=[\s,;]|\Z))
    |(?P<span>\0+)
    |(?P<mail>[A-Za-z0-9_][\w.+\-]*@[\w\-]+(?:\.[\w\-]+)+)
    |(?P<day>[0-9]{{4}}-[0-9]{{2}}-[0-9]{{2}}|[0-9]{{1,2}}(?P<parting>[/.\-])[0-9]{{1,2}}(?P=parting)(?:20[0-9]{{2}}|[0-9]{{2}})){_FREE}
    |(?P<phone>(?:\+[0-9]{{1,3}}[ \-]?)?(?:\([0-9]{{2,5}}\)[ \-]?)[0-9][0-9 \-]{{4,12}}[0-9]{_FREE}
        |\+[0-9][0-9 \-]{{6,16}}[0-9]{_FREE}
        |[0-9]{{3}}[ .\-][0-9]{{3}}[ .\-][0-9]{{4}}{_FREE}|[0-9]{{3}}[ .\-][0-9]{{4}}{_FREE}
        |0[0-9]{{2,4}}[ ][0-9]{{3}}[ ]?[0-9]{{3,4}}{_FREE})
    |(?P<clock>(?![0-9]+\.[0-9]{{2}}[ ]a[ ][a-z])[0-9]{{1,2}}[:.][0-9]{{2}}[ ]?(?:[ap]\.m\.|[ap]m?)(?![\w/&'])
        |[0-9]{{1,2}}[ ]?(?:[ap]\.m\.|[ap]m)(?![\w/&'])|[0-9]{{1,2}}:[0-9]{{2}}(?![0-9A-Za-z:]))
    |(?P<money>[$£€¥][ ]?(?:{_DIGITS}|[0-9]+\.(?![0-9]))(?P<thousand>k)?(?:[.,][-–])?{_FREE}
        |{_DIGITS}/[\-–](?![0-9A-Za-z])|{_DIGITS}[ ]?(?:[$£€]|dollars|bucks|euros?|quid|usd|eur|gbp){_FREE})
    |(?P<lettered>(?:(?<=@)|(?<=@[ ]))(?!x)[A-Z]{{1,3}}{_DIGITS}{_FREE}
        |R[0-9]{{1,3}}(?:[ ,]?[0-9]{{3}})*[.,][0-9]{{2}}{_FREE}|(?<=,[ ])R[0-9]{{1,3}}(?:[ ][0-9]{{3}})*(?=\Z)
        |(?:(?<=over[ ])|(?<=total[ ])|(?<=max[ ])|(?<=limit[ ])|(?<=up[ ]to[ ])|(?<=above[ ])|(?<=under[ ])
            |(?<=below[ ])|(?<=than[ ])|(?<=past[ ])|(?<=exceed[ ]))R[0-9]{{2,}}{_FREE}
        |R[0-9]{{2,}}(?=[ ](?:total|all[ ]in|altogether|max)\b)
        |(?:(?<=@)|(?<=@[ ]))(?:kr|rs|chf)\.?[ ]{_DIGITS}{_FREE})
    |(?P<count>[xX×][0-9]{{1,4}}(?![\w.]))
    |(?P<number>(?:{_PARTED}|{_DIGITS})(?:k(?=[ ]?(?:mi|km)|[^\w.\-/]|\Z))?)
        (?:{_FREE}|(?P<glued>{_SHORT}|m(?=\Z|[\s,;])|'s?)(?=[^\w]|\Z|(?<=[hHrRsS])[0-9]{{2}}(?:[^\w]|m\b|min|\Z)))
    |(?P<name>\#?(?=[A-Za-z0-9/.\-]*[0-9])[A-Za-z0-9](?:[\w]|[\-/.:'’](?=[\w.])|(?<=[0-9]),(?=[0-9.]))*)
    |(?P<word>[^\W\d_]+(?:['’&./\-][^\W\d_]+)*/?)
    |(?P<mark>\S)""",
    re.X | re.I,
)
_VULGAR = {"¼": Fraction(1, 4), "½": Fraction(1, 2), "¾": Fraction(3, 4)}
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
_MOST = 400  # tokens; what stands behind them on such a line is prose


@dataclass(frozen=True, slots=True)
class Token:
    """A piece of a line.

    Attributes:
        kind: ``number money day clock phone mail count name word mark span``.
        text: as typed, without a unit that stands glued to it.
        low: the same in lower case, as phrase tables are asked.
        start: position of its first character in the body.
        end: position behind its last character, a glued unit included.
        glued: the unit that stands behind the number without a space.
    """

    kind: str
    text: str
    low: str
    start: int
    end: int
    glued: str = ""

    @property
    def value(self) -> Fraction | None:
        """The exact value of a number or a sum, or ``None`` where the text is none."""
        return value_of(self.text)


def tokens_of(text: str) -> list[Token]:
    """The tokens of a text whose quoted spans are blanked."""
    found: list[Token] = []
    for match in _TOKEN.finditer(text):
        kind = match.lastgroup or "mark"
        typed, glued, end = match[0], "", match.end()
        if kind == "plain":
            found.append(Token("word", typed, typed.lower(), match.start(), end))
            if len(found) >= _MOST:
                break
            continue
        if kind in ("glued", "number"):
            kind, glued, typed = "number", match["glued"] or "", match["number"]
        elif kind in ("parting", "thousand"):
            kind = "day" if kind == "parting" else "money"
        elif kind == "lettered":  # a sign of money in letters, only where nothing else can stand
            kind, typed = "money", typed.lstrip(_LETTERS + ". ")
        elif kind == "word" and typed.endswith("/") and typed[:-1].lower() not in ("w", "c", "b"):
            typed, end = typed[:-1], end - 1
        found.append(Token(kind, typed, typed.lower().replace("’", "'"), match.start(), end, glued))
        if len(found) >= _MOST:
            break
    return found


@lru_cache(maxsize=8)
def remembered(text: str) -> tuple[Token, ...]:
    """The tokens of a text that several readers ask about one after the other."""
    return tuple(tokens_of(text))


_SPACED = Regex(r"[0-9]{1,3} [0-9]{3}(?:\.[0-9]{2})?")
_COMMA = Regex(r"[0-9]+,[0-9]{1,2}")
_DASHED = Regex(r"[0-9]+-[0-9]+/[0-9]+")


def plain_number(text: str) -> str:
    """A typed figure as the notation keeps it: no sign of a currency, a decimal point, ``k`` spelled out."""
    if text[-2:] in ("/-", "/–"):  # whole currency units, as receipts write them
        text = text[:-2]
    figure = (
        re.sub(r"[$£€¥ ]|dollars|bucks|euros?|quid|usd|eur|gbp|[.,][-–]\Z", "", text, flags=re.I)
        if text[:1] in "$£€¥" or text[-1:].isalpha() or text[-1:] in "$£€"
        else text
    )
    if figure[-1:] in "kK":
        value = exact(plain_number(figure[:-1]))
        return "" if value is None else str(value * 1000) if (value * 1000).denominator == 1 else ""
    if figure.isascii() and figure.isdecimal():
        return figure
    if _SPACED.fullmatch(figure):  # thousands parted by a blank
        return figure.replace(" ", "")
    if _COMMA.fullmatch(figure):
        return figure.replace(",", ".")
    if figure[-1:] in _VULGAR:
        return f"{figure[:-1]} {_VULGAR[figure[-1]]}".strip()
    if _DASHED.fullmatch(figure):
        return figure.replace("-", " ", 1)
    return figure.rstrip(".")


@lru_cache(maxsize=4096)
def value_of(text: str) -> Fraction | None:
    """The exact value of a typed figure, decimal comma, vulgar fraction and ``k`` included."""
    return exact(plain_number(text)) if text else None


def has_decimal_comma(token: Token) -> bool:
    """Whether the figure is written with a comma where a full stop is meant."""
    return re.search(r"[0-9],[0-9]{1,2}(?![0-9])", token.text) is not None
