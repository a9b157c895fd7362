"""The vehicle identification number: alphabet, check digit, model year, and what a misread may have been.

Sources: alphabet, values, weights, check digit and model years of 49 CFR 565.15 (tables III to VII). Outside North
America (ISO 3779, EU) neither the check digit nor the model year is required. Nothing is ever corrected silently:
suggestions are offered, the VIN stays as typed.
"""

from dataclasses import dataclass

from ticket.job.regex import Regex

LENGTH = 17
_VALUES = {c: int(c) for c in "0123456789"} | dict(
    zip("ABCDEFGHJKLMNPRSTUVWXYZ", (1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4, 5, 7, 9, 2, 3, 4, 5, 6, 7, 8, 9), strict=True)
)
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
_REMAINDERS = "0123456789X"
_CHECK = 8  # index of position 9
_YEAR = 9  # index of position 10
_YEARS = "ABCDEFGHJKLMNPRSTVWXY123456789"  # 1980 to 2009, and again 2010 to 2039
_FIRST_YEAR, _CYCLE = 1980, 30
# Pairs seen to be misread on stamped plates and screens (common practice, no source); J and 1, S and 2, E and 5,
# H and 8 have equal values and cannot be told by the check digit.
_MISREAD = {
    "5": "S",
    "S": "58",
    "8": "BS",
    "B": "8",
    "2": "Z",
    "Z": "2",
    "6": "G",
    "G": "6",
    "0": "D",
    "D": "0",
    "U": "V",
    "V": "U",
}
_FORBIDDEN = {"O": "0", "Q": "09", "I": "1"}
_DRESSING = Regex(r"[\s*\-\u2010-\u2015\u2212]")
OFFERED_MAX = 6

REQUIRED, EXPECTED, OPTIONAL = "required", "expected", "optional"


@dataclass(frozen=True, slots=True)
class VinReport:
    """What is known about a typed or scanned VIN.

    Attributes:
        vin: without spaces, dashes, asterisks and a label's leading I; upper case; otherwise as typed.
        ok: ``True`` nothing speaks against it, ``False`` it is wrong, ``None`` it cannot be told.
        problems: what is wrong or doubtful, one sentence each.
        notes: worth knowing, but nothing wrong.
        check_digit: ``required`` (North America), ``expected`` (China) or ``optional`` (elsewhere), by the first
            character; empty where the form is wrong.
        expected: the check digit the other characters call for; empty where it cannot be computed.
        years: model years that position 10 can mean; empty where it means none.
        year: the one of them by the rule of position 7, which holds for cars and light trucks of North America.
        suggestions: what may have been meant, likeliest first; to be offered, never applied.
    """

    vin: str
    ok: bool | None = None
    problems: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    check_digit: str = ""
    expected: str = ""
    years: tuple[int, ...] = ()
    year: int | None = None
    suggestions: tuple[str, ...] = ()


def tidy(typed: str) -> str:
    """A VIN without what labels, scanners and typists put around it.

    A label's bar code often holds 18 characters, an I ("import") before the VIN: that one is dropped. An I, O or Q
    anywhere else stays, since dropping it would silently shorten the VIN.
    """
    vin = "".join(c.upper() if c.isascii() else c for c in _DRESSING.sub("", typed[:200]))
    return vin[1:] if len(vin) == LENGTH + 1 and vin[0] == "I" else vin


def check_digit(vin: str) -> str:
    """The check digit that the other sixteen characters call for, or nothing where the form is wrong.

    Products of value and weight, added up, modulo 11; a remainder of 10 is X (49 CFR 565.15(c), tables III to VI).
    """
    if len(vin) != LENGTH or any(c not in _VALUES for i, c in enumerate(vin) if i != _CHECK):
        return ""
    total = sum(_VALUES[c] * w for i, (c, w) in enumerate(zip(vin, _WEIGHTS, strict=True)) if i != _CHECK)
    return _REMAINDERS[total % 11]


def model_years(vin: str) -> tuple[int, ...]:
    """The model years position 10 can stand for (49 CFR 565.15, table VII); none where it is no year code."""
    code = vin[_YEAR] if len(vin) == LENGTH else ""
    if not code or code not in _YEARS:
        return ()
    first = _FIRST_YEAR + _YEARS.index(code)
    return first, first + _CYCLE


