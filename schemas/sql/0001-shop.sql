-- One shop, one file. Written by ticket.store only; read it with any SQLite 3.43 or later, best through the
-- views (v_ticket, v_found, v_used ...). Times are UTC, ISO 8601 with milliseconds.
PRAGMA application_id = 1414088267;

-- Settings of the shop, and what names this file: uid, canon (how journal rows are put into bytes).
CREATE TABLE shop(key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;

-- Who works here. Customers are never in this table.
CREATE TABLE person(id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE, role TEXT NOT NULL) STRICT;

-- One value that identifies a customer (a name, a phone number). Everything else points here, so erasing
-- salt and value erases the person; promise = SHA-256(salt, value) stays and proves nothing was swapped.
CREATE TABLE identity(
  id INTEGER PRIMARY KEY, part TEXT NOT NULL, salt BLOB, value TEXT,
  promise TEXT NOT NULL CHECK(length(promise) = 64),
  CHECK((salt IS NULL) = (value IS NULL))
) STRICT;

-- id = (day of opening << 17) | sequence of that day: internal, sorts by time. number is what people type.
-- header: the JSON of the job model, customer values as {"identity": id, "promise": hex}.
-- seal: 'seq-hex16' of the journal row that sealed the ticket last; rev rises with every change.
CREATE TABLE ticket(
  id INTEGER PRIMARY KEY, number INTEGER NOT NULL UNIQUE CHECK(number > 0),
  status TEXT NOT NULL CHECK(status IN ('open','waiting for approval','waiting for parts','ready','signed')),
  opened TEXT NOT NULL, closed TEXT, signed_by INTEGER REFERENCES person(id), seal TEXT NOT NULL DEFAULT '',
  rev INTEGER NOT NULL DEFAULT 1, updated TEXT NOT NULL, masked INTEGER NOT NULL DEFAULT 0,
  header TEXT NOT NULL CHECK(json_valid(header)),
  CHECK((status = 'signed') = (seal <> ''))
) STRICT;
CREATE INDEX ticket_living ON ticket(status, id) WHERE status <> 'signed';
CREATE INDEX ticket_vin ON ticket(upper(replace(replace(json_extract(header,'$.vehicle.vin'),' ',''),'-','')), id);
CREATE INDEX ticket_plate ON ticket(upper(replace(replace(json_extract(header,'$.vehicle.plate'),' ',''),'-','')), id);
CREATE INDEX ticket_vin8 ON ticket(substr(upper(replace(replace(json_extract(header,'$.vehicle.vin'),' ',''),'-','')),-8), id);
CREATE INDEX ticket_vin6 ON ticket(substr(upper(replace(replace(json_extract(header,'$.vehicle.vin'),' ',''),'-','')),-6), id);

-- no is given once and never reused: it is the entry's identity, other entries refer to it.
-- amend: the journal row that added this entry after the ticket was signed. masked: how often words were blanked.
CREATE TABLE entry(
  ticket_id INTEGER NOT NULL REFERENCES ticket(id), no INTEGER NOT NULL CHECK(no > 0),
  kind TEXT NOT NULL CHECK(kind IN ('says','code','found','maybe','ruled','cause','offer','did','used','later','told','proof','note')),
  concern TEXT NOT NULL DEFAULT '' CHECK(concern = '' OR concern GLOB '[A-HJ-NP-Z]' OR concern GLOB '[A-HJ-NP-Z]+*'),
  person_id INTEGER NOT NULL REFERENCES person(id), at TEXT NOT NULL,
  shop_only INTEGER NOT NULL DEFAULT 0 CHECK(shop_only IN (0, 1)), struck INTEGER NOT NULL DEFAULT 0 CHECK(struck IN (0, 1)),
  replaces INTEGER, amend INTEGER, reason TEXT NOT NULL DEFAULT '', masked INTEGER NOT NULL DEFAULT 0,
  data TEXT NOT NULL CHECK(json_valid(data)),
  PRIMARY KEY(ticket_id, no)
) STRICT, WITHOUT ROWID;

-- What became of deferred work; the newest word on each entry. Not part of the signed ticket.
CREATE TABLE follow(
  ticket_id INTEGER NOT NULL, no INTEGER NOT NULL, data TEXT NOT NULL CHECK(json_valid(data)),
  PRIMARY KEY(ticket_id, no), FOREIGN KEY(ticket_id, no) REFERENCES entry(ticket_id, no)
) STRICT, WITHOUT ROWID;

-- What must be found fast. Computed from living entries alone; can be thrown away and rebuilt at any time.
CREATE TABLE entry_code(
  ticket_id INTEGER NOT NULL, no INTEGER NOT NULL, i INTEGER NOT NULL, code TEXT NOT NULL, sub TEXT NOT NULL DEFAULT '',
  PRIMARY KEY(ticket_id, no, i)
) STRICT, WITHOUT ROWID;
CREATE INDEX entry_code_sub ON entry_code(code, sub, ticket_id);
CREATE INDEX entry_code_any ON entry_code(code, ticket_id);
CREATE INDEX entry_code_head ON entry_code(substr(code,1,3), ticket_id);
CREATE TABLE entry_part(
  ticket_id INTEGER NOT NULL, no INTEGER NOT NULL, i INTEGER NOT NULL, part TEXT NOT NULL COLLATE NOCASE,
  PRIMARY KEY(ticket_id, no, i)
) STRICT, WITHOUT ROWID;
CREATE INDEX entry_part_no ON entry_part(part, ticket_id);
CREATE TABLE entry_reading(
  ticket_id INTEGER NOT NULL, no INTEGER NOT NULL, i INTEGER NOT NULL,
  what TEXT NOT NULL, label TEXT NOT NULL, dim TEXT NOT NULL, value REAL,
  PRIMARY KEY(ticket_id, no, i)
) STRICT, WITHOUT ROWID;
CREATE INDEX entry_reading_what ON entry_reading(what, ticket_id);
CREATE TABLE entry_due(
  ticket_id INTEGER NOT NULL, no INTEGER NOT NULL, i INTEGER NOT NULL, state TEXT NOT NULL, due_date TEXT, due_metres INTEGER,
  PRIMARY KEY(ticket_id, no, i)
) STRICT, WITHOUT ROWID;
CREATE INDEX entry_due_state ON entry_due(state, due_date);
-- to_ticket is a ticket number, whether or not that ticket exists here.
CREATE TABLE entry_ref(
  ticket_id INTEGER NOT NULL, no INTEGER NOT NULL, role TEXT NOT NULL, to_ticket INTEGER NOT NULL, to_no INTEGER NOT NULL,
  PRIMARY KEY(ticket_id, no, role, to_ticket, to_no)
) STRICT, WITHOUT ROWID;
CREATE INDEX entry_ref_back ON entry_ref(to_ticket, to_no);

-- rowid = 2^40 - ticket.id, so that reading upwards is newest first. Codes are tokens: P15C0 P15C0x2C.
CREATE VIRTUAL TABLE ticket_fts USING fts5(
  codes, vehicle, complaint, findings, cause, correction, parts, content='', contentless_delete=1
);
-- Tickets whose row in ticket_fts is behind.
CREATE TABLE dirty(ticket_id INTEGER PRIMARY KEY) STRICT;

-- One row = one user action. body: canonical JSON of facts, null where free text was taken out into words.
-- promise = SHA-256(salt, words). hash = SHA-256 over the row before it and all of this row but words and salt.
CREATE TABLE journal(
  seq INTEGER PRIMARY KEY, at TEXT NOT NULL, person_id INTEGER NOT NULL, sitting TEXT NOT NULL, ticket_id INTEGER,
  verb TEXT NOT NULL, of INTEGER, body TEXT NOT NULL CHECK(json_valid(body)), words TEXT, salt BLOB,
  promise BLOB CHECK(promise IS NULL OR length(promise) = 32), hash BLOB NOT NULL CHECK(length(hash) = 32)
) STRICT;
CREATE INDEX journal_ticket ON journal(ticket_id, seq);

CREATE TRIGGER journal_next BEFORE INSERT ON journal
  WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM journal)
  BEGIN SELECT RAISE(ABORT, 'journal: seq must be next'); END;
