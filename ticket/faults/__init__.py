"""Fault codes in every written form, and what they mean; tables are data files with sources."""
