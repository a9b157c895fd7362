"""Counting jobs one by one, or as an engine counted them, tells the same middle; what is looked up later is a list."""

from collections import Counter
from statistics import median

from hypothesis import given
from hypothesis import strategies as st

from ticket.past.job_tallies import Counted, LookedUp, Tally
from ticket.past.turned_out import told
from ticket.store.seen_jobs import Window


@given(st.lists(st.sampled_from((0.3, 0.5, 1.0, 1.2, 2.0)), max_size=9))
def test_the_middle_of_hours_is_their_median(hours: list[float]) -> None:
    numbers = tuple(range(len(hours), 0, -1))
    cause = Tally("worn belt", numbers, 0, hours=Counter(hours))
    found = told("P0562", "", Counted(Tally("", numbers, 0), [cause]), Window(90, 0))
    assert found.causes[0].hours == (median(hours) if hours else None)


def test_what_is_looked_up_is_looked_up_once() -> None:
    asked: list[int] = []

    def look_up() -> tuple[int, ...]:
        asked.append(1)
        return 5, 4, 2

    later = LookedUp(3, look_up)
    assert (len(later), bool(later), asked) == (3, True, [])
    assert (list(later), later[0], later[1:], later == (5, 4, 2), 4 in later) == ([5, 4, 2], 5, (4, 2), True, True)
    assert asked == [1]
    assert not LookedUp(0, lambda: [1 // 0])
    assert list(LookedUp[int](0, lambda: [1 // 0])) == []
