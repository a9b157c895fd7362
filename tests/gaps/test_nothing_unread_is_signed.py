"""Hours, answers and sums that were typed are read, or a person is asked before the ticket is signed.

Each check stays true where such a line is one day read right: then the hours are billed and the sum is agreed to.
"""

import json
from pathlib import Path
from typing import Any

import pytest
from gap_cases import case_of

from ticket.cli.main import main
from ticket.gaps.find import blocking, find_gaps
from ticket.job.kinds import Did, Told
from ticket.job.numbers import exact
from ticket.notes.read import read

# How hours are typed when they do not stand in front, and how an answer is; common practice of the trade, no source.
HOURS = [
    ("did: replaced oil pump 2.2 hrs", 2.2),
    ("did: 1.3 replaced oil pump", 1.3),
    ("did: 45 min replaced oil pump", 0.75),
    ("did: .75hr replaced oil pump", 0.75),
    ("did: 1 hr 20 min replaced oil pump", 4 / 3),
    ("did: replaced oil pump 2", 2),
    ("did: 1 h and 30 min oil pump", 1.5),
    ("did: 2,5 h replaced oil pump", 2.5),
]
ANSWERS = [
    ("ok total 512", "512"),
    ("approved all, total not to exceed 1500", "1500"),
    ("yes PO 88301; total 402", "402"),
    ("go ahead with everything, max $300", "300"),
    ("yes 1, but not more than 250", "250"),
    ("authorized up to 700", "700"),
    ("total 512", "512"),
]
OFFERED = "says: pump whines\nfound: pump worn\noffer: replace pump; est 500\n"


@pytest.fixture
def facts(database: Path, capsys: pytest.CaptureFixture[str]) -> Any:
    """Lines added to a ticket through the command, and what it shows of the last: its fact and the open questions."""

    def added(*lines: str) -> tuple[dict[str, Any], list[dict[str, Any]]]:
        arguments = ["--db", str(database)]
        assert main([*arguments, "new", "--vehicle", "Corvane Alder", "--customer", "Ada Fenn"]) == 0
        for line in lines:
            assert main([*arguments, "add", "1", line, "--accept"]) == 0
        capsys.readouterr()
        assert main([*arguments, "show", "1", "--json"]) == 0
        entry = json.loads(capsys.readouterr().out)["entries"][-1]
        main([*arguments, "gaps", "1", "--json"])
        asked = json.loads(capsys.readouterr().out)
        gaps = asked if isinstance(asked, list) else asked["gaps"]
        return entry["fact"], [gap for gap in gaps if gap.get("entry") == entry["no"]]

    return added


@pytest.mark.parametrize(("line", "hours"), HOURS)
def test_hours_that_were_typed_are_billed_or_asked_about_before_signing(facts: Any, line: str, hours: float) -> None:
    fact, asked = facts(line)
    billed = exact(fact.get("hours", "")) or 0
    right = abs(float(billed) - hours) < 0.01
    assert right or any(gap["level"] == "blocking" and "bill" in gap["question"] for gap in asked), (fact, asked)


@pytest.mark.parametrize(("line", "hours"), HOURS)
def test_hours_are_never_read_as_less_than_was_typed(line: str, hours: float) -> None:
    (draft,) = read(line)
    assert isinstance(draft.fact, Did)
    assert not draft.fact.hours or abs(float(exact(draft.fact.hours) or 0) - hours) < 0.01
    assert draft.fact.hours or draft.remarks


def test_labour_without_hours_is_asked_about_unless_nobody_pays(facts: Any) -> None:
    _, asked = facts("did: cleaned ground strap")
    assert any("hours" in gap["question"] for gap in asked)


@pytest.mark.parametrize("line", ["did: cleaned ground strap, no charge", "did: 0.4 h cleaned strap of cylinder 2"])
def test_labour_that_says_what_it_bills_is_not_asked_about(line: str) -> None:
    assert "labour-without-hours" not in {gap.id for gap in find_gaps(case_of(line))}


@pytest.mark.parametrize("offered", ["", OFFERED])
@pytest.mark.parametrize(("words", "amount"), ANSWERS)
def test_an_answer_or_a_sum_that_was_typed_is_read_or_stops_the_signing(words: str, amount: str, offered: str) -> None:
    words = words.replace("yes 1", "yes 3") if offered else words
    line = f"told: Ada Fenn by phone 555-0134, {words}"
    (draft,) = read(line)
    assert isinstance(draft.fact, Told)
    read_right = draft.fact.answers and amount in (draft.fact.total, draft.fact.ceiling)
    case = case_of(offered + line)
    no = case.ticket.entries[-1].no
    stopped = any(gap.entry == no for gap in blocking(find_gaps(case)))
    assert read_right or stopped, draft


@pytest.mark.parametrize(
    "line",
    ["told: Ada Fenn by phone 555-0134 ok total 512", "told: Ada Fenn ok", "told: Ada Fenn by phone, yes to all"],
)
def test_an_answer_beside_a_name_or_a_number_is_no_part_of_it(line: str) -> None:
    case = case_of(OFFERED + line)
    fact = case.ticket.entries[-1].fact
    assert isinstance(fact, Told)
    assert fact.answers or any(gap.entry == 4 for gap in blocking(find_gaps(case)))


@pytest.mark.parametrize(
    "words",
    [
        "yes 3, total 402", "no", "left message", "yes 3; apology given, no charge", "no answer", "yes 3, up to 600",
        "yes 3, wants it by five",
    ],
)  # fmt: skip
def test_a_contact_that_was_read_whole_stops_nothing(words: str) -> None:
    case = case_of(f"{OFFERED}told: Ada Fenn by phone 555-0134, {words}")
    assert "answer-not-read" not in {gap.id for gap in find_gaps(case)}
