"""What is known of jobs not followed to the end, against the published example and lifelines where it is installed."""

import random
from collections import Counter
from collections.abc import Sequence

import pytest

from ticket.past.survival import last_step, median, steps
from ticket.past.turned_out import turned_out
from ticket.store.driver import sqlite3
from ticket.store.seen_jobs import DRIVEN, FOLLOWED, SeenJobs, Window, Worded

Rows = Sequence[tuple[int, int | None, int, int | None, int | None]]

# Freireich and others 1963 (Gehan 1965): weeks of remission with 6-mercaptopurine; + not followed further.
TREATED = "6 6 6 6+ 7 9+ 10 10+ 11+ 13 16 17+ 19+ 20+ 22 23 25+ 32+ 32+ 34+ 35+"
PLACEBO = "1 1 2 2 3 4 4 5 5 8 8 8 8 11 11 12 12 15 17 22 23"
# Share, standard error and the 95 % interval on log(-log); the estimates stand in many textbooks, the intervals were
# computed with lifelines.
PUBLISHED = [
    (6, 21, 3, 0.8571, 0.0764, 0.6197, 0.9516), (7, 17, 1, 0.8067, 0.0869, 0.5631, 0.9228),
    (10, 15, 1, 0.7529, 0.0963, 0.5032, 0.8894), (13, 12, 1, 0.6902, 0.1068, 0.4316, 0.8491),
    (16, 11, 1, 0.6275, 0.1141, 0.3675, 0.8049), (22, 7, 1, 0.5378, 0.1282, 0.2678, 0.7468),
    (23, 6, 1, 0.4482, 0.1346, 0.1881, 0.6801),
]  # fmt: skip


def _followed(text: str) -> list[tuple[float, bool]]:
    return [(float(one.rstrip("+")), not one.endswith("+")) for one in text.split()]


def test_the_published_example() -> None:
    found = steps(_followed(TREATED))
    assert [(step.at, step.watched, step.back) for step in found] == [row[:3] for row in PUBLISHED]
    for step, row in zip(found, PUBLISHED, strict=True):
        assert (step.held, step.error, step.low, step.high) == pytest.approx(row[3:], abs=6e-5)
    assert median(found) == 23
    assert median(steps(_followed(PLACEBO))) == 8


def test_counted_and_listed_jobs_say_the_same() -> None:
    jobs = _followed(TREATED)
    assert steps(Counter(jobs)) == steps(jobs)


def test_the_published_example_over_a_distance() -> None:
    """The same weeks as thousands of miles: jobs whose vehicle came back there, and those last read there."""
    metres = 1_609_344
    rows = [
        (number, number if back else None, 0, round(at * metres) if back else None, round(at * metres))
        for number, (at, back) in enumerate(_followed(TREATED), 1)
    ]
    far = None
    for at, *_, held, error, low, high in PUBLISHED:
        when = Window(90, 0.0, "mi", at * 1000)
        (cause,) = turned_out("P0562", "", _seen(rows, when), when).causes
        far = cause.far
        assert far is not None
        assert far.step is not None
        assert (far.step.held, far.step.error) == pytest.approx((held, error), abs=6e-5)
        assert (far.step.low, far.step.high) == pytest.approx((low, high), abs=6e-5)
    assert far is not None
    assert far.back == 9
    assert far.watched == 14  # back by then, or followed longer
    when = Window(90, 0.0)
    unread = [(number, None, 0, None, None) for number, *_ in rows]
    assert turned_out("P0562", "", _seen(unread, when), when).far is None
    back_somewhere = [(number, back, 0, None, driven) for number, back, _, _, driven in rows if back]
    assert turned_out("P0562", "", _seen(back_somewhere, when), when).far is None, "nobody knows how far"


def _seen(rows: Rows, when: Window) -> SeenJobs:
    """Finished jobs as the rules of the database tell how long and how far each was followed."""
    db = sqlite3.connect(":memory:")
    db.execute("CREATE TABLE c(number, back, back_days, back_metres, driven, closed DEFAULT 0, told DEFAULT 0)")
    db.executemany("INSERT INTO c(number, back, back_days, back_metres, driven) VALUES(?, ?, ?, ?, ?)", rows)
    followed = FOLLOWED.format(back="back", days="back_days", closed="closed", since="(($now - closed) / 86400)")
    finished = db.execute(f"SELECT number, {followed}, {DRIVEN}, 1.0, '' FROM c", when.given).fetchall()
    db.close()
    return SeenJobs(finished, [Worded("belt worn", "worn belt", [number for number, *_ in rows])])


@pytest.mark.parametrize("jobs", [TREATED, PLACEBO, "4 4 4", "4+ 4 9"])
def test_the_last_step_alone_is_the_last_of_all(jobs: str) -> None:
    """Also where a job is followed just as long as another that came back."""
    followed = _followed(jobs)
    assert last_step(Counter(2 * int(at) + back for at, back in followed)) == steps(followed)[-1]


def test_nobody_came_back_and_everybody_did() -> None:
    assert steps([(5, False), (9, False)]) == ()
    assert median(()) is None
    assert last_step({10: 2}) is None
    (step,) = steps([(5, True), (5, True)])
    assert (step.held, step.low, step.high) == (0, 0, 0)


def test_as_lifelines() -> None:
    lifelines = pytest.importorskip("lifelines")
    draw = random.Random(3)
    jobs = [(float(draw.randint(1, 90)), draw.random() < 0.3) for _ in range(120)]
    fitter = lifelines.KaplanMeierFitter().fit([at for at, _ in jobs], [back for _, back in jobs])
    for step in steps(jobs):
        assert step.held == pytest.approx(float(fitter.survival_function_at_times(step.at).iloc[0]), abs=1e-12)
        low, high = fitter.confidence_interval_.loc[step.at]
        assert (step.low, step.high) == pytest.approx((float(low), float(high)), abs=1e-9)
