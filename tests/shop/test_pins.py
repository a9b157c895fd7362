"""PINs: who must type one for what, what a wrong one costs, and what shows that somebody went round them."""

import os
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from support.pins import PIN, answering, make_cheap, with_pin
from ticket.job.errors import ConflictError, InputError, PinNeededError
from ticket.job.ticket import Person
from ticket.machine import pin_hash
from ticket.shop.changing import add_lines, amend_ticket, new_ticket, set_header, sign_ticket, strike_entry
from ticket.shop.opening import Shop, add_person, set_setting
from ticket.shop.papers import paper
from ticket.shop.reading import audit_shop, ticket_of, unanswered
from ticket.shop.settings import put, recover, reset, set_pin, take_away
from ticket.store.pins import Pins
from ticket.store.signed_heads import Head


class Hand:
    """A clock that stands until it is moved."""

    def __init__(self) -> None:
        self.at = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.at

    def wait(self, seconds: float) -> None:
        self.at += timedelta(seconds=seconds)


@pytest.fixture
def hand() -> Hand:
    return Hand()


@pytest.fixture
def bay(database: Path, hand: Hand, monkeypatch: pytest.MonkeyPatch) -> Iterator[Shop]:
    make_cheap(monkeypatch)
    with Shop.open(database, "Aud Orra", now=hand) as shop:
        add_person(shop, Person("Aud Orra"))
        add_person(shop, Person("Ona Writer", "writer"))
        add_person(shop, Person("Kim Bay", "technician"))
        yield shop


def job(shop: Shop) -> int:
    number = new_ticket(shop)
    add_lines(shop, number, "says: horn is silent\nfound: horn fuse good")
    return number


def sign(shop: Shop, number: int) -> str:
    return sign_ticket(shop, number, overruled={gap.id: "walked in" for gap in unanswered(shop, number)})


def rows(shop: Shop, verb: str) -> list[str]:
    return [event.summary for event in shop.store.history() if event.verb == verb]


def held_tries(shop: Shop, name: str) -> int:
    with shop.store._session.reading() as db:
        return int(
            db.execute("SELECT tries FROM pin JOIN person ON id = person_id WHERE name = ?", [name]).fetchone()[0]
        )


def test_without_any_pin_all_is_open_and_a_name_is_a_claim(bay: Shop) -> None:
    number = job(bay)
    sign(bay, number)
    set_setting(bay, "currency", "€")
    add_person(bay, Person("Dov Ashgrave", "auditor"))
    for reader in ("customer", "shop"):
        assert "Signed by Aud Orra (name not checked) on" in " ".join(str(paper(bay, number, reader, "text")).split())
    found = audit_shop(bay.store.path)
    assert found.ok
    assert "1 signature is under a name that is a claim: no PIN was asked" in found.remarks


def test_the_first_pin_makes_the_owner_and_a_signature_under_it_is_no_claim(bay: Shop) -> None:
    code = with_pin(bay)
    assert [len(group) for group in code.split("-")] == [5] * 6
    assert {one.name: one.role for one in bay.people}["Aud Orra"] == "owner"
    number = job(bay)
    with pytest.raises(PinNeededError, match=r"Signing needs Aud Orra's PIN: run it in a terminal, or use --pin-fd\."):
        sign(bay, number)
    assert not ticket_of(bay, number).seal
    bay.gate.ask = answering(PIN)
    sign(bay, number)
    words = " ".join(str(paper(bay, number, "customer", "text")).split())
    assert "Signed by Aud Orra on" in words
    assert "not checked" not in words
    amend_ticket(bay, number, "found: horn fuse blown", "read the wrong one")
    found = audit_shop(bay.store.path, deep=True)
    assert (found.ok, found.remarks) == (True, ())


def test_typing_striking_and_reading_never_ask(bay: Shop) -> None:
    with_pin(bay)
    bay.person = "Kim Bay"
    number = job(bay)
    strike_entry(bay, number, 2)
    set_header(bay, number, ticket_of(bay, number).header)
    assert paper(bay, number, "customer", "text")
    assert bay.store.numbers() == [number]


@pytest.mark.parametrize(
    ("who", "key", "typed", "why"),
    [
        ("Kim Bay", "setting/currency", "€", "is for a writer or an owner: Kim Bay is a technician here"),
        ("Ona Writer", "person/Kim Bay", "owner", "is for an owner: Ona Writer is a writer here"),
        ("Ona Writer", "setting/pin_minutes", "60", "is for an owner: Ona Writer is a writer here"),
        ("Ona Writer", "setting/currency", "€", "Ona Writer has none: an owner sets it with ticket shop pin"),
        ("Nobody Known", "term/+", "VGT = turbo with moving vanes", "Nobody Known is a technician here"),
    ],
)
def test_a_role_may_what_it_may(bay: Shop, who: str, key: str, typed: str, why: str) -> None:
    with_pin(bay)
    before, bay.person = bay.store.settings(), who
    bay.gate.ask = answering(PIN, PIN)
    with pytest.raises(InputError, match=why):
        put(bay, key, typed)
    assert bay.store.settings() == before


