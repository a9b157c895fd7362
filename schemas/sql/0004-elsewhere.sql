-- A ticket that was signed in another shop and loaded here: the seal it came with, and whether what it says was still
-- as it was when its document was written out (yes, no, unknown).
ALTER TABLE ticket ADD COLUMN was_seal TEXT NOT NULL DEFAULT '';
ALTER TABLE ticket ADD COLUMN was_fits TEXT NOT NULL DEFAULT '' CHECK(was_fits IN ('', 'yes', 'no', 'unknown'));
CREATE TRIGGER ticket_came BEFORE UPDATE ON ticket
  WHEN NEW.was_seal <> OLD.was_seal OR NEW.was_fits <> OLD.was_fits
  BEGIN SELECT RAISE(ABORT, 'where a ticket came from stays as it was loaded'); END;
