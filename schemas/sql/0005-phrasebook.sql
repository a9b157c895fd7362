-- The shop's phrasebook: what trade phrases mean in plain words of a language. data: the JSON of the job model, people
-- as their ids. Nothing is deleted: an entry that was taken back says so, and stays for the tickets signed under it.
CREATE TABLE phrasebook(
  no INTEGER PRIMARY KEY CHECK(no > 0), data TEXT NOT NULL CHECK(json_valid(data))
) STRICT;
CREATE TRIGGER phrasebook_once BEFORE INSERT ON phrasebook
  WHEN EXISTS (SELECT 1 FROM phrasebook WHERE no = NEW.no)
  BEGIN SELECT RAISE(ABORT, 'entry number taken'); END;
CREATE TRIGGER phrasebook_keep BEFORE DELETE ON phrasebook
  BEGIN SELECT RAISE(ABORT, 'entries are taken back, not deleted'); END;

-- The pieces of typed lines, their figures as "#": how often a phrase was met. Computed from living entries alone.
CREATE TABLE entry_piece(
  ticket_id INTEGER NOT NULL, no INTEGER NOT NULL, i INTEGER NOT NULL, piece TEXT NOT NULL,
  PRIMARY KEY(ticket_id, no, i)
) STRICT, WITHOUT ROWID;
CREATE INDEX entry_piece_met ON entry_piece(piece, ticket_id, no);
