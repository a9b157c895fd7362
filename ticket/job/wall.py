"""The wall of the shop: what day it is there at a moment."""

from datetime import date, datetime


def local_day(at: datetime) -> date:
    """The calendar day of a moment on the wall of this process: in the shop's zone, else in the machine's."""
    return at.astimezone().date()
