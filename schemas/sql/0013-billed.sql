-- What the customer is billed, in cents, as the sum they agreed to was told: base is 'with tax' or 'before tax'.
ALTER TABLE job ADD COLUMN billed INTEGER;
ALTER TABLE job ADD COLUMN base TEXT NOT NULL DEFAULT '';
