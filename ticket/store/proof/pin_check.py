"""Who proved to be who they say they are: PINs against what was promised of them, names and keys nobody checked."""

from dataclasses import dataclass, field
from typing import Any

from ticket.store.canonical import promise
from ticket.store.driver import Connection
from ticket.store.proof.finding import Findings
from ticket.store.proof.shape import has_table


@dataclass(slots=True)
class PinRows:
    """What the journal says about who proved to be who they say they are.

    Attributes:
        promises: of each person's PIN, by id.
        claims: signatures under a name that nobody checked.
        resets: rows that took all PINs away without one being known.
        keys: how many keys sign for the shop.
        unvouched: rows that added a key behind the first which nobody vouched for, each with its login.
    """

    promises: dict[int, str] = field(default_factory=dict)
    claims: int = 0
    resets: list[int] = field(default_factory=list)
    keys: int = 0
    unvouched: list[tuple[int, str]] = field(default_factory=list)

    def feed(self, seq: int, body: Any) -> None:
        """Take in one row about PINs."""
        if body.get("how") == "reset":
            self.promises.clear()
            self.resets.append(seq)
        elif body.get("set"):
            self.promises[body["person"]] = body["promise"]
        elif body.get("set") is False:
            self.promises.pop(body["person"], None)

    def signed(self, body: Any) -> None:
        """Take in one row that signs or amends."""
        self.claims += body.get("who") != "pin"

    def key(self, seq: int, body: Any) -> None:
        """Take in one row that adds a key."""
        if self.keys and not body.get("vouched"):
            self.unvouched.append((seq, str(body.get("login", ""))))
        self.keys += 1

    def compare(self, connection: Connection, found: Findings) -> None:
        """Every PIN against its promise."""
        rows = connection.execute("SELECT person_id, hash, salt FROM pin") if has_table(connection, "pin") else ()
        held = {person: promise(salt, hashed).hex() for person, hashed, salt in rows}
        for person in sorted(held.keys() | self.promises.keys()):
            if held.get(person) != self.promises.get(person):
                found.add(f"PIN of person {person}", "is not the one that was set")
        if self.claims:
            count = f"{self.claims} signatures are" if self.claims > 1 else "1 signature is"
            found.remarks.append(f"{count} under a name that is a claim: no PIN was asked")
        for seq in self.resets:
            found.remarks.append(f"row {seq} took all PINs away without one being typed")
        for seq, login in self.unvouched:
            found.remarks.append(f"row {seq} added a key of login {login} that no older key and no owner vouched for")
