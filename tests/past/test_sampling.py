"""Samples for an audit: repeatable, fair, and honest about what they can say."""

import csv
import io
import random
from collections import Counter
from decimal import Decimal
from pathlib import Path

import pytest

from support.made_shops import filled_shop
from ticket.cli.main import main
from ticket.papers.formats import written
from ticket.papers.sheet import Table
from ticket.past.drawn_sample import draw, what_it_says
from ticket.scratch_shop import fill
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.money import account_of
from ticket.shop.opening import Shop
from ticket.shop.sampling import sample, sample_sheet
from ticket.store.driver import connect


def test_the_same_seed_draws_the_same_jobs_and_a_later_job_pushes_out_one_at_most() -> None:
    numbers = list(range(1, 301))
    first = draw(numbers, 40, "S")
    random.Random(1).shuffle(numbers)
    assert draw(numbers, 40, "S") == first
    assert len(set(draw([*numbers, 301], 40, "S")) - set(first)) <= 1
    assert draw(numbers, 40, "T") != first
    assert draw(numbers, 400, "S") == tuple(range(1, 301))
    assert draw([], 5, "S") == ()


def test_each_job_has_the_same_chance() -> None:
    drawn = Counter(number for seed in range(400) for number in draw(range(20), 5, str(seed)))
    # Each of 20 is drawn 100 times of 400 on the average; the standard deviation is 8.7.
    assert all(60 < drawn[number] < 140 for number in range(20))


def test_what_a_sample_says() -> None:
    # Hanley and Lippman-Hand 1983: none of n is at most 3 / n. 3 of 50, Clopper-Pearson: 1.25 to 16.55 %.
    assert "at most 6.0 %" in what_it_says(0, 50, 1000)
    assert "between 1.3 and 16.5 %" in what_it_says(3, 50, 1000)
    assert what_it_says(3, 50, 50).startswith("All 50 jobs were looked at: 3")
    assert "nothing is known" in what_it_says(0, 0, 0)
    assert "the other 8 of all 11 were not looked at" in what_it_says(0, 3, 11)
    assert "and 90.9 %" in what_it_says(2, 3, 11), "one of three was seen to hold nothing"


@pytest.mark.slow
def test_a_sample_of_a_shop_looks_at_questions_sums_and_seals(shop: Shop) -> None:
    fill(shop)
    assert [row.job.number for row in sample(shop, "since:2020", 10, "S").rows] == list(
        draw(shop.store.numbers(), 10, "S")
    )
    drawn = sample(shop, "since:2020", 23, "S")
    assert (len(drawn.rows), drawn.whole) == (23, 23)
    assert {row.seal for row in drawn.rows} <= {"signed elsewhere, not proved here", "not signed"}
    number = next(row.job.number for row in drawn.rows if row.seal == "not signed")
    shop.store.sign(number, shop.store.ticket(number).rev, shop.person)
    assert shop.store.proofs.seal_word(number) == "holds"
    connection = connect(shop.store.path)
    connection.execute("DROP TRIGGER entry_sealed_fix")
    connection.execute(
        "UPDATE entry SET data = json_set(data, '$.text', 'changed') WHERE no = 1"
        " AND ticket_id = (SELECT id FROM ticket WHERE number = ?)",
        [number],
    )
    connection.close()
    assert shop.store.proofs.seal_word(number) == "differs from the journal"
    (row,) = (row for row in sample(shop, "since:2020", 23, "S").rows if row.job.number == number)
    assert "its seal differs from the journal" in row.odd
    assert len(sample_sheet(shop, drawn).blocks) == 8


def test_the_command_prints_a_table_and_a_paper(
    shop: Shop, capsys: pytest.CaptureFixture[str], tmp_path: object
) -> None:
    fill(shop)
    path = str(shop.store.path)
    assert main(["sample", "since:2020", "--n", "4", "--seed", "7", "--as", "csv", "--db", path]) in (0, 1)
    table = capsys.readouterr().out
    assert table.count("\n") == 5
    paper = f"{tmp_path}/sample.pdf"
    assert main(["sample", "since:2020", "--n", "4", "--as", "pdf", "-o", paper, "--db", path]) in (0, 1)
    assert "with 95 % confidence" in capsys.readouterr().err, "what it says, though the paper went to a file"
    with open(paper, "rb") as file:  # noqa: PTH123
        assert file.read(5) == b"%PDF-"


OVER = (
    "says: fan roars\ncause: corroded fan plug; certain\noffer: replace fan plug; est 90.00\n"
    "told: Ada Fenn by phone, yes; total 90.00\ndid: 1.2 h replaced fan plug\nused: 1 x 44-7-10 fan plug @ 120.00"
)


def test_the_sums_of_a_sample_stand_on_one_base_and_their_difference_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The demo shop tells its sums before tax: no bill with tax is set against them."""
    path = tmp_path / "shop.db"
    with filled_shop(path, fill, "Ona Writer") as shop:
        number = new_ticket(shop)
        add_lines(shop, number, OVER)
        (job,) = shop.store.briefs([number])
        owed = account_of(shop, shop.store.ticket(number)).bill.told_to("customer", "before tax")
        assert (job.agreed, job.billed, job.base, job.over) == (9000, owed, "before tax", True)
        assert job.difference == owed - 9000
        assert job.total is not None
        assert job.total > owed, "with tax"
        head = shop.store.proofs.head()
        assert head is not None
    words = ["since:2020", "--n", "40", "--seed", "7", "--db", str(path)]
    assert main(["sample", *words, "--as", "csv"]) == 1
    rows = {row["ticket"]: row for row in csv.DictReader(io.StringIO(capsys.readouterr().out))}
    above = f"{(owed - 9000) / 100:,.2f}"
    assert (rows[str(number)]["difference"], rows[str(number)]["above agreed"]) == (above, "yes")
    assert rows[str(number)]["to look at"] == f"billed {above} above what was agreed"
    for row in rows.values():
        if row["customer owes"] and row["agreed"]:
            owes, agreed, differ = (
                Decimal(row[name].replace(",", "")) for name in ("customer owes", "agreed", "difference")
            )
            assert owes - agreed == differ
            assert (differ > 0) == (row["above agreed"] == "yes")
    assert main(["sample", *words]) == 1
    told = capsys.readouterr().out
    assert f"journal {head.seq}-{head.hash[:32]}:" in told
    assert f"billed {above} above what was agreed" in told
    assert "signed elsewhere: that was not proved here" in told
    assert main(["past", "over:yes", "--db", str(path)]) == 0
    assert f", {above} above what was agreed" in capsys.readouterr().out


def test_a_sample_on_paper_says_how_it_was_drawn_and_has_room_for_its_columns(tmp_path: Path) -> None:
    with filled_shop(tmp_path / "shop.db", fill, "Petra Quill") as shop:
        drawn = sample(shop, "since:2020", 5, "S")
        sheet = sample_sheet(shop, drawn)
        text = str(written(sheet, "text"))
    assert drawn.drawing.asked == 5
    for word in ("since:2020", "S", "asked for", "Petra Quill", drawn.drawing.head, "5 of 23 jobs fit"):
        assert word in text, word
    (table,) = (block for block in sheet.blocks if isinstance(block, Table))
    assert len(table.columns) <= 7, "more do not fit beside each other on a page"
