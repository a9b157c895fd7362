"""Lines of practitioners, labelled by themselves: what is read of them never gets worse.

The figures are those of the reader as it stands, a floor for what is right and a ceiling for what is wrong; they are
no aim. The scorer is stricter than a person (see ``support.labelled_lines``).
"""

import re
from collections import Counter
from pathlib import Path

import pytest

from support.labelled_lines import labelled, outcome
from ticket.job.kinds import Told
from ticket.notes.meaning import meaning_of
from ticket.notes.read import read

NOBODY = re.compile(r"\b(?:no|nae) ans|\bleft (?:a )?(?:msg|vm)\b|\bdidnt pick up", re.I)
HANDS = Path(__file__).parent / "hands"
RIGHT_AND_WRONG: dict[str, tuple[int, int]] = {
    "round-01": (50, 2),
    "round-02": (50, 1),
    "round-03": (46, 1),
    "round-04": (48, 0),
    "round-05": (53, 1),
    "round-06": (52, 0),
    "round-07": (45, 0),
    "round-08": (54, 1),
    "round-09": (49, 1),
    "round-10": (46, 1),
    "round-11": (52, 0),
    "round-12": (54, 0),
    "round-13": (54, 0),
    "round-14": (52, 0),
    "round-15": (33, 0),
    "round-16": (48, 0),
    "round-17": (52, 0),
    "round-18": (51, 0),
    "round-19": (56, 0),
    "round-20": (51, 0),
    "round-21": (57, 0),
    "round-22": (53, 1),
    "round-23": (59, 0),
    "round-24": (57, 0),
    "round-25": (53, 1),
    "round-26": (56, 0),
    "round-27": (55, 0),
    "round-28": (55, 0),
    "round-29": (53, 0),
    "round-30": (54, 0),
    "round-31": (52, 0),
    "round-32": (55, 0),
    "round-34": (57, 1),
    "round-35": (56, 0),
    "round-36": (58, 0),
    "round-37": (56, 0),
    "round-38": (56, 0),
    "round-39": (55, 1),
    "round-40": (53, 0),
    "round-41": (54, 0),
    "round-42": (58, 0),
    "round-43": (53, 3),
    "round-44": (54, 0),
    "round-45": (56, 0),
    "round-46": (57, 0),
    "round-47": (55, 1),
    "round-48": (47, 3),
    "round-49": (49, 2),
    "round-50": (53, 1),
    "round-51": (55, 0),
    "round-52": (54, 0),
    "round-53": (58, 0),
    "round-54": (54, 3),
    "round-55": (51, 2),
}


@pytest.mark.parametrize("name", sorted(RIGHT_AND_WRONG))
def test_a_round_is_read_at_least_as_well_as_before(name: str) -> None:
    rows = labelled(HANDS / f"{name}.jsonl")
    results = [(outcome(label, meaning_of(read(label["line"]))), label["line"]) for label in rows]
    counts = Counter(result for result, _line in results)
    right, wrong = RIGHT_AND_WRONG[name]
    worst = [line for result, line in results if result == "wrong"]
    assert counts["right"] >= right, counts
    assert counts["wrong"] <= wrong, worst


def test_every_round_is_held() -> None:
    assert {path.stem for path in HANDS.glob("*.jsonl")} == set(RIGHT_AND_WRONG)


def test_where_nobody_answered_the_ticket_says_so_and_states_no_answer() -> None:
    """What such lines came to is kept on the ticket; the neutral format has no word for it."""
    tried = 0
    for path in HANDS.glob("*.jsonl"):
        for label in labelled(path):
            if label.get("answers") != [] or not NOBODY.search(label["line"]):
                continue
            (draft,) = read(label["line"])
            assert isinstance(draft.fact, Told), label["line"]
            assert {one.answer for one in draft.fact.answers} <= {"no answer", "left message"}, label["line"]
            assert draft.fact.answers, label["line"]
            tried += 1
    assert tried >= 8


@pytest.mark.slow
def test_a_verdict_or_an_answer_turned_round_is_wrong() -> None:
    """The scorer itself bites: every decided verdict and every yes is turned round, and no such line stays right."""
    turned = {"in": "low", "low": "in", "high": "in"}
    tried = 0
    for path in HANDS.glob("*.jsonl"):
        for label in labelled(path):
            said = meaning_of(read(label["line"]))
            if outcome(label, said) != "right" or label.get("or_measurements") or label.get("must_ask"):
                continue
            judged = [one for one in label.get("measurements", []) if one["verdict"] in turned]
            if not judged or any(
                one.get("any") or one.get("may_verdict") or one.get("may") for one in label["measurements"]
            ):
                continue
            for one in said["measurements"]:
                one["verdict"] = turned.get(one["verdict"], one["verdict"])
            assert outcome(label, said) == "wrong", label["line"]
            tried += 1
    assert tried > 100
