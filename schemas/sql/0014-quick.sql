-- A piece of a customer's name is looked for among the names alone. Erasing a value takes it out of here too.
CREATE INDEX identity_customer ON identity(value) WHERE part = 'customer.name';
-- What jobs beside a code state, in the order it is counted in.
CREATE INDEX job_cause_words ON job_cause(code, sub, state, cause, text, ticket_id, number);
CREATE INDEX job_fix_words ON job_fix(code, sub, state, fix, text, ticket_id, number);
