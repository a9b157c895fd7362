"""Stories beyond a single simple job: several concerns, earlier visits, other payers, work that waits."""

import dataclasses
from datetime import UTC, date, datetime

import pytest
from story_jobs import case_of, sentences, signed, ticket_from, told_of

from ticket.job.case import Case, Settings
from ticket.job.ticket import Ticket
from ticket.story.build import build
from ticket.story.facts.concerns import states

MARCH = datetime(2026, 3, 2, 10, 0, tzinfo=UTC)

WORN = "says: hums\nfound: play 2 mm (max 1)\ncause: worn bearing; from 2"
TWO = """A says: heater blows cold on long trips
B says: left rear window does not open
A found: coolant level -14 mm (-10 to 0)
A found: heater hoses dry
A+B code: none in any of the 5 control units
B found: LR window motor current 0.0 A (3.0 to 8.0)
B cause: dead LR window motor; from 6
B did: 1.1 h replace LR window motor
B used: 1 x WM-200 window motor, new @ 88.00
B proof: 6 now 4.4 A
A later: check coolant level again; may wait; because level is only a little low; in 300 km or 2 weeks; est 0"""


def headed(text: str, status: str = "open") -> Ticket:
    return dataclasses.replace(ticket_from(text), status=status)


def test_each_concern_has_its_own_head_and_shared_codes_come_first() -> None:
    story = told_of(TWO)
    titles = [(section.title, section.level) for section in story.sections]
    heads = [title for title, _ in titles if title[:2] in ("A:", "B:")]
    assert heads == ["A: What you told us", "B: What you told us"]
    told = [section.sentences[0].text for section in story.sections if section.id == "told"]
    assert told == ["“Heater blows cold on long trips.”", "“Left rear window does not open.”"]
    assert all(section.sentences for section in story.sections)
    assert titles.index(("What we found", 1)) < titles.index((heads[0], 1))
    assert ("The cause", 2) in titles
    assert sentences(story, "short")[:2] == [
        "A: We have not found the cause yet.",
        "B: We found the cause, did the repair, and tested it.",
    ]


def test_a_concern_nobody_looked_at_says_so() -> None:
    assert "B: We have not looked at this yet." in sentences(
        told_of("A says: hums at 60 mph\nB says: radio is dead\nA found: tires worn unevenly"), "short"
    )


def test_states_in_words() -> None:
    found = [(state.letter, state.words) for state in states(case_of(ticket_from(TWO)))]
    assert found == [("A", "cause not found"), ("B", "put right")]


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ("says: hums", "not looked at"),
        ("says: hums; not reproduced\nfound: road test 9 mi, no noise", "not reproduced"),
        ("says: hums\nfound: hub dry", "cause not found"),
        ("says: hums\ncause: prob worn bearing", "cause known but not proved"),
        ("says: hums\nfound: bearing worn\ncause: worn bearing; from 2", "waits"),
        (
            "says: hums\nfound: bearing worn\ncause: worn bearing; from 2\noffer: replace bearing\ntold: A, no 4",
            "repair declined",
        ),
        (
            "says: hums\nfound: bearing worn\ncause: worn bearing; from 2"
            "\noffer: replace bearing; for 2\noffer: flush brakes\ntold: A, yes 4, no 5",
            "waits",
        ),
        ("says: hums\noffer: replace bearing\noffer: flush brakes\ntold: A, no 2, no 3", "declined"),
        (
            "says: hums\nfound: bearing worn\ncause: worn bearing; from 2\ndid: replace bearing"
            "\nused: 1 x HB-7 wheel bearing, new @ 62.00",
            "repaired, not tested yet",
        ),
        (
            f"{WORN}\ndid: replace bearing\nused: 1 x HB-7 wheel bearing, new @ 62.00\nproof: 2 now 0 mm",
            "put right",
        ),
        (
            f"{WORN}\ndid: replace bearing\nproof: 2 now 3 mm",
            "worked on, the test was not passed",
        ),
        ("says: yearly service is due\ndid: change engine oil", "work done"),
    ],
)
def test_the_state_of_a_concern_follows_its_entries(lines: str, words: str) -> None:
    assert [state.words for state in states(case_of(ticket_from(lines)))] == [words]


