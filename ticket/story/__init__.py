"""Entries to sentences, each with its sources."""
