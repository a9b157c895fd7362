"""The wall of the shop: what day it is there at a moment, and which moments a time on its clock can be."""

from datetime import UTC, date, datetime, time, timedelta, tzinfo


def local_day(at: datetime) -> date:
    """The calendar day of a moment on the wall of this process: in the shop's zone, else in the machine's."""
    return at.astimezone().date()


def moments(day: date, minute: int, zone: tzinfo | None = None) -> tuple[datetime, ...]:
    """The moments at which the clock on the wall shows a time, in UTC, earliest first.

    One, as a rule. In the night the clocks go forward some times never come, in the night they go back some come twice.

    Args:
        day: on the wall.
        minute: since midnight; 1440 is the midnight that ends the day.
        zone: of the wall; ``None`` for the one of this process.
    """
    shown = datetime.combine(day, time()) + timedelta(minutes=minute)
    found = {shown.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1)}
    return tuple(sorted(at for at in found if at.astimezone(zone).replace(tzinfo=None) == shown))
