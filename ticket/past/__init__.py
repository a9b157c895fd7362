"""Search and statistics over past jobs."""
