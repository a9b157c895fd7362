-- Pictures, each once, under the SHA-256 of its content: the entry holds that digest, and so does the chain of the
-- journal. A picture is a JPEG without anything but its pixels. It stands here and in no file of its own, so that one
-- transaction, one backup and one audit hold for it as for the entries.
CREATE TABLE picture(
  digest TEXT PRIMARY KEY CHECK(length(digest) = 64 AND digest NOT GLOB '*[^0-9a-f]*'),
  content BLOB NOT NULL CHECK(length(content) > 0)
) STRICT;
CREATE TRIGGER picture_once BEFORE INSERT ON picture
  WHEN EXISTS (SELECT 1 FROM picture WHERE digest = NEW.digest)
  BEGIN SELECT RAISE(ABORT, 'picture held already'); END;
CREATE TRIGGER picture_same BEFORE UPDATE ON picture
  BEGIN SELECT RAISE(ABORT, 'a picture stays as it was taken'); END;
CREATE TRIGGER picture_keep BEFORE DELETE ON picture
  BEGIN SELECT RAISE(ABORT, 'a picture stays as it was taken'); END;
