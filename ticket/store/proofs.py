"""What is asked about proofs: heads of the journal, keys, and the papers of signed tickets."""

import base64
import json
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime

from ticket.job.codec import Json
from ticket.job.errors import InputError, StoreError
from ticket.job.text import clean
from ticket.job.ticket import Ticket
from ticket.store import clock_back, document_proof, journal, kept_rows, seal, sealing, signed_heads, state
from ticket.store.derived import assembled
from ticket.store.forgetting import Erasing
from ticket.store.issued_papers import IssuedPapers
from ticket.store.kept_rows import Keeper, KeptPaper
from ticket.store.pins import Pins
from ticket.store.replay import Replay
from ticket.store.sealing import ASKED
from ticket.store.session import Session
from ticket.store.signed_heads import Head, Signer

_KEY_BYTES = 32


class Proofs:
    """The questions, put to one open database.

    Attributes:
        erasing: what forgets a customer so that every proof still holds.
        pins: who proves to be who they say they are.
        issued: the papers that were handed out.
    """

    def __init__(self, session: Session) -> None:
        self._session = session
        self.erasing, self.issued = Erasing(session), IssuedPapers(session)
        self.pins = Pins(session)

    def uid(self) -> str:
        """The random name of the file."""
        with self._session.reading() as db:
            return signed_heads.uid(db)

    def head(self) -> Head | None:
        """The newest row of the journal, to be kept elsewhere; ``None`` where there is none."""
        with self._session.reading() as db:
            return signed_heads.head_of(db)

    def public_keys(self) -> dict[str, Json]:
        """The public keys of the shop, as they were journaled."""
        with self._session.reading() as db:
            return signed_heads.public_keys(db)

    def signed_since(self, seq: int) -> list[Head]:
        """Every row behind one that was signed with a key, as a head that can be kept elsewhere."""
        with self._session.reading() as db:
            rows = db.execute("SELECT seq, key, sig FROM signature WHERE seq > ? ORDER BY seq", [seq]).fetchall()
            heads = ((signed_heads.head_of(db, row), key, sig) for row, key, sig in rows)
            return [
                replace(head, key=key, sig=base64.b64encode(sig).decode())
                for head, key, sig in heads
                if head is not None
            ]

    def ended_keys(self) -> frozenset[str]:
        """Names of the keys that sign no more."""
        with self._session.reading() as db:
            return signed_heads.ended_keys(db)

    def add_key(self, new: Signer, old: Signer | None, by: str, *, asked: bool) -> None:
        """Take in another key of a login; its older one vouches for it, or an owner whose PIN was asked for."""
        with self._session.writing() as db:
            known = signed_heads.public_keys(db)
            vouched: Json | None = {"pin": by} if asked else None
            if old is not None and old.id in known:
                words = signed_heads.vouching(signed_heads.uid(db), new.id, new.public)
                vouched = {"key": old.id, "sig": base64.b64encode(old.sign(words)).decode()}
            person = self._session.person(by)
            self._session.know_key(new, person, by, "replaced" if old else "added" if known else "first", vouched)

    def end_key(self, name: str, why: str, by: str) -> str:
        """Let a key sign no more; its name in full. What it signed up to now stays proved.

        Raises:
            InputError: there is no such key, it was ended before, or the reason is none of those known.
        """
        if why not in signed_heads.WHYS:
            raise InputError(f"Say why the key ends: --why {', '.join(signed_heads.WHYS)}.")
        plain = "".join(name.split("-")).lower()
        with self._session.writing() as db:
            keys = signed_heads.public_keys(db)
            found = [key for key in keys if plain and key.startswith(plain)]
            if len(found) != 1:
                raise InputError(f"{name!r} names {'several keys' if found else 'no key'}: ticket shop key lists them.")
            if "last" in keys[found[0]]:
                raise InputError(f"Key {signed_heads.shown(found[0])} was ended before.")
            body = {"id": found[0], "why": why, "last": journal.head(db)[0]}
            self._session.append(signed_heads.KEY_END, body, person=self._session.person(by))
        return found[0]

    def kept_papers(self, number: int) -> tuple[KeptPaper, ...]:
        """The papers of a signed ticket as they were signed; none where they were not kept yet in those days."""
        with self._session.reading() as db:
            return kept_rows.papers(db, state.id_of(db, number))

    def bare_seal(self, number: int) -> int | None:
        """The row of the seal of a ticket that was signed here before papers were kept, and has none yet."""
        with self._session.reading() as db:
            row = db.execute(
                "SELECT CAST(t.seal AS INTEGER) FROM ticket AS t WHERE t.number = ? AND t.status = 'signed'"
                " AND EXISTS (SELECT 1 FROM journal WHERE ticket_id = t.id AND verb = 'sign')"
                " AND NOT EXISTS (SELECT 1 FROM paper WHERE ticket_id = t.id)",
                [number],
            ).fetchone()
        return int(row[0]) if row else None

    def keep_later(self, number: int, row: int, keeper: Keeper) -> None:
        """Keep the papers of a ticket for the row that sealed it, unless another terminal did meanwhile.

        The row is the program's own: whoever prints a paper puts no name under anything.

        Raises:
            StoreError: its tables differ from the journal.
        """
        with self._session.writing() as db:
            held = state.load(db, number)
            if db.execute("SELECT 1 FROM paper WHERE ticket_id = ?", [held.id]).fetchone():
                return
            if sealing.ticket_state(db, held.id) != held:
                raise StoreError(f"ticket {number}: its tables differ from the journal: run ticket audit")
            seq = journal.head(db)[0] + 1
            kept = kept_rows.keep(db, keeper(assembled(db, held)), held.id, seq, self._session.token_bytes)
            self._session.append(kept_rows.KEEP, {"seal": row} | kept, ticket=held.id)

    def shop_before(self, row: int) -> tuple[dict[str, str], list[tuple[str, str]]]:
        """The settings, and the people with their roles, as they stood just before a row of the journal."""
        replay = Replay()
        where = "ticket_id IS NULL AND seq < ? AND verb IN ('shop.set', 'shop.person')"
        with self._session.reading() as db:
            for record in journal.read(db, where, [row]):
                replay.feed(record)
        return replay.settings, list(replay.people.values())

    def written_at(self, row: int) -> datetime:
        """When a row of the journal was written."""
        with self._session.reading() as db:
            return datetime.fromisoformat(db.execute("SELECT at FROM journal WHERE seq = ?", [row]).fetchone()[0])

    def opened_before(self, row: int, numbers: Sequence[int]) -> frozenset[int]:
        """Those of some tickets that were here before a row of the journal."""
        with self._session.reading() as db:
            rows = db.execute(
                "SELECT t.number FROM ticket AS t WHERE t.number IN (SELECT value FROM json_each(?))"
                " AND EXISTS (SELECT 1 FROM journal WHERE ticket_id = t.id AND seq < ?)",
                [json.dumps(list(numbers)), row],
            ).fetchall()
        return frozenset(number for (number,) in rows)

    def kept_under(self, row: int) -> Json:
        """What a row that signed a ticket says its papers rest on."""
        with self._session.reading() as db:
            return kept_rows.signed_under(db, row)

    def newest_rows(self, numbers: Sequence[int]) -> dict[int, int]:
        """The newest row of the journal for each of some tickets."""
        with self._session.reading() as db:
            return journal.newest(db, numbers)

    def signing_rows(self, number: int | None = None) -> dict[int, int]:
        """For each signed ticket, or one of them, the journal row that signed it or took it in signed."""
        where, values = ("", []) if number is None else (" AND t.number = ?", [number])
        with self._session.reading() as db:
            rows = db.execute(
                "SELECT t.number, min(j.seq) FROM ticket AS t JOIN journal AS j ON j.ticket_id = t.id"  # noqa: S608
                f" WHERE t.status = 'signed' AND j.verb IN ('sign', 'shop.load'){where} GROUP BY t.number",
                values,
            )
            return {row[0]: row[1] for row in rows.fetchall()}

    def name_checked(self, number: int) -> bool:
        """Whether a PIN was asked for where a ticket was signed; else the name under it is a claim."""
        with self._session.reading() as db:
            row = db.execute(
                "SELECT json_extract(body, '$.who') FROM journal WHERE ticket_id = ? AND verb = 'sign'",
                [state.id_of(db, number)],
            ).fetchone()
        return bool(row) and row[0] == ASKED

    def seal_word(self, number: int) -> str:
        """Whether the seal of one ticket holds: ``holds``, ``does not fit it``, ``differs from the journal``,
        ``not signed``, or of a ticket that another shop sealed ``signed elsewhere, proved`` or
        ``signed elsewhere, not proved here``.
        """  # noqa: D205
        with self._session.reading() as db:
            loaded = state.load(db, number)
            if not loaded.signed:
                return "not signed"
            proved = sealing.ticket_state(db, loaded.id)
            if proved != loaded:
                return "differs from the journal"
            row = int(loaded.seal.partition("-")[0])
            record = next(journal.read(db, "seq = ?", [row], proved=True))
            if "facts" not in record.body:
                return f"signed elsewhere, {'proved' if proved.was_proof == 'verified' else 'not proved here'}"
            salt = db.execute("SELECT salt FROM journal WHERE seq = ?", [row]).fetchone()[0]
            return "holds" if seal.holds(assembled(db, proved), proved, record.body, salt) else "does not fit it"

    def document_proof(self, ticket: Ticket) -> Json | None:
        """What a signed ticket's document takes along; ``None`` where it cannot be proved to others."""
        with self._session.reading() as db:
            return document_proof.make(db, state.id_of(db, ticket.number), ticket)

    def trusted(self) -> dict[str, str]:
        """Public keys of other shops that were taken in, by the name of the key, each with the shop's name."""
        with self._session.reading() as db:
            rows = db.execute(
                "SELECT body FROM journal WHERE ticket_id IS NULL AND verb = 'shop.trust' ORDER BY seq"
            ).fetchall()
        return {body["id"]: body["name"] for (text,) in rows if (body := json.loads(text))}

    def trust(self, public: str, name: str, by: str) -> str:
        """Take in the public key of another shop, in base64; its name as people read it.

        Raises:
            InputError: it is no such key.
        """
        try:
            raw = base64.b64decode(public, validate=True)
        except ValueError:
            raw = b""
        if len(raw) != _KEY_BYTES:
            raise InputError(
                f"{public[:60]!r} is no public key: it is 44 letters and signs, as ticket head --keys shows."
            )
        key = signed_heads.key_id(raw)
        with self._session.writing():
            person = self._session.person(by)
            self._session.append("shop.trust", {"id": key, "public": public, "name": clean(name)}, person=person)
        return key

    def same_row(self, head: Head) -> bool | None:
        """Whether a row that another document names is this shop's own; ``None`` where it is of another shop."""
        with self._session.reading() as db:
            if head.shop != signed_heads.uid(db):
                return None
            own = signed_heads.head_of(db, head.seq)
            return own is not None and own.hash == head.hash

    def note_restore(self, body: Json, by: str) -> None:
        """Write down that a copy was put back; rows are numbered on from its end, tickets from what was lost."""
        with self._session.writing():
            self._session.append_signed("shop.restore", body, person=self._session.person(by))

    def clock(self) -> str:
        """Whose times the file holds: ``real``, ``scratch`` for one made for practice, ``given`` by another program."""
        with self._session.reading() as db:
            row = db.execute(
                "SELECT json_extract(body, '$.scratch'), json_extract(body, '$.clock') FROM journal WHERE seq = 1"
            ).fetchone()
        return "scratch" if row and row[0] else str(row[1]) if row and row[1] else "real"

    def clock_behind(self) -> tuple[str, str] | None:
        """What the clock says and what the journal had reached, where the clock is behind; in a real shop alone."""
        at = self._session.moment()
        with self._session.reading() as db:
            last = clock_back.behind(db, at)
        return (clock_back.words(at), clock_back.words(last)) if last and self.clock() != "scratch" else None

    def begin_day(self) -> bool:
        """Write the row of a day that begins, signed: what is kept of it elsewhere shows all days before.

        Whether it was written: without a key of this login that signed before it would show nothing.
        """
        if self._session.own_key() is None:
            return False
        with self._session.writing() as db:
            rows = journal.head(db)[0]
            tickets, signed = db.execute("SELECT count(*), coalesce(sum(status = 'signed'), 0) FROM ticket").fetchone()
            self._session.append_signed(signed_heads.DAY, {"rows": rows, "tickets": tickets, "signed": signed})
        return True

    def sign_with(self, own_key: Callable[[], Signer | None]) -> None:
        """Tell how the key of this login is found that signed for the shop before."""
        self._session.own_key = own_key

    def restored_from(self, seq: int) -> int | None:
        """The last row of the copy whose restore lost a row of that number; ``None`` where none did."""
        with self._session.reading() as db:
            found = signed_heads.lost_in_restore(db, seq)
        return found[1] if found else None

    def note_look(self, numbers: Sequence[int], what: str, by: str) -> None:
        """Write down that somebody was shown all that is kept of a customer."""
        with self._session.writing(of_looks=True):
            body = {"tickets": list(numbers), "what": what}
            self._session.append("look", body, person=self._session.person(by))
