-- What lists, counts and searches ask of a job, kept by the action that changes it; all of it can be made anew.
CREATE TABLE job(
  ticket_id INTEGER PRIMARY KEY REFERENCES ticket(id),
  vin TEXT NOT NULL, plate TEXT NOT NULL, label TEXT NOT NULL, -- upper case without spaces and dashes; the label folded
  opened INTEGER NOT NULL, closed INTEGER,                     -- seconds since 1970, UTC
  metres_in INTEGER, metres_out INTEGER,
  state TEXT NOT NULL CHECK(state IN ('open', 'finished', 'declined')),
  worked INTEGER NOT NULL, hours REAL NOT NULL, pays TEXT NOT NULL,
  total INTEGER, agreed INTEGER, over INTEGER NOT NULL,        -- cents of the currency of the price list
  overruled INTEGER NOT NULL, back_from INTEGER,               -- the number of the ticket it says it came back from
  back INTEGER, back_days INTEGER, back_metres INTEGER, back_told INTEGER -- the ticket it came back as, and how soon
) STRICT;
CREATE INDEX job_vin ON job(vin, ticket_id) WHERE vin <> '';
CREATE INDEX job_plate ON job(plate, ticket_id) WHERE plate <> '';
CREATE INDEX job_back_from ON job(back_from) WHERE back_from IS NOT NULL;

-- One row a cause beside a code, or beside no code (''); i = 0 once a job and code, whatever causes it states.
CREATE TABLE job_cause(
  code TEXT NOT NULL, sub TEXT NOT NULL, ticket_id INTEGER NOT NULL, i INTEGER NOT NULL, number INTEGER NOT NULL,
  cause TEXT NOT NULL, text TEXT NOT NULL, state TEXT NOT NULL, closed INTEGER, hours REAL NOT NULL, part TEXT NOT NULL,
  back INTEGER, back_days INTEGER, back_metres INTEGER, back_told INTEGER, -- told: its own words say so
  driven INTEGER,                                                          -- metres to the last visit that is known
  PRIMARY KEY(code, sub, ticket_id, i)
) STRICT, WITHOUT ROWID;
CREATE INDEX job_cause_of ON job_cause(ticket_id);
CREATE TABLE job_fix(
  code TEXT NOT NULL, sub TEXT NOT NULL, ticket_id INTEGER NOT NULL, i INTEGER NOT NULL, number INTEGER NOT NULL,
  fix TEXT NOT NULL, text TEXT NOT NULL, state TEXT NOT NULL,
  PRIMARY KEY(code, sub, ticket_id, i)
) STRICT, WITHOUT ROWID;
CREATE INDEX job_fix_of ON job_fix(ticket_id);
CREATE TABLE job_tech(
  tech TEXT NOT NULL, ticket_id INTEGER NOT NULL, name TEXT NOT NULL, PRIMARY KEY(tech, ticket_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX job_tech_of ON job_tech(ticket_id);
CREATE INDEX ticket_customer ON ticket(json_extract(header, '$.customer.name.identity'), id);

-- Offers stand apart from work, control units have a column; pieces of plates and numbers have an index of theirs.
DROP TABLE ticket_fts;
CREATE VIRTUAL TABLE ticket_fts USING fts5(
  codes, vehicle, complaint, findings, cause, correction, offered, parts, units, content='', contentless_delete=1
);
CREATE VIRTUAL TABLE fragment USING fts5(
  vin, plate, parts, content='', contentless_delete=1, tokenize='trigram', detail='column'
);
