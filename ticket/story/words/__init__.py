"""The words of the bay: reading them, and putting them in plain sentences."""
