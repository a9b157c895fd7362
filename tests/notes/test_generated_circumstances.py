"""Of generated lines only what was read is stated, each reading under its own conditions, and no figure is lost."""

import os

import pytest
from generated_circumstances import Told, circumstances

from ticket.notes.meaning import Json, meaning_of
from ticket.notes.read import read

COUNT = 20_000 if os.environ.get("TICKET_FULL") else 420
SEED = 20_261_130


@pytest.fixture(scope="module")
def told() -> list[tuple[Told, Json]]:
    return [(one, meaning_of(read(f"found: {one.text}"))) for one in circumstances(SEED, COUNT)]


def _same(one: str, other: str | None) -> bool:
    return other is not None and float(one) == float(other)


def test_only_what_was_read_is_stated(told: list[tuple[Told, Json]]) -> None:
    bad = [
        (one.text, [found["value"] for found in said["measurements"]])
        for one, said in told
        if not all(any(_same(value, found["value"]) for value in one.read) for found in said["measurements"])
    ]
    assert not bad, bad[:9]


def test_no_figure_is_lost(told: list[tuple[Told, Json]]) -> None:
    bad = []
    for one, said in told:
        stated = [found["value"] for found in said["measurements"]]
        open_ = " ".join(item["text"] for item in said["unread"]) + " ".join(
            one.text[max(0, item["start"] - 7) : max(0, item["end"] - 7)] for item in said["questions"]
        )
        around = " ".join(text for found in said["measurements"] for text in (found["of"], *found["when"]))
        bounds = [found[key] for found in said["measurements"] for key in ("low", "high") if found[key]]
        named = one.what == "rating"  # it stays with its noun, as its name
        for figure in (*one.read, *([one.other] if one.other and not named else [])):
            known = any(_same(figure, value) for value in (*stated, *bounds))
            if not known and figure not in open_ and figure not in around:
                bad.append((one.text, figure))
    assert not bad, bad[:9]


def test_each_reading_is_under_its_own_conditions(told: list[tuple[Told, Json]]) -> None:
    bad = []
    for one, said in told:
        if not one.when or len(said["measurements"]) != len(one.read):
            continue
        for wanted, found in zip(one.when, said["measurements"], strict=True):
            if wanted not in " ".join(found["when"]).casefold():
                bad.append((one.text, wanted, found["when"]))
    assert not bad, bad[:9]


def test_most_lines_are_read(told: list[tuple[Told, Json]]) -> None:
    whole = sum(len(said["measurements"]) == len(one.read) for one, said in told)
    assert whole >= 0.95 * len(told), [one.text for one, said in told if len(said["measurements"]) != len(one.read)][:9]
