-- Labour by the moment it was typed, as it is billed and clocked: what is asked of a period reads no ticket.
-- hours and sales (cents) exactly, as text; minutes by the clock, where there are clock times that say one number.
CREATE TABLE job_labour(
  ticket_id INTEGER NOT NULL, no INTEGER NOT NULL, at INTEGER NOT NULL, -- seconds since 1970, UTC
  person TEXT NOT NULL, rate TEXT NOT NULL, hours TEXT NOT NULL, minutes INTEGER, sales TEXT NOT NULL,
  PRIMARY KEY(ticket_id, no)
) STRICT, WITHOUT ROWID;
CREATE INDEX job_labour_at ON job_labour(at, person, rate, hours, sales, minutes);
