"""Whole stories kept as files: the eight worked examples of the project's style sheet, and ten jobs in other systems.

After a change of wording, write them anew with ``write_golden.py`` and read the difference line by line.
"""

import pytest
from story_golden import GOLDEN, READERS, golden_text, jobs
from story_jobs import sentences

from ticket.story.build import build

CASES = [(job, reader) for job in jobs() for reader in READERS[job]]

# Sentences the style sheet prints for its examples, word for word, as far as the three forms of a line keep them.
PRINTED = {
    "02-charging": (
        "Between the alternator stud and the positive battery post, 2.1 volts were being lost, which is too much; no more than "  # noqa: E501
        "0.2 volts is allowed.",
        "It was not a worn alternator (the part that makes the current), because the output at its stud was normal.",
    ),
    "03-stall-not-reproduced": (
        "We could not make it happen, and we did not find the cause.",
        "We did not fit any parts.",
        "Please write down your speed, the weather, how full the tank was, and which warning lights were on.",
    ),
    "04-misfire-warranty": (
        "Warranty pays for this work and for these parts.",
        "You said yes to the warranty repair in person.",
    ),
    "05-hybrid-cooling": (
        "After 10 km, the inverter temperature was 91 °C, which is too high; no more than 70 °C is allowed. (The inverter is the box that feeds "  # noqa: E501
        "the electric motor.)",
    ),
    "06-truck-boost": ("Tam Ollery of Fernhollow Haulage said yes to this work by email; the total is $340.00.",),
    "07-service-declined": ("Three things are still to do; one of them should not wait.",),
    "08-fan-comeback": (
        "You were here for this on March 2, 2026. That day we replaced the cooling fan relay.",
        "That did not end the trouble: the same code was stored again.",
        "We pay for this work and for these parts.",
        "Please come back after 500 miles or 3 weeks, whichever comes first, so that we can read the codes again.",
        "We told you by phone that there is no charge for this visit.",
    ),
}


@pytest.mark.parametrize(("job", "reader"), CASES, ids=[f"{job}-{reader}" for job, reader in CASES])
def test_a_story_reads_as_it_is_kept(job: str, reader: str) -> None:
    assert golden_text(job, reader) == (GOLDEN / f"{job}.{reader}.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("job", PRINTED)
def test_the_worked_examples_keep_the_sentences_of_the_style_sheet(job: str) -> None:
    from story_golden import case_for

    told = sentences(build(case_for(job)))
    assert [sentence for sentence in PRINTED[job] if sentence not in told] == []


def test_every_golden_file_belongs_to_a_job() -> None:
    assert {path.name for path in GOLDEN.glob("*.txt")} == {f"{job}.{reader}.txt" for job, reader in CASES}
