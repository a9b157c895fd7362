-- How each vehicle is driven, and what waits on it. Both are computed from all tickets of a vehicle by the action that
-- changes one of them, in its transaction; they can be thrown away and rebuilt at any time.
-- vehicle: V and the identification number, else P and the plate, else # and the number of the only ticket.
-- mean and var: logarithm of the distance a day in miles (of hours, where unit is h) and its variance. No mean: not known.
-- kept: the newest row of the journal when this was computed, so that an open list reads what changed since alone.
-- checked, miss, sooner: the latest forecast that a later reading checked, the day, how many widths off, on which side.
CREATE TABLE habit(
  vehicle TEXT PRIMARY KEY, ticket_id INTEGER NOT NULL, customer INTEGER, unit TEXT NOT NULL, day TEXT, reading REAL,
  mean REAL, var REAL, uneven REAL, word TEXT NOT NULL, before REAL, since REAL, readings INTEGER NOT NULL,
  prior TEXT NOT NULL, checked TEXT, miss REAL, sooner INTEGER, kept INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX habit_kept ON habit(kept);
CREATE INDEX habit_checked ON habit(checked) WHERE miss IS NOT NULL;
-- One piece of deferred work through all visits; ticket and no: where it began. left_over: what is left to run at start.
CREATE TABLE thread(
  ticket_id INTEGER NOT NULL, no INTEGER NOT NULL, vehicle TEXT NOT NULL, state TEXT NOT NULL,
  waits INTEGER NOT NULL CHECK(waits IN (0, 1)), by_date TEXT, start TEXT, left_over REAL, risky INTEGER NOT NULL,
  agreed INTEGER NOT NULL,   due_reading TEXT NOT NULL, hours TEXT NOT NULL, looks TEXT NOT NULL CHECK(json_valid(looks)),
  PRIMARY KEY(ticket_id, no)
) STRICT, WITHOUT ROWID;
CREATE INDEX thread_vehicle ON thread(vehicle);
DROP TABLE entry_due;