def test_a_pin_is_good_for_some_minutes_at_this_terminal_and_with_none_for_one_action(bay: Shop, hand: Hand) -> None:
    with_pin(bay)
    bay.gate.ask = answering(PIN, PIN, PIN)
    set_setting(bay, "currency", "€")
    hand.wait(299)
    bay.gate.ask = None
    set_setting(bay, "currency", "$")
    hand.wait(2)
    with pytest.raises(PinNeededError):
        set_setting(bay, "currency", "€")
    bay.gate.ask = answering(PIN)
    set_setting(bay, "pin_minutes", 0)
    hand.wait(4)
    bay.gate.ask = None
    with pytest.raises(PinNeededError):
        set_setting(bay, "currency", "€")


def test_an_owner_sets_anybodys_pin_and_everybody_their_own_behind_the_old_one(bay: Shop) -> None:
    with_pin(bay)
    bay.gate.ask = answering(PIN)
    assert set_pin(bay, "Kim Bay", "7731ab").code == "", "only the first one comes with a code"
    bay.person, bay.gate.ask = "Kim Bay", answering("7731ab")
    set_pin(bay, "Kim Bay", "99887766")
    bay.gate.ask = answering("7731ab")
    with pytest.raises(InputError, match="That is not the PIN of Kim Bay"):
        sign(bay, job(bay))
    with pytest.raises(InputError, match="is for an owner: Kim Bay is a technician"):
        set_pin(bay, "Ona Writer", "123456")
    bay.person, bay.gate.ask = "Ona Writer", answering(PIN)
    with pytest.raises(InputError, match="is for an owner"):
        set_pin(bay, "Ona Writer", "123456")


@pytest.mark.parametrize("pin", ["123", "1" * 6, "12 456", "1234567890123", "", "12345é"])
def test_a_pin_that_is_none_is_refused(bay: Shop, pin: str) -> None:
    with pytest.raises(InputError, match=r"Nothing was changed"):
        with_pin(bay, pin)
    assert not bay.gate.known()


@pytest.mark.parametrize(("tries", "wait"), [(2, 0), (3, 5), (4, 10), (5, 20), (10, 640), (11, 900), (40, 900)])
def test_the_wait_behind_so_many_wrong_ones(bay: Shop, hand: Hand, tries: int, wait: int) -> None:
    with_pin(bay)
    with bay.store._session.writing() as db:
        db.execute("UPDATE pin SET tries = ?, last = ?", [tries, bay.store._session.moment()])
    hand.wait(max(wait - 1, 0))
    if wait:
        with pytest.raises(InputError, match=f"was wrong {tries} times: wait 2 s"):
            bay.gate.unlock("Aud Orra", PIN)
        hand.wait(1)
    bay.gate.unlock("Aud Orra", PIN)


def test_a_clock_that_was_set_back_makes_nobody_wait_for_years(bay: Shop, hand: Hand) -> None:
    with_pin(bay)
    with bay.store._session.writing() as db:
        db.execute("UPDATE pin SET tries = 3, last = '2031-01-01T00:00:00.000Z'")
    with pytest.raises(InputError, match="wait 6 s"):
        bay.gate.unlock("Aud Orra", PIN)


def test_a_try_is_spent_before_its_answer_is_known(bay: Shop) -> None:
    """A process that is killed between the two has spent it: else waits would cost nobody anything."""
    with_pin(bay)
    path = bay.store.path
    for _ in range(3):
        child = os.fork()
        if child == 0:
            try:
                with Shop.open(path, "Aud Orra", now=Hand()) as other:
                    other.store.proofs.pins.begin_try("Aud Orra")
                    os.kill(os.getpid(), 9)
            finally:
                os._exit(1)
        os.waitpid(child, 0)
    assert held_tries(bay, "Aud Orra") == 3
    with pytest.raises(InputError, match="wait"):
        bay.gate.unlock("Aud Orra", PIN)


def test_five_wrong_in_a_row_are_journaled(bay: Shop, hand: Hand) -> None:
    with_pin(bay)
    for _ in range(6):
        hand.wait(900)
        with pytest.raises(InputError):
            bay.gate.unlock("Aud Orra", "000001")
    assert rows(bay, "shop.pin")[1:] == ["a PIN was typed wrong 5 times in a row"]


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE pin SET hash = (SELECT hash FROM pin WHERE person_id = 2) WHERE person_id = 3",
        "UPDATE pin SET salt = zeroblob(16) WHERE person_id = 3",
        "DELETE FROM pin WHERE person_id = 3",
    ],
)
def test_a_pin_swapped_behind_the_journal_opens_nothing_and_is_found(bay: Shop, change: str) -> None:
    with_pin(bay)
    bay.gate.ask = answering(PIN)
    set_pin(bay, "Ona Writer", "553311")
    with bay.store._session.writing() as db:
        assert db.execute(change).rowcount == 1
    bay.person = "Ona Writer"
    for pin in (PIN, "553311"):
        bay.gate.ask = answering(pin)
        with pytest.raises(ConflictError, match="is not what was set: run ticket audit"):
            set_setting(bay, "currency", "€")
    found = audit_shop(bay.store.path)
    assert [str(one) for one in found.differences] == ["PIN of person 3: is not the one that was set"]


