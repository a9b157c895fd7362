"""Signed documents from elsewhere: proved by a known shop, refused where changed, else copies that say so."""

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from support.clock import Clock
from support.made_shops import filled_shop
from ticket.cli.main import main
from ticket.job.errors import ConflictError, InputError
from ticket.job.ticket import Customer, Vehicle
from ticket.job.ticket_document import to_document
from ticket.scratch_shop import fill
from ticket.shop.changing import amend_ticket, correct_header, load_documents, sign_ticket
from ticket.shop.opening import Shop
from ticket.shop.papers import paper
from ticket.shop.reading import ticket_of, unanswered


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    with filled_shop(tmp_path / "theirs.db", one_signed, "Ona Writer") as opened:
        yield opened


def one_signed(shop: Shop) -> None:
    fill(shop)
    sign_ticket(shop, 1020, overruled={gap.id: "waits" for gap in unanswered(shop, 1020)})


@pytest.fixture
def here(tmp_path: Path) -> Iterator[Shop]:
    with Shop.open(tmp_path / "ours.db", "K. Orlo", now=Clock()) as opened:
        yield opened


def document(shop: Shop, number: int = 1020) -> dict[str, Any]:
    ticket = shop.store.ticket(number)
    proof = shop.store.proofs.document_proof(ticket)
    assert proof is not None
    return to_document(ticket) | {"proof": proof}


def loaded(here: Shop, data: Any) -> Any:
    load_documents(here, [("d.json", json.dumps(data))])
    return here.store.ticket(data["number"])


def trust(here: Shop, shop: Shop) -> None:
    for told in shop.store.proofs.public_keys().values():
        here.store.proofs.trust(told["public"], "Wrenfold Vehicle Repair", "K. Orlo")


def test_a_known_shops_signature_proves_its_document(shop: Shop, here: Shop) -> None:
    trust(here, shop)
    ticket = loaded(here, document(shop))
    assert ticket.elsewhere.proof == "verified"
    shown = " ".join(str(paper(here, 1020, "customer", "text")).split())
    assert "another shop under" in shown
    assert "that shop’s signature was proved" in shown
    assert "UNVERIFIED" not in shown
    assert here.store.audit(deep=True).ok


def test_a_corrected_header_is_proved_along_with_what_was_signed(shop: Shop, here: Shop) -> None:
    header = ticket_of(shop, 1020).header
    right = replace(header, vehicle=Vehicle("Corvane Alder", plate="RKM 318"), customer=Customer("Ada Fenn"))
    correct_header(shop, 1020, right, "misread")
    trust(here, shop)  # the key that corrected, which may be another than the one that signed
    data = document(shop)
    ticket = loaded(here, data)
    assert ticket.elsewhere.proof == "verified"
    assert ticket.corrections[0].now.vehicle.plate == "RKM 318"
    data["corrections"][0]["was"]["vehicle"]["plate"] = "RKM 319"
    with pytest.raises(InputError, match="not what was signed"):
        loaded(here, data | {"number": 9})


@pytest.mark.parametrize("amended", [False, True])
def test_an_unknown_shops_document_is_an_unverified_copy_and_every_paper_says_so(
    shop: Shop, here: Shop, amended: bool
) -> None:
    if amended:
        amend_ticket(shop, 1020, "note: the old part is in the boot", "left out")
    ticket = loaded(here, document(shop))
    assert ticket.elsewhere.proof == "unverified"
    for reader in ("customer", "payer", "shop"):
        for form in ("text", "markdown", "html"):
            shown = " ".join(str(paper(here, 1020, reader, form)).split())
            assert "UNVERIFIED COPY. Its document says it was signed by “Ona Writer” under" in shown
            assert "Signed by Ona Writer on" not in shown
    assert here.store.audit(deep=True).ok


