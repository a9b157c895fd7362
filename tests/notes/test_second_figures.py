"""A further figure of a line is stated only where it was read: nothing that sizes, sets, allows, wishes or places.

The lines and their meaning come from ``generated_asides``, written without looking at the reader.
"""

from collections import Counter
from fractions import Fraction

import pytest
from generated_asides import Aside, asides

from ticket.notes.meaning import Json, meaning_of
from ticket.notes.read import read

COUNT = 1_500
WANTED = 0.9
"""The share of second readings that is stated; the rest is asked about."""


def is_stated(said: Json, figure: str) -> bool:
    return any(Fraction(one["value"]) == Fraction(figure) for one in said["measurements"])


def is_open(line: Aside, said: Json) -> bool:
    start = line.text.rindex(line.second)
    doubts = [*said["questions"], *said["unread"]]
    return any(one["start"] < start + len(line.second) and start < one["end"] for one in doubts)


@pytest.mark.slow
def test_what_sizes_sets_allows_wishes_or_places_is_never_stated() -> None:
    bad = []
    for line in asides(7, COUNT):
        said = meaning_of(read(line.text))
        if not line.read and is_stated(said, line.second):
            bad.append((line.what, line.text))
    assert not bad, (len(bad), bad[:12])


@pytest.mark.slow
def test_no_second_figure_falls_silent() -> None:
    """Stated, asked about, or kept as a limit, a specified value or a condition; the size of a thing is its name."""
    silent = []
    for line in (line for line in asides(11, COUNT) if line.what != "sized"):
        said = meaning_of(read(line.text))
        limits = [one.get(key) for one in said["measurements"] for key in ("low", "high", "nominal")]
        held = any(value and abs(Fraction(value)) == Fraction(line.second) for value in limits)
        told = any(line.second in text for one in said["measurements"] for text in one["when"])
        if not (held or told or is_stated(said, line.second) or is_open(line, said)):
            silent.append(line.text)
    assert not silent, (len(silent), silent[:12])


@pytest.mark.slow
def test_most_second_readings_are_stated() -> None:
    lines = [line for line in asides(13, COUNT) if line.read]
    missed = [line for line in lines if not is_stated(meaning_of(read(line.text)), line.second)]
    share = 1 - len(missed) / len(lines)
    assert share >= WANTED, (share, Counter(line.what for line in missed), [line.text for line in missed[:12]])


def test_each_of_two_values_stands_at_its_own_place() -> None:
    bad = []
    for line in (line for line in asides(17, COUNT) if line.places[0]):
        for one in meaning_of(read(line.text))["measurements"]:
            first = Fraction(one["value"]) == Fraction(line.first)
            if " ".join(one["at"]) != line.places[0 if first else 1]:
                bad.append((line.text, one["value"], one["at"]))
    assert not bad, (len(bad), bad[:8])
