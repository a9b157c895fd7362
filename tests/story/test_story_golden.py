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
    "01-brakes": (
        "We measured the thickness of the brake pads: left front inner 1.9 mm (too thin); left front outer 4.2 mm;"
        " right front inner 4.4 mm; right front outer 4.5 mm; at least 3.0 mm is needed.",
        "The left front disc was 21.2 mm thick, which is too thin; at least 22.0 mm is needed.",
        "There were deep grooves.",
        "The right front disc was 22.9 mm thick, within limits; at least 22.0 mm is needed.",
        "The left front caliper lower slide pin was seized. (The caliper is the clamp that presses the brake"
        " pads.)",
        "The seized lower slide pin held the left front inner pad against the rotor.",
        "Ruled out: Sticking brake hose; left front wheel turns freely as soon as pedal is let go.",
        "This took one set of new front brake pads, two new front rotors, and one rebuilt left front caliper bracket"
        " with slide pins.",
        "Road test 6 mi, 10 stops from 40 mph, no grinding, no pull.",
    ),
    "02-charging": (
        "Between the alternator stud and the positive battery post, 2.1 volts were being lost, which is too much; no"
        " more than 0.2 volts is allowed.",
        "It was not a worn alternator (the part that makes the current), because the output at its stud was normal.",
        "We measured the loss between the alternator stud and the positive battery post again: 0.06 volts, down from"
        " 2.1 volts; no more than 0.2 volts is allowed.",
        "We cleared the codes and drove 9 miles: the battery light was off.",
        "We read the codes again: none were stored.",
    ),
    "03-stall-not-reproduced": (
        "We could not make it happen, and we did not find the cause.",
        "Not proved: Crankshaft sensor that fails when hot.",
        "We did not fit any parts.",
        "Risk: The engine may stop again.",
        "Please write down your speed, the weather, how full the tank was, and which warning lights were on.",
    ),
    "04-misfire-warranty": (
        "We know this because cylinder 3 had too low compression and cylinder 3 lost too much air.",
        "Warranty pays for this work and for these parts.",
        "You said yes to the warranty repair in person.",
    ),
    "05-hybrid-cooling": (
        "After 10 km, the inverter temperature was 91 °C, which is too high; no more than 70 °C is allowed. (The"
        " inverter is the box that feeds the electric motor.)",
        "It was not a blown fuse, because the pump plug had voltage.",
        "Nor was it low coolant, because the level was normal.",
        "After 25 km with the long hill, the inverter temperature was 58 °C, within limits; no more than 70 °C is"
        " allowed.",
    ),
    "06-truck-boost": (
        "It was not the turbo: shaft play 0.03 mm (max 0.10 per maker), wheel spins free with no rub marks.",
        "Replace the charge air cooler mounts: this can wait.",
        "Why: The rubber is cracked but cooler still sits firm.",
        "Tam Ollery of Fernhollow Haulage said yes to this work by email; the total is $340.00.",
    ),
    "07-service-declined": (
        "Three things are still to do; one of them must not wait.",
        "We measured the tread of the tires: left front 4.6 mm; right front 4.4 mm; left rear 1.5 mm (too little);"
        " right rear 2.0 mm; at least 1.6 mm is needed.",
        "Replace both rear tires: this must not wait.",
        "You said no to this in person.",
        "Risk: The car may slide or take longer to stop on a wet road.",
        "When: within 4 weeks.",
        "When: in 8,000 km or 6 months, whichever comes first; if driving stays as it is, that is about August,"
        " between June 29 and September 23, 2026.",
        "When: in 15,000 km or 12 months, whichever comes first; if driving stays as it is, that is some time between"
        " September 28, 2026 and March 23, 2027.",
    ),
    "08-fan-comeback": (
        "You were here for this on March 2, 2026. That day we replaced the cooling fan relay.",
        "That did not end the trouble: the same code was stored again.",
        "We repaired the fan wire, insulated the wire, rerouted the fan wiring, and clipped the fan wiring to the"
        " shroud.",
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
