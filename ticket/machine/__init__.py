"""This machine: its clock, paths, files, printer, picture viewer, and who else sits at the shop."""
