"""Whole stories kept as files: the eight worked examples of the project's style sheet, and ten jobs in other systems.

After a change of wording, write them anew with ``write_golden.py`` and read the difference line by line.
"""

import pytest
from story_golden import GOLDEN, READERS, golden_text, jobs
from story_jobs import sentences

from ticket.story.build import build

CASES = [(job, reader) for job in jobs() for reader in READERS[job]]

# Sentences the style sheet prints for its examples, word for word; what differs on purpose is left out.
PRINTED = {
    "01-brakes": (
        "The front brake pads must be at least 3.0 mm thick.",
        "The left front inner brake pad was 1.9 mm, which is too thin.",
        "The other three were within limits: left front outer 4.2 mm, right front inner 4.4 mm, and right front outer"
        " 4.5 mm.",
        "The left front disc was 21.2 mm thick, which is too thin, and had deep grooves; at least 22.0 mm is needed.",
        "The right front one was within limits, at 22.9 mm.",
        "The lower slide pin of the left front caliper (the clamp that presses the brake pads) was stuck fast.",
        "The stuck lower slide pin held the left front inner brake pad against the disc.",
        "It was not a sticking brake hose, because the left front wheel turned freely as soon as the pedal was let go.",
        "This took one set of new front brake pads, two new front discs, and one rebuilt left front caliper bracket"
        " with slide pins.",
        "There was no grinding and no pull.",
    ),
    "02-charging": (
        "Between the alternator stud and the positive battery post, 2.1 volts were being lost, which is too much; no"
        " more than 0.2 volts is allowed.",
        "It was not a worn alternator (the part that makes the current), because the output at its stud was normal.",
        "We measured the loss between the alternator stud and the positive battery post again: it was 0.06 volts, down"
        " from 2.1; no more than 0.2 volts is allowed.",
        "The battery light stayed off, and when we read the codes again, none were stored.",
    ),
    "03-stall-not-reproduced": (
        "We could not make it happen, and we did not find the cause.",
        "It may be a crankshaft sensor that fails when hot, but we have not proved it.",
        "We did not fit any parts.",
        "Until the cause is found, the engine may stop again.",
        "Please write down your speed, the weather, how full the tank was, and which warning lights were on.",
    ),
    "04-misfire-warranty": (
        "We know this because cylinder 3 had too little compression and lost too much air.",
        "Warranty pays for this work and for these parts.",
        "You said yes to the warranty repair in person.",
    ),
    "05-hybrid-cooling": (
        "After 10 km, the inverter temperature was 91 °C, which is too high; no more than 70 °C is allowed. (The"
        " inverter is the box that feeds the electric motor.)",
        "It was not a blown fuse, because the pump plug had voltage, and not low coolant, because the level was"
        " normal.",
        "The inverter temperature after 25 km with the long hill was 58 °C this time; no more than 70 °C is allowed.",
    ),
    "06-truck-boost": (
        "It was not the turbo, because the shaft play was 0.03 mm (no more than 0.10 mm is allowed) and the wheel spun"
        " free with no rub marks.",
        "The rubber is cracked but the cooler still sits firm, so they can wait for now.",
        "Tam Ollery of Fernhollow Haulage said yes to this work by email; the total is $340.00.",
    ),
    "07-service-declined": (
        "Three things are still to do; one of them should not wait.",
        "The left rear tire had 1.5 mm, which is too little.",
        "We offered to do this, and you said no; you want to wait until next month.",
        "Until they are replaced, the car may slide or take longer to stop on a wet road.",
        "Please have them replaced within 4 weeks.",
        "Please have them looked at again after 8,000 km or 6 months, whichever comes first; the way you drive, that"
        " is about five months.",
        "Please have it looked at again after 15,000 km or 12 months, whichever comes first; the way you drive, that"
        " is about nine months.",
    ),
    "08-fan-comeback": (
        "You were here for this on March 2, 2026. That day we replaced the cooling fan relay.",
        "That did not end the trouble: the same code was stored again.",
        "We repaired the fan wire, insulated the wire, moved the fan wiring to another path, and clipped the fan wiring"
        " to the shroud.",
        "We pay for this work and for these parts.",
        "Please come back after 500 miles or 3 weeks, whichever comes first, so that we can read the codes again.",
        "We told you by phone that there is no charge for this visit.",
    ),
}  # fmt: skip


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
