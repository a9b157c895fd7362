-- A picture goes with the customer it shows: where the journal says so, and only there.
DROP TRIGGER picture_keep;
CREATE TRIGGER picture_keep BEFORE DELETE ON picture
  WHEN NOT EXISTS (SELECT 1 FROM journal, json_each(journal.body, '$.pictures') AS gone
    WHERE journal.verb = 'forget' AND gone.value = OLD.digest)
  BEGIN SELECT RAISE(ABORT, 'a picture stays as it was taken'); END;
