"""A typed line <-> the facts it states: the whole notation, both ways."""
