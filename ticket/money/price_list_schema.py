"""``python -m ticket.money.price_list_schema FOLDER`` writes the schema of a price list; a test compares the copy."""

import json
import sys
from pathlib import Path

from ticket.money.prices import prices_schema


def main(folder: str) -> None:
    """Write ``price-list.json`` into a folder."""
    text = json.dumps(prices_schema(), indent=2, ensure_ascii=False) + "\n"
    Path(folder, "price-list.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1])
