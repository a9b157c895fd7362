"""Is it plain? Reading grades by a reference library, sentence length, and how often words fall back to quotes."""

import json
import re

import pytest
import textstat
from story_golden import case_for, jobs
from story_jobs import TODAY

from ticket.data import data_folder
from ticket.job.case import Case, Settings
from ticket.job.document import from_document
from ticket.story.build import build
from ticket.story.sentence import Story

GRADE = 8.0  # design, section 4: the customer's reading grade
_CODES = re.compile(r"\b(?:[PCBU][0-9A-F]{4}|SPN [0-9]+|FMI [0-9]+|[A-Z]{1,4}-?[0-9][0-9A-Z-]*)\b")


def customer_text(story: Story) -> str:
    """All sentences, the customer's own words, codes and part numbers taken out."""
    told = [sentence.text for section in story.sections if section.id != "told" for sentence in section.sentences]
    return _CODES.sub("it", " ".join(told).replace("\u00a0", " "))


def demo_stories() -> list[Story]:
    tickets = [
        from_document(json.loads(path.read_text("utf-8"))) for path in sorted(data_folder("demo_jobs").glob("1*.json"))
    ]
    out = []
    for ticket in tickets:
        before = [old for old in tickets if old.header.vehicle == ticket.header.vehicle and old.number < ticket.number]
        out.append(build(Case(ticket, Settings(), TODAY, tuple(reversed(before)))))
    return out


@pytest.mark.parametrize("job", jobs())
def test_a_customers_story_reads_at_grade_eight_or_below(job: str) -> None:
    # Flesch-Kincaid grade, Kincaid and others 1975, as textstat 0.7.8 counts it.
    assert textstat.flesch_kincaid_grade(customer_text(build(case_for(job)))) <= GRADE


def test_the_average_grade_of_all_kept_and_demo_stories_is_well_below() -> None:
    stories = [build(case_for(job)) for job in jobs()] + demo_stories()
    grades = [textstat.flesch_kincaid_grade(customer_text(story)) for story in stories]
    assert sum(grades) / len(grades) <= 7.0


def test_sentences_are_short() -> None:
    lengths = []
    for story in [build(case_for(job)) for job in jobs()] + demo_stories():
        for section in story.sections:
            for sentence in section.sentences:
                bare = re.sub(r"\([^)]*\)", "", sentence.text)
                lengths += [len(part.split()) for part in re.split(r"(?<=[.:;])\s", bare) if part.strip()]
    # Common guidance for plain language: 20 words on average, more than 28 looked at again.
    assert sum(lengths) / len(lengths) <= 20
    assert sum(length > 28 for length in lengths) / len(lengths) < 0.02


def test_few_sentences_fall_back_to_quotes() -> None:
    told = quoted = 0
    for story in [build(case_for(job)) for job in jobs()] + demo_stories():
        for section in story.sections:
            if section.id in ("found", "cause", "unknown", "did", "proof", "later"):
                told += len(section.sentences)
                quoted += sum("technician" in s.text or "“" in s.text for s in section.sentences)
    assert quoted / told < 0.05
