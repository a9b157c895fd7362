"""The small audit: it reads the file with SQL and JSON alone, and shares nothing with what writes tickets."""
