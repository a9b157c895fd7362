"""PINs of the people of a shop: who has one, what is promised of it, and how often it was typed wrong.

What a PIN proves is said in ``docs/trust.md``: it stops a colleague at the keyboard, not the owner of the file. The
journal says who has one; the table only holds what it is compared with, so that emptying the table opens nothing.
"""

import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256

from ticket.job.codec import Json
from ticket.job.errors import ConflictError, InputError
from ticket.job.roles import OWNER
from ticket.job.text import clean
from ticket.store import journal
from ticket.store.canonical import promise
from ticket.store.session import Session

PIN = "shop.pin"
FREE = 3  # wrong ones in a row before the first wait
_FIRST_WAIT, _LONGEST_WAIT = 5, 15 * 60  # seconds; doubled with every further wrong one
_TOLD = 5  # so many wrong in a row get a row of the journal
_SALT = 16


@dataclass(frozen=True, slots=True)
class Known:
    """What the journal says of the PINs of a shop.

    Attributes:
        promises: of everybody who has a PIN, by name.
        recovery: the digest of the code that stands in for a forgotten one; empty for none.
        reset: when all PINs were taken away without one being known; ``None`` where that never happened.
    """

    promises: dict[str, str]
    recovery: str = ""
    reset: datetime | None = None

    def __bool__(self) -> bool:
        return bool(self.promises)


class Pins:
    """PINs in one open database."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def known(self) -> Known:
        """Who has a PIN, as the journal leads to it."""
        promises: dict[str, str] = {}
        recovery, reset = "", None
        with self._session.reading() as db:
            names = dict(db.execute("SELECT id, name FROM person").fetchall())
            for record in journal.read(db, "ticket_id IS NULL AND verb = ?", [PIN]):
                body = record.body
                recovery = body.get("recovery", recovery)
                if body.get("how") == "reset":
                    promises, recovery, reset = {}, "", datetime.fromisoformat(record.at)
                elif body.get("set"):
                    promises[names.get(body["person"], "")] = body["promise"]
                elif body.get("set") is False:
                    promises.pop(names.get(body["person"], ""), None)
        return Known(promises, recovery if promises else "", reset)

    def begin_try(self, name: str) -> str:
        """Count a try before its answer is known, and give what the PIN is compared with.

        A process that is killed before the answer has spent its try all the same.

        Raises:
            InputError: it was wrong too often just now.
            ConflictError: what is kept of it is not what the journal promised.
        """
        known = self.known()
        with self._session.writing(of_looks=True) as db:
            row = db.execute(
                "SELECT i.person_id, i.hash, i.salt, i.tries, i.last FROM pin AS i JOIN person AS p"
                " ON p.id = i.person_id WHERE p.name = ?",
                [name],
            ).fetchone()
            if row is None or promise(row[2], row[1].encode()).hex() != known.promises.get(name):
                raise ConflictError(
                    f"What is kept of {name}'s PIN is not what was set: run ticket audit. The login that owns the file"
                    " can take all PINs away: ticket shop pin --reset"
                )
            person, hashed, _, tries, last = row
            wait = _wait(tries, last, self._session.now())
            if wait:
                raise InputError(f"{name}'s PIN was wrong {tries} times: wait {_span(wait)}, then try again.")
            moment = self._session.moment()
            db.execute("UPDATE pin SET tries = tries + 1, last = ? WHERE person_id = ?", [moment, person])
        return str(hashed)

    def was_right(self, name: str) -> None:
        """The try that was counted was no wrong one."""
        with self._session.writing(of_looks=True) as db:
            db.execute("UPDATE pin SET tries = 0 WHERE person_id = (SELECT id FROM person WHERE name = ?)", [name])

    def was_wrong(self, name: str) -> int:
        """The try was wrong; how many were in a row. Every fifth is journaled."""
        with self._session.writing(of_looks=True) as db:
            person, tries = db.execute(
                "SELECT person_id, tries FROM pin WHERE person_id = (SELECT id FROM person WHERE name = ?)", [name]
            ).fetchone()
            if tries % _TOLD == 0:
                self._session.append(PIN, {"person": person, "wrong": tries}, person=person)
        return int(tries)

    def set(self, name: str, hashed: str, how: str, by: str, recovery: str = "") -> None:
        """Keep what somebody's PIN is compared with from now on. Whoever sets the first one of a shop is its owner.

        Args:
            name: whose.
            hashed: the PIN as Argon2 tells it.
            how: ``own``, ``owner``, or ``recovery`` where the code stood in for a forgotten one.
            by: who sets it.
            recovery: digest of a new recovery code, where one is given out.
        """
        salt, first = self._session.token_bytes(_SALT), not self.known()
        with self._session.writing(of_looks=not first) as db:  # an auditor's own one proves who asks for names
            person = self._session.person(name, OWNER if first else None)
            body: Json = {"person": person, "set": True, "promise": promise(salt, hashed.encode()).hex(), "how": how}
            body |= {"recovery": recovery} if recovery else {}
            self._session.append(PIN, body, person=self._session.person(by))
            db.execute("DELETE FROM pin WHERE person_id = ?", [person])
            db.execute("INSERT INTO pin(person_id, hash, salt) VALUES(?, ?, ?)", [person, hashed, salt])

    def take_away(self, name: str, by: str) -> None:
        """Somebody has no PIN any more.

        Raises:
            InputError: there is none, or it is the last owner's while others have one.
        """
        known = self.known().promises
        if name not in known:
            raise InputError(f"{name} has no PIN.")
        with self._session.writing() as db:
            roles = dict(db.execute("SELECT name, role FROM person").fetchall())
            left = [one for one in known if one != name]
            if left and not any(roles[one] == OWNER for one in left):
                raise InputError(f"{name} is the last owner with a PIN: take the others' away first.")
            person = self._session.person(name)
            body = {"person": person, "set": False, "how": "removed"}
            self._session.append(PIN, body, person=self._session.person(by))
            db.execute("DELETE FROM pin WHERE person_id = ?", [person])

    def reset(self, by: str) -> None:
        """Take all PINs away without knowing one, which stays in the journal."""
        with self._session.writing() as db:
            self._session.append(PIN, {"set": False, "how": "reset"}, person=self._session.person(by))
            db.execute("DELETE FROM pin")


def new_code() -> str:
    """A recovery code: six groups of five letters and figures that are not mistaken for each other."""
    signs = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"
    return "-".join("".join(secrets.choice(signs) for _ in range(5)) for _ in range(6))


def code_digest(code: str) -> str:
    """What is kept of a recovery code, which is too long to be guessed from it."""
    plain = "".join(sign for sign in clean(code).upper() if sign.isalnum())
    return sha256(b"ticket-recovery-1" + plain.encode()).hexdigest()


def _wait(tries: int, last: str, now: datetime) -> float:
    """Seconds until the next try may be made; a clock that was set back makes nobody wait longer than once."""
    if tries < FREE or not last:
        return 0
    seconds = min(_FIRST_WAIT * 2 ** min(tries - FREE, 20), _LONGEST_WAIT)
    left = (datetime.fromisoformat(last) + timedelta(seconds=seconds) - now).total_seconds()
    return min(max(left, 0.0), float(seconds))


def _span(seconds: float) -> str:
    whole = int(seconds) + 1
    return f"{whole} s" if whole < 100 else f"{-(-whole // 60)} min"
