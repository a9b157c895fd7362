"""``python -m ticket.rules.pack_schema FOLDER`` writes the schema of a rule pack; a test compares the copy."""

import json
import sys
from pathlib import Path

from ticket.rules.pack import pack_schema


def main(folder: str) -> None:
    """Write ``rule-pack.json`` into a folder."""
    text = json.dumps(pack_schema(), indent=2, ensure_ascii=False) + "\n"
    Path(folder, "rule-pack.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1])
