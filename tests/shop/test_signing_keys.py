"""Keys that sign for a shop: another one, one that ends, and who vouches for them."""

import base64
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from support.clock import Clock
from support.pins import PIN, make_cheap, with_pin
from ticket.job.errors import InputError
from ticket.machine.signing_key import keys_folder, new_signer, signer
from ticket.shop.changing import add_lines, new_ticket, sign_ticket
from ticket.shop.opening import Shop
from ticket.shop.reading import signed_head, unanswered
from ticket.shop.signed_papers import signing_for


@pytest.fixture
def shop(database: Path) -> Iterator[Shop]:
    with Shop.open(database, "K. Orlo", now=Clock()) as opened:
        yield opened


def sign(shop: Shop) -> str:
    number = new_ticket(shop)
    add_lines(shop, number, "says: horn is silent")
    return sign_ticket(shop, number, overruled={gap.id: "waits" for gap in unanswered(shop, number)})


def own(shop: Shop) -> str:
    found = signer(shop.store.proofs.uid(), make=False, ended=shop.store.proofs.ended_keys())
    return found.id if found else ""


def test_a_new_key_signs_from_then_on_and_the_old_one_vouches_for_it(shop: Shop) -> None:
    sign(shop)
    first = own(shop)
    proofs = shop.store.proofs
    old = signer(proofs.uid(), make=False)
    new = new_signer(proofs.uid())
    proofs.add_key(new, old, shop.person, asked=False)
    assert own(shop) == new.id != first
    told = proofs.public_keys()[new.id]
    # length and bytes of each part, as the design says: checked with the library itself
    parts = (b"ticket-key-1", proofs.uid().encode(), new.id.encode(), new.public.encode())
    words = b"".join(len(part).to_bytes(8, "big") + part for part in parts)
    public = base64.b64decode(proofs.public_keys()[first]["public"])
    Ed25519PublicKey.from_public_bytes(public).verify(base64.b64decode(told["vouched"]["sig"]), words)
    sign(shop)
    found = shop.store.audit(deep=True)
    assert found.ok
    assert not [one for one in found.remarks if "vouched" in one]


def test_an_ended_key_signs_no_more_and_what_it_signed_stays_proved(shop: Shop) -> None:
    sign(shop)
    first = own(shop)
    shop.store.proofs.end_key("-".join((first[:4], first[4:8])), "lost", shop.person)
    assert own(shop) == "", "the file is there, and is not taken"
    head = signed_head(shop)
    assert head is not None
    assert head.key == ""
    sign(shop)
    assert own(shop) not in ("", first)
    assert shop.store.audit(deep=True).ok
    remarks = " ".join(shop.store.audit().remarks)
    assert "that no older key and no owner vouched for" in remarks


def test_a_row_signed_with_an_ended_key_is_named(shop: Shop) -> None:
    sign(shop)
    first = own(shop)
    shop.store.proofs.end_key(first, "leaver", shop.person)
    used = signer(shop.store.proofs.uid(), make=False)
    number = new_ticket(shop)
    shop.store.sign(number, shop.store.ticket(number).rev, shop.person, {}, replace(signing_for(shop, {}), signer=used))
    assert any("is of a key that was ended before" in one.says for one in shop.store.audit().differences)


@pytest.mark.parametrize(
    ("name", "why", "told"),
    [("zzzz", "lost", "names no key"), ("", "lost", "names no key"), ("OWN", "bored", "Say why the key ends")],
)
def test_what_cannot_be_ended_is_refused(shop: Shop, name: str, why: str, told: str) -> None:
    sign(shop)
    with pytest.raises(InputError, match=told):
        shop.store.proofs.end_key(own(shop) if name == "OWN" else name, why, shop.person)
    shop.store.proofs.end_key(own(shop), "old", shop.person)
    with pytest.raises(InputError, match="ended before"):
        shop.store.proofs.end_key(next(iter(shop.store.proofs.public_keys())), "old", shop.person)


def test_a_voucher_that_does_not_fit_is_named(shop: Shop) -> None:
    sign(shop)
    proofs = shop.store.proofs
    old = signer(proofs.uid(), make=False)
    assert old is not None
    new, other = new_signer(proofs.uid()), new_signer(proofs.uid())
    with shop.store._session.writing():
        sig = base64.b64encode(old.sign(b"something else")).decode()
        shop.store._session.know_key(new, 1, "K. Orlo", "replaced", {"key": old.id, "sig": sig})
        shop.store._session.know_key(other, 1, "K. Orlo", "replaced", {"key": "none", "sig": sig})
    wrong = [one.says for one in shop.store.audit().differences]
    assert len([one for one in wrong if "vouches for it; that signature does not fit" in one]) == 2


def test_an_owners_pin_vouches_for_the_key_of_another_login(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    make_cheap(monkeypatch)
    sign(shop)
    with_pin(shop)
    shop.gate.ask = lambda _: PIN
    for path in keys_folder().glob("*.key"):
        path.unlink()
    sign(shop)
    assert shop.store.proofs.public_keys()[own(shop)]["vouched"] == {"pin": "K. Orlo"}
    assert not [one for one in shop.store.audit().remarks if "vouched" in one]
