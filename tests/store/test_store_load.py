"""Whole tickets in and out: nothing lost, all or nothing."""

import json
import tempfile
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from store_bench import KIM, MORNING, fill, kept, open_store

from support.tickets import tickets
from ticket.job.entry import Entry
from ticket.job.errors import ConflictError, DataError, InputError
from ticket.job.kinds import Note
from ticket.job.ticket import Elsewhere, Ticket
from ticket.job.ticket_document import from_document, to_document
from ticket.store import driver, state
from ticket.store.asked import Query
from ticket.store.store import NewEntry


@pytest.mark.slow
@settings(max_examples=30)
@given(st.lists(tickets(), min_size=1, max_size=2))
def test_a_loaded_ticket_is_the_same_ticket(drawn: list[Ticket]) -> None:
    """By its document, both ways; a signed one carries the seal of this shop, which an audit proves."""
    given_tickets = [replace(ticket, number=10 + i) for i, ticket in enumerate(drawn)]
    with tempfile.TemporaryDirectory() as folder, open_store(Path(folder, "shop.db")) as store:
        store.load([from_document(to_document(ticket)) for ticket in given_tickets], KIM, "drawn.json")
        for ticket in given_tickets:
            loaded = store.ticket(ticket.number)
            assert replace(loaded, seal="") == replace(from_document(to_document(ticket)), seal="")
            assert (loaded.elsewhere == Elsewhere(ticket.seal, "yes")) == (ticket.status == "signed")
            assert bool(loaded.seal) == (ticket.status == "signed")
            assert loaded.seal != ticket.seal or not ticket.seal
        assert store.audit(deep=True).ok


def test_a_ticket_travels_to_another_shop_and_goes_on_there(tmp_path: Path) -> None:
    with open_store(tmp_path / "one.db") as one, open_store(tmp_path / "two.db", seed=3) as two:
        fill(one)
        one.sign(1, one.ticket(1).rev, KIM)
        one.amend(1, [NewEntry(Note(text="seal came"))], "news", KIM)
        assert two.load([one.ticket(1)], KIM, "one.json") == (1,)
        again = two.ticket(1)
        assert again.entries == one.ticket(1).entries
        assert (again.closed, again.signed_by) == (one.ticket(1).closed, KIM)
        assert again.seal != one.ticket(1).seal
        two.amend(1, [NewEntry(Note(text="fitted here"))], "continued", KIM)
        assert two.open_ticket(again.header, KIM) == 2
        assert two.of_vehicle(2) == (1,)
        assert two.audit(deep=True).ok


def test_a_signature_from_elsewhere_is_kept_with_what_its_document_tells(tmp_path: Path) -> None:
    """A change of the file after it was written out is told; spaces and the order of fields are none."""
    with open_store(tmp_path / "one.db") as one:
        fill(one)
        seal = one.sign(1, one.ticket(1).rev, KIM)
        document = to_document(one.ticket(1))
    again = json.loads(json.dumps(dict(reversed(document.items())), indent=3))
    changed = json.loads(json.dumps(document))
    changed["entries"][0]["fact"]["text"] += " and rattles"
    bare = {name: item for name, item in document.items() if name != "digest"}
    for at, (held, fits) in enumerate(((again, "yes"), (changed, "no"), (bare, "unknown"))):
        with open_store(tmp_path / f"shop{at}.db", seed=at) as store:
            store.load([from_document(held)], KIM, "one.json")
            here = store.ticket(1)
            assert here.elsewhere == Elsewhere(seal, fits)
            assert store.audit(deep=True).ok
            further = from_document(to_document(here))
            assert further.elsewhere == Elsewhere(here.seal, "yes")
            with pytest.raises(driver.sqlite3.Error, match="stays as it was loaded"):
                store._session.db.execute("UPDATE ticket SET was_fits = 'yes', was_seal = 'x'")
    with pytest.raises(DataError, match="digest: expected text"):
        from_document(document | {"digest": 5})


def test_loading_is_all_or_nothing(tmp_path: Path) -> None:
    with open_store(tmp_path / "shop.db") as store:
        fill(store)
        good = Ticket(number=7, opened=MORNING)
        note = Entry(1, Note(text="x"), KIM, MORNING)
        before = kept(store)
        for bad, error, reason in (
            (Ticket(number=1, opened=MORNING), ConflictError, "there is a ticket 1 already"),
            (good, ConflictError, "there is a ticket 7 already"),
            (Ticket(number=2**60, opened=MORNING), InputError, "cannot be a ticket's number"),
            (Ticket(number=8, opened=MORNING, rev=0), InputError, "cannot be its revision"),
            (Ticket(number=8, opened=MORNING.replace(tzinfo=None)), InputError, "needs a zone"),
            (Ticket(number=8, opened=MORNING, entries=(note, note)), ConflictError, "has an entry 1 already"),
            (Ticket(number=8, opened=MORNING, entries=(replace(note, no=0),)), InputError, "number of an entry"),
            (Ticket(number=8, opened=MORNING, entries=(replace(note, concern="I"),)), InputError, "no concern"),
            (Ticket(number=8, opened=MORNING, entries=(replace(note, replaces=-1),)), InputError, "cannot replace"),
        ):
            with pytest.raises(error, match=reason):
                store.load([good, bad], KIM, "mixed.json")
            assert kept(store) == before
        assert store.load([good], KIM, "good.json") == (7,)


def test_the_first_question_after_a_load_reads_no_ticket_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with open_store(tmp_path / "one.db") as one, open_store(tmp_path / "two.db", seed=3) as two:
        for _ in range(3):
            fill(one)
        given_tickets = [replace(one.ticket(1), number=10 + i) for i in range(30)]
        two.load(given_tickets, KIM, "many.json")
        assert two.check_index() == [], "what was written at once is what the entries say"
        monkeypatch.setattr(state, "load", lambda *_: pytest.fail("a ticket was read again"))
        word = next(word for entry in given_tickets[0].entries for word in getattr(entry.fact, "text", "").split())
        assert two.find(Query.of(words=(word,), limit=50)).total == 30
        assert two.refresh_words() == 0
