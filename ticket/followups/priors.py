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
_FLEET_SPREAD = 0.16  # variance; vehicles of one fleet are never taken for more alike
_MAD = 1.4826  # the median distance from the median, times this, is the deviation of a normal distribution


@dataclass(frozen=True, slots=True)
class Prior:
    """What one knows without a reading.

    Attributes:
        centre: distance a day of the vehicle in the middle; ``None`` where nothing is known, as for hours.
        spread: variance of its logarithm between vehicles.
        usual: the median vehicle's distance a day, whatever fleet this one is of; ``None`` for hours.
        said: ``average``, ``age`` or ``fleet``: where it comes from.
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
    middle = median(mates)
    deviation = _MAD * median(abs(mate - middle) for mate in mates)
    return Prior(exp(middle), max(_FLEET_SPREAD, deviation**2), CENTRE, "fleet")
