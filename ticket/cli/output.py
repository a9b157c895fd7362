"""How commands print: facts to standard output, remarks to standard error, JSON in one shape."""

import argparse
import json
import sys
from pathlib import Path
from typing import Any

from ticket.job.errors import ConflictError, InputError
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
    """Text to ``--output`` where a file is named, else to standard output."""
    if to_file(options):
        hand_out(options, (text if text.endswith("\n") else text + "\n").encode("utf-8", "replace"))
    else:
        say(text.rstrip("\n"))


def to_file(options: argparse.Namespace) -> bool:
    """Whether ``--output`` names a file; ``-`` is standard output, as everywhere."""
    return getattr(options, "output", None) not in (None, "-")


def hand_out(options: argparse.Namespace, content: bytes) -> None:
    """Bytes to the file that ``--output`` names; what stands there is written over with ``--force`` only."""
    from ticket.shop.handing import write_out
    from ticket.shop.place import database_path

    try:
        write_out(Path(options.output), content, database=database_path(options.db), replace=options.force)
    except ConflictError as error:
        raise InputError(f"{error} Nothing was written: name another file, or add --force.") from None


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
