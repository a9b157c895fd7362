"""The typed figures of a text: quantities, money, codes, sub-codes, part numbers, dates, clocks, phones, counts.

A figure is more than its digits: 77 in "4410-77" is half of a part number, 3 in "3 mm" a length, 3 in "3 March" a
day. Whoever compares figures compares kind with kind.
"""

import re
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from functools import cache, lru_cache

from ticket.job.numbers import NUMBER
from ticket.job.regex import Regex
from ticket.job.text import fold
from ticket.readings import units
from ticket.story.faithful.language import Language, load

QUANTITY, MONEY, COUNT = "quantity", "money", "count"
CODE, SUB, PART, DATE, CLOCK, PHONE, DAY = "code", "sub-code", "part number", "date", "clock", "phone", "weekday"

_LONGEST = 40  # digits of a number that is one; anything longer is compared letter for letter
_CHUNK = Regex(r"[^\W_]+(?:(?:(?<=[0-9])[.,:](?=[0-9])|[/\-–−+'’&*_·])[^\W_]+)*")
_NUMBER = Regex(NUMBER)
_CODE = Regex(r"([PCBU][0-3][0-9A-F]{3})(?:[-:]([0-9A-F]{2}))?\Z", re.I | re.A)
_ISO = Regex(r"([0-9]{4})-([0-9]{2})-([0-9]{2})\Z")
_CLOCK = Regex(r"[0-2]?[0-9]:[0-5][0-9](?::[0-5][0-9])?\Z")
_CLOCKS = Regex(r"([0-2]?[0-9]:[0-5][0-9])[-–−]([0-2]?[0-9]:[0-5][0-9])\Z")
_PHONE = Regex(r"(?:\+?[0-9]{1,3}[-])?(?:[0-9]{3}[-])?[0-9]{3}-[0-9]{4}\Z")
_RANGE = Regex(rf"({NUMBER})[-–−]({NUMBER})\Z")
_LED = Regex(rf"({NUMBER})[-–](?=[^\W\d_]{{2,}}\Z)")
_PER = Regex(rf"({NUMBER})/(?=[^\W\d_]{{1,8}}\Z)")
_HEX = Regex(r"[0-9A-F]{2}\Z", re.I | re.A)
_SIGN = "+-−"
_MONEY = "$€£¥₹₩"
_SPACE = " \u00a0\u202f"
_REACH = 28  # letters of the longest name of a unit
_WORDS = 5  # words of it


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure.

    Attributes:
        kind: one of the names above.
        text: as it stands, without its unit.
        start: position of its first character, the sign included.
        end: position behind the last one, the unit included.
        value: exact; of a quantity in its own unit; ``None`` for what is compared letter for letter.
        unit: name of the unit of a quantity.
        dimension: what that unit measures.
        negative: a minus stands before it.
        word: written as a number word.
        shy: the unit may be an everyday word, or is that of the figure before.
    """

    kind: str
    text: str
    start: int
    end: int
    value: Fraction | None = None
    unit: str = ""
    dimension: str = ""
    negative: bool = False
    word: bool = False
    shy: bool = False

    @property
    def digits(self) -> str:
        """The digits as typed, thousands ungrouped."""
        return self.text.lstrip(_SIGN).replace(",", "")

    @property
    def signed(self) -> Fraction | None:
        """The value with its sign."""
        return -self.value if self.negative and self.value is not None else self.value


def number(typed: str) -> Fraction | None:
    """The exact value of an unsigned typed number, ``None`` for no number or one too long to be one."""
    if len(typed) > _LONGEST or _NUMBER.fullmatch(typed) is None:
        return None
    whole, _, rest = typed.replace(",", "").rpartition(" ")
    top, _, bottom = rest.partition("/")
    if bottom and not int(bottom):
        return None
    value = Fraction(top) / int(bottom) if bottom else Fraction(rest)
    return value + (int(whole) if whole else 0)


def quantity(typed: str, unit: str) -> Figure | None:
    """A quantity from a typed number and its unit, such as ``("-14", "mm")``."""
    body = typed.strip().lstrip("<>≤≥~").strip()
    negative = body[:1] in ("-", "−")
    value = number(body.lstrip(_SIGN))
    if value is None:
        return None
    known = units.find(unit)
    if not unit.strip():
        return Figure(COUNT, body, 0, 0, value, negative=negative)
    name, dimension = (known.name, known.dimension) if known else (unit.strip(), f"unit {fold(unit)}")
    return Figure(QUANTITY, body, 0, 0, value, name, dimension, negative)


def scan(text: str, language: Language) -> tuple[Figure, ...]:
    """All figures of a text in order. Total and linear."""
    return _scanned(text, language.code)


@lru_cache(maxsize=256)
def _scanned(text: str, code: str) -> tuple[Figure, ...]:
    language = load(code)
    found: list[Figure] = []
    taken = 0
    for match in _CHUNK.finditer(text):
        if match.start() < taken:
            continue
        chunk = match.group()
        if not any(letter.isnumeric() for letter in chunk):
            figures = _word(text, match, language)
        elif dated := _date(text, match, language):
            figures = [dated]
        else:
            figures = _chunk(text, match, language)
        found += figures
        taken = max([taken, *(figure.end for figure in figures)])
    return tuple(_ranges(_mixed(found, text), text, language))


def _word(text: str, match: re.Match[str], language: Language) -> list[Figure]:
    """A number word, with its unit where one follows; a month or the day of a week."""
    key = fold(match.group())
    start, end = match.span()
    if key in language.numbers:
        figure = Figure(COUNT, match.group(), start, end, language.numbers[key], word=True)
        return [_with_unit(figure, text, end, language)]
    if key in language.data["weekdays"]:
        return [Figure(DAY, key, start, end)]
    dated = _date(text, match, language) if key in language.data["months"] else None
    return [dated] if dated else []


_DAY_AFTER = Regex(r"[ \u00a0]{1,2}([0-9]{1,2})(?:st|nd|rd|th)?(?:,?[ \u00a0]([0-9]{4}))?(?![0-9])")
_MONTH_AFTER = Regex(r"(?:st|nd|rd|th)?[ \u00a0]([^\W\d_]{3,12})(?:,?[ \u00a0]([0-9]{4}))?(?![0-9])")


def _date(text: str, match: re.Match[str], language: Language) -> Figure | None:
    """A date written out: ``March 2, 2026``, ``2 March 2026``, both also without the year."""
    months: list[str] = language.data["months"]
    chunk = fold(match.group())
    if chunk in months and (after := _DAY_AFTER.match(text, match.end())):
        return _dated(months.index(chunk) + 1, after[1], after[2], text, match.start(), after.end())
    if chunk.isascii() and chunk.isdigit() and len(chunk) <= 2 and (after := _MONTH_AFTER.match(text, match.end())):
        name = fold(after[1])
        if name in months:
            return _dated(months.index(name) + 1, chunk, after[2], text, match.start(), after.end())
    return None


def _dated(month: int, day: str, year: str | None, text: str, start: int, end: int) -> Figure | None:
    try:
        date(int(year or 2000), month, int(day))
    except ValueError:
        return None
    key = f"{year or '????'}-{month:02}-{int(day):02}"
    return Figure(DATE, key, start, end)


def _chunk(text: str, match: re.Match[str], language: Language) -> list[Figure]:
    """What a run of letters and digits is."""
    chunk = match.group()
    start, end = match.span()
    if code := _CODE.match(chunk):
        whole = [Figure(CODE, code[1].upper(), start, end)]
        return whole + ([Figure(SUB, code[2].upper(), start, end)] if code[2] else [])
    before = fold(text[max(0, start - 12) : start]).replace("\u00a0", " ").rstrip(" #:")
    if chunk.isascii() and chunk.isdigit() and before.endswith(("spn", "fmi")):
        led = before[-3:].upper()
        return [Figure(CODE if led == "SPN" else SUB, f"{led} {int(chunk[:_LONGEST])}", start, end)]
    if _HEX.match(chunk) and before.endswith(tuple(language.data["sub_code_words"])):
        return [Figure(SUB, chunk.upper(), start, end)]
    if clocks := _CLOCKS.match(chunk):
        return [Figure(CLOCK, clocks[i], start + clocks.start(i), start + clocks.end(i)) for i in (1, 2)]
    for kind, pattern in ((DATE, _ISO), (CLOCK, _CLOCK), (PHONE, _PHONE)):
        if pattern.match(chunk):
            return [Figure(kind, chunk, start, end)]
    return _number(chunk, text, start, end, language) or [Figure(PART, fold(chunk), start, end)]


def _number(chunk: str, text: str, start: int, end: int, language: Language) -> list[Figure]:
    """A number or a range, with its sign, currency and unit."""
    sign = start > 0 and text[start - 1] in _SIGN and (start < 2 or not text[start - 2].isalnum())
    first = start - 1 if sign else start
    negative = sign and text[start - 1] != "+"
    if match := _RANGE.match(chunk):
        # Two whole numbers with a hyphen and no unit are a part or phone number.
        high = Figure(COUNT, match[2], start + match.start(2), end, number(match[2]))
        high = _with_unit(high, text, end, language)
        if high.kind == QUANTITY or "." in chunk:
            low = replace(high, text=match[1], start=first, end=start + match.end(1), value=number(match[1]))
            return [replace(low, negative=negative), high]
        return []
    led = _LED.match(chunk) or _PER.match(chunk)
    head = _NUMBER.match(chunk)
    if led:
        body, glued = led[1], start + led.end()
    elif head is None or (head.end() < len(chunk) and not units.find(chunk[head.end() :])):
        return []
    else:
        body, glued = head.group(), start + head.end()
    value = number(body)
    if value is None:
        return []
    figure = Figure(COUNT, body, first, start + len(body), value, negative=negative)
    if text[max(0, first - 1) : first] and text[first - 1 : first] in _MONEY:
        return [replace(figure, kind=MONEY, start=first - 1)]
    if text[max(0, first - 2) : first - 1] in _MONEY and first >= 2 and text[first - 1] in _SPACE:
        return [replace(figure, kind=MONEY, start=first - 2)]
    if _PER.match(chunk):
        return [replace(figure, end=end)]
    return [_with_unit(figure, text, glued, language)]


def _with_unit(figure: Figure, text: str, end: int, language: Language) -> Figure:
    """The same with the unit that follows; currency words make it money."""
    at = end + 1 if text[end : end + 1] in _SPACE and text[end : end + 1] else end
    reach = text[at : at + _REACH]
    for stop in _ends(reach):
        name = reach[:stop]
        if name != name.strip():
            continue
        if fold(name) in language.data["currency_words"]:
            return replace(figure, kind=MONEY, end=at + stop)
        unit = units.find(name) or _told_units().get(fold(name))
        if unit is None or (not name[0].isalpha() and name[0] not in "%°µμΩλ℃℉"):
            continue
        shy = fold(name) in language.data["shy_units"]
        if shy and _everyday(text[at + stop :], language):
            continue
        return replace(figure, kind=QUANTITY, unit=unit.name, dimension=unit.dimension, end=at + stop, shy=shy)
    return figure


_WORD_AFTER = Regex(r"[ \u00a0]([^\W\d_]+)")


@cache
def _told_units() -> dict[str, units.Unit]:
    """Units by the words a customer reads, such as "thousandths of an inch"."""
    known = [unit for name in units.NAMES if (unit := units.find(name))]
    return {fold(name): unit for unit in known for name in (unit.one, unit.many) if len(name) > 1}


def _everyday(rest: str, language: Language) -> bool:
    """True where a word follows that makes the unit before it an everyday word: "3 in the rail", "2 can be"."""
    after = _WORD_AFTER.match(rest[:40])
    return after is not None and fold(after[1]) not in language.data["unit_kept"]


def _ends(reach: str) -> list[int]:
    """Places where a unit may end, the furthest first: before a space or stop."""
    stops = [i for i in range(1, len(reach)) if not (reach[i].isalnum() or reach[i] in "/·⋅-²³₂")]
    if len(reach) < _REACH:
        stops.append(len(reach))
    first = 1 if reach[:1] in ("%", "°") else 0
    return sorted({*stops[:_WORDS], *([1, 2] if first else [])} & set(range(1, len(reach) + 1)), reverse=True)


def _mixed(found: list[Figure], text: str) -> list[Figure]:
    """A whole number, a space and a fraction are one mixed number: ``1 1/2 mm``."""
    out: list[Figure] = []
    for figure in found:
        last = out[-1] if out else None
        if (
            last is not None and last.kind == COUNT and not last.word and last.text.isdigit()
            and "/" in figure.text and " " not in figure.text and figure.value is not None and figure.value < 1
            and figure.kind in (COUNT, QUANTITY) and text[last.end : figure.start] == " "
        ):  # fmt: skip
            whole = last.value or 0
            out[-1] = replace(figure, text=f"{last.text} {figure.text}", start=last.start, value=whole + figure.value)
        else:
            out.append(figure)
    return out


_BRACKET = frozenset({"(", "(min", "(max", "(spread"})  # limits typed behind a reading in a text are in its unit
_WITHIN = frozenset({"to", "-", "–", "+/-", "±", ", spread", ", max", ", min"})


def _ranges(found: list[Figure], text: str, language: Language) -> list[Figure]:
    """In "13.8 to 14.8 volts" both have the unit; "down from 3" and "(max 3)" have that of the figure before."""
    linking = {*language.data["range_words"], "-", "–"}
    for i in range(len(found) - 2, -1, -1):
        first, second = found[i], found[i + 1]
        if first.kind != COUNT or second.kind not in (QUANTITY, MONEY) or first.word != second.word:
            continue
        gap = fold(text[first.end : second.start])
        spread = gap == language.data["and"] and fold(text[max(0, first.start - 12) : first.start]).endswith(
            language.data["between"]
        )
        if gap in linking or spread:
            found[i] = replace(first, kind=second.kind, unit=second.unit, dimension=second.dimension)
    kept = {fold(words) for name in ("down_from", "up_from", "unit_kept") for words in language.data[name]}
    bracketed = False
    for i in range(1, len(found)):
        first, second = found[i - 1], found[i]
        gap = fold(text[first.end : second.start])
        bracketed = gap in _BRACKET or (bracketed and gap in _WITHIN)
        if second.kind == COUNT and first.kind == QUANTITY and (bracketed or gap.lstrip(" ,;") in kept):
            found[i] = replace(second, kind=QUANTITY, unit=first.unit, dimension=first.dimension, shy=True)
    return found
