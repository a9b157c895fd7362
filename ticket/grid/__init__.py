"""Entries as rows of a table: one grid for every ticket page, for the shell and for papers. Nothing here knows a colour."""
