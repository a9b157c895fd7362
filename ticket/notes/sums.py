"""Sums a customer was told or agreed to: totals, ceilings and deposits, by the words beside the figure."""

from collections.abc import Sequence
from dataclasses import dataclass

from ticket.notes.phrases import means, phrase_at
from ticket.notes.shapes import money_in
from ticket.notes.tokens import Token, plain_number
from ticket.readings.units import find

_BETWEEN = frozenset(
    {
        "of",
        "is",
        ":",
        "=",
        "at",
        "to",
        "the",
        "it",
        "a",
        "by",
        "no",
        "now",
        "about",
        "total",
        "tot",
        "sum",
        "price",
        "$",
        "@",
        "with",
        "inc",
        "incl",
        "tax",
        "-",
        "–",
    }
)
_SKIP = 3  # words between a lead and its figure
_UNIT_BEHIND = frozenset({"%", "/", "x", ":"})


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum of money: ``ceiling``, ``total``, ``deposit`` or ``estimate``, and the tokens that say it."""

    role: str
    amount: str
    first: int
    behind: int


def figure_of(tokens: Sequence[Token], at: int) -> str:
    """The sum a token is, or nothing: not a figure with a unit, a share or a count behind it."""
    if at >= len(tokens) or tokens[at].kind not in ("money", "number"):
        return ""
    token = tokens[at]
    amount = money_in(plain_number(token.text))
    if token.kind == "money" or not amount:
        return amount
    if token.glued or "/" in token.text:
        return ""
    low = tokens[at + 1].low if at + 1 < len(tokens) else ""
    if low in _UNIT_BEHIND or any(
        means(table, low)
        for table in ("distance", "hour", "time", "sold")
        if low not in ("x", "off", "a", "m", "w", "d", "each")
    ):
        return ""
    return amount


def sums(tokens: Sequence[Token], start: int, taken: set[int]) -> list[Sum]:
    """Every sum that a word names, from a token on."""
    found: list[Sum] = []
    used: set[int] = set(taken)
    for role in ("ceiling", "deposit", "total", "estimate"):
        for at in range(start, len(tokens)):
            hit = _at(role, tokens, at, used) if at not in used else None
            if hit:
                found.append(hit)
                used.update(range(hit.first, hit.behind))
    return sorted(found, key=lambda item: item.first)


def _at(role: str, tokens: Sequence[Token], at: int, used: set[int]) -> Sum | None:
    if f"{role} behind" in ("ceiling behind", "total behind"):
        behind = phrase_at(f"{role} behind", tokens, at + 1)
        amount = figure_of(tokens, at) if behind else ""
        if behind and amount and not _leads_on(role, tokens, behind[1]):
            return Sum(role, amount, _with_lead(tokens, at, used), behind[1])
    lead = phrase_at(role, tokens, at)
    if lead is None:
        return None
    figure = lead[1]
    while figure < len(tokens) and figure - lead[1] < _SKIP and tokens[figure].low in _BETWEEN:
        figure += 1
    amount = "" if figure in used else figure_of(tokens, figure)
    if not amount:
        return None
    first = at - 1 if role == "ceiling" and at and means("total", tokens[at - 1].low) and at - 1 not in used else at
    behind_figure = figure + 1
    if role in ("total", "ceiling"):
        more = phrase_at("total behind", tokens, behind_figure)
        behind_figure = more[1] if more and not figure_of(tokens, more[1]) else behind_figure
    return Sum(role, amount, first, behind_figure)


def _leads_on(role: str, tokens: Sequence[Token], behind: int) -> bool:
    """``400 total 512``: the word belongs to the figure that follows it."""
    return bool(figure_of(tokens, behind)) or (
        role == "total" and behind < len(tokens) and bool(phrase_at("ceiling", tokens, behind))
    )


def _with_lead(tokens: Sequence[Token], at: int, used: set[int]) -> int:
    """The figure together with a small word in front of it, as in ``w/ 210.50 tot``."""
    low = tokens[at - 1].low if at else ""
    return at - 1 if low in ("w/", "with", "for", "at", "of", "@") and at - 1 not in used else at


_SMALLEST_SUM = 20
_LARGEST_COUNT = 100


def loose_sums(tokens: Sequence[Token], start: int, explained: set[int]) -> list[tuple[int, str]]:
    """Figures that may be sums and that nothing explained: with their tokens, signed ones and those of some size."""
    found: list[tuple[int, str]] = []
    for at in range(start, len(tokens)):
        amount = "" if at in explained else figure_of(tokens, at)
        value = tokens[at].value if amount else None
        small = value is None or (tokens[at].kind == "number" and (value < _SMALLEST_SUM or _counts(tokens, at)))
        if not small:
            found.append((at, amount))
    return found


def _counts(tokens: Sequence[Token], at: int) -> bool:
    """A small whole figure with a word behind it counts something; ``500 for``, ``412.50 quoted`` do not."""
    follows = tokens[at + 1] if at + 1 < len(tokens) else None
    if follows is not None and follows.kind == "word" and find(follows.text):
        return True  # measured in a unit
    if not tokens[at].text.isdecimal() or int(tokens[at].text) >= _LARGEST_COUNT:
        return False
    counted = follows is not None and follows.kind == "word" and not means("sum lead", follows.low)
    before = tokens[at - 1].low if at else ""
    return counted or bool(means("naming", before)) or bool(means("month name", before))