def test_a_document_without_a_proof_is_unverified_too(shop: Shop, here: Shop) -> None:
    data = document(shop)
    del data["proof"]
    assert loaded(here, data).elsewhere.proof == "unverified"
    bare = {name: value for name, value in data.items() if name not in ("seal", "digest")} | {"number": 7}
    ticket = loaded(here, bare)
    assert ticket.elsewhere.proof == "unverified"
    assert "UNVERIFIED COPY" in str(paper(here, 7, "customer", "text"))


def test_this_shops_own_document_is_here_already(shop: Shop) -> None:
    data = document(shop)
    with pytest.raises(ConflictError, match="was signed in this shop and is here already"):
        load_documents(shop, [("d.json", json.dumps(data))])


def _changed(value: Any) -> list[Any]:
    if isinstance(value, bool):
        return [not value]
    if isinstance(value, int):
        return [value + 1]
    if value is None:
        return [1]
    return [value[:-1] + ("0" if value[-1:] != "0" else "1"), value + " "] if isinstance(value, str) else []


def _single_changes(value: Any, way: tuple[Any, ...] = ()) -> Iterator[tuple[tuple[Any, ...], Any]]:
    """Every leaf of a document changed, and every field of an object taken away."""
    if isinstance(value, dict):
        for name, item in value.items():
            yield (*way, name), ...
            yield from _single_changes(item, (*way, name))
    elif isinstance(value, list):
        for i, item in enumerate(value):
            yield from _single_changes(item, (*way, i))
    else:
        for new in _changed(value):
            yield way, new


def _with(data: Any, way: tuple[Any, ...], new: Any) -> Any:
    copy = json.loads(json.dumps(data))
    at = copy
    for step in way[:-1]:
        at = at[step]
    if new is ...:
        del at[way[-1]]
    else:
        at[way[-1]] = new
    return copy


@pytest.mark.slow
def test_every_single_change_of_a_proved_document_is_refused_or_marked(shop: Shop, here: Shop) -> None:
    """Refused where the proof no longer leads to it; without a proof it is unverified, never verified."""
    from ticket.job.errors import DataError
    from ticket.job.ticket_document import from_document
    from ticket.store.document_proof import check

    data = document(shop)
    assert check(from_document(data), data) is not None
    tried = 0
    for way, new in _single_changes(data):
        if way in (("proof",), ("digest",)) or way[0] == "digest":
            continue  # without its proof it is an unverified copy; the digest is for programs that read no proofs
        changed = _with(data, way, new)
        try:
            ticket = from_document(changed)
        except DataError:
            continue  # no document at all any more
        tried += 1
        try:
            found = check(ticket, changed)
        except DataError:
            continue
        same = replace(ticket, elsewhere=None) == replace(from_document(data), elsewhere=None)
        assert same, way
        assert found == check(from_document(data), data), way
    assert tried > 150


def test_a_changed_document_is_refused_in_one_sentence(
    shop: Shop, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = document(shop)
    data["signed_by"] = "Aud Orra"
    (tmp_path / "d.json").write_text(json.dumps(data))
    assert main(["load", str(tmp_path / "d.json"), "--db", str(tmp_path / "new.db")]) == 2
    assert "what it says is not what was signed; nothing was loaded" in capsys.readouterr().err
    assert not (tmp_path / "new.db").exists()


def test_keys_of_other_shops_are_taken_in_by_the_command(
    shop: Shop, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = str(tmp_path / "ours.db")
    assert main(["new", "--db", path]) == 0
    (told,) = shop.store.proofs.public_keys().values()
    assert main(["shop", "trust", told["public"], "Wrenfold", "--db", path]) == 0
    assert "Wrenfold" in capsys.readouterr().out
    assert main(["shop", "trust", "abc", "Wrenfold", "--db", path]) == 2
    with Shop.open(Path(path), "K. Orlo", now=Clock()) as opened, pytest.raises(InputError, match="is no public key"):
        opened.store.proofs.trust("no key", "x", "K. Orlo")
