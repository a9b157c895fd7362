"""A signed ticket's papers: the same bytes whatever changes around it, or a new paper that says what it is."""

import json
import random
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from support.clock import Clock
from support.made_shops import filled_shop
from ticket.job.ticket import Header, Person, Vehicle
from ticket.papers.formats import written
from ticket.papers.sheet_record import as_record, from_record, without_sources
from ticket.scratch_shop import fill
from ticket.shop.changing import add_lines, amend_ticket, new_ticket, sign_ticket
from ticket.shop.money import set_prices
from ticket.shop.opening import Shop, add_person, set_setting
from ticket.shop.papers import paper, sheet
from ticket.shop.reading import unanswered
from ticket.store import driver

READERS, FORMS = ("customer", "payer", "shop"), ("text", "markdown", "html")

OTHER_RULES = "US-FL"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Shop]:
    """The demo's shop with its open tickets signed here."""
    with filled_shop(tmp_path / "shop.db", demo_signed, "Ona Writer") as opened:
        yield opened


def demo_signed(shop: Shop) -> None:
    fill(shop)
    for row in shop.store.rows(signed=False):
        reasons = {gap.id: "the customer waits" for gap in unanswered(shop, row.number)}
        sign_ticket(shop, row.number, overruled=reasons)


def signed_here(shop: Shop) -> list[int]:
    return [number for number in shop.store.numbers() if shop.store.proofs.kept_papers(number)]


def papers_of(shop: Shop, number: int) -> dict[tuple[str, str, bool], str | bytes]:
    kept = {one.reader for one in shop.store.proofs.kept_papers(number)}
    return {
        (reader, form, sources): paper(shop, number, reader, form, sources=sources)
        for reader in kept for form in FORMS for sources in (False, True)
    }  # fmt: skip


def _new_person(shop: Shop) -> None:
    add_person(shop, Person("Dov Ashgrav", "writer"))


def _older_visit(shop: Shop) -> None:
    """A visit of the same vehicle, opened before, that is loaded afterwards: it changed four of six papers once."""
    from dataclasses import replace
    from datetime import timedelta

    for number in signed_here(shop):
        ticket = shop.store.ticket(number)
        living = tuple(entry for entry in ticket.entries if entry.kind in ("says", "found"))
        before = replace(
            ticket, number=5000 + number, opened=ticket.opened - timedelta(days=20), status="open", closed=None,
            signed_by="", seal="", entries=living, elsewhere=None, rewordings=(),
        )  # fmt: skip
        shop.store.load([before], shop.person, "older")


def _prices(shop: Shop) -> None:
    held = json.loads(json.loads(shop.store.settings()["prices"]))
    held["details"]["address"] = "1 Other Road"
    set_prices(shop, json.dumps(held))


def _zone(_shop: Shop) -> None:
    import os

    os.environ["TZ"] = "Asia/Tokyo"
    time.tzset()


# Each thing of section 3 of the design that papers rest on, changed.
CHANGES: dict[str, Callable[[Shop], None]] = {
    "name": lambda shop: set_setting(shop, "shop", "Another Garage"),
    "currency": lambda shop: set_setting(shop, "currency", "EUR "),
    "dates": lambda shop: set_setting(shop, "dates", "2026-03-02"),
    "units": lambda shop: set_setting(shop, "units", "metric"),
    "paper size": lambda shop: set_setting(shop, "paper", "A4"),
    "distance": lambda shop: set_setting(shop, "distance", "km"),
    "comeback days": lambda shop: set_setting(shop, "comeback_days", 1),
    "language": lambda shop: set_setting(shop, "language", "es"),
    "zone": lambda shop: set_setting(shop, "zone", "Pacific/Auckland"),
    "zone of the machine": _zone,
    "rules": lambda shop: set_setting(shop, "rules", OTHER_RULES),
    "people": _new_person,
    "prices": _prices,
    "glossary": lambda shop: shop.store.set_shop("glossary", '[["fan drive", "the clutch of the fan"]]', shop.person),
    "codes": lambda shop: shop.store.set_shop("codes", "[]", shop.person),
    "an older visit": _older_visit,
}


