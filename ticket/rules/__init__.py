"""Local rules as data: packs with a citation, a status and a date for every row, and what evaluates them.

Not legal advice. A row that was not read in the law itself says so wherever it is shown.
"""
