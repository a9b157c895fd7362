"""Forgetting a customer: names, and the texts that hold them, everywhere in the file; every proof still holds.

Facts stay: codes, readings, parts, prices, dates. What is promised of a blanked text stays too, so the chain, the seals
and all other texts are proved as before.
"""

import json
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from sqlite_utils import Database

from ticket.job.codec import Json
from ticket.job.errors import ConflictError, NotFoundError
from ticket.job.text import fold
from ticket.store import derived, index, kept_jobs, sealing, state
from ticket.store.blanking import blank, texts_of
from ticket.store.canonical import canonical_text
from ticket.store.erasable import Words
from ticket.store.name_traces import Traces
from ticket.store.same_vehicle import vehicle_key
from ticket.store.session import Session
from ticket.store.state import TicketState, Touched
from ticket.store.stored_values import HEADER_WORDS, identities
from ticket.store.transition import CORRECTED


@dataclass(frozen=True, slots=True)
class Mention:
    """A text that would go, or could.

    Attributes:
        row: of the journal.
        path: of the text in it.
        ticket: number of its ticket; 0 where it is of none.
    """

    row: int
    path: str
    text: str
    ticket: int


@dataclass(frozen=True, slots=True)
class Plan:
    """What forgetting a customer would do.

    Attributes:
        tickets: numbers of the customer's tickets.
        values: names and numbers that would go, behind what they stand for.
        texts: of these tickets that would go.
        others: texts of other tickets that hold the name or a number; each row must be named to go too.
        whole: rows of the older form, whose texts go all together.
        pictures: digests of pictures on these tickets and on no other.
    """

    tickets: tuple[int, ...]
    values: tuple[tuple[str, str], ...]
    texts: tuple[Mention, ...]
    others: tuple[Mention, ...]
    whole: tuple[int, ...]
    pictures: tuple[str, ...]
    keys: tuple[int, ...] = field(repr=False)
    ids: tuple[int, ...] = field(repr=False)


