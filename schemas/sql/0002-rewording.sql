-- Sentences of a ticket's stories in the writer's own words. slot: its number on the ticket, so that the journal can
-- name it without its words. data: the JSON of the job model, the writer as person id. Kept with the ticket it is
-- part of; a signed ticket keeps its rewordings as they are.
CREATE TABLE rewording(
  ticket_id INTEGER NOT NULL REFERENCES ticket(id), slot INTEGER NOT NULL CHECK(slot > 0),
  data TEXT NOT NULL CHECK(json_valid(data)),
  PRIMARY KEY(ticket_id, slot)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER rewording_sealed_add BEFORE INSERT ON rewording
  WHEN (SELECT status FROM ticket WHERE id = NEW.ticket_id) = 'signed'
  BEGIN SELECT RAISE(ABORT, 'signed: amend instead'); END;
-- The one change allowed: its words may be blanked.
CREATE TRIGGER rewording_sealed_fix BEFORE UPDATE ON rewording
  WHEN json_extract(NEW.data, '$.text') <> '▮▮▮' AND (SELECT status FROM ticket WHERE id = OLD.ticket_id) = 'signed'
  BEGIN SELECT RAISE(ABORT, 'signed: amend instead'); END;
CREATE TRIGGER rewording_sealed_keep BEFORE DELETE ON rewording
  WHEN (SELECT status FROM ticket WHERE id = OLD.ticket_id) = 'signed'
  BEGIN SELECT RAISE(ABORT, 'signed: amend instead'); END;
