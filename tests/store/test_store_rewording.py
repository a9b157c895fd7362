"""Rewordings in the journal: undone, redone, signed, erased, carried from shop to shop; two writers at one sentence."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from store_bench import KIM, MO, MORNING, fill, open_store

from ticket.job.errors import ConflictError, NotFoundError, SealedError, StoreError
from ticket.job.reworded_sentence import Basis, Merged, Rewording
from ticket.job.ticket_document import from_document, to_document
from ticket.store.blanking import blank
from ticket.store.store import Store

WORDS = "Ada's fan roared on every hill."


def wording(text: str = WORDS, original: str = "The fan roared.", no: str = "1") -> Rewording:
    return Rewording("customer", original, text, "", MORNING, (Basis(no, "0123456789abcdef"),))


def kept(store: Store, number: int = 1) -> list[tuple[str, str]]:
    return [(one.text, one.by) for one in store.ticket(number).rewordings]


@pytest.fixture
def store(tmp_path: Path) -> Store:
    opened = open_store(tmp_path / "shop.db")
    fill(opened)
    return opened


def test_a_rewording_is_one_deed_that_can_be_taken_back(store: Store) -> None:
    rev = store.ticket(1).rev
    made = store.reword(1, wording(), KIM)
    assert (made.by, made.text) == (KIM, WORDS)
    assert made.at > MORNING
    assert store.ticket(1).rewordings == (made,)
    assert store.ticket(1).rev == rev + 1
    assert store.history(1)[-1].summary == "reworded a sentence for the customer"
    again = store.reword(1, wording("The fan was loud."), MO, expected=made)
    assert kept(store) == [("The fan was loud.", MO)]
    assert store.undo(1, KIM) == "reworded a sentence for the customer"
    assert store.ticket(1).rewordings == (made,)
    store.redo(1, KIM)
    assert store.ticket(1).rewordings == (again,)
    store.unreword(1, again, KIM)
    assert kept(store) == []
    assert store.history(1)[-1].summary == "took back a rewording for the customer"
    with pytest.raises(NotFoundError, match="no such rewording any more"):
        store.unreword(1, again, KIM)
    store.undo(1, KIM)
    assert store.ticket(1).rewordings == (again,)
    assert store.audit(deep=True).ok


def test_each_sentence_has_one_rewording(store: Store) -> None:
    one = store.reword(1, wording(), KIM)
    other = store.reword(1, wording("Loud.", original="It was loud."), KIM)
    third = store.reword(1, wording("Loud.", original="It was loud.", no="2"), KIM)
    assert store.ticket(1).rewordings == (one, other, third)
    store.unreword(1, other, KIM)
    assert store.ticket(1).rewordings == (one, third)


def test_two_writers_at_one_sentence_are_both_shown(store: Store, tmp_path: Path) -> None:
    with open_store(tmp_path / "shop.db", seed=3) as elsewhere:
        seen = elsewhere.reword(1, wording("The fan was loud."), MO)
        with pytest.raises(ConflictError, match=r"Mo Vale made it “The fan was loud\.”; yours was “Ada's fan"):
            store.reword(1, wording(), KIM)
        assert kept(store) == [("The fan was loud.", MO)]
        store.unreword(1, seen, KIM)
        with pytest.raises(ConflictError, match="its rewording was taken back"):
            elsewhere.reword(1, wording(), MO, expected=seen)
        elsewhere.reword(1, wording(), MO)
        with pytest.raises(ConflictError, match=r"that sentence was changed by Mo Vale .*nothing was written"):
            store.undo(1, KIM)
    assert store.audit(deep=True).ok


def test_a_signed_ticket_keeps_its_sentences(store: Store) -> None:
    made = store.reword(1, wording(), KIM)
    store.sign(1, store.ticket(1).rev, KIM)
    with pytest.raises(SealedError, match="is signed: its sentences stay as they were signed"):
        store.reword(1, wording("Other words."), KIM, expected=made)
    with pytest.raises(SealedError, match="is signed: its sentences stay"):
        store.unreword(1, made, KIM)
    assert store.ticket(1).rewordings == (made,)
    store._session.db.execute("PRAGMA writable_schema=OFF")
    with pytest.raises(Exception, match="signed: amend instead"):
        store._session.db.execute("DELETE FROM rewording")
    assert store.audit(deep=True).ok


def test_the_chain_holds_no_word_of_it(store: Store) -> None:
    """What is chained are salted digests, so that the words can be erased and the chain still verifies."""
    store.reword(1, wording(), KIM)
    seq, body, words = store._session.db.execute(
        "SELECT seq, body, words FROM journal WHERE verb = 'reword' ORDER BY seq DESC"
    ).fetchone()
    for held in (WORDS, "The fan roared.", "0123456789abcdef"):
        assert held not in body
        assert held in [text for _, text in json.loads(words).values()]
    paths = blank(store._session.db, seq, json.loads(words))
    store._session.append("forget", {"paths": {str(seq): paths}, "reason": "asked for"}, person=1)
    assert not [one for one in store.audit().differences if one.where.startswith("journal")]
    with pytest.raises(ConflictError, match="the words of that deed were blanked"):
        store.undo(1, KIM)


def test_a_change_behind_the_journals_back_is_seen(store: Store) -> None:
    store.reword(1, wording(), KIM)
    store._session.db.execute("UPDATE rewording SET data = replace(data, 'every hill', 'no hill')")
    found = store.audit(deep=True)
    assert not found.ok
    assert found.reason == (
        'ticket 1 rewording 1: differs between table and journal: text is "Ada\'s fan roared on no hill.", the journal'
        ' has "Ada\'s fan roared on every hill."'
    )
    store._session.db.execute("UPDATE rewording SET data = '{}'")
    with open_store(store.path, create=False) as anew, pytest.raises(StoreError, match="ticket 1 cannot be read"):
        anew.ticket(1)


def test_it_travels_with_its_ticket(store: Store, tmp_path: Path) -> None:
    store.reword(1, wording(), KIM)
    store.sign(1, store.ticket(1).rev, KIM)
    document = to_document(store.ticket(1))
    with open_store(tmp_path / "two.db", seed=3) as two:
        two.load([from_document(document)], MO, "one.json")
        assert two.ticket(1).rewordings == store.ticket(1).rewordings
        assert two.audit(deep=True).ok


def test_what_is_cited_merged_and_unproved_is_kept_and_its_words_are_erasable(store: Store) -> None:
    bare = wording()
    full = replace(
        bare, unproved="“Ada” is not typed.", cites=(Basis("2", "fedcba9876543210"),),
        merges=(Merged("It was loud.", (Basis("3", "0011223344556677"),)),),
    )  # fmt: skip
    made = store.reword(1, full, KIM)
    assert (made.unproved, made.cites, made.merges) == (full.unproved, full.cites, full.merges)
    body, words = store._session.db.execute(
        "SELECT body, words FROM journal WHERE verb = 'reword' ORDER BY seq DESC"
    ).fetchone()
    for held in (full.unproved, "It was loud.", "fedcba9876543210", "0011223344556677"):
        assert held not in body
        assert held in [text for _, text in json.loads(words).values()]
    document = to_document(store.ticket(1))
    assert from_document(document).rewordings == store.ticket(1).rewordings
    older = {
        name: item for name, item in document["rewordings"][0].items() if name not in ("cites", "merges", "unproved")
    }
    plain = from_document({**document, "rewordings": [older]})
    assert plain.rewordings[0].text == WORDS, "a document from before still loads"
    assert store.audit(deep=True).ok
