"""Units, limits, verdicts, trends, and the balance between two reservoirs."""
