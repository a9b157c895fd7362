"""Entries as rows of a table, on one grid for every ticket page, for the shell and for papers. It knows no colour."""
