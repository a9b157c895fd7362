-- What was typed before, for completion while typing. Computed from living entries alone, like the other side tables.
-- A phrase stands in a line as: amount, ahead, text, behind; where "open" is 1 a value is typed before what is behind.
CREATE TABLE entry_phrase(
  ticket_id INTEGER NOT NULL, no INTEGER NOT NULL, i INTEGER NOT NULL,
  kind TEXT NOT NULL, folded TEXT NOT NULL, text TEXT NOT NULL,
  amount TEXT NOT NULL, ahead TEXT NOT NULL, behind TEXT NOT NULL, open INTEGER NOT NULL CHECK(open IN (0, 1)),
  PRIMARY KEY(ticket_id, no, i)
) STRICT, WITHOUT ROWID;
CREATE INDEX entry_phrase_newest ON entry_phrase(kind, folded, ticket_id, no);

-- Each phrase once, as it was typed last, with the number of its living uses. Kept by the two triggers below alone.
CREATE TABLE phrase(
  kind TEXT NOT NULL, folded TEXT NOT NULL, text TEXT NOT NULL,
  amount TEXT NOT NULL, ahead TEXT NOT NULL, behind TEXT NOT NULL, open INTEGER NOT NULL,
  uses INTEGER NOT NULL, ticket_id INTEGER NOT NULL, no INTEGER NOT NULL,
  PRIMARY KEY(kind, folded)
) STRICT, WITHOUT ROWID;
-- Short beginnings fit thousands of phrases: the most used of each are found without sorting.
CREATE INDEX phrase_top1 ON phrase(kind, substr(folded, 1, 1), uses, ticket_id);
CREATE INDEX phrase_top2 ON phrase(kind, substr(folded, 1, 2), uses, ticket_id);
CREATE INDEX phrase_top3 ON phrase(kind, substr(folded, 1, 3), uses, ticket_id);

CREATE TRIGGER phrase_more AFTER INSERT ON entry_phrase BEGIN
  INSERT INTO phrase VALUES(NEW.kind, NEW.folded, NEW.text, NEW.amount, NEW.ahead, NEW.behind, NEW.open, 0,
    NEW.ticket_id, NEW.no) ON CONFLICT(kind, folded) DO NOTHING;
  UPDATE phrase SET uses = uses + 1 WHERE kind = NEW.kind AND folded = NEW.folded;
  UPDATE phrase SET text = NEW.text, amount = NEW.amount, ahead = NEW.ahead, behind = NEW.behind, open = NEW.open,
    ticket_id = NEW.ticket_id, no = NEW.no
    WHERE kind = NEW.kind AND folded = NEW.folded AND (ticket_id, no) <= (NEW.ticket_id, NEW.no);
END;
CREATE TRIGGER phrase_less AFTER DELETE ON entry_phrase BEGIN
  UPDATE phrase SET uses = uses - 1 WHERE kind = OLD.kind AND folded = OLD.folded;
  DELETE FROM phrase WHERE kind = OLD.kind AND folded = OLD.folded AND uses = 0;
  UPDATE phrase SET (text, amount, ahead, behind, open, ticket_id, no) = (
    SELECT text, amount, ahead, behind, open, ticket_id, no FROM entry_phrase
    WHERE kind = OLD.kind AND folded = OLD.folded ORDER BY ticket_id DESC, no DESC LIMIT 1)
    WHERE kind = OLD.kind AND folded = OLD.folded AND (ticket_id, no) = (OLD.ticket_id, OLD.no);
END;
