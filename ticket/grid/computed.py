"""What the program works out from readings, in a technician's words: a balance, a trend. Pure."""

from ticket.job.case import Case
from ticket.readings.reservoir_balance import Balance, Explanation, weigh
from ticket.readings.trend import Trend, trends
from ticket.readings.wear import AWAY, REACHED, TOO_SMALL

_ASKS = {
    "measure again": "measure again",
    "outside": "is it wet outside?",
    "last fill": "when was it filled last, and how much?",
    "fluid kind": "which fluid is in the one that has too much?",
    "recheck": "fill both right and look again later",
}


def balance_words(balance: Balance) -> str:
    """Which explanations the amounts fit and which they do not, and what would decide more."""
    fits, misfits, asks = _parts(balance)
    return "; ".join(part for part in (fits, misfits, asks) if part)


def fit_words(balance: Balance) -> str:
    """The same without those that do not fit."""
    fits, _, asks = _parts(balance)
    return "; ".join(part for part in (fits, asks) if part)


def misfit_words(balance: Balance) -> str:
    """Which explanations do not fit; empty where all may be."""
    return _parts(balance)[1]


def _parts(balance: Balance) -> tuple[str, str, str]:
    outcome = weigh(balance)
    fits = [_way(item, balance, outcome.unit) for item in outcome.explanations if item.fits]
    excluded = [_way(item, balance, "") for item in outcome.explanations if item.fits is False]
    asks = [_ASKS.get(item, item) for item in outcome.ask]
    return (
        f"fits: {'; '.join(fits)}" if fits else "no single explanation fits",
        f"does not fit: {'; '.join(excluded)}" if excluded else "",
        f"ask: {' '.join(asks)}" if asks else "",
    )


def _way(item: Explanation, balance: Balance, unit: str) -> str:
    first, second = balance.first.name, balance.second.name
    words = {
        "nothing": "nothing lost",
        "first lost": f"{first} lost fluid or was filled short",
        "second lost": f"{second} lost fluid or was filled short",
        "first over": f"{first} was filled too full",
        "second over": f"{second} was filled too full",
        "first to second": f"passing from {first} to {second}",
        "second to first": f"passing from {second} to {first}",
    }[item.id]
    if unit and item.amount is not None and item.id != "nothing":
        words += f" (about {item.amount:.2g} {unit}, give or take {item.amount_u or 0:.1g})"
    return words


def trend_lines(case: Case) -> list[str]:
    """How readings moved since an earlier visit of this vehicle, one line each."""
    return [_trend(trend) for trend in trends(case.ticket, case.earlier)]


def _trend(trend: Trend) -> str:
    name = " ".join(part for part in (trend.what, trend.label) if part)
    moved = f"{name}: {trend.start} then {trend.end} {float(trend.distance):,.0f} {trend.distance_unit} later"
    wear = trend.wear
    if wear.state == TOO_SMALL:
        return f"{moved}; not more than the gauge can show"
    if wear.state == AWAY:
        return f"{moved}; away from its limit: renewed, topped up, or measured elsewhere"
    if wear.state == REACHED or wear.left is None:
        return f"{moved}; the limit of {trend.limit} is reached"
    latest = f"{wear.latest:,.0f}" if wear.latest is not None and wear.latest < 1e7 else "no end"
    return (
        f"{moved}; limit {trend.limit} in about {float(wear.left):,.0f} {trend.distance_unit}"
        f" ({wear.earliest or 0:,.0f} to {latest}, if driven as before)"
    )
