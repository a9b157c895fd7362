"""Deferred work, and how well its forecasts held, in lines for people."""

import textwrap
from collections.abc import Iterator
from datetime import date

from ticket.followups.calibration import FELL_BACK, NEEDED, SHOWN, SHOWN_ONLY, STOPPED, TOO_FEW, Calibration
from ticket.followups.priors import Prior
from ticket.followups.spoken import a_day
from ticket.job.text import one_line
from ticket.shop.deferred import DueItem

_WIDTH = 78


def due_text(item: DueItem, today: date) -> str:
    """One piece of deferred work: when and whose, what, why, what may happen, what the day rests on."""
    when = f"{item.day.isoformat()}{' (overdue)' if item.day < today else ''}" if item.day else "no date"
    where = f" or at {item.odometer}" if item.odometer else f" or after {item.hours}" if item.hours else ""
    lines = [
        f"{when}{where}  {item.name}  {one_line(item.vehicle)}"
        + (f" · {one_line(item.customer)}" if item.customer else "")
        + (f" · {one_line(item.phone)}" if item.phone else ""),
    ]
    return "\n".join([*lines, *(_folded(text) for text in _details(item) if text)])


def _details(item: DueItem) -> Iterator[str]:
    judgement = f" ({item.judgement})" if item.judgement else ""
    details = [item.text + judgement]
    details += [f"because {item.because}"] if item.because else []
    details += [f"risk: {item.risk}"] if item.risk else []
    details += [item.cost] if item.cost else []
    yield "; ".join(details)
    call = f"; call on {item.call}" if item.call and item.call != item.day else ""
    yield f"{item.forecast}{call}" if item.forecast else ""
    yield item.basis
    yield "no news: is it still driven? Nobody has seen it since." if item.no_news else ""
    seen = f", seen {len(item.looks)} times" if len(item.looks) > 1 else ""
    yield f"{item.state}{seen}" if item.state != "open" or seen else ""
    yield item.followed


def _folded(text: str) -> str:
    return textwrap.fill(one_line(text), _WIDTH, initial_indent=" " * 4, subsequent_indent=" " * 4)


def calibration_text(found: Calibration, vehicles: int, lost: int, centre: Prior | None, unit: str) -> str:
    """How well the forecasts of this shop held, and what is made of it."""
    whose = "1 vehicle" if found.checks == 1 else f"{found.checks} vehicles"
    lines = [f"{whose} had a forecast that a later reading checked."]
    if found.proposed is None or found.before is None or found.after is None:
        lines.append(f"Fewer than {SHOWN}: {TOO_FEW}. Intervals stand as they were made.")
    else:
        lines.append(
            f"Of {found.counted} intervals made to hold 90 of 100, {found.before:.0%} held; "
            f"{found.sooner or 0:.0%} were reached sooner, {found.later or 0:.0%} later."
        )
        lines.append(f"Widened {found.proposed:.2f} times {found.after:.0%} would hold. {_use(found)}")
    if centre is not None and centre.centre is not None:
        said = f"The vehicles of this shop go about {a_day(centre.centre, unit)}"
        lines.append(f"{said}: taken for one whose own driving is not known.")
    if vehicles:
        lines.append(f"{lost} of {vehicles} vehicles were not seen for two years.")
    return "\n".join(textwrap.fill(line, _WIDTH) for line in lines)


def _use(found: Calibration) -> str:
    if found.state == SHOWN_ONLY:
        return f"Shown, not used: from {NEEDED} checks on it is."
    if found.state == FELL_BACK:
        return f"The newest checks do not bear that out, so {found.factor:.2f} is used."
    if found.state == STOPPED:
        return f"{found.factor:.2f} is used and goes no further: these drivers differ from those this was made for."
    return "It is used."
