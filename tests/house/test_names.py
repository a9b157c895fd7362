"""File names: what a file is called tells it from every other."""

from collections import Counter
from pathlib import Path

TICKET = Path(__file__).parents[2] / "ticket"

# Python asks for this name in every folder.
DECLARED = {"__init__.py"}

# Two rooms that read, tell or reword the same thing still share these; each loses its line here when it gets its name.
SHARED_STILL = {
    "figures.py", "found.py", "lexicon.py", "lexicon.tsv", "naming.py",
    "proved.py", "spans.py", "statement.py", "tables.py", "tell.py", "tokens.py", "told.py", "units.py",
}  # fmt: skip


def names() -> Counter[str]:
    """How often each name stands; a folder of one language holds the same files as the others, so they count once."""
    once = {
        path.parent.parent / "language" / path.name if path.parent.parent.name == "language" else path
        for path in TICKET.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts and "_data" not in path.parts
    }
    return Counter(path.name for path in once)


def test_no_file_name_stands_twice() -> None:
    twice = {name for name, count in names().items() if count > 1}
    assert "__init__.py" in twice
    assert twice - DECLARED - SHARED_STILL == set()