class Erasing:
    """Finding what belongs to a customer, and blanking it."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def plan(self, *, number: int = 0, plate: str = "", customer: str = "") -> Plan:
        """What would go; nothing is changed. Raises :class:`NotFoundError` where there is no such customer."""
        with self._session.reading() as db:
            keys = _keys(db, number, plate, customer)
            if not keys:
                raise NotFoundError("there is no ticket of such a customer")
            numbers = dict(db.execute("SELECT id, number FROM ticket").fetchall())
            ids = sorted({one["identity"] for key in keys for body in _bodies(db, key) for one in identities(body)})
            marks = json.dumps(ids)
            values = db.execute(
                "SELECT part, value FROM identity WHERE id IN (SELECT value FROM json_each(?)) AND value IS NOT NULL",
                [marks],
            ).fetchall()
            traces = Traces.of(values)
            texts, others, whole = _mentions(db, keys, numbers, traces)
            pictures = _pictures(db, keys)
        return Plan(
            tuple(numbers[key] for key in keys), tuple(dict.fromkeys(values)), tuple(texts), tuple(others),
            tuple(whole), tuple(pictures), tuple(keys), tuple(ids),
        )  # fmt: skip

    def last_visits(self) -> list[tuple[str, tuple[int, ...], str]]:
        """Customers who are known by name, their tickets, and when the last of these was written to, oldest first."""
        with self._session.reading() as db:
            rows = db.execute(
                "SELECT i.value, t.number, t.updated, t.status FROM ticket AS t JOIN identity AS i"
                " ON i.id = json_extract(t.header, '$.customer.name.identity') WHERE i.value IS NOT NULL ORDER BY t.id"
            ).fetchall()
        held: dict[str, list[tuple[str, int, str, str]]] = {}
        for name, number, updated, status in rows:
            held.setdefault(fold(name), []).append((name, number, updated, status))
        found = [
            (visits[-1][0], tuple(number for _, number, _, _ in visits), max(at for _, _, at, _ in visits))
            for visits in held.values()
            if all(status == "signed" for _, _, _, status in visits)
        ]
        return sorted(found, key=lambda one: one[2])

    def carry_out(self, plan: Plan, why: str, by: str, also: Collection[int] = (), *, open_too: bool = False) -> None:
        """Blank what a plan names, and of other tickets the rows named.

        Raises:
            ConflictError: a ticket is still open and ``open_too`` is not given.
        """
        session = self._session
        with session.writing() as db:
            for number in plan.tickets:
                if not state.load(db, number).signed and not open_too:
                    raise ConflictError(f"ticket {number} is still open: sign it first, or add --open")
            going: dict[int, set[str]] = {}
            for one in (*plan.texts, *(one for one in plan.others if one.row in also)):
                going.setdefault(one.row, set()).add(one.path)
            person = session.person(by)
            by_ticket: dict[int | None, dict[int, set[str]]] = {}
            for seq, paths in going.items():
                key = db.execute("SELECT ticket_id FROM journal WHERE seq = ?", [seq]).fetchone()[0]
                by_ticket.setdefault(key, {})[seq] = paths
            for key in {*plan.keys, *by_ticket}:
                _forget(session, db, key, by_ticket.get(key, {}), plan if key in plan.keys else None, why, person)
            db.conn.executemany("DELETE FROM picture WHERE digest = ?", [(digest,) for digest in plan.pictures])
        self._clean()

    def _clean(self) -> None:
        """No freed page, no piece of an index and no log keeps what was blanked."""
        session = self._session
        while session.db.execute("SELECT 1 FROM dirty LIMIT 1").fetchone():
            with session.writing() as db:
                rows = db.execute("SELECT t.number FROM dirty JOIN ticket AS t ON t.id = ticket_id").fetchall()
                for (number,) in rows:
                    derived.refresh(db, number, session.indexer)
                db.execute("DELETE FROM dirty")
        with session.writing() as db:
            db.execute("INSERT INTO ticket_fts(ticket_fts) VALUES('optimize')")
            for (name,) in db.execute("SELECT name FROM sqlite_schema WHERE name LIKE 'sqlite_stat%'").fetchall():
                db.execute(f"DELETE FROM {name}")  # noqa: S608 - SQLite's own samples, plates among them
            db.execute("ANALYZE")
        session.compact()


def _pictures(db: Database, keys: Collection[int]) -> list[str]:
    """The pictures that rows of some tickets name, struck and corrected entries too, and rows of no other ticket."""
    marked = json.dumps(list(keys))
    rows = db.execute(
        "SELECT digest FROM picture AS p WHERE EXISTS (SELECT 1 FROM journal WHERE instr(body, p.digest)"
        " AND ticket_id IN (SELECT value FROM json_each(?1))) AND NOT EXISTS (SELECT 1 FROM journal"
        " WHERE instr(body, p.digest) AND ticket_id NOT IN (SELECT value FROM json_each(?1)))",
        [marked],
    )
    return [digest for (digest,) in rows.fetchall()]


def _mentions(
    db: Database, keys: Collection[int], numbers: Mapping[int, int], traces: Traces
) -> tuple[list[Mention], list[Mention], list[int]]:
    """Texts of the journal that tell of a customer: of the customer's tickets, of others, and rows that go whole."""
    texts: list[Mention] = []
    others: list[Mention] = []
    whole: list[int] = []
    rows = db.execute("SELECT seq, ticket_id, body, salt FROM journal WHERE words IS NOT NULL ORDER BY seq")
    for seq, key, body, salt in rows.fetchall():
        mine = key in keys
        found = [
            Mention(seq, path, text, numbers.get(key, 0))
            for path, text in (texts_of(db, seq) or {}).items()
            if _tells(traces, body, path, text, mine=mine)
        ]
        (texts if mine else others).extend(found)
        whole += [seq] * bool(found and salt is not None and mine)
    return texts, others, whole


def _keys(db: Database, number: int, plate: str, customer: str) -> list[int]:
    if number:
        return [state.id_of(db, number)]
    if plate:
        key = "".join(plate.split()).replace("-", "").upper()
        rows = db.execute(f"SELECT t.id FROM ticket AS t WHERE {vehicle_key('plate')} = ? ORDER BY t.id", [key])  # noqa: S608
        return [row[0] for row in rows.fetchall()]
    rows = db.execute(
        "SELECT t.id, i.value FROM ticket AS t JOIN identity AS i"
        " ON i.id = json_extract(t.header, '$.customer.name.identity') WHERE i.value IS NOT NULL ORDER BY t.id"
    )
    return [key for key, value in rows.fetchall() if fold(value) == fold(customer)]


