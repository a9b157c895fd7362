"""Everything that waits in a shop by the day it falls due, kept up to date: a row is a few plain figures.

The board is read once and then follows the journal: what another terminal did since is read for its vehicles alone.
"""

from bisect import bisect_left, insort
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from math import log
from typing import NamedTuple
from weakref import WeakKeyDictionary

from ticket.followups.calibration import AGAIN, NEEDED, Calibration, calibrate
from ticket.followups.forecast import DISTANCE, RUNNING, Forecast, falls
from ticket.followups.habit import AVERAGE, Habit, habit
from ticket.followups.priors import AVERAGE_DRIVER, CENTRE, HOURS, SHOP_DAYS, Prior, of_fleet, of_shop
from ticket.followups.reach import AHEAD, days_until
from ticket.job.values import Ref
from ticket.shop.opening import Shop
from ticket.store.deferred_rows import DueRow, ShownRow
from ticket.store.store import Store

NEVER = date.max.toordinal()
_ENOUGH = 500  # vehicles that tell the shop's own centre; more would move it by little
_AHEAD_OF_ALL = 2**62  # no row of a journal is behind this one


class Line(NamedTuple):
    """One row of the board, in the order the list has: day, ticket, entry; days are ordinals.

    ``prior`` stands in for a driving that is not known: that of the fleet, else that of the shop.
    """

    day: int
    number: int
    no: int
    call: int
    row: DueRow
    prior: Prior | None = None


@dataclass(slots=True)
class Board:
    """What waits, soonest first.

    Attributes:
        lines: all of it.
        widen: the shop's own factor.
        centre: how the vehicles of this shop are driven, where enough of them are known.
    """

    lines: list[Line] = field(default_factory=list)
    widen: float = 1.0
    centre: Prior | None = None
    seq: int = 0
    checks: int = 0
    _of: dict[str | int, Line | list[Line]] = field(default_factory=dict)  # by vehicle and by number

    def fill(self, lines: Iterable[Line]) -> None:
        """Put everything on a board that is empty."""
        self.lines = sorted(lines)
        for line in self.lines:
            self._note(line)

    def put(self, line: Line) -> None:
        """Put a row where it belongs."""
        insort(self.lines, line)
        self._note(line)

    def take_off(self, keys: Iterable[str | int]) -> None:
        """Take off what waits on some vehicles, and what began on the tickets with some numbers."""
        for line in {line for key in keys for line in self._at(key)}:
            del self.lines[bisect_left(self.lines, line)]
            for key in (line.row.vehicle, line.number):
                self._of[key] = [other for other in self._at(key) if other is not line]

    def _at(self, key: str | int) -> Sequence[Line]:
        found = self._of.get(key, [])
        return [found] if isinstance(found, Line) else found

    def _note(self, line: Line) -> None:
        for key in (line.row.vehicle, line.number):
            if self._of.setdefault(key, line) is not line:
                self._of[key] = [*self._at(key), line]


_BOARDS: "WeakKeyDictionary[Store, Board]" = WeakKeyDictionary()


def board_of(shop: Shop) -> Board:
    """The board as things stand now."""
    store = shop.store
    known = _BOARDS.get(store)
    checks = store.waiting.checked()
    if known is None or _stage(known.checks) != _stage(checks):
        seq = store.waiting.news(_AHEAD_OF_ALL).seq
        known = Board(widen=calibration(shop).factor if checks >= NEEDED else 1.0, centre=centre(shop), seq=seq)
        known.fill(_lines(store, store.waiting.rows(), known))
        _BOARDS[store] = known
    else:
        news = store.waiting.news(known.seq)
        known.take_off({*news.vehicles, *news.numbers})
        for line in _lines(store, news.rows, known):
            known.put(line)
        known.seq = news.seq
    known.checks = checks
    return known


def calibration(shop: Shop) -> Calibration:
    """What the shop's own checked forecasts say."""
    return calibrate([(check.miss, bool(check.sooner)) for check in shop.store.waiting.checks()])


