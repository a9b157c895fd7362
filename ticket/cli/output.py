"""How commands print: facts to standard output, remarks to standard error, JSON in one shape."""

import argparse
import json
import sys
from pathlib import Path
from typing import Any

from ticket.job.errors import InputError
from ticket.job.text import escaped, visible


def say(text: str = "") -> None:
    """One line or block for a person; control characters show as marks."""
    print(visible(text))  # noqa: T201 - this is the one place that prints facts


def remark(text: str) -> None:
    """A remark that is not part of the result."""
    print(visible(text), file=sys.stderr)  # noqa: T201 - this is the one place that prints remarks


def as_json(value: Any) -> str:
    """JSON as every command prints it: characters a terminal would obey are escaped, so nothing is lost."""
    return escaped(json.dumps(value, indent=2, ensure_ascii=False))


def say_json(value: Any) -> None:
    """A value as JSON."""
    print(as_json(value))  # noqa: T201 - this is the one place that prints facts


def write(options: argparse.Namespace, text: str) -> None:
    """Text to ``--output`` where one is named, else to standard output."""
    if not getattr(options, "output", None):
        say(text.rstrip("\n"))
        return
    target = Path(options.output)
    try:
        target.write_text(text if text.endswith("\n") else text + "\n", encoding="utf-8")
    except OSError as error:
        raise InputError(f"Cannot write {target}: {error.strerror}.") from None


def read_text(name: str) -> str:
    """A file's text, or standard input for ``-``. Bytes that are no UTF-8 become marks."""
    if name == "-":
        data = sys.stdin.buffer.read()
    else:
        try:
            data = Path(name).read_bytes()
        except OSError as error:
            raise InputError(f"Cannot read {name}: {error.strerror}.") from None
    return data.decode("utf-8-sig", errors="replace")
