"""Every number and every condition of a finding is told in a field or asked about: generated lines, no source needed.

What a line says is put together from pieces here, so that no reading of it is assumed: only that nothing of it is gone.
"""

import re
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from ticket.notes.meaning import Json, meaning_of
from ticket.notes.read import read

THINGS = {
    "pads": "mm", "oil pressure": "psi", "battery": "V", "hub": "C", "coil": "ohm", "spring": "N", "flow": "L/min",
}  # fmt: skip
PLACES = ["", "", "LF", "RR", "nsf", "left", "rear", "inner"]
CONDITIONS = ["", "", "", "at 1500 rpm", "hot", "after 10 min", "with lights on", "at 20 C", "engine off", "loaded"]
DOINGS = ["", "", "reads", "shows", "dropped to", "only", "sits at", "about", "down to", "climbs to"]
LIMITS = [
    "min {}", "max {}", "({}-{})", "spec {}", "should be {}", "{} allowed", "not over {}", "limit {}", "wants {} to {}",
    "book says {}", "{} or less", "under {} is good", "{} is the floor", "should still have {}", "good to {}",
    "the other shop said {}", "anything over {} is scrap", "if over {} it gets changed", "{} on the door",
]  # fmt: skip
FIGURES = st.one_of(st.integers(101, 999).map(str), st.decimals(1, 99, places=2).map(str))


@st.composite
def typed(draw: st.DrawFn) -> str:
    """One to three readings of one thing, and perhaps what it should be."""
    thing = draw(st.sampled_from(sorted(THINGS)))
    parts = []
    for number in range(draw(st.integers(1, 3))):
        united = number == 0 or draw(st.booleans())
        pieces = (
            thing if number == 0 else "", draw(st.sampled_from(PLACES)), draw(st.sampled_from(DOINGS)),
            draw(FIGURES) + (f" {THINGS[thing]}" if united else ""), draw(st.sampled_from(CONDITIONS)),
        )  # fmt: skip
        parts.append(" ".join(piece for piece in pieces if piece))
    if draw(st.booleans()):
        limits = draw(st.sampled_from(LIMITS))
        low, high = sorted((draw(FIGURES), draw(FIGURES)), key=Fraction)
        parts.append(limits.format(low, high) + draw(st.sampled_from(["", f" {THINGS[thing]}"])))
    return "found: " + ", ".join(parts)


def is_told(number: str, said: Json) -> bool:
    """Whether a field of a reading holds the number, or words of one do."""
    for one in said["measurements"]:
        fields = [one[name] for name in ("value", "to", "low", "high")] + [one.get("nominal")]
        if any(text and re.fullmatch(r"-?[0-9.]+", text) and Fraction(text) == Fraction(number) for text in fields):
            return True
        if any(number in words for words in (*one["when"], *one["at"], one["of"] or "")):
            return True
    return False


def silent(line: str) -> list[str]:
    """The numbers and conditions of a line that stand nowhere and that nobody is asked about."""
    said = meaning_of(read(line))
    asked = [(one["start"], one["end"]) for one in (*said["unread"], *said["questions"])]
    words = " ".join(" ".join((*one["when"], one["of"] or "")) for one in said["measurements"])
    gone = [
        hit[0] for hit in re.finditer(r"(?<![\w.])[0-9]+(?:\.[0-9]+)?", line)
        if not is_told(hit[0], said) and not any(start < hit.end() and hit.start() < end for start, end in asked)
    ]  # fmt: skip
    for condition in filter(None, CONDITIONS):
        at = line.find(condition)
        if at >= 0 and said["measurements"] and condition.split()[-1] not in words:
            gone += [] if any(start < at + len(condition) and at < end for start, end in asked) else [condition]
    return gone


@given(typed())
def test_no_number_and_no_condition_of_a_finding_falls_without_a_word(line: str) -> None:
    assert silent(line) == []


def test_the_check_bites() -> None:
    said = meaning_of(read("found: pads 4 mm hot"))
    assert is_told("4", said)
    assert not is_told("5", said)