def _bodies(db: Database, key: int) -> Iterator[Any]:
    for (body,) in db.execute("SELECT body FROM journal WHERE ticket_id = ?", [key]).fetchall():
        yield json.loads(body)


def _tells(traces: Traces, body: str, path: str, text: str, *, mine: bool) -> bool:
    """Whether a text tells of the customer, on one of their own tickets or on somebody else's."""
    return (_goes(body, path) or traces.in_own(text)) if mine else traces.in_others(text)


def _goes(body: str, path: str) -> bool:
    """Whether a text goes with the name whatever it says: typed lines, plates, labels, reasons, notes of calls."""
    first, *rest = path.split("/")
    if first == "header":
        return "/".join(rest) in HEADER_WORDS
    if first == "births":
        return rest[-1] in ("raw", "reason")
    if first == "changes":
        change = json.loads(body)["changes"][int(rest[0])]
        named = change["f"] in HEADER_WORDS and not change.get("no")
        return named or change["f"] == "follow" or change["f"].startswith("wording/")
    return rest[-1:] == ["reason"] or first in ("reason", "source", "rewordings", "corrections", CORRECTED)


def _forget(
    session: Session, db: Database, key: int | None, going: dict[int, set[str]], plan: Plan | None, why: str,
    person: int,
) -> None:  # fmt: skip
    """Blank the texts of one ticket (or of none), write down which, and write over what the tables say."""
    before = None if key is None else state.load(db, _number(db, key))
    if before is not None:
        session.leave_vehicle(before.id)
    paths: Json = {}
    seqs: list[int] = []
    for seq, wanted in sorted(going.items()):
        done = blank(db, seq, wanted)
        if done is None:
            seqs.append(seq)
        elif done:
            paths[str(seq)] = done
    body: Json = {"paths": paths, "seqs": seqs, "why": Words(why)}
    if plan is not None and key is not None:
        body |= _blank_identity(db, key)
        body |= {"pictures": list(plan.pictures)} if plan.pictures else {}
    if before is None or key is None:
        session.append_signed("forget", body, person=person)
        return
    blanked = sealing.ticket_state(db, key)
    masked = [0] if (blanked.header, blanked.corrections) != (before.header, before.corrections) else []
    masked += [no for no in before.entries if before.entries[no] != blanked.entries[no]]
    session.append_signed("forget", body | {"masked": masked}, person=person, ticket=key)
    _write_over(session, db, before, sealing.ticket_state(db, key))


def _blank_identity(db: Database, key: int) -> Json:
    """Blank who a ticket ever named, and its kept papers; what the row that forgets says of it."""
    ids = sorted({one["identity"] for row in _bodies(db, key) for one in identities(row)})
    db.execute(
        "UPDATE identity SET salt = NULL, value = NULL WHERE id IN (SELECT value FROM json_each(?))",
        [json.dumps(ids)],
    )
    db.execute("UPDATE paper SET salt = NULL, data = NULL WHERE ticket_id = ?", [key])
    return {"identities": ids, "papers": True}


def _number(db: Database, key: int) -> int:
    return int(db.execute("SELECT number FROM ticket WHERE id = ?", [key]).fetchone()[0])


def _write_over(session: Session, db: Database, before: TicketState, after: TicketState) -> None:
    """The tables say what the journal leads to now."""
    changed = {no for no in after.entries if after.entries[no] != before.entries[no]}
    followed = {no for no in after.follows if after.follows[no] != before.follows.get(no)}
    state.save(db, after, Touched(changed=changed, followed=followed))
    for slot, data in after.wordings.items():
        if data != before.wordings.get(slot):
            db.execute(
                "UPDATE rewording SET data = ? WHERE ticket_id = ? AND slot = ?",
                [canonical_text(data), after.id, slot],
            )
    for no, data in after.corrections.items():
        if data != before.corrections[no]:
            text = canonical_text(data)
            db.execute("UPDATE correction SET data = ? WHERE ticket_id = ? AND no = ?", [text, after.id, no])
    ticket = derived.assembled(db, after)
    index.write_side_rows(db, ticket, after, after.entries, session.indexer)
    kept_jobs.keep_one(db, after.id, ticket, session.of_job)