def test_an_earlier_item_nobody_looked_at_is_told_with_its_day() -> None:
    before = signed(
        "says: service\nlater: replace rear pads; may wait; risk: pads may wear down", number=2107, opened=MARCH
    )
    told = sentences(told_of("says: wiper broke\nfound: wiper arm bent", before), "visit")
    assert told == [
        "On March 2, 2026 this was still to do: replace the rear pads.",
        "We did not look at it this time.",
    ]


@pytest.mark.parametrize(
    ("answer", "end"),
    [
        ("done here", "That has been done this time."),
        ("done elsewhere", "It was done elsewhere."),
        ("looked at, still waits", "We looked at it, and it still waits."),
        ("gone", "It no longer applies."),
    ],
)
def test_an_answer_to_earlier_work_is_told(answer: str, end: str) -> None:
    before = signed("says: service\nlater: replace rear pads; may wait", number=2107, opened=MARCH)
    told = sentences(told_of(f"says: wiper broke\nlater: for 2107/2; {answer}", before), "visit")
    assert told == ["On March 2, 2026 this was still to do: replace the rear pads.", end]


def test_an_answer_to_work_that_no_ticket_at_hand_tells_names_its_ticket_and_loses_no_words() -> None:
    told = sentences(told_of("says: wiper broke\nlater: for 2107/2; done elsewhere"), "visit")
    assert told == ["On ticket 2107 some work was still to do.", "It was done elsewhere."]
    case = case_of(ticket_from("says: wiper broke\nlater: rear pads; for 2107/2; done elsewhere"))
    assert sentences(build(case, language="es"), "visit") == [
        "En la orden 2107 quedó pendiente un trabajo.",
        "Se hizo en otro taller.",
        "Rear pads.",
    ]


def test_an_earlier_ticket_that_is_not_signed_is_no_source() -> None:
    before = ticket_from("says: service\nlater: replace rear pads; may wait", number=2107, opened=MARCH)
    assert sentences(told_of("says: wiper broke", before), "visit") == []


def test_the_same_code_within_the_shops_days_is_a_comeback() -> None:
    before = signed("says: fan warning\ncode: P0480-1F\ndid: replace fan relay", number=2107, opened=MARCH)
    told = sentences(told_of("says: fan warning again\ncode: P0480-1F", before), "visit")
    assert told[0] == "You were here for this on March 2, 2026. That day we replaced the fan relay."
    late = dataclasses.replace(Settings(), comeback_days=5)
    ticket = ticket_from("says: fan warning again\ncode: P0480-1F")
    assert sentences(build(case_of(ticket, before, settings=late)), "visit") == []


def test_dates_follow_the_shops_way() -> None:
    before = signed("says: service\nlater: replace rear pads; may wait", number=2107, opened=MARCH)
    settings = Settings(dates="2 March 2026", currency="£")
    told = sentences(
        build(
            Case(
                ticket_from("says: wiper broke\nlater: replace wiper arm; est 1240"),
                settings,
                date(2026, 4, 1),
                (before,),
            )
        )
    )
    assert any(sentence.startswith("On 2 March 2026 this was still to do") for sentence in told)
    assert "Cost: about £1,240." in told


def test_mixed_payers_name_what_another_pays() -> None:
    told = sentences(
        told_of(
            "says: hums\ndid: 1.0 h replace fan motor; pay warranty\ndid: 0.4 h replace wiper arm\n"
            "used: 1 x FM-200 fan motor, new @ 80.00; pay warranty\nused: 1 x WA-110 wiper arm, new @ 20.00"
        ),
        "did",
    )
    assert "Warranty pays for this: replacing the fan motor and one new fan motor." in told
    assert not [sentence for sentence in told if "this work" in sentence]


