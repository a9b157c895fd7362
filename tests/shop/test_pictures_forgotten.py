"""Pictures go with the customer they show: only theirs, only where the journal says so, and nothing else breaks."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from support.clock import Clock
from support.pictures import as_bytes, scene, write_photo
from ticket.job.errors import NotFoundError
from ticket.job.ticket import Customer, Header, Vehicle
from ticket.shop.changing import add_lines, new_ticket, sign_ticket, strike_entry
from ticket.shop.opening import Shop
from ticket.shop.papers import paper
from ticket.shop.reading import story_of, ticket_of, unanswered
from ticket.store.driver import Error

NAMES = ("Zelda Quimby", "Ivo Lanner")


@pytest.fixture
def shop(database: Path, tmp_path: Path) -> Iterator[Shop]:
    """Two customers with a ticket each: a picture of each alone, one struck again, and one that stands on both."""
    files = [write_photo(tmp_path, f"{i}.jpg", as_bytes(scene(60 + i, 50))) for i in range(4)]
    with Shop.open(database, "K. Orlo", now=Clock()) as opened:
        for at, name in enumerate(NAMES):
            number = new_ticket(
                opened, Header(Vehicle("Corvane Petrel", "", f"GRN {at}"), Customer(name, f"555-01{at}7"))
            )
            add_lines(opened, number, f"says: horn is silent\nphoto: {files[at]}; horn\nphoto: {files[2]}; yard")
            if not at:
                add_lines(opened, number, f"photo: {files[3]}; plate")
                strike_entry(opened, number, 4)
            sign_ticket(opened, number, overruled={gap.id: "waits" for gap in unanswered(opened, number)})
            paper(opened, number, "customer", "text")
        yield opened


def held(shop: Shop) -> int:
    return int(shop.store._session.db.execute("SELECT count(*) FROM picture").fetchone()[0])


def test_the_pictures_of_one_customer_go_and_all_else_stays_proved(shop: Shop) -> None:
    erasing = shop.store.proofs.erasing
    plan = erasing.plan(customer=NAMES[0])
    own = {str(entry.fact.picture) for entry in ticket_of(shop, 1).entries if entry.kind == "photo"}  # type: ignore[attr-defined]
    both = {str(entry.fact.picture) for entry in ticket_of(shop, 2).entries if entry.kind == "photo"}  # type: ignore[attr-defined]
    assert set(plan.pictures) == own - both
    assert len(plan.pictures) == 2
    kept = b"".join(shop.store.picture(digest).content for digest in both)
    contents = [shop.store.picture(digest).content for digest in plan.pictures]
    pieces = [one[at : at + 60] for one in contents for at in range(0, len(one), 60) if one[at : at + 60] not in kept]
    assert len(pieces) >= 2, "beyond the tables that every JPEG begins with"
    assert held(shop) == 4
    erasing.carry_out(plan, "asked for", "K. Orlo", set())
    assert held(shop) == 2
    found = shop.store.audit(deep=True)
    assert found.ok, found.differences
    for digest in plan.pictures:
        with pytest.raises(NotFoundError, match="is not in this shop"):
            shop.store.picture(digest)
    raw = b"".join(path.read_bytes() for path in shop.store.path.parent.iterdir() if path.is_file())
    assert not [piece for piece in pieces if piece in raw]
    for number in (1, 2):
        assert story_of(shop, number, "shop").sections
        for form in ("text", "html"):
            assert paper(shop, number, "shop", form)


def test_a_picture_that_went_without_the_journal_is_still_named(shop: Shop) -> None:
    db = shop.store._session.db
    with pytest.raises(Error, match="a picture stays as it was taken"):
        db.execute("DELETE FROM picture")
    db.execute("DROP TRIGGER picture_keep")
    db.execute("DELETE FROM picture WHERE rowid = (SELECT min(rowid) FROM picture)")
    assert any("is missing" in one.says for one in shop.store.audit().differences)
