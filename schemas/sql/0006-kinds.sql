-- A kind of entry is declared in ticket/job/kinds.py alone: the table no longer lists them. Entries stay as they are, to
-- the byte; what follows them is kept aside meanwhile, and their guards are made again behind them.
CREATE TABLE entry_kept AS SELECT * FROM entry;
CREATE TABLE follow_kept AS SELECT * FROM follow;
DELETE FROM follow;
DROP TABLE entry;

-- no is given once and never reused: it is the entry's identity, other entries refer to it.
-- amend: the journal row that added this entry after the ticket was signed. masked: how often words were blanked.
CREATE TABLE entry(
  ticket_id INTEGER NOT NULL REFERENCES ticket(id), no INTEGER NOT NULL CHECK(no > 0),
  kind TEXT NOT NULL CHECK(kind <> ''),
  concern TEXT NOT NULL DEFAULT '' CHECK(concern = '' OR concern GLOB '[A-HJ-NP-Z]' OR concern GLOB '[A-HJ-NP-Z]+*'),
  person_id INTEGER NOT NULL REFERENCES person(id), at TEXT NOT NULL,
  shop_only INTEGER NOT NULL DEFAULT 0 CHECK(shop_only IN (0, 1)), struck INTEGER NOT NULL DEFAULT 0 CHECK(struck IN (0, 1)),
  replaces INTEGER, amend INTEGER, reason TEXT NOT NULL DEFAULT '', masked INTEGER NOT NULL DEFAULT 0,
  data TEXT NOT NULL CHECK(json_valid(data)),
  PRIMARY KEY(ticket_id, no)
) STRICT, WITHOUT ROWID;
INSERT INTO entry(ticket_id, no, kind, concern, person_id, at, shop_only, struck, replaces, amend, reason, masked, data)
  SELECT ticket_id, no, kind, concern, person_id, at, shop_only, struck, replaces, amend, reason, masked, data
  FROM entry_kept ORDER BY ticket_id, no;
DROP TABLE entry_kept;
INSERT INTO follow(ticket_id, no, data) SELECT ticket_id, no, data FROM follow_kept;
DROP TABLE follow_kept;

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
