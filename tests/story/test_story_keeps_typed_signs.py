"""Marks, single letters and words that turn a figure round are told as they were meant, or kept as typed."""

from pathlib import Path

import pytest
from story_jobs import told_of

from ticket.cli.main import main

READERS = ("customer", "payer", "shop")


def all_of(lines: str, reader: str = "customer") -> str:
    story = told_of(lines, reader=reader)
    return "\n".join(sentence.text for section in story.sections for sentence in section.sentences)


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize(
    ("line", "kept"),
    [
        ('found: crack 2" long', "2 in"),
        ('says: pulls 2" to the left', '2"'),
        ('found: cut 4" deep', "4 in"),
        ('found: hole 3/4" wide', "3/4 in"),
        ('cause: cut 4" and 5" deep', '4" and 5"'),
        ("says: leaves a wet spot 2' behind the car", "2' behind"),
    ],
)
def test_inch_and_foot_marks_stay_in_what_is_printed(reader: str, line: str, kept: str) -> None:
    told = all_of(line, reader).replace("\u00a0", " ")
    assert kept in told or kept.replace(" in", '"') in told, "a mark is told as its unit, or stays as typed"


def test_a_mark_that_closes_a_quotation_is_told_as_one() -> None:
    assert "‘gear 2’" in all_of('says: the dash says "gear 2" and it stalls')


def test_a_crack_is_damage_and_no_part_of_the_vehicle() -> None:
    for line, told in (
        ("found: belt has cracks", "The belt had cracks."),
        ("found: muffler has hole", "The muffler had a hole."),
    ):
        assert told in all_of(line)


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("line", ["found: pads 3 L 5 R", "found: pads 3 L, 5 R", "found: 2 L front bolts loose"])
def test_an_l_that_stands_for_left_is_never_told_as_liters(reader: str, line: str) -> None:
    assert "liter" not in all_of(line, reader)


def test_an_l_behind_an_amount_of_fluid_is_told_as_liters() -> None:
    assert "2\u00a0liters" in all_of("found: drained 2 L oil")


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize(
    "line",
    ["found: strut level 45 mm under min", "found: level 45 mm, below the mark", "found: oil level 45 mm under mark"],
)
def test_a_level_under_its_mark_is_never_told_as_above(reader: str, line: str) -> None:
    assert "above" not in all_of(line, reader)


@pytest.mark.parametrize(
    "line", ["found: cyl 1 2 3", "found: compression cyl 1 2 3", "proof: cyl 1 2 3 4", "did: 1 h check axle 1 2"]
)
def test_numbers_in_a_row_behind_a_thing_end_no_story_and_no_paper(
    database: Path, capsys: pytest.CaptureFixture[str], line: str
) -> None:
    arguments = ["--db", str(database)]
    assert main([*arguments, "new", "--vehicle", "Corvane Alder"]) == 0
    assert main([*arguments, "add", "1", line, "--accept"]) == 0
    for reader in READERS:
        assert main([*arguments, "story", "1", "--for", reader]) == 0
        assert main([*arguments, "story", "1", "--for", reader, "--as", "markdown"]) == 0
    printed = capsys.readouterr().out
    assert all(number in printed for number in line.split() if number.isdigit())