def test_a_nothing_found_story_claims_no_cause_and_no_part() -> None:
    lines = "says: dash went dark twice; not reproduced\nfound: road test 12 mi, dash stayed on\ndid: 0.8 h diagnosis"
    story = build(case_of(headed(lines, "ready")))
    told = sentences(story)
    assert told[0] == "We could not make it happen, and we did not find the cause."
    assert "We did not fit any parts." in told
    assert not [sentence for sentence in told if "because" in sentence]
    assert [section.title for section in story.sections if section.id == "again"] == ["If it happens again"]


def test_a_good_word_beside_a_bad_reading_prints_neither() -> None:
    told = sentences(told_of("found: rear pads LR 2.0 mm (min 3.0), ok"), "found")
    assert told == ["The left rear brake pad was 2.0 mm thick; at least 3.0 mm is needed."]


def test_a_reading_too_close_to_call_gets_no_verdict() -> None:
    told = sentences(told_of("found: pump current >6.0 A (max 6.5)"), "found")
    assert told
    assert not [sentence for sentence in told if "too high" in sentence or "within limits" in sentence]


def test_unlike_conditions_are_never_compared() -> None:
    told = sentences(
        told_of(
            "found: motor temperature, after 10 km 91 degC (max 70)\n"
            "proof: motor temperature, after 25 km 58 degC (max 70)"
        ),
        "proof",
    )
    assert told == ["After 25 km, the motor temperature was 58 °C, within limits; no more than 70 °C is allowed."]


def test_a_suspicion_that_was_ruled_out_is_told_once() -> None:
    told = sentences(
        told_of(
            "maybe: worn fan motor\nfound: fan current 18 A (15 to 21)\n"
            "ruled: worn fan motor; fan current is normal; from 2"
        )
    )
    assert [sentence for sentence in told if "fan motor" in sentence] == [
        "It was not a worn fan motor, because the fan current was normal."
    ]


def test_r_and_r_without_its_part_line_is_told_as_either() -> None:
    told = sentences(told_of("did: 3.1 h R&R A/C compressor"))
    assert "Removed and refitted or replaced air conditioning compressor." in told
    assert "We replaced the air conditioning compressor." in sentences(
        told_of("did: 3.1 h R&R A/C compressor\nused: 1 x AC-9120 A/C compressor, rebuilt @ 240.00")
    )


def test_a_tolerance_is_worked_out_exactly_and_declared() -> None:
    story = told_of("found: belt deflection 11.0 mm (9.6 +/- 0.2)")
    sentence = next(item for section in story.sections for item in section.sentences if section.id == "found")
    assert sentence.text.replace("\u00a0", " ").endswith("9.4 to 9.8 mm is normal.")
    assert {item.op for item in sentence.derived} == {"tolerance"}


def test_cautions_are_at_most_three_and_the_gravest_come_first() -> None:
    story = told_of(
        "did: replace hybrid inverter pump, refill coolant, replace fuel pump, replace front pads, replace battery"
    )
    care = next(section for section in story.sections if section.id == "care")
    assert [sentence.sources[-1] for sentence in care.sentences] == [
        "caution:high-voltage", "caution:fuel", "caution:wheels-off",
    ]  # fmt: skip


def test_a_balance_tells_what_the_amounts_fit_and_never_that_it_leaks() -> None:
    told = sentences(
        told_of(
            "found: balance: fan drive took 0.9 +/- 0.1 L; "
            "engine drained 20.4 +/- 0.1 L of 19.5 at 20 degC; outside dry"
        ),
        "found",
    )
    assert told[-1].startswith("The amounts fit fluid passing from the fan drive into the engine")
    assert not [sentence for sentence in told if "leak" in sentence]


def test_a_cause_that_rests_on_a_balance_alone_only_fits() -> None:
    lines = (
        "found: balance: fan drive took 0.9 +/- 0.1 L; engine drained 20.4 +/- 0.1 L of 19.5 at 20 degC; outside dry\n"
        "cause: fluid passing the shaft seal; from 1"
    )
    assert "The readings fit this: the fluid was passing the shaft seal." in sentences(told_of(lines), "cause")
