"""What the journal says about the shop itself: settings, people, phrasebook; and where the tables say otherwise."""

from dataclasses import dataclass, field
from typing import Any

from ticket.store.canonical import canonical
from ticket.store.driver import Connection
from ticket.store.proof.finding import Findings
from ticket.store.proof.shape import has_table
from ticket.store.proof.told_apart import opened, told_apart

_NAMES = ("uid", "canon", "schema")  # of the file; the first row gives them


@dataclass(slots=True)
class ShopRows:
    """The shop as its journal leads to it."""

    settings: dict[str, str] = field(default_factory=dict)
    people: dict[int, tuple[str, str]] = field(default_factory=dict)
    phrasebook: dict[int, Any] = field(default_factory=dict)
    scratch: bool = False

    def feed(self, seq: int, at: str, person: int, verb: str, body: Any) -> None:
        """Take in one row that belongs to no ticket."""
        if verb == "shop.start":
            self.settings |= {key: body[key] for key in _NAMES}
        elif verb == "shop.migrate":
            self.settings["schema"] = body["to"]
        elif verb == "shop.set":
            self.settings[body["key"]] = body["new"]
        elif verb == "shop.person":
            self.people[body["id"]] = (body["name"], body["role"])
        elif verb == "book.keep":
            for given in body["entries"]:
                since = {} if given.get("state") == "waiting" else {"since": seq}
                self.phrasebook[given["no"]] = given | {"person": person, "at": at} | since
        elif verb == "book.look":
            self.phrasebook[body["no"]] = _looked(self.phrasebook[body["no"]], body["new"], seq, at, person)

    def compare(self, connection: Connection, found: Findings) -> None:
        """Every setting, person and phrase against the journal."""
        held = dict(connection.execute("SELECT key, value FROM shop").fetchall())
        wanted = {key.encode(): value.encode() for key, value in self.settings.items()}
        for key in sorted(held.keys() | wanted.keys()):
            if held.get(key) != wanted.get(key):
                values = told_apart(held.get(key), wanted.get(key))
                found.add(f"setting {key.decode(errors='replace')}", f"differs from the journal{values}")
        people = {
            number: (name, role) for number, name, role in connection.execute("SELECT id, name, role FROM person")
        }
        known = {number: (name.encode(), role.encode()) for number, (name, role) in self.people.items()}
        for number in sorted(people.keys() | known.keys()):
            if people.get(number) != known.get(number):
                name = self.people.get(number, ("",))[0] or f"number {number}"
                values = told_apart(_pair(people.get(number)), _pair(known.get(number)))
                found.add(f"person {name}", f"name or role differ from the journal{values}")
        known_book = has_table(connection, "phrasebook")
        book = dict(connection.execute("SELECT no, data FROM phrasebook").fetchall()) if known_book else {}
        for no in sorted(book.keys() | self.phrasebook.keys()):
            said = self.phrasebook.get(no)
            wanted_phrase = None if said is None else canonical(said)
            if wanted_phrase is None or book.get(no) != wanted_phrase:
                found.add(f"phrase {no}", f"differs from the journal{told_apart(book.get(no), wanted_phrase)}")


def _pair(person: tuple[Any, ...] | None) -> dict[str, Any] | None:
    return None if person is None else dict(zip(("name", "role"), map(opened, person), strict=True))


def _looked(entry: Any, new: str, seq: int, at: str, person: int) -> Any:
    if new == "back":
        return entry | {"back_person": person, "back_at": at, "until": seq, "state": new}
    held = {name: value for name, value in entry.items() if name != "state"}
    return held | {"person": person, "at": at, "since": seq}
