-- Header fields put right after the signature. no: its number on the ticket. data: the JSON of the job model: the fields
-- as they were signed, as they stand since, by whom (a person id), when and why. A correction is added by an amendment
-- and stays; only its words may be blanked.
CREATE TABLE correction(
  ticket_id INTEGER NOT NULL REFERENCES ticket(id), no INTEGER NOT NULL CHECK(no > 0),
  data TEXT NOT NULL CHECK(json_valid(data)),
  PRIMARY KEY(ticket_id, no)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER correction_once BEFORE INSERT ON correction
  WHEN EXISTS (SELECT 1 FROM correction WHERE ticket_id = NEW.ticket_id AND no = NEW.no)
  BEGIN SELECT RAISE(ABORT, 'signed: amend instead'); END;
CREATE TRIGGER correction_fix BEFORE UPDATE ON correction
  WHEN instr(NEW.data, '▮▮▮') = 0 OR NEW.ticket_id <> OLD.ticket_id OR NEW.no <> OLD.no
  BEGIN SELECT RAISE(ABORT, 'signed: amend instead'); END;
CREATE TRIGGER correction_keep BEFORE DELETE ON correction
  BEGIN SELECT RAISE(ABORT, 'signed: amend instead'); END;

-- A signed ticket keeps everything; its seal may move on to an amendment of its own that stands in the journal, and its
-- header with it, where that amendment says what it corrects.
DROP TRIGGER ticket_sealed;
CREATE TRIGGER ticket_sealed BEFORE UPDATE ON ticket
  WHEN OLD.status = 'signed' AND (NEW.status <> 'signed' OR NEW.closed IS NOT OLD.closed OR NEW.signed_by IS NOT OLD.signed_by
    OR (NEW.header IS NOT OLD.header AND NEW.masked <= OLD.masked AND NOT EXISTS (
      SELECT 1 FROM journal WHERE seq = CAST(NEW.seal AS INTEGER) AND ticket_id = OLD.id AND verb = 'amend'
        AND NEW.seal IS NOT OLD.seal AND json_extract(body, '$.corrected') IS NOT NULL))
    OR (NEW.seal IS NOT OLD.seal AND NOT EXISTS (
      SELECT 1 FROM journal WHERE seq = CAST(NEW.seal AS INTEGER) AND ticket_id = OLD.id AND verb = 'amend'
        AND NEW.seal = seq || '-' || lower(substr(hex(hash), 1, 16)))))
  BEGIN SELECT RAISE(ABORT, 'signed: amend instead'); END;
