"""A typed line to an entry and back."""
