-- What a signed ticket rests on, each thing once under the SHA-256 of its bytes: settings, people, price list, rules.
-- Nothing of a customer is in it. Tables with rowids on purpose: they can be read page by page.
CREATE TABLE kept(
  id INTEGER PRIMARY KEY, digest TEXT NOT NULL UNIQUE CHECK(length(digest) = 64), kind TEXT NOT NULL, data BLOB NOT NULL
) STRICT;
-- The papers of a signed ticket as they were when it was signed, seq: the row of the journal that promises them.
-- promise = SHA-256(salt, data); salt and data may be blanked.
CREATE TABLE paper(
  id INTEGER PRIMARY KEY, ticket_id INTEGER NOT NULL REFERENCES ticket(id), seq INTEGER NOT NULL, reader TEXT NOT NULL,
  language TEXT NOT NULL, layout INTEGER NOT NULL, salt BLOB, data BLOB,
  promise TEXT NOT NULL CHECK(length(promise) = 64),
  CHECK((salt IS NULL) = (data IS NULL)), UNIQUE(ticket_id, seq, reader, language)
) STRICT;
-- Signatures of rows of the journal, Ed25519; public keys stand in the journal.
CREATE TABLE signature(
  seq INTEGER NOT NULL, key TEXT NOT NULL, sig BLOB NOT NULL CHECK(length(sig) = 64), PRIMARY KEY(seq, key)
) STRICT;
-- PINs, as Argon2 tells them; the journal holds a promise of each. tries and last count wrong ones.
CREATE TABLE pin(
  person_id INTEGER PRIMARY KEY REFERENCES person(id), hash TEXT NOT NULL, salt BLOB NOT NULL,
  tries INTEGER NOT NULL DEFAULT 0, last TEXT NOT NULL DEFAULT ''
) STRICT;
-- Whether the signature of a document that was loaded here was proved; empty: loaded before there were any.
ALTER TABLE ticket ADD COLUMN was_proof TEXT NOT NULL DEFAULT '' CHECK(was_proof IN ('', 'verified', 'unverified'));
CREATE TRIGGER ticket_proved BEFORE UPDATE ON ticket WHEN NEW.was_proof <> OLD.was_proof
  BEGIN SELECT RAISE(ABORT, 'where a ticket came from stays as it was loaded'); END;

CREATE TRIGGER kept_once BEFORE INSERT ON kept WHEN EXISTS (SELECT 1 FROM kept WHERE digest = NEW.digest OR id = NEW.id)
  BEGIN SELECT RAISE(ABORT, 'kept already'); END;
CREATE TRIGGER kept_same BEFORE UPDATE ON kept
  BEGIN SELECT RAISE(ABORT, 'what was signed under stays as it was'); END;
CREATE TRIGGER kept_keep BEFORE DELETE ON kept
  BEGIN SELECT RAISE(ABORT, 'what was signed under stays as it was'); END;
CREATE TRIGGER paper_once BEFORE INSERT ON paper
  WHEN EXISTS (SELECT 1 FROM paper WHERE id = NEW.id
    OR (ticket_id, seq, reader, language) = (NEW.ticket_id, NEW.seq, NEW.reader, NEW.language))
  BEGIN SELECT RAISE(ABORT, 'paper kept already'); END;
-- The one change allowed: a paper may be blanked.
CREATE TRIGGER paper_same BEFORE UPDATE ON paper
  WHEN NOT (NEW.salt IS NULL AND NEW.data IS NULL
    AND (NEW.id, NEW.ticket_id, NEW.seq, NEW.reader, NEW.language, NEW.layout, NEW.promise)
      IS (OLD.id, OLD.ticket_id, OLD.seq, OLD.reader, OLD.language, OLD.layout, OLD.promise))
  BEGIN SELECT RAISE(ABORT, 'a signed paper stays as it was'); END;
CREATE TRIGGER paper_keep BEFORE DELETE ON paper
  BEGIN SELECT RAISE(ABORT, 'a signed paper stays as it was'); END;
CREATE TRIGGER signature_once BEFORE INSERT ON signature
  WHEN EXISTS (SELECT 1 FROM signature WHERE seq = NEW.seq AND key = NEW.key)
  BEGIN SELECT RAISE(ABORT, 'signed already'); END;
CREATE TRIGGER signature_same BEFORE UPDATE ON signature
  BEGIN SELECT RAISE(ABORT, 'a signature stays as it was'); END;
CREATE TRIGGER signature_keep BEFORE DELETE ON signature
  BEGIN SELECT RAISE(ABORT, 'a signature stays as it was'); END;

-- Rows of format 2 ("v":2 in their body) hold each text behind a salt of its own: words = {path: [salt, text]}, and
-- promise = SHA-256 over {path: commitment}. The one change allowed: a text becomes its commitment, or, in a row of
-- format 1, all words and their salt are blanked.
DROP TRIGGER journal_fix;
CREATE TRIGGER journal_fix BEFORE UPDATE ON journal
  WHEN NOT ((NEW.seq, NEW.at, NEW.person_id, NEW.sitting, NEW.verb, NEW.body, NEW.hash, NEW.ticket_id, NEW.of, NEW.promise)
      IS (OLD.seq, OLD.at, OLD.person_id, OLD.sitting, OLD.verb, OLD.body, OLD.hash, OLD.ticket_id, OLD.of, OLD.promise)
    AND OLD.words IS NOT NULL AND NEW.salt IS NULL
    AND (NEW.words IS NULL AND json_extract(OLD.body, '$.v') = 1
      OR json_extract(OLD.body, '$.v') = 2 AND NEW.words IS NOT NULL
        AND (SELECT count(*) FROM json_each(OLD.words)) = (SELECT count(*) FROM json_each(NEW.words))
        AND NOT EXISTS (SELECT 1 FROM json_each(NEW.words) AS n LEFT JOIN json_each(OLD.words) AS o ON o.key = n.key
          WHERE o.key IS NULL
            OR NOT (n.value IS o.value OR (o.type = 'array' AND n.type = 'text' AND length(n.value) = 64)))))
  BEGIN SELECT RAISE(ABORT, 'journal is append-only'); END;
