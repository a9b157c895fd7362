"""As what jobs came back, against the same rule said once more as SQL, which looks at every pair of visits."""

import sys
from random import Random

import pytest
from sqlite_utils import Database

from ticket.store import come_backs
from ticket.store.driver import sqlite3

_SAME = "((o.vin <> '' AND o.vin = m.vin) OR (o.plate <> '' AND o.plate = m.plate AND (o.vin = '' OR m.vin = '')))"
_LATER = f"FROM job AS m JOIN job AS o ON {_SAME} WHERE m.ticket_id = c.ticket_id AND o.opened > m.opened"
_NUMBER = "(SELECT number FROM ticket WHERE id = m.ticket_id)"
BY_PAIRS = f"""
SELECT c.code, c.sub, c.ticket_id, c.i, b.*, (SELECT max(o.metres_in) - coalesce(m.metres_out, m.metres_in) {_LATER})
FROM job_cause AS c LEFT JOIN (
  SELECT m.ticket_id AS mine, e.code AS told, o.ticket_id, max((o.opened - coalesce(m.closed, m.opened)) / 86400, 0),
    CASE WHEN o.metres_in >= coalesce(m.metres_out, m.metres_in)
         THEN o.metres_in - coalesce(m.metres_out, m.metres_in) END,
    coalesce(o.back_from = {_NUMBER}, 0),
    row_number() OVER (PARTITION BY m.ticket_id, e.code ORDER BY o.opened, o.ticket_id) AS place
  FROM job AS m JOIN job AS o ON {_SAME} JOIN (SELECT DISTINCT ticket_id, code FROM job_cause) AS e
    ON e.ticket_id = m.ticket_id
  WHERE o.opened > m.opened AND (o.back_from = {_NUMBER} OR (m.worked AND o.opened >= coalesce(m.closed, m.opened)
    AND EXISTS (SELECT 1 FROM entry_code AS x WHERE x.ticket_id = o.ticket_id AND x.code = e.code)))
) AS b ON b.mine = c.ticket_id AND b.told = c.code AND b.place = 1
"""
TABLES = """
CREATE TABLE ticket(id INTEGER PRIMARY KEY, number INTEGER, header TEXT DEFAULT '{}');
CREATE TABLE job(ticket_id INTEGER PRIMARY KEY, vin TEXT, plate TEXT, opened INTEGER, closed INTEGER, worked INTEGER,
  metres_in INTEGER, metres_out INTEGER, back_from INTEGER);
CREATE TABLE job_cause(code TEXT, sub TEXT, ticket_id INTEGER, i INTEGER, back INTEGER, back_days INTEGER,
  back_metres INTEGER, back_told INTEGER, driven INTEGER);
CREATE TABLE entry_code(ticket_id INTEGER, code TEXT);
"""


def made(draw: Random, visits: int) -> Database:
    """Visits of few vehicles, so that plates, numbers, codes and moments meet in every way."""
    db = Database(sqlite3.connect(":memory:", isolation_level=None), execute_plugins=False)
    for statement in TABLES.split(";"):
        db.execute(statement)
    for key in range(1, visits + 1):
        opened = draw.randrange(40) * 40_000
        closed = draw.choice((None, opened, opened + draw.randrange(10) * 30_000))
        metres = draw.choice((None, draw.randrange(9000)))
        row = (
            key, draw.choice(("", "V1", "V2")), draw.choice(("", "P1", "P2")), opened, closed, draw.randrange(2),
            metres, draw.choice((None, metres, 4000)), draw.choice((None, None, 100 + draw.randrange(1, visits + 1))),
        )  # fmt: skip
        db.execute("INSERT INTO ticket(id, number) VALUES(?, ?)", [key, 100 + key])
        db.execute("INSERT INTO job VALUES(?, ?, ?, ?, ?, ?, ?, ?, ?)", row)
        for code in draw.sample(("", "C1", "C2", "C3"), draw.randrange(4)):
            db.execute("INSERT INTO job_cause(code, sub, ticket_id, i) VALUES(?, '', ?, 0)", [code, key])
            if code:
                db.execute("INSERT INTO entry_code VALUES(?, ?)", [key, code])
    return db


@pytest.mark.parametrize("seed", range(12))
def test_the_come_backs_are_those_of_every_pair_of_visits(seed: int) -> None:
    db = made(Random(seed), 30)
    wanted = {
        tuple(cause): (back, days, metres, told, driven)
        for *cause, _, _, back, days, metres, told, _, driven in db.execute(BY_PAIRS).fetchall()
    }
    found = {tuple(cause): tuple(now) for cause, now in come_backs.changed(db)}
    assert wanted
    assert any(one[0] is not None for one in wanted.values())
    nothing = (None,) * 5
    assert {cause: found.get(cause, nothing) for cause in wanted} == wanted  # what stands there is empty as yet
    for key in (1, 7, 30):  # a few alone see the same visits
        some = {tuple(cause): tuple(now) for cause, now in come_backs.changed(db, [key])}
        assert some == {cause: now for cause, now in found.items() if cause[2] == key}
    db.conn.close()


def _steps(visits: int) -> tuple[int, int]:
    """Steps of the database, in hundreds, and calls, for one of so many visits that all read the same code again."""
    db = made(Random(1), 0)
    for key in range(1, visits + 1):
        db.execute("INSERT INTO ticket(id, number) VALUES(?, ?)", [key, 100 + key])
        db.execute("INSERT INTO job VALUES(?, '', 'P1', ?, ?, 1, 5, 5, 101)", [key, key * 90_000, key * 90_000])
        db.execute("INSERT INTO job_cause(code, sub, ticket_id, i) VALUES('C1', '', ?, 0)", [key])
        db.execute("INSERT INTO entry_code VALUES(?, 'C1')", [key])
    counts = [0, 0]

    def step() -> int:
        counts[0] += 1
        return 0

    def seen(_frame: object, event: str, _of: object) -> None:
        counts[1] += event in ("call", "c_call")

    db.conn.set_progress_handler(step, 100)
    before = sys.getprofile()
    sys.setprofile(seen)
    try:
        found = dict(come_backs.changed(db, list(range(1, visits + 1))))
    finally:
        sys.setprofile(before)
    assert [found["C1", "", key, 0].back for key in (1, visits - 1)] == [2, visits]
    db.conn.close()
    return counts[0], counts[1]


def test_a_vehicle_of_many_visits_costs_as_many_steps_more_as_it_has_visits() -> None:
    few, many = _steps(60), _steps(240)
    assert many[0] < 5 * few[0]
    assert many[1] < 5 * few[1]
