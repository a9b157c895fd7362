"""Part numbers are found however their gaps are written; a word in front of a colon that is no field is told of."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from ticket.cli.main import main
from ticket.past.query import parse_query, unknown_fields
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.past import find_jobs

NOW = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)


@pytest.fixture
def db(tmp_path: Path) -> Path:
    path = tmp_path / "shop.db"
    with Shop.open(path, "Bo Karst", now=lambda: NOW) as shop:
        for line in ("used: 1 x 4410-77 washer", 'used: 1 x #"4410 78" washer', "used: 1 x #441079 washer"):
            add_lines(shop, new_ticket(shop), line)
    return path


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("part:4410-77", 1), ("part:4410 77", 1), ('part:"4410 77"', 1), ("part:441077", 1), ("part:4410-78", 2),
        ("part:4410 78 washer", 2), ("part:441078", 2), ("part:4410-79", 3), ("part:4410 79", 3),
    ],
)  # fmt: skip
def test_gaps_of_a_part_number_do_not_matter(db: Path, typed: str, number: int) -> None:
    with Shop.open(db, "Bo Karst", now=lambda: NOW) as shop:
        found, _ = find_jobs(shop, typed)
        assert found.numbers == (number,)


def test_other_words_behind_a_part_number_stay_words() -> None:
    terms = parse_query("part:4410 washer").terms("part", "word")
    assert [(term.field, term.text) for term in terms][:2] == [("part", "4410"), ("word", "washer")]


def test_a_field_that_is_none_is_told_of(
    db: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert unknown_fields("part:4410-77 prat:9 color:red plate:X") == ("prat", "color")
    monkeypatch.setenv("TICKET_PERSON", "Bo Karst")
    main(["past", "prat:4410", "--db", str(db)])
    told = capsys.readouterr()
    assert "prat: is no field (part, plate," in told.err
    assert "No job fits." in told.out
