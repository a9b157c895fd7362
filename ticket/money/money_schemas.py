"""``python -m ticket.money.money_schemas FOLDER`` writes the schemas of prices and terms; a test compares them."""

import json
import sys
from pathlib import Path

from ticket.money.prices import prices_schema
from ticket.money.terms import terms_schema


def main(folder: str) -> None:
    """Write ``price-list.json`` and ``bill-terms.json`` into a folder."""
    for name, schema in (("price-list", prices_schema()), ("bill-terms", terms_schema())):
        text = json.dumps(schema, indent=2, ensure_ascii=False) + "\n"
        Path(folder, f"{name}.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1])
