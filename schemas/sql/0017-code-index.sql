-- A code and its sub-code are looked for however large their letters are. Nobody asks for the first three of a code.
DROP INDEX IF EXISTS entry_code_sub;
DROP INDEX IF EXISTS entry_code_any;
DROP INDEX IF EXISTS entry_code_head;
CREATE INDEX entry_code_sub ON entry_code(code COLLATE NOCASE, sub COLLATE NOCASE, ticket_id);
CREATE INDEX entry_code_any ON entry_code(code COLLATE NOCASE, ticket_id);