@pytest.mark.slow
def test_papers_keep_their_bytes_whatever_changes_around_them(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", "UTC")
    numbers = signed_here(shop)
    assert len(numbers) >= 3
    before = {number: papers_of(shop, number) for number in numbers}
    names = sorted(CHANGES)
    random.Random(3).shuffle(names)
    for name in names:  # one on top of the other
        CHANGES[name](shop)
        shop.refresh()
        assert {number: papers_of(shop, number) for number in numbers} == before, name
    live = [paper(shop, number, "customer", "text", today=True) for number in numbers]
    assert all(made != before[number]["customer", "text", False] for made, number in zip(live, numbers, strict=True))
    assert shop.store.audit(deep=True).ok


def test_a_pdf_of_a_signed_ticket_keeps_its_bytes(shop: Shop) -> None:
    pytest.importorskip("typst")
    number = signed_here(shop)[0]
    before = paper(shop, number, "customer", "pdf")
    for name in ("name", "currency", "people"):
        CHANGES[name](shop)
    assert paper(shop, number, "customer", "pdf") == before


def test_what_is_not_the_signed_paper_says_so(shop: Shop) -> None:
    number = signed_here(shop)[0]
    signed = paper(shop, number, "customer", "text")
    assert isinstance(signed, str)
    record = shop.store.proofs.kept_papers(number)[0].record
    assert record in " ".join(signed.split())
    assert len(record.partition("-")[2]) == 32
    other = " ".join(str(paper(shop, number, "customer", "text", language="es")).split())
    assert "a partir de lo que se firmó; la copia firmada está en el idioma «en»" in other
    assert record in other
    set_setting(shop, "currency", "EUR ")
    set_setting(shop, "rules", OTHER_RULES)
    today = " ".join(str(paper(shop, number, "customer", "text", today=True)).split())
    assert "Not the signed paper. It differs in: currency, rules." in today
    made = str(paper(shop, number, "customer", "text", language="es"))
    assert "EUR" not in made, "what is made anew is made from the settings that were signed under"


def test_an_amendment_is_signed_with_papers_of_its_own(shop: Shop) -> None:
    number = signed_here(shop)[0]
    first = shop.store.proofs.kept_papers(number)[0]
    amend_ticket(shop, number, "note: the old part is in the boot", "it was left out")
    second = shop.store.proofs.kept_papers(number)[0]
    assert second.seq > first.seq
    assert "the old part is in the boot" in str(paper(shop, number, "shop", "markdown"))
    assert shop.store.audit(deep=True).ok


def test_each_thing_is_kept_once(shop: Shop) -> None:
    db = shop.store._session.db
    rows = db.execute("SELECT kind, count(*) FROM kept GROUP BY kind").fetchall()
    assert dict(rows)["prices"] == 1
    assert dict(rows)["settings"] == 1
    sizes = db.execute("SELECT sum(length(data)) FROM paper GROUP BY ticket_id").fetchall()
    assert max(size for (size,) in sizes) < 20_000


@pytest.mark.parametrize("attack", [
    "UPDATE paper SET data = x'00', salt = x'00' WHERE id = 1", "DELETE FROM paper", "DELETE FROM kept",
    "UPDATE kept SET data = x'00'", "INSERT OR REPLACE INTO kept SELECT id, digest, kind, x'00' FROM kept WHERE id = 1",
])  # fmt: skip
def test_what_is_kept_is_guarded(shop: Shop, attack: str) -> None:
    db = shop.store._session.db
    with pytest.raises(driver.Error, match=r"stays as it was|kept already"):
        db.execute(attack)
    db.conn.rollback()


def test_a_changed_paper_is_named_and_never_handed_out(shop: Shop) -> None:
    db = shop.store._session.db
    db.execute("DROP TRIGGER paper_same")
    db.execute(
        "UPDATE paper SET data = (SELECT data FROM paper WHERE reader = 'shop' LIMIT 1) WHERE reader = 'customer'"
    )
    db.conn.commit()
    number = signed_here_raw(db)
    with pytest.raises(Exception, match="a signed paper was changed behind the journal"):
        paper(shop, number, "customer", "text")
    assert any("is not the paper that was signed" in one.says for one in shop.store.audit().differences)


def signed_here_raw(db: "driver.Connection | object") -> int:
    found = db.execute("SELECT t.number FROM paper AS p JOIN ticket AS t ON t.id = p.ticket_id LIMIT 1")  # type: ignore[union-attr]
    return int(found.fetchone()[0])


def test_nothing_is_signed_that_was_changed_behind_the_journal(tmp_path: Path) -> None:
    with Shop.open(tmp_path / "shop.db", "Ona Writer", now=Clock()) as shop:
        number = new_ticket(shop, Header(vehicle=Vehicle("Corvane Alder")))
        add_lines(shop, number, "says: roars\nfound: LF pad 4.1 mm (min 3.0)")
        shop.store._session.db.execute("UPDATE entry SET data = replace(data, '4.1', '5.1')")
        shop.store._session.db.conn.commit()
        shop.refresh()
        with pytest.raises(Exception, match="its tables differ from the journal; nothing was signed"):
            shop.store.sign(number, shop.store.ticket(number).rev, "Ona Writer", {"x": "y"})
        assert shop.store.ticket(number).status == "open"


def test_a_sheet_comes_back_whole_from_its_record(shop: Shop) -> None:
    """And a text that looks like the place of the record is a text like any other."""
    for number in signed_here(shop)[:2]:
        made = sheet(shop, number, "shop", sources=True)
        record = json.loads(json.dumps(as_record(made)))
        assert from_record(record, "1-x", {}) == made
        plain = without_sources(made)
        for form in FORMS:
            assert written(plain, form) == paper(shop, number, "shop", form)


def test_the_first_layout_stays_what_it_was() -> None:
    """Golden bytes of layout 1: a changed form needs a new number and keeps this one."""
    folder = Path(__file__).parent
    made = from_record(json.loads((folder / "layout_1.json").read_text()), "40-768b561a16e0406200112233445566aa", {})
    for form, ending in (("text", "txt"), ("markdown", "md"), ("html", "html")):
        assert written(made, form) == (folder / f"layout_1.{ending}").read_text(encoding="utf-8"), form


def test_a_copy_written_from_the_screen_is_the_signed_one(shop: Shop) -> None:
    from ticket.screens.story_write import Wanted
    from ticket.screens.story_write import sheet as from_screen

    number = signed_here(shop)[0]
    before = paper(shop, number, "customer", "text")
    units = shop.settings.units
    set_setting(shop, "shop", "Another Garage")
    assert written(from_screen(shop, Wanted(number, "customer", "en", units)), "text") == before
    other = written(from_screen(shop, Wanted(number, "customer", "en", "metric")), "text")
    assert "Not the signed paper. It differs in: units." in str(other)


def test_a_setting_changed_at_another_terminal_before_signing_stands_on_the_paper(shop: Shop) -> None:
    number = new_ticket(shop)
    add_lines(shop, number, "says: horn is silent\nfound: horn fuse good")
    assert shop.settings.shop != "Elm Yard"
    with Shop.open(shop.store.path, "Nell Ivarsen", now=shop.now) as other:
        set_setting(other, "shop", "Elm Yard")
        sign_ticket(shop, number, overruled={gap.id: "waits" for gap in unanswered(shop, number)})
        assert "Elm Yard" in str(paper(other, number, "customer", "text"))
    assert "Elm Yard" in str(paper(shop, number, "customer", "text"))
    assert shop.store.audit(deep=True).ok