def centre(shop: Shop) -> Prior | None:
    """How the vehicles of this shop are driven: it stands in for one whose own driving is not known."""
    return of_shop(shop.store.waiting.rates(SHOP_DAYS, _ENOUGH))


def _stage(checks: int) -> int:
    """The factor is made anew with each so many checks, and not at all below the number that is needed."""
    return checks // AGAIN if checks >= NEEDED else 0


def _lines(store: Store, rows: Sequence[DueRow], board: Board) -> Iterable[Line]:
    fleets = _fleets(store, rows)
    for row in rows:
        prior = fleets.get(row.vehicle) if row.word == AVERAGE else None
        if prior is None and row.word == AVERAGE and row.prior == AVERAGE_DRIVER.said:
            prior = board.centre  # what its own age tells counts more than what others do
        day, call = _days(row, board.widen, prior)
        yield Line(day, row.number, row.no, call, row, prior)


def _fleets(store: Store, rows: Iterable[DueRow]) -> dict[str, Prior]:
    """What the other vehicles of the same owner tell of those whose own driving is not known."""
    asked = {row.vehicle: row.customer for row in rows if row.word == AVERAGE and row.customer is not None}
    mates = store.waiting.fleets(asked.values()) if asked else {}
    found = {
        vehicle: of_fleet([mean for other, mean in mates.get(customer, ()) if other != vehicle])
        for vehicle, customer in asked.items()
        if customer in mates
    }
    return {vehicle: prior for vehicle, prior in found.items() if prior is not None}


def _days(row: DueRow, widen: float, prior: Prior | None) -> tuple[int, int]:
    """The day it falls due and the day to call, as :func:`~ticket.followups.forecast.falls` tells them."""
    _, _, _, _, by_date, start, left, risky, agreed, mean, var, uneven, word, unit, _, _ = row
    limit = date.fromisoformat(by_date).toordinal() if by_date else NEVER
    call = limit - AHEAD if risky and by_date and not agreed else limit
    if agreed or left is None or start is None or mean is None or var is None or uneven is None:
        return limit, call
    if prior is not None and prior.centre is not None:
        mean, var, uneven = log(prior.centre), prior.spread, 1.0
    run = days_until(left, mean, var, uneven, None if unit == HOURS else CENTRE, word, widen)
    if run is None:
        return limit, call
    begin = date.fromisoformat(start).toordinal()
    return min(limit, begin + run.middle), min(call, begin + run.call_days(risky=bool(risky)))


def habit_of(row: DueRow, prior: Prior | None, more: ShownRow | None = None) -> Habit | None:
    """The habit behind a row; ``None`` where nothing is known."""
    if row.mean is None or row.var is None or row.uneven is None:
        return None
    if prior is not None:
        return habit((), prior)
    usual = None if row.unit == HOURS else CENTRE
    found = Habit(row.mean, row.var, row.uneven, row.word, usual)
    return replace(found, before=more.before, since=more.since, readings=more.readings) if more else found


def forecast_of(row: DueRow, widen: float, prior: Prior | None) -> Forecast:
    """The whole forecast of a row."""
    return falls(
        date.fromisoformat(row.by_date) if row.by_date else None,
        row.left_over,
        date.fromisoformat(row.start) if row.start else None,
        habit_of(row, prior),
        unit=RUNNING if row.unit == HOURS else DISTANCE,
        risky=bool(row.risky),
        agreed=bool(row.agreed),
        widen=widen,
    )


def forecast_for(shop: Shop, ref: Ref) -> Forecast | None:
    """The forecast of one piece of work, as the list has it; ``None`` where it does not wait."""
    board = board_of(shop)
    lines = (line for line in board.lines if (line.number, line.no) == (ref.ticket, ref.no))
    return next((forecast_of(line.row, board.widen, line.prior) for line in lines), None)


def within(board: Board, until: date | None, *, to_call: bool = False) -> list[Line]:
    """What falls due by a day, or with ``to_call`` is to be called about by then; all of it where no day is named."""
    if until is None:
        return board.lines
    last = until.toordinal()
    if to_call:
        return [line for line in board.lines if min(line.day, line.call) <= last]
    return board.lines[: bisect_left(board.lines, (last + 1,))]