CREATE TRIGGER journal_keep BEFORE DELETE ON journal
  BEGIN SELECT RAISE(ABORT, 'journal is append-only'); END;
-- The one change allowed: words and their salt may be blanked, once.
CREATE TRIGGER journal_fix BEFORE UPDATE ON journal
  WHEN NOT (NEW.words IS NULL AND NEW.salt IS NULL AND OLD.words IS NOT NULL
    AND (NEW.seq, NEW.at, NEW.person_id, NEW.sitting, NEW.verb, NEW.body, NEW.hash)
      IS (OLD.seq, OLD.at, OLD.person_id, OLD.sitting, OLD.verb, OLD.body, OLD.hash)
    AND NEW.ticket_id IS OLD.ticket_id AND NEW.of IS OLD.of AND NEW.promise IS OLD.promise)
  BEGIN SELECT RAISE(ABORT, 'journal is append-only'); END;

-- BEFORE INSERT guards stop INSERT OR REPLACE, which walks past delete triggers when recursive_triggers is off.
CREATE TRIGGER entry_once BEFORE INSERT ON entry
  WHEN EXISTS (SELECT 1 FROM entry WHERE ticket_id = NEW.ticket_id AND no = NEW.no)
  BEGIN SELECT RAISE(ABORT, 'entry number taken'); END;
