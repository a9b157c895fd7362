-- Sentences of a ticket's stories in the writer's own words. slot: its number on the ticket, so that the journal can
-- name it without its words. data: the JSON of the job model, the writer as person id. Kept with the ticket it is
-- part of; a signed ticket keeps its rewordings as they are.
CREATE TABLE rewording(
  ticket_id INTEGER NOT NULL REFERENCES ticket(id), slot INTEGER NOT NULL CHECK(slot > 0),
  data TEXT NOT NULL CHECK(json_valid(data)),
  PRIMARY KEY(ticket_id, slot)
) STRICT, WITHOUT ROWID;
