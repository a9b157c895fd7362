"""The archive of a chain of shops: signed tickets as records by shop and month, and one file that answers questions."""
