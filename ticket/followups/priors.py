"""What is known of a vehicle's driving before its own readings tell it: the average, its age, or its fleet."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log
from statistics import median

MILES, HOURS = "mi", "h"
"""The units habits are kept in: distances in miles whatever was typed, hours as they are."""

# FHWA Highway Statistics 2024, table VM-1: 10,786.65 miles a year per light-duty vehicle in the United States, a mean
# of 29.53 a day. The median of a lognormal with spread .55 and that mean is 25.4; the spread is a guess, kept wide.
CENTRE, SPREAD = 25.4, 0.36
AGE_SPREAD = 0.25  # variance of what an odometer over a vehicle's age tells; invented
FLEET_LEAST = 5  # other vehicles with a rate: fewer are no fleet
SHOP_LEAST, SHOP_DAYS = 50, 90  # vehicles of a shop that tell its own centre, each known for so many days
_SHOP_SPREAD = (0.09, 0.64)  # variance: vehicles of one shop are never taken for more alike, nor for more unlike
_FLEET_SPREAD = 0.16  # variance; vehicles of one fleet are never taken for more alike
_MAD = 1.4826  # the median distance from the median, times this, is the deviation of a normal distribution


@dataclass(frozen=True, slots=True)
class Prior:
    """What one knows without a reading.

    Attributes:
        centre: distance a day of the vehicle in the middle; ``None`` where nothing is known, as for hours.
        spread: variance of its logarithm between vehicles.
        usual: the median vehicle's distance a day, whatever fleet this one is of; ``None`` for hours.
        said: ``average``, ``shop``, ``age`` or ``fleet``: where it comes from.
    """

    centre: float | None = CENTRE
    spread: float = SPREAD
    usual: float | None = CENTRE
    said: str = "average"


AVERAGE_DRIVER = Prior()
MACHINE = Prior(None, SPREAD, None)


def of_age(odometer: float, days: int) -> Prior:
    """From one reading and the vehicle's age; the average where either says nothing."""
    if odometer <= 0 or days <= 0:
        return AVERAGE_DRIVER
    weight = SPREAD / (SPREAD + AGE_SPREAD)
    middle = log(CENTRE) + weight * (log(odometer / days) - log(CENTRE))
    return Prior(exp(middle), SPREAD * (1 - weight), CENTRE, "age")


def of_fleet(mates: Sequence[float]) -> Prior | None:
    """From the logarithms of the distance a day of the other vehicles of one owner; ``None`` below five of them."""
    if len(mates) < FLEET_LEAST:
        return None
    middle, spread = _middle(mates)
    return Prior(exp(middle), max(_FLEET_SPREAD, spread), CENTRE, "fleet")


def of_shop(known: Sequence[float]) -> Prior | None:
    """The same from all vehicles a shop knows for long enough; ``None`` below fifty of them."""
    if len(known) < SHOP_LEAST:
        return None
    middle, spread = _middle(known)
    least, most = _SHOP_SPREAD
    return Prior(exp(middle), min(most, max(least, spread)), CENTRE, "shop")


def _middle(rates: Sequence[float]) -> tuple[float, float]:
    """The median, and the variance that the median distance from it tells of a normal distribution."""
    middle = median(rates)
    deviation = _MAD * median(abs(rate - middle) for rate in rates)
    return middle, deviation**2