def check(typed: str) -> VinReport:
    """What is wrong with a VIN, what it may have been meant to be, and what it says; total, any text is accepted."""
    vin = tidy(typed)
    problems = _form(vin)
    if problems:
        return VinReport(vin, ok=False, problems=problems, suggestions=_for_form(vin))
    policy = _policy(vin)
    expected = check_digit(vin)
    years = model_years(vin)
    wrong = vin[_CHECK] != expected
    found: list[str] = []
    notes: list[str] = []
    if policy == REQUIRED and vin[_YEAR] not in _YEARS:
        found.append(f"Position 10 is {vin[_YEAR]}, which stands for no model year.")
    if wrong:
        found_or_noted = notes if policy == OPTIONAL else found
        found_or_noted.append(_digit_sentence(vin, expected, policy))
    if policy == REQUIRED and not vin[-4:].isdecimal():
        notes.append("The last four characters are digits on most vehicles of North America.")
    year = years[0 if vin[6].isdecimal() else 1] if years and policy == REQUIRED else None
    if year:
        notes.append(f"Model year {year} holds for cars and light trucks; for others {years[0]} or {years[1]}.")
    elif not years and policy != REQUIRED:
        notes.append("Position 10 tells no model year; outside North America it need not.")
    return VinReport(
        vin, _verdict(found, policy, wrong=wrong), tuple(found), tuple(notes), policy, expected, years, year,
        _for_digit(vin, policy) if wrong else (),
    )  # fmt: skip


def _policy(vin: str) -> str:
    """Who requires the check digit, by the first character of the VIN."""
    if vin[0] in "12345":
        return REQUIRED
    return EXPECTED if vin[0] == "L" else OPTIONAL


def _verdict(found: list[str], policy: str, *, wrong: bool) -> bool | None:
    if found and policy == REQUIRED:
        return False
    return None if wrong else True


def _digit_sentence(vin: str, expected: str, policy: str) -> str:
    seen = f"The check digit at position 9 is {vin[_CHECK]}, the other characters call for {expected}"
    if policy == REQUIRED:
        return f"{seen}: one of the characters is wrong."
    if policy == EXPECTED:
        return f"{seen}: check it, vehicles made in China should carry the right one."
    return f"{seen}; where this vehicle was made it need not be one."


def _form(vin: str) -> tuple[str, ...]:
    problems = []
    if not vin:
        return ("No VIN was given.",)
    if len(vin) != LENGTH:
        problems.append(f"A VIN has {LENGTH} characters, this one has {len(vin)}.")
    bad = dict.fromkeys(c for c in vin if c not in _VALUES)
    for c in list(bad)[:3]:
        place = f"position {vin.index(c) + 1}"
        known = f"the letter {c} is not used in a VIN" if c in _FORBIDDEN else "only digits and plain letters are used"
        problems.append(f"At {place}: {known}." if c in _FORBIDDEN else f"At {place} stands {c!r}: {known}.")
    return tuple(problems)


def _for_form(vin: str) -> tuple[str, ...]:
    """The VIN with I, O and Q read as the digits they are mistaken for; the right check digit goes first."""
    if len(vin) != LENGTH or not any(c in _FORBIDDEN for c in vin):
        return ()
    offered = [""]
    for c in vin:
        choices = _FORBIDDEN.get(c, c)
        offered = [start + choice for start in offered for choice in choices][:64]
    good = [v for v in offered if not _form(v)]
    good.sort(key=lambda v: v[_CHECK] != check_digit(v))
    return tuple(good[:OFFERED_MAX])


def _for_digit(vin: str, policy: str) -> tuple[str, ...]:
    """One misread character or two swapped neighbours that would make the check digit right.

    Where the digit is not needed, only a first character that may be a misread 1 to 5 is worth asking about.
    """
    misread = (vin[:i] + c + vin[i + 1 :] for i, seen in enumerate(vin) for c in _MISREAD.get(seen, ""))
    swapped = (vin[:i] + vin[i + 1] + vin[i] + vin[i + 2 :] for i in range(LENGTH - 1))
    good = dict.fromkeys(v for v in (*misread, *swapped) if v != vin and v[_CHECK] == check_digit(v))
    fitting = (v for v in good if _fits(v, vin, policy))
    return tuple(fitting)[:OFFERED_MAX]


def _fits(offered: str, vin: str, policy: str) -> bool:
    if policy == OPTIONAL:
        return offered[0] != vin[0] and _policy(offered) == REQUIRED and offered[_YEAR] in _YEARS
    return offered[0] == vin[0] and (policy == EXPECTED or offered[_YEAR] in _YEARS)
