"""One ticket as the rows of its journal lead to it, in plain JSON."""

from dataclasses import dataclass, field
from typing import Any

from ticket.store.canonical import seal_text
from ticket.store.proof.texts import Row, whole_body

_CHANGES = ("ticket.set", "edit", "move", "strike", "unstrike", "undo", "redo", "follow", "reword", "unreword")
_OWN = {"!": "struck", "concern": "concern", "shop_only": "shop_only"}
_SILENT = ("look", "keep")  # rows about a ticket that change nothing of it


@dataclass(slots=True)
class Folded:
    """The ticket, its entries, what followed, its rewordings and corrections; field names are the columns."""

    ticket: dict[str, Any] = field(default_factory=dict)
    entries: dict[int, dict[str, Any]] = field(default_factory=dict)
    follows: dict[int, Any] = field(default_factory=dict)
    wordings: dict[int, Any] = field(default_factory=dict)
    corrections: dict[int, Any] = field(default_factory=dict)

    def feed(self, row: Row) -> None:
        """Take in one row. Raises ``KeyError``, ``ValueError`` and the like where it does not fit."""
        seq, at, person, verb, digest = row[0], row[1].decode(), row[2], row[5].decode(), row[11]
        body = whole_body(row[7], row[8])
        if verb in ("ticket.open", "shop.load"):
            self._open(row[4], seq, at, person, verb, body, digest)
            return
        if verb in _SILENT:
            return
        if verb == "forget":
            for no in body.get("masked", ()):
                (self.entries[no] if no else self.ticket)["masked"] += 1
            return
        if verb in _CHANGES:
            rising = [self._change(change) for change in body.get("changes", ())]
            rises = any(rising)
        elif verb in ("add", "amend"):
            self._bear(seq, person, verb, body)
            rises = True
            if verb == "amend":
                self._correct(at, person, body)
                self.ticket["seal"] = seal_text(seq, digest)
        elif verb == "sign":
            self.ticket |= {"status": "signed", "closed": at, "signed_by": person, "seal": seal_text(seq, digest)}
            rises = True
        else:
            raise ValueError(f"a verb nobody knows: {verb}")
        self.ticket["rev"] += 1 if rises else 0
        self.ticket["updated"] = at

    def _open(self, key: int, seq: int, at: str, person: int, verb: str, body: Any, digest: bytes) -> None:
        if self.ticket:
            raise ValueError("it is opened twice")
        signed = body.get("status") == "signed"
        self.ticket = {
            "id": key, "number": body["number"], "status": body.get("status", "open"), "opened": body["opened"],
            "closed": body["closed"] if signed else None, "signed_by": body["signed_by"] if signed else None,
            "seal": seal_text(seq, digest) if signed else "", "rev": body.get("rev", 1), "updated": at, "masked": 0,
            "header": body["header"], "was_seal": "", "was_fits": "",
            "was_proof": body.get("proof", ""),
        }  # fmt: skip
        if signed and "fits" in body:
            self.ticket |= {"was_seal": body["was"], "was_fits": body["fits"]}
        self._bear(seq, person, verb, body)
        self.wordings = dict(enumerate(body.get("rewordings", ()), 1))
        self.corrections = dict(enumerate(body.get("corrections", ()), 1))

    def _correct(self, at: str, person: int, body: Any) -> None:
        """Put right what an amendment says was wrong in the header, and keep what stood there."""
        if "corrected" not in body:
            return
        was, now = body["corrected"]["was"], body["corrected"]["now"]
        for path in {**_paths(was), **_paths(now)}:
            _put_header(self.ticket["header"], path, _paths(now).get(path))
        held = {"was": was, "now": now, "person": person, "at": at, "reason": body["reason"]}
        self.corrections[len(self.corrections) + 1] = held

    def _bear(self, seq: int, person: int, verb: str, body: Any) -> None:
        for birth in body.get("births", ()):
            amended = verb == "amend" or birth.get("amended", False)
            if birth["no"] in self.entries:
                raise ValueError(f"entry {birth['no']} is born twice")
            self.entries[birth["no"]] = {
                "kind": birth["kind"], "concern": birth.get("concern", ""), "person_id": birth.get("person", person),
                "at": birth["at"], "shop_only": int(birth.get("shop_only", False)),
                "struck": int(birth.get("struck", False)), "replaces": birth.get("replaces"),
                "amend": seq if amended else None, "reason": birth.get("reason") or body.get("reason") or "",
                "masked": 0, "data": birth["fact"],
            }  # fmt: skip

    def _change(self, change: Any) -> bool:
        """Make one change; whether the ticket's revision rises for it."""
        what, new, no = change["f"], change.get("new"), change.get("no", 0)
        if what == "follow":
            _put(self.follows, no, new)
            return False
        if what.startswith("wording/"):
            _put(self.wordings, int(what.removeprefix("wording/")), new)
        elif not no and what == "status":
            self.ticket["status"] = new
        elif not no:
            _put_header(self.ticket["header"], what, new)
        elif what == "fact":
            self.entries[no] |= {"kind": new["kind"], "data": new["fact"]}
        elif what in _OWN:
            self.entries[no][_OWN[what]] = int(new) if what != "concern" else new
        else:
            data = dict(self.entries[no]["data"])
            _put(data, what, new)
            self.entries[no]["data"] = data
        return True


_PARTS = ("vehicle", "customer")


def _paths(header: Any) -> dict[str, Any]:
    """The fields of a part of a header by their paths."""
    inner = {f"{part}/{name}": value for part in _PARTS for name, value in header.get(part, {}).items()}
    return inner | {name: value for name, value in header.items() if name not in _PARTS}


def _put(held: dict[Any, Any], name: Any, value: Any) -> None:
    held.pop(name, None)
    if value is not None:
        held[name] = value


def _put_header(header: dict[str, Any], path: str, value: Any) -> None:
    first, _, second = path.partition("/")
    if not second:
        _put(header, first, value)
        return
    inner = dict(header.get(first, {}))
    _put(inner, second, value)
    _put(header, first, inner or None)
