"""The order of checks against all orders there are, and against worked examples."""

import itertools
import random
from collections.abc import Callable, Iterable

import pytest

from ticket.past.chances import OTHER, Level, chances
from ticket.past.check_order import Check, after_looking, expected_minutes, ordered, without_last, worth_doing


def _named(order: Iterable[Check]) -> str:
    return "".join(check.name for check in order)


def _shares(draw: random.Random, count: int, whole: float) -> list[float]:
    raw = [draw.random() + 0.01 for _ in range(count)]
    return [whole * one / sum(raw) for one in raw]


def _simple(draw: random.Random) -> list[Check]:
    shares = _shares(draw, 5, draw.choice((1.0, 0.8)))
    return [Check(str(i), share, draw.randint(1, 60)) for i, share in enumerate(shares)]


def _behind(draw: random.Random) -> list[Check]:
    return [
        Check(c.name, c.chance, c.minutes, room, {"hood": 30, "": 0, "dash": 12}[room])
        for c in _simple(draw)
        if (room := draw.choice(("hood", "hood", "dash", ""))) is not None
    ]


MANY = pytest.mark.parametrize("many", [20, pytest.param(300, marks=pytest.mark.slow)])


@MANY
@pytest.mark.parametrize("kind", [_simple, _behind])
def test_no_order_is_better(kind: Callable[[random.Random], list[Check]], many: int) -> None:
    draw = random.Random(17)
    for _ in range(many):
        checks = kind(draw)
        best = min(expected_minutes(order) for order in itertools.permutations(checks))
        assert expected_minutes(ordered(checks)) == pytest.approx(best)


@MANY
def test_no_order_is_better_where_the_last_is_taken(many: int) -> None:
    draw = random.Random(18)
    for _ in range(many):
        checks = _simple(draw)
        best = min(expected_minutes(order[:-1]) for order in itertools.permutations(checks))
        found = without_last(checks)
        assert found is not None
        assert expected_minutes(found[0]) == pytest.approx(best)


@MANY
def test_no_order_is_better_where_checks_can_miss(many: int) -> None:
    draw = random.Random(19)
    for _ in range(many):  # three causes, each looked for twice at most
        checks = [Check(c.name, c.chance, c.minutes, finds=draw.uniform(0.4, 0.95)) for c in _simple(draw)[:3]]
        now = checks
        ours: list[tuple[str, float]] = []
        for _ in range(6):
            left = [c for c in now if sum(name == c.name for name, _ in ours) < 2]
            chosen = ordered(left)[0]
            ours.append((chosen.name, chosen.minutes))
            now = list(after_looking(now, chosen.name))
        tries = [(c.name, c.minutes, n) for c in checks for n in (1, 2)]
        orders = (o for o in itertools.permutations(tries) if all(_rises(o, c.name) for c in checks))
        best = min(_until_found(checks, [(name, minutes) for name, minutes, _ in order]) for order in orders)
        assert _until_found(checks, ours) == pytest.approx(best)


def _rises(order: Iterable[tuple[str, float, int]], name: str) -> bool:
    return [n for one, _, n in order if one == name] == [1, 2]


def _until_found(checks: list[Check], order: Iterable[tuple[str, float]]) -> float:
    """Minutes on the average until the cause is found, or all was looked for."""
    unseen, left, total = {c.name: c.chance for c in checks}, 1.0, 0.0
    for name, minutes in order:
        check = next(c for c in checks if c.name == name)
        total += left * minutes
        left -= unseen[name] * check.finds
        unseen[name] *= 1 - check.finds
    return total


def test_worked_table() -> None:
    """Computed by hand: 31.0 minutes, against 37.75 for the likeliest first and 37.0 for the quickest first."""
    checks = [Check("s", 0.45, 30), Check("u", 0.25, 5), Check("b", 0.20, 10), Check("e", 0.10, 20)]
    assert _named(ordered(checks)) == "ubse"
    assert expected_minutes(ordered(checks)) == pytest.approx(31.0)
    assert expected_minutes(sorted(checks, key=lambda c: -c.chance)) == pytest.approx(37.75)
    assert expected_minutes(sorted(checks, key=lambda c: c.minutes)) == pytest.approx(37.0)


def test_what_lies_behind_one_opening_goes_together() -> None:
    checks = [
        Check("A", 0.35, 10, "cover", 30), Check("B", 0.30, 5, "cover", 30), Check("C", 0.20, 15), Check("D", 0.15, 12)
    ]  # fmt: skip
    assert _named(ordered(checks)) == "BACD"
    assert expected_minutes(ordered(checks)) == pytest.approx(49.05)
    assert _named(ordered(checks, ["cover"])) == "BACD"


def test_a_box_searched_in_vain() -> None:
    """Three boxes with 1/5, 3/10, 1/2 and a search that finds with 7/10; the third in vain: 4/13, 6/13, 3/13.

    An exercise on conditional probability, in print in several collections.
    """
    boxes = [Check("1", 0.2, 1, finds=0.7), Check("2", 0.3, 1, finds=0.7), Check("3", 0.5, 1, finds=0.7)]
    assert _named(ordered(boxes))[0] == "3"
    assert [c.chance for c in after_looking(boxes, "3")] == pytest.approx([4 / 13, 6 / 13, 3 / 13])


def test_the_smallest_case_for_taking_the_last() -> None:
    found = without_last([Check("a", 0.6, 50), Check("b", 0.4, 5)])
    assert found is not None
    assert (_named(found[0]), found[1].name) == ("b", "a")
    assert without_last([Check("a", 1, 5)]) is None


def test_giving_up_when_a_check_costs_more_than_it_saves() -> None:
    assert worth_doing(Check("a", 0.10, 10), giving_up=120)
    assert not worth_doing(Check("a", 0.10, 13), giving_up=120)
    assert worth_doing(Check("a", 0.10, 13), giving_up=120, left=0.5)
    assert not worth_doing(Check("a", 0.0, 1), giving_up=120, left=0)


def test_chances_lean_on_the_wider_level_where_the_closer_is_thin() -> None:
    wide = Level("any", {"seal": 3, "belt": 1})
    found = chances([Level("this model", {}), wide])
    assert found == pytest.approx({"seal": 4 / 7, "belt": 2 / 7, OTHER: 1 / 7})
    close = chances([Level("this model", {"belt": 3}), wide])
    assert close["belt"] == pytest.approx((3 + 3 * 2 / 7) / 6)
    assert sum(close.values()) == pytest.approx(1)
    assert chances([]) == {OTHER: 1.0}
