"""Is it plain? Reading grades by a reference library, sentence length, and how often words fall back to quotes.

Held over the kept stories, every demo job and generated jobs alike. ``python tests/story/test_story_readable.py`` (with
``PYTHONPATH=tests:tests/story``) prints the figures.
"""

import json
import re
import sys
from functools import cache
from importlib import import_module
from pathlib import Path

import pytest
import textstat
from story_golden import case_for, jobs
from story_jobs import TODAY, case_of, generated

from support.steady import sample
from support.tickets import tickets
from ticket.data import data_folder
from ticket.job.case import Case, Settings
from ticket.job.ticket_document import from_document
from ticket.story.build import build
from ticket.story.sentence import Story

GRADE = 8.0  # design, section 4: the customer's reading grade
_CODES = re.compile(r"\b(?:[PCBU][0-9A-F]{4}|SPN [0-9]+|FMI [0-9]+|[A-Z]{1,4}-?[0-9][0-9A-Z-]*)\b")


def customer_text(story: Story) -> str:
    """All sentences, the customer's own words, codes and part numbers taken out."""
    told = [sentence.text for section in story.sections if section.id != "told" for sentence in section.sentences]
    return _CODES.sub("it", " ".join(told).replace("\u00a0", " "))


def grade(story: Story) -> float:
    """Flesch-Kincaid grade (Kincaid and others 1975), as textstat 0.7.8 counts it; codes and part numbers aside."""
    return float(textstat.flesch_kincaid_grade(customer_text(story)))


def fallback(stories: list[Story]) -> tuple[int, int]:
    """How many sentences of what was found, done and deferred fall back to quoted words, and of how many."""
    told = quoted = 0
    for story in stories:
        for section in story.sections:
            if section.id in ("found", "cause", "unknown", "did", "proof", "later"):
                told += len(section.sentences)
                quoted += sum("technician" in s.text or "“" in s.text for s in section.sentences)
    return quoted, told


@cache
def kept_stories() -> list[Story]:
    return [build(case_for(job)) for job in jobs()]


@cache
def generated_stories() -> list[Story]:
    stories = [build(case_of(ticket)) for ticket in generated(35)]
    return [story for story in stories if customer_text(story)]


@cache
def demo_cases() -> tuple[Case, ...]:
    """Every demo job with the earlier visits of its vehicle, newest first."""
    files = sorted(data_folder("demo_jobs").glob("1*.json"), reverse=True)
    made = [from_document(json.loads(path.read_text("utf-8"))) for path in files]
    return tuple(
        Case(new, Settings(), TODAY, tuple(old for old in made[i + 1 :] if old.header.vehicle == new.header.vehicle))
        for i, new in enumerate(made)
    )


@cache
def demo_stories() -> list[Story]:
    return [build(case) for case in demo_cases()]


def test_the_generated_jobs_are_the_same_whatever_else_is_loaded(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A highest grade is a measure only if each run takes it of the same jobs."""
    before = sample(tickets(hostile=False), 20)
    (tmp_path / "module_of_numbers.py").write_text(f"NUMBERS = {list(range(30_011, 60_000, 97))}\n", encoding="utf-8")
    monkeypatch.syspath_prepend(tmp_path)
    monkeypatch.delitem(sys.modules, "module_of_numbers", raising=False)
    import_module("module_of_numbers")
    assert sample(tickets(hostile=False), 20) == before
    assert len({repr(ticket) for ticket in before}) == 20


SETS = {"kept": kept_stories, "demo": demo_stories, "generated": generated_stories}


@pytest.mark.slow
@pytest.mark.parametrize("name", SETS)
def test_a_customers_story_reads_at_grade_eight_or_below(name: str) -> None:
    grades = [grade(story) for story in SETS[name]()]
    assert len(grades) > 20 - 10 * (name == "kept")
    assert max(grades) <= GRADE
    assert sum(grades) / len(grades) <= GRADE - 1


@pytest.mark.parametrize("name", SETS)
def test_sentences_are_short(name: str) -> None:
    lengths = []
    for story in SETS[name]():
        for section in story.sections:
            for sentence in section.sentences:
                bare = re.sub(r"\([^)]*\)", "", sentence.text)
                lengths += [len(part.split()) for part in re.split(r"(?<=[.:;])\s", bare) if part.strip()]
    # Common guidance for plain language: 20 words on average, more than 28 looked at again.
    assert sum(lengths) / len(lengths) <= 20
    assert sum(length > 28 for length in lengths) / len(lengths) < 0.02


@pytest.mark.parametrize("name", SETS)
def test_few_sentences_fall_back_to_quotes(name: str) -> None:
    quoted, told = fallback(SETS[name]())
    assert told > 100
    assert quoted / told < 0.05


if __name__ == "__main__":
    for name, stories in SETS.items():
        grades = [grade(story) for story in stories()]
        quoted, told = fallback(stories())
        mean = f"mean {sum(grades) / len(grades):.1f}, highest {max(grades):.1f}"
        share = f"{quoted} of {told} sentences quoted, {quoted / told:.1%}"
        print(f"{name:<10} {len(grades)} stories; grade {mean}; {share}")  # noqa: T201
