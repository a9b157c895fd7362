"""``python -m ticket.assist.limits_schema FOLDER`` writes the schema of a limits book; a test compares the copy."""

import json
import sys
from pathlib import Path

from ticket.assist.limits_shelf import book_schema


def main(folder: str) -> None:
    """Write ``limits-book.json`` into a folder."""
    text = json.dumps(book_schema(), indent=2, ensure_ascii=False) + "\n"
    Path(folder, "limits-book.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1])
