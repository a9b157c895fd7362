"""Customers' values stand in a table of their own: each is the one a row of the journal points at."""

from dataclasses import dataclass, field
from typing import Any

from ticket.store.canonical import promise
from ticket.store.driver import Connection
from ticket.store.proof.finding import Findings

_HEADER, _FACT = "header", "fact"
_CORRECTED = ("corrected", "corrections")  # parts of a header lie deeper in them


@dataclass(slots=True)
class Customers:
    """Which values the journal points at.

    Attributes:
        wanted: for each identity the first row that points at it, its promise and its part, such as ``customer.name``.
        other: rows that promise one of them as another value.
        forgotten: those that a row says were blanked.
    """

    wanted: dict[int, tuple[int, str, str]] = field(default_factory=dict)
    other: list[tuple[int, int]] = field(default_factory=list)
    forgotten: set[int] = field(default_factory=set)

    def note(self, seq: int, body: Any) -> None:
        """The identities of one row."""
        for path, found in _identities(body, ()):
            self._want(seq, found, _part(body, path))

    def _want(self, seq: int, found: Any, part: str) -> None:
        number, kept = found["identity"], found["promise"]
        if self.wanted.setdefault(number, (seq, kept, part))[1] != kept:
            self.other.append((seq, number))

    def compare(self, connection: Connection, found: Findings) -> None:
        """Every value against what the journal says of it."""
        for seq, number in self.other:
            found.add(f"journal {seq}", f"identity {number} is promised as another value than before", seq)
        held = set()
        for number, part, salt, value, kept in connection.execute(
            "SELECT id, part, salt, value, promise FROM identity"
        ):
            held.add(number)
            if number not in self.wanted:
                found.add(f"identity {number}", "no row of the journal points at it")
                continue
            seq, wanted, path = self.wanted[number]
            if says := _wrong((part, salt, value, kept), wanted, path, gone=number in self.forgotten):
                found.add(f"identity {number}", says, seq)
        for number in sorted(self.wanted.keys() - held):
            found.add(f"identity {number}", "it is missing", self.wanted[number][0])


def _wrong(row: tuple[Any, ...], wanted: str, path: str, *, gone: bool) -> str:
    part, salt, value, kept = row
    if not (part.endswith(path.encode()) if path.startswith(".") else part == path.encode()):
        return f"it stands for {part.decode(errors='replace')}, the journal has {path}"
    if kept != wanted.encode():
        return "its promise differs from the journal"
    if salt is None or value is None:
        return "" if gone and salt is None and value is None else "it is gone, and no row says why"
    return "" if promise(salt, value).hex() == wanted else "what it says is not what was promised"


def _identities(value: Any, path: tuple[Any, ...]) -> list[tuple[tuple[Any, ...], Any]]:
    if isinstance(value, dict):
        if value.keys() == {"identity", "promise"}:
            return [(path, value)]
        return [found for name, item in value.items() for found in _identities(item, (*path, name))]
    if isinstance(value, list):
        return [found for i, item in enumerate(value) for found in _identities(item, (*path, i))]
    return []


def _part(body: Any, path: tuple[Any, ...]) -> str:
    """What the value stands for, by the way that leads to it; its end alone where only the entry's kind would tell."""
    if path[0] == _HEADER:
        return ".".join(path[1:])
    if path[0] in _CORRECTED:
        return ".".join(path[-2:])
    if path[0] == "births":
        return f"{body['births'][path[1]]['kind']}.{path[3]}"
    change = body["changes"][path[1]]
    if change["f"] == _FACT:
        return f"{change[path[2]]['kind']}.{path[4]}"
    return f".{change['f']}" if change.get("no") else str(change["f"]).replace("/", ".")
