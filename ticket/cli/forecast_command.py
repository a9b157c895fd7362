"""The command that forecasts a day from typed readings, without a ticket and without a shop."""

import argparse
from datetime import date

from ticket.assist.typed_header import odometer
from ticket.cli.output import say, say_json
from ticket.followups.driving import Driving, Visit, driving, in_unit
from ticket.followups.forecast import DISTANCE, RUNNING, Forecast, falls
from ticket.followups.priors import HOURS, MILES
from ticket.followups.spoken import basis, when
from ticket.job.errors import InputError
from ticket.job.values import Quantity
from ticket.job.wall import asked_day


def forecast(options: argparse.Namespace) -> None:
    """Say when a distance, or so many running hours, will have been run."""
    visits = sorted((_visit(text) for text in options.reading), key=lambda visit: visit.day)
    left = odometer(options.after, MILES)
    if left is None:
        raise InputError("How much may be run? Write it as --after 500mi, 800km or 250h.")
    driven = driving(visits)
    measure = in_unit(left, driven.unit)
    start = driven.day or (asked_day(options.start) if options.start else None)
    if measure is None:
        counted = "running hours" if driven.unit == HOURS else "a distance"
        raise InputError(f"The readings count {counted}, and {left} is none.")
    if start is None:
        raise InputError("From which day? Without a reading name it: --from 2026-03-02.")
    unit = RUNNING if driven.unit == HOURS else DISTANCE
    found = falls(None, measure, start, driven.habit, unit=unit, risky=options.risky)
    if options.json:
        say_json(_document(found, driven, left))
        return
    if found.by_driving is None:
        say("No day can be told: of a machine at least two readings must be known, and nothing beyond a century.")
        return
    shown = left.unit if driven.unit == MILES else HOURS
    say(f"{left} from {start}: {when(found)}.")
    why = basis(driven, shown)
    say(f"Call on {found.call}. {why[:1].upper()}{why[1:]}.")


def _visit(text: str) -> Visit:
    day, mark, typed = text.partition("=")
    reading = odometer(typed, MILES)
    if not mark or reading is None:
        raise InputError(
            f"{text!r} is no reading: write it as 2026-03-02=57650, with its unit where that is not miles."
        )
    return Visit(asked_day(day.strip()), reading)


def _document(found: Forecast, driven: Driving, left: Quantity) -> dict[str, object]:
    habit = driven.habit

    def day(value: date | None) -> str | None:
        return value.isoformat() if value else None

    return {
        "after": str(left),
        "from": day(found.start),
        "date": day(found.by_driving),
        "earliest": day(found.earliest),
        "latest": day(found.latest),
        "call": day(found.call),
        "forecast": when(found),
        "basis": basis(driven, left.unit if driven.unit == MILES else HOURS),
        "driving": habit.word if habit else "unknown",
        "per_day": round(habit.per_day, 3) if habit else None,
        "unit": driven.unit,
    }