CREATE TRIGGER entry_keep BEFORE DELETE ON entry
  BEGIN SELECT RAISE(ABORT, 'entries are struck, not deleted'); END;
CREATE TRIGGER entry_named BEFORE UPDATE ON entry
  WHEN NEW.ticket_id <> OLD.ticket_id OR NEW.no <> OLD.no
  BEGIN SELECT RAISE(ABORT, 'an entry keeps its number'); END;
CREATE TRIGGER entry_sealed_add BEFORE INSERT ON entry
  WHEN NEW.amend IS NULL AND (SELECT status FROM ticket WHERE id = NEW.ticket_id) = 'signed'
  BEGIN SELECT RAISE(ABORT, 'signed: amend instead'); END;
CREATE TRIGGER entry_sealed_fix BEFORE UPDATE ON entry
  WHEN NEW.masked <= OLD.masked AND (SELECT status FROM ticket WHERE id = OLD.ticket_id) = 'signed'
  BEGIN SELECT RAISE(ABORT, 'signed: amend instead'); END;
CREATE TRIGGER ticket_once BEFORE INSERT ON ticket
  WHEN EXISTS (SELECT 1 FROM ticket WHERE id = NEW.id OR number = NEW.number)
  BEGIN SELECT RAISE(ABORT, 'ticket number taken'); END;
CREATE TRIGGER ticket_keep BEFORE DELETE ON ticket
  BEGIN SELECT RAISE(ABORT, 'tickets are not deleted'); END;
CREATE TRIGGER ticket_named BEFORE UPDATE ON ticket
  WHEN NEW.id <> OLD.id OR NEW.number <> OLD.number OR NEW.opened <> OLD.opened
  BEGIN SELECT RAISE(ABORT, 'a ticket keeps its number'); END;
-- A signed ticket keeps everything; its seal may move on to an amendment of its own that stands in the journal.
CREATE TRIGGER ticket_sealed BEFORE UPDATE ON ticket
  WHEN OLD.status = 'signed' AND (NEW.status <> 'signed' OR NEW.closed IS NOT OLD.closed OR NEW.signed_by IS NOT OLD.signed_by
    OR (NEW.header IS NOT OLD.header AND NEW.masked <= OLD.masked)
    OR (NEW.seal IS NOT OLD.seal AND NOT EXISTS (
      SELECT 1 FROM journal WHERE seq = CAST(NEW.seal AS INTEGER) AND ticket_id = OLD.id AND verb = 'amend'
        AND NEW.seal = seq || '-' || lower(substr(hex(hash), 1, 16)))))
  BEGIN SELECT RAISE(ABORT, 'signed: amend instead'); END;
