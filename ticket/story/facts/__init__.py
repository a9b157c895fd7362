"""What the typed facts of a ticket mean together, in no language: certainty, work, proof, what is open, the opening."""