def test_an_emptied_table_makes_no_shop_without_pins(bay: Shop) -> None:
    with_pin(bay)
    with bay.store._session.writing() as db:
        db.execute("DELETE FROM pin")
    bay.person, bay.gate.ask = "Kim Bay", answering("123456")
    with pytest.raises(InputError, match="is for a writer or an owner"):
        set_setting(bay, "currency", "€")
    with pytest.raises(InputError, match="is for an owner"):
        set_pin(bay, "Kim Bay", "123456")
    assert not audit_shop(bay.store.path).ok


def test_the_recovery_code_stands_in_once_for_an_owners_pin(bay: Shop) -> None:
    code = with_pin(bay)
    with pytest.raises(InputError, match="not the recovery code"):
        recover(bay, code[:-1] + ("A" if code[-1] != "A" else "B"), "660066")
    again = recover(bay, code.lower().replace("-", " "), "660066").code
    assert again != code
    with pytest.raises(InputError, match="not the recovery code"):
        recover(bay, code, "111222")
    bay.gate.ask = answering("660066")
    set_setting(bay, "currency", "€")
    bay.person = "Kim Bay"
    with pytest.raises(InputError, match="sets an owner's PIN, and Kim Bay is none"):
        recover(bay, again, "121212")
    assert audit_shop(bay.store.path).ok


def test_a_reset_is_told_for_thirty_days_and_stays_in_the_journal(bay: Shop, hand: Hand) -> None:
    with_pin(bay)
    reset(bay)
    assert not bay.gate.known()
    set_setting(bay, "currency", "€")
    assert bay.gate.reset_words().startswith("All PINs of this shop were taken away on 2026-03-02")
    hand.wait(30 * 86400 + 1)
    assert bay.gate.reset_words() == ""
    assert any("took all PINs away without one being typed" in one for one in audit_shop(bay.store.path).remarks)


def test_only_the_login_of_the_file_may_reset(bay: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    with_pin(bay)
    monkeypatch.setattr(os, "geteuid", lambda: 54321)
    with pytest.raises(InputError, match="belongs to another login"):
        reset(bay)


def test_the_last_owners_pin_stays_while_others_have_one(bay: Shop) -> None:
    with_pin(bay)
    bay.gate.ask = answering(PIN)
    set_pin(bay, "Ona Writer", "553311")
    bay.gate.ask = answering(PIN, PIN, PIN)
    with pytest.raises(InputError, match="the last owner with a PIN"):
        take_away(bay, "Aud Orra")
    take_away(bay, "Ona Writer")
    take_away(bay, "Aud Orra")
    assert not bay.gate.known()
    assert audit_shop(bay.store.path).ok


def test_what_is_kept_of_a_pin_is_what_the_standard_recommends(bay: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """RFC 9106, section 4: Argon2id with t=3 and 64 MiB where memory is short; tag of 256, salt of 128 bits.

    Its string form is that of the reference implementation: parameters, salt and tag in base64 without padding.
    """
    monkeypatch.undo()
    kept = pin_hash.hashed(PIN, bay.store.path)
    _, kind, version, cost, salt, tag = kept.split("$")
    assert (kind, version, cost) == ("argon2id", "v=19", "m=65536,t=3,p=1")
    assert (len(salt), len(tag)) == (22, 43)
    assert pin_hash.fits(kept, PIN, bay.store.path)
    assert not pin_hash.fits(kept, PIN + "0", bay.store.path)


def test_no_copy_of_a_shop_holds_what_its_pins_are_mixed_with(bay: Shop, tmp_path: Path) -> None:
    with_pin(bay)
    pepper = pin_hash.pepper_file(bay.store.path).read_bytes()
    assert pin_hash.pepper_file(bay.store.path).stat().st_mode & 0o777 == 0o600
    copy = tmp_path / "copies" / "copy.db"
    copy.parent.mkdir()
    bay.store.backup(copy)
    assert pepper not in copy.read_bytes()
    with Shop.open(copy, "Aud Orra", now=Hand()) as other:
        other.gate.ask = answering(PIN)
        with pytest.raises(InputError, match=r"copy\.db\.pepper is missing"):
            set_setting(other, "currency", "€")


def test_heads_and_papers_name_how_the_signer_was_known(bay: Shop) -> None:
    from ticket.store.kept_heads import record_verdict

    with_pin(bay)
    bay.gate.ask = answering(PIN)
    seal = sign(bay, job(bay))
    with bay.store._session.reading() as db:
        head = bay.store.proofs.head()
        assert isinstance(head, Head)
        says = record_verdict(db, head.seq, head.hash).says
        assert "signed by Aud Orra on March 2, 2026" in says
        assert says.endswith("PIN asked.")
    assert seal.startswith(f"{head.seq}-")


def test_who_has_a_pin_is_read_from_the_journal(bay: Shop) -> None:
    with_pin(bay)
    pins = Pins(bay.store._session)
    assert list(pins.known().promises) == ["Aud Orra"]
    assert len(pins.known().promises["Aud Orra"]) == 64
