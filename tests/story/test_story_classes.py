"""Classes of what stories once told falsely, each held by invented lines of several trades; common practice, no source.

A part, a side, an answer, a danger and a verdict each belong to one thing: told of another they are false, and a word
of two meanings is told as neither.
"""

import pytest
from story_jobs import case_of, sentences, ticket_from, told_of

from ticket.job.kinds import Proof
from ticket.language.shortforms import spell
from ticket.notes.file import read_file
from ticket.story.build import build
from ticket.story.context import Job
from ticket.story.facts.proved import outcome


def whole(*lines: str, vehicle: str = "2014 Ember Fox 2.0", language: str = "en", section: str = "") -> list[str]:
    """The customer's sentences of some lines."""
    text = f"vehicle: {vehicle}\ncustomer: Ada Fenn\n\n" + "\n".join(lines)
    return sentences(build(case_of(ticket_from(text)), language=language), section)


# --- parts stand behind the work they belong to --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (
            ["did: replaced knotter spring", "did: adjusted twine tension", "used: 1 x knotter spring, new @ 9.00"],
            ["We replaced the knotter spring.", "This took one new knotter spring.", "We adjusted the twine tension."],
        ),
        (
            ["did: repacked hubs", "did: replaced breakaway battery", "used: 1 x breakaway battery, new @ 40.00",
             "used: 2 lb hub grease @ 8.00"],
            ["We repacked the hubs.", "We replaced the breakaway battery.", "This took one new breakaway battery.",
             "We also used 2 pounds of hub grease."],
        ),
        (
            ["did: mounted tires, some wobble felt", "did: replaced valve stem", "used: 4 x tire, new @ 90.00"],
            ["We replaced the valve stem.", "We used four new tires.", "Mounted tires, some wobble felt."],
        ),
        (
            ["did: checked lamps", "used: 2 sealed butt 14 ga @ 1.75"],
            ["We checked the lamps.", "This took two sealed butts 14 ga."],
        ),
    ],
)  # fmt: skip
def test_parts_stand_behind_the_work_that_names_them(lines: list[str], told: list[str]) -> None:
    assert whole(*lines, section="did") == told


@pytest.mark.parametrize(
    ("work", "part", "told"),
    [
        ("r&r hood", "hood latch", "Removed and refitted or replaced hood."),
        ("R&R dash to get at heater box", "heater core", "Removed and refitted or replaced dash to get at heater box."),
        ("r/r alternator, belt", "alternator", "Removed and refitted or replaced alternator, belt."),
        ("R&R front struts", "strut assy", "We replaced the front struts (a spring leg)."),
        ("r&r impeller housing", "impeller housing kit", "We replaced the impeller housing."),
    ],
)
def test_r_and_r_put_in_only_what_was_used(work: str, part: str, told: str) -> None:
    assert told in whole(f"did: {work}", f"used: 2 x {part}, new @ 9.00", section="did")


# --- what was found, and what shows the cause ----------------------------------------------------------------------


def test_no_lesser_finding_stands_in_for_the_one_that_shows_the_cause() -> None:
    told = whole(
        "says: rumbles", "found: wheel bearing LF 3 mm play w/ a growl at 30 mph", "found: hub cap missing",
        "cause: LF wheel bearing; from 2 3", section="cause",
    )  # fmt: skip
    assert told[-1] == "We know this from what we found, as told above."
    told = whole(
        "says: sprayer drips", "found: boom LH tip nozzle gone", "found: filter dirty",
        "cause: boom nozzle; from 2 3", section="cause",
    )  # fmt: skip
    assert told[-1] == "We know this from what we found, as told above."


def test_of_a_reading_in_limits_and_a_fault_beside_it_the_fault_is_the_proof() -> None:
    told = whole(
        "found: fork oil level 110 mm (100 to 120), seal torn", "cause: fork seal torn; from 1", section="cause"
    )
    assert not [one for one in told if "within" in one]


def test_a_service_is_not_told_as_untested_and_a_repair_is() -> None:
    parts = ("did: changed oil and filter", "used: 1 x oil filter, new @ 8.00")
    assert "We have not yet tested the repair." not in whole("says: 500 h service due", *parts)
    broken = ("says: alarm", "found: impeller broken", "did: replaced impeller", "used: 1 x impeller, new @ 30.00")
    assert "We have not yet tested the repair." in whole(*broken)


# --- a side, a place and a verdict belong to their own thing ---------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("play in LF ball joint 3 mm (max 1)", "The play in the left front ball joint"),
        ("voltage at RR sensor 3.1 V (min 4.5)", "The voltage at the right rear sensor was"),
        ("pressure at LH boom valve 40 psi (min 60)", "The pressure at the left boom valve was"),
        ("runout of LF rotor 0.2 mm (max 0.05)", "The wobble of the left front rotor was 0.2 mm, which is too much"),
        ("ground drop at LR lamp 4.8 V (max 0.3)", "Along the left rear ground at the lamp, 4.8 volts were being lost"),
        ("port bank 12 V, stbd bank 10 V (min 11)", "Port bank 12 V, stbd bank 10 V (at least 11 volts is needed): 10 volts is too low."),  # noqa: E501
        ("swing pin play 1.6 mm (max 1.0), was 0.7 mm in spring", "Swing pin play 1.6 mm (no more than 1.0 mm is allowed: too high), was 0.7 mm in spring."),  # noqa: E501
        ("brake shoes LH 0.8 mm, min 1.5, grease all over", "Brake shoes left 0.8 mm (at least 1.5 mm is needed: too thin), grease all over."),  # noqa: E501
        ("oil pressure 12 psi w/ the engine warm (min 20)", "With the engine warm, the oil pressure was 12 psi"),
        ("LR trailer tire 22 psi, RR 32 psi", "left rear 22 psi; right rear 32 psi."),
    ],
)  # fmt: skip
def test_a_side_a_place_and_a_verdict_stay_with_their_thing(line: str, told: str) -> None:
    assert any(told in one for one in whole(f"found: {line}", section="found")), whole(f"found: {line}")


def test_what_is_left_is_no_side() -> None:
    for line in ("2 mm of pad left", "4 mm tread left (min 1.6)", "grease left in hub"):
        assert not [one for one in whole(f"found: {line}", section="found") if "he left" in one]


# --- a word of two meanings ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "line",
    [
        "28 V AC at abs sensor", "boot split, joint run dry and wore", "engine run up to temp, no leaks",
        "no pipes split",
        "boost right, no leaks", "belt slack, deflects 19 mm at middle run", "hoses 3 cracked", "idle set high",
        "door catches on striker",
    ],
)  # fmt: skip
def test_a_word_of_two_meanings_keeps_the_line_as_typed(line: str) -> None:
    story = told_of(f"found: {line}")
    assert [one.form for part in story.sections if part.id == "found" for one in part.sentences] in (["note"], ["list"])


@pytest.mark.parametrize("line", ["press tested and found leak", "greased 14 points, chain set"])
def test_labour_that_may_be_read_in_two_ways_is_a_note(line: str) -> None:
    story = told_of(f"did: {line}")
    assert "note" in [one.form for part in story.sections if part.id == "did" for one in part.sentences]


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("found: ac compressor seized", "The air conditioning compressor was seized."),
        ("found: hood catches worn", "The hood catches were worn."),
        ("found: engine starts fine", "The engine started fine."),
        ("found: grease zerk broken off", "The grease nipple was broken off."),
        ("did: flushed cooling system w/ the engine warm", "We flushed the cooling system with the engine warm."),
    ],
)
def test_a_word_whose_neighbours_decide_is_told(line: str, told: str) -> None:
    assert told in whole(line)


# --- codes -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "told", "untold"),
    [
        ("B2799 - no key signal, stored", "(no key signal) was stored.", "Our tables"),
        (
            "P1234 gearbox control, stored; range sensor mismatch",
            "fault code P1234 (range sensor mismatch).",
            "Our tables",
        ),
        ("P0335 ckp, stored", "P0335 (crankshaft sensor) was stored", "sensor had"),
        ("P0300 random misfire, pending", "P0300 (random misfire) was noted", "misfire had"),
        (
            "SPN 521000 FMI 3, active",
            "It means that what it watches could not be read right",
            "narrows it down to could",
        ),
    ],
)
def test_what_a_line_says_of_its_code_is_told_of_the_code(line: str, told: str, untold: str) -> None:
    found = whole(f"code: {line}", section="found")
    assert any(told in one for one in found), found
    assert not [one for one in found if untold in one]


# --- answers ---------------------------------------------------------------------------------------------------------

OFFER = ["says: pulls", "found: trailer drum cracked", "offer: replace trailer drum; est 210"]


@pytest.mark.parametrize(
    "words", ["will do the drum himself", "not decided on the drum", "says it can wait till hay is in"]
)
def test_who_spoke_of_it_is_not_told_as_unheard(words: str) -> None:
    told = whole(*OFFER, f"told: Ada Fenn by phone, {words}")
    assert not [one for one in told if "not heard" in one or "your answer" in one]
    assert "We have not heard from you yet." in whole(*OFFER)


@pytest.mark.parametrize(
    "words", ["says yes he heard the noise too", "yes she can wait till 5", "yes to the rental car"]
)
def test_a_yes_to_something_else_is_no_yes_to_the_work(words: str) -> None:
    told = whole(*OFFER, f"told: Ada Fenn by phone, {words}", section="agreed")
    assert not [one for one in told if "yes to the work" in one or "yes to this work" in one]


def test_a_yes_with_a_limit_is_no_whole_yes_and_one_beside_other_words_is_none() -> None:
    told = whole(*OFFER, "told: Lowmead Cover by email, yes to 3 but 400.00 only, rest to owner", section="agreed")
    assert "Lowmead Cover said yes to some of this work by email." in told
    told = whole("says: drips", "told: Dunstan by phone, said yes, cart stays here till Thurs", section="agreed")
    assert told == ["We spoke with Dunstan by phone."]


def test_nothing_to_pay_is_no_sum() -> None:
    told = whole(*OFFER, "told: Ada Fenn by phone, yes 3; total 0", section="agreed")
    assert told == ["You said yes to the work we offered by phone; there is nothing to pay."]


# --- what waits ------------------------------------------------------------------------------------------------------


def test_an_offer_and_its_deferred_item_are_one_with_price_urgency_and_time() -> None:
    told = whole(
        "says: hub hot", "offer: n/s rear hub brg kit, seal and shoes; do now; est 240",
        "told: Ada Fenn by phone, no 2",
        "later: n/s rear hub bearing and shoes; because worn; risk: gets hot; before it is towed again",
        section="later",
    )  # fmt: skip
    assert told == [
        "Nearside rear hub bearing and shoes: this must not wait.",
        "We offered: nearside rear hub bearing kit, seal and shoes.", "You said no to this by phone.", "Why: Worn.",
        "Risk: It gets hot.", "When: before it is towed again.", "Cost: about $240.",
    ]  # fmt: skip


def test_an_agreed_part_that_waits_makes_it_no_whole_repair() -> None:
    lines = [
        "says: boat runs hot", "found: impeller broken", "cause: broken impeller; from 2",
        "offer: replace impeller; est 90",
        "offer: replace thermostat; est 40", "told: Ada Fenn by phone, yes to all", "did: replaced impeller; for 4",
        "used: 1 x impeller, new @ 30.00",
    ]  # fmt: skip
    for last in ("later: thermostat; do soon; once the part is in", "found: not done thermostat, wrong part sent"):
        told = whole(*lines, last)
        assert "did the repair" not in told[0]
        assert told[0] == (
            "We found the cause and did part of the repair; the rest is still to do."
            if last.startswith("found")
            else "We found the cause and did the work listed below."
        )


# --- cautions fit vehicle and work -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("vehicle", "line", "word"),
    [
        ("24 boat, 250 outboard", "did: replaced water pump", "coolant cap"),
        ("9 row seed planter", "did: replaced brake disc", "wheel nuts"),
        ("2012 motor home", "did: replaced fresh water pump", "coolant cap"),
    ],
)
def test_a_caution_that_does_not_fit_is_not_told(vehicle: str, line: str, word: str) -> None:
    assert not [one for one in whole(line, vehicle=vehicle) if word in one]


# --- a test names what it measured again -----------------------------------------------------------------------------


def test_a_test_names_the_reading_it_repeats_whatever_stands_beside_it() -> None:
    told = whole(
        "found: tail lamp earth drop 4.8 V lights on (max 0.3)", "did: ran new earth",
        "proof: 1 now 0.1 V lights on, all lamps right with brake held", section="proof",
    )  # fmt: skip
    assert told[0] == (
        "Tail lamp earth drop, lights on: was 4.8 volts, is now 0.1 volts (no more than 0.3 volts is allowed), "
        "within limits."
    )
    told = whole("found: swing pin play 1.6 mm (max 1.0), was 0.7 mm in spring", "did: new bush", "proof: 1 now 0.1 mm")
    assert any("was 1.6 mm, is now 0.1 mm (no more than 1.0 mm is allowed)" in one for one in told)


# --- lines for payer and shop ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("reader", ["payer", "shop"])
@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("found: not done rear shoes, wrong cylinders sent, 19 mm bore wants 22", "Not done rear shoes"),
        ("proof: no slip 4th 2400 rpm, same lane", "No slip 4th 2400 rpm, same lane."),
        ("found: coolant 1.2 L low", "Coolant 1.2 L low."),
    ],
)
def test_a_line_without_a_certain_name_stays_whole(reader: str, line: str, told: str) -> None:
    found = sentences(told_of(line, reader=reader))
    assert any(told in one for one in found), found
    assert not [one for one in found if "no limit recorded" in one or "min 0" in one]


def test_what_was_wrong_before_is_no_result_of_the_test_that_reads_it_again() -> None:
    ticket = ticket_from(
        "says: pulls left\nfound: LF toe -2.1 deg (-1.3 to -0.3)\ncause: bent track rod; from 2\ndid: 1.0 h set toe\n"
        "proof: LF toe before -2.1 deg now -0.7 deg (-1.3 to -0.3)"
    )
    told = " ".join(one.text for section in build(case_of(ticket), "customer").sections for one in section.sentences)
    assert "not passed" not in told


def test_a_test_that_still_reads_wrong_is_not_passed_whatever_it_read_before() -> None:
    ticket = ticket_from(
        "says: pulls left\nfound: LF toe -2.1 deg (-1.3 to -0.3)\ncause: bent track rod; from 2\ndid: 1.0 h set toe\n"
        "proof: LF toe before -2.1 deg now -1.9 deg (-1.3 to -0.3)"
    )
    ((entry, fact),) = [(one, one.fact) for one in ticket.entries if isinstance(one.fact, Proof)]
    assert outcome(Job(case_of(ticket), "customer"), entry, fact) == "failed"


def test_two_corners_in_a_row_are_two_places() -> None:
    assert (
        spell("set LF RF to 35 psi, LF outer worn")
        == "Set left front and right front to 35 psi, left front outer worn."
    )


# --- what was read, what was left, what is called sure ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("found: hydraulic sieve motor 9 bar, needs 14 to 18, hums",
         "9 bar is too low; 14 to 18 bar is normal."),
        ("found: belt tracking before 6 mm, now 1 mm (max 2)",
         "now 1 mm (no more than 2 mm is allowed): 1 mm is within limits."),
    ],
)  # fmt: skip
def test_a_reading_is_told_with_its_limit_and_never_as_the_excess(line: str, told: str) -> None:
    found = whole("says: slow", line, section="found")
    assert any(one.endswith(told) for one in found), found


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("pump dead, 12.4 V at plug (min 11.5)", "Pump dead, 12.4 V at plug (at least 11.5 volts is needed): 12.4 volts is within limits."),  # noqa: E501
        ("battery 742 A on tester, 680 min", "Battery 742 A on tester (at least 680 amps is needed): within limits."),
        ("hub play .006 in, was .003 (max .004)", "Hub play .006 in, was .003 (no more than .004 inches is allowed): .006 inches is too much."),  # noqa: E501
        ("drive tires LF 17 in, RF 17-1/8 (16-1/2 min)", "Drive tires: left front 17 inches; right front 17 1/8 inches (at least 16 1/2 inches is needed), within limits."),  # noqa: E501
    ],
)  # fmt: skip
def test_a_verdict_names_its_figure_where_something_else_stands_beside_it(line: str, told: str) -> None:
    """A limit between commas is one in brackets; 17 inches of a tire are no tread."""
    assert told in whole("says: slow", f"found: {line}", section="found")


@pytest.mark.parametrize(
    ("found", "proof", "told"),
    [
        ("drain 0.41 A locked 40 min", "2 now 0.02 A at 40 min", "Drain, now: 0.02 A at 40 min."),
        ("press test 15 psi down to 9 in 10 min (13 min)", "2 now 15 psi after 10 min", "Pressure test, now: 15 psi after 10 min."),  # noqa: E501
        ("clamp of hose slack, 15 Nm on check (45-50)", "2 now 48 Nm", "Clamp of hose slack on check, now: 48 Nm."),
    ],
)  # fmt: skip
def test_a_test_without_a_name_stands_behind_what_it_measures_again(found: str, proof: str, told: str) -> None:
    assert told in whole("says: slow", f"found: {found}", f"proof: {proof}", section="proof")


@pytest.mark.parametrize(
    ("cause", "told"),
    [
        ("cause: sieve motor worn; sure; from 2", "The sieve motor was worn."),
        ("cause: sieve motor worn; sure; shaft play and swarf", "The sieve motor was worn."),
        ("cause: sieve motor worn; likely; from 2", "Most likely, the sieve motor was worn."),
    ],
)
def test_sure_is_told_as_sure_whoever_judged_what_was_read(cause: str, told: str) -> None:
    lines = ["says: sieve slow", "found: sieve motor draws 3.1 A", cause]
    assert whole(*lines, section="cause")[0] == told
    assert ("think" in whole(*lines, section="short")[0]) == ("likely" in cause)


def test_the_reason_typed_behind_a_cause_is_told_apart() -> None:
    told = whole("says: sieve slow", "cause: sieve motor worn; sure; shaft play and swarf", section="cause")
    assert told == ["The sieve motor was worn.", "What shows it: Shaft play and swarf."]


def test_that_no_cause_was_found_is_no_cause() -> None:
    lines = ["says: sieve stops now and then", "found: fuses ok", "cause: not found; ran 3 h without a stop"]
    assert whole(*lines, section="short")[0] == "We looked for the cause and did not find it."
    assert not [one for one in whole(*lines) if "likely" in one.lower()]


# --- one work is one thing, with the price of its own ---------------------------------------------------------------


def test_work_offered_whole_and_put_off_by_pieces_is_told_once_each_without_the_price_of_all() -> None:
    lines = [
        "says: auger noisy", "found: auger flight cracked", "found: gearbox mount loose",
        "offer: weld auger flight, gearbox mount; do now; est 300", "told: Ada Fenn by phone, no 4",
        "later: auger flight; not safe, don't tow it; because crack is long", "later: gearbox mount; in 10 days",
    ]  # fmt: skip
    assert (
        whole(*lines, section="short")[-1] == "Two things are still to do; please do not drive until the first is done."
    )
    told = whole(*lines, section="later")
    assert sum(one.startswith("We offered:") for one in told) == 1
    assert not [one for one in told if "$" in one]


def test_the_price_of_what_was_agreed_is_not_the_cost_of_the_rest() -> None:
    told = whole(
        "says: howls", "found: auger bearings dry", "offer: replace auger bearings both ends; est 260",
        "told: Ada Fenn, yes 3; total 260", "did: replaced auger bearing front; for 3",
        "later: replace auger bearing rear; because part came wrong; in 1 week", section="later",
    )  # fmt: skip
    assert told
    assert not [one for one in told if "$260" in one]


def test_the_name_of_a_thing_is_no_work_and_work_of_the_driver_none_of_the_shop() -> None:
    for text in ("drive belt", "bleed screw", "watch the gauge on the hills"):
        told = whole("says: x", f"later: {text}; may wait; because worn", section="later")
        assert told[0] == f"{text[0].upper()}{text[1:]}: this can wait.", told


def test_a_look_again_behind_a_risk_says_when() -> None:
    told = whole(
        "says: x", "later: chaff fan belt; because frayed; risk: belt can break; recheck in 200 h", section="later"
    )
    assert "Risk: Belt can break." in told
    assert "When: in 200 hours." in told or any("200 hours" in one for one in told)


def test_one_waits_for_your_answer_not_for_hers() -> None:
    told = whole("says: x", "later: chaff fan; because waiting on her ok", section="later")
    assert "Why it waits: We are waiting for your answer." in told


# --- what was said ----------------------------------------------------------------------------------------------------


def test_an_answer_in_words_is_told_and_a_remark_is_not() -> None:
    lines = [
        *OFFER,
        "offer: replace light; est 20",
        "told: Ada Fenn at counter, yes light, no drum, thinks we are slow",
    ]
    told = whole(*lines, section="agreed")
    assert told == ["You said yes to the light in person.", "We wrote down: No drum."]
    assert not [one for one in whole(*lines, section="short") if "said no" in one or "your answer" in one]


def test_who_pays_is_none_of_the_work_that_was_agreed_to() -> None:
    told = whole(
        *OFFER, "offer: replace light; pays customer; est 20", "told: Ada Fenn by phone, yes 4", section="agreed"
    )
    assert told == ["You said yes to this by phone: replace the light."]


# --- work ------------------------------------------------------------------------------------------------------------


def test_no_half_of_a_line_is_bent_and_no_verb_spread_over_what_it_does_not_fit() -> None:
    assert "We did a smoke test and a fan system check." in whole("did: smoke test and fan system check", section="did")
    assert "Splice fan wire, marker bulb, battery." in whole(
        "did: splice fan wire, marker bulb, battery", section="did"
    )


def test_another_day_is_no_thing_that_was_measured() -> None:
    told = whole("says: x", "found: June at 1,400 h auger pads LH 4.5 mm RH 4.6 mm", section="found")
    assert not [one for one in told if "We measured" in one], told


# --- what waits, by numbers, by parts of several offers, and again ----------------------------------------------------


def test_offers_named_by_their_numbers_are_told_each_with_its_own_urgency() -> None:
    lines = [
        "says: x", "offer: new grain filter; do now; est 90", "offer: auger block 9; soon; est 400",
        "later: 2 3 wait for his answer; risk: can stop on a hill; when he rings",
    ]  # fmt: skip
    assert whole(*lines, section="short")[-1] == "Two things are still to do; one of them must not wait."
    told = whole(*lines, section="later")
    assert "New grain filter: this must not wait." in told
    assert "Auger block 9: this should be done soon." in told
    assert "When: when he rings." in told


def test_one_item_that_puts_several_offers_off_has_the_price_of_each() -> None:
    lines = [
        "says: x", "offer: replace feed pipe and bleed; do now; est 148", "offer: feed belt, fit and adjust; est 71.50",
        "told: Ada Fenn, no 2, no 3", "later: feed pipe and feed belt; do now; because pipe leaks",
    ]  # fmt: skip
    assert whole(*lines, section="short")[-1] == "One thing is still to do, and it must not wait."
    told = whole(*lines, section="later")
    assert told[-1] == "Cost: about $148 and about $71.50."


def test_what_was_done_and_falls_due_again_is_no_open_work() -> None:
    lines = ["says: full service", "did: 1 h oil and filter service", "later: oil and filter; in 5000 km"]
    assert whole(*lines, section="short") == ["We did the service you asked for."]
    assert whole(*lines, section="later")[0] == "Oil and filter, the next time."
    assert "Next service." in whole("says: x", "later: next service; in 12 months", section="later")


def test_what_one_does_to_see_something_is_no_name_of_a_thing() -> None:
    assert whole("says: x", "found: pull fuse 23 drops to 0.03 A", section="found") == ["Pull fuse 23 drops to 0.03 A."]


def test_a_side_of_the_kerb_stays_with_a_single_reading() -> None:
    told = whole("says: x", "found: n/s/f wheel play 3.5 mm (max 2.0)", "found: o/s rear disc 9 mm (min 10)")
    assert any(one.startswith("The nearside front wheel play was 3.5") for one in told), told
    assert any(one.startswith("The offside rear disc was 9") for one in told), told


def test_a_verdict_stands_with_its_figure_where_another_bracket_follows() -> None:
    told = whole("says: x", "found: batt 11.7 V as came in (12.4 min), charged 12.7 V, load test 610 A (min 570)")
    assert any(one.endswith(": 11.7 volts is too low; at least 12.4 volts is needed.") for one in told), told


def test_work_done_beside_a_repair_that_waits_for_its_part_is_told_first() -> None:
    told = whole(
        "says: x", "found: rear bearing lever seized", "cause: rear bearing lever seized; sure; from 2",
        "offer: front belts; est 90", "offer: rear bearing; est 80", "told: Ada Fenn, yes 4 5",
        "did: replace front belts; for 4", "used: 2 x front belt, new @ 20",
        "later: rear bearing; part not in, waiting for parts", section="short",
    )  # fmt: skip
    assert told[0] == "We found the cause and did the work listed below; the rest waits for a part."


# --- what was answered, known, done and open -------------------------------------------------------------------------

OFFERS = ["says: runs hot", "found: fan 2 motor open", "cause: fan 2 motor open; sure; from 2"]


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("told: Ada Fenn in person, all good; total 255.45",
         ["We told you in person that all is in order.", "We named a total of $255.45."]),
        ("told: Ada Fenn by phone, drums back ordered to Thurs, trailer stays in our yard, yes",
         ["We spoke with you by phone.", "We wrote down: Drums back ordered to Thurs, trailer stays in our yard.",
          "The answer then was yes."]),
        ("told: Ada Fenn by phone, nothing found, nothing replaced",
         ["We told you by phone that we found nothing and that no parts were fitted."]),
        ("told: Ada Fenn by phone, her brother drives past, pump man is late", ["We spoke with you by phone."]),
        ("told: Ada Fenn by phone, left vm, no answer",
         ["We left a message for you by phone; we have not heard from you yet."]),
        ("told: Ada Fenn by text, sent est, no reply yet",
         ["We wrote to you by text message; we have not heard from you yet."]),
        ("told: Ada Fenn by phone, still no", ["You said no again by phone."]),
    ],
)  # fmt: skip
def test_a_talk_is_told_with_what_came_of_it(line: str, told: list[str]) -> None:
    """A yes is made of no other words, and what stands of the work is told as typed; a word about a person is not."""
    assert whole("says: drags", line, section="agreed") == told


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (["did: 0.8 h charging sys check", "told: Ada Fenn by phone, nothing found"],
         "We looked for the cause and did not find it."),
        ([*OFFERS, "offer: fan assy; for 2 3; do now; est 571.75", "told: Ada Fenn by text, sent est, no reply yet",
          "did: 1.0 h diag fan", "later: fan assy; waiting on ok; risk: overheats at idle"],
         "We found the cause; the repair waits for your answer."),
        ([*OFFERS, "offer: fan assy; for 2 3; do now", "told: Ada Fenn by phone, no 4", "did: 0.9 h fan inspect"],
         "We found the cause; you said no to the repair."),
        (["found: splice rotted", "found: L drum cracked", "maybe: drag is L return spring",
          "offer: fix turn circuit; for 2; do now", "told: Ada Fenn by phone, yes 5",
          "did: 1.4 h cut out splice, soldered new wire; for 5"],
         "We did the work listed below."),
        (["did: 1.6 h 250 h svc, oil, filters", "used: 4 qt oil @ 5.40",
          "later: next 250 h svc; may wait; because due then; at 6,462 h"],
         "We did the service you asked for."),
    ],
)  # fmt: skip
def test_an_opening_tells_the_news(lines: list[str], told: str) -> None:
    says = "says: 250 h svc, no complaints" if "svc" in lines[0] else "says: runs hot, drags"
    told_so = whole(*([] if lines[0] == OFFERS[0] else [says]), *lines, section="short")
    assert told_so[0] == told
    assert "svc" not in lines[0] or len(told_so) == 1  # the service after this one is not still to do


def test_what_was_offered_and_not_answered_keeps_its_sum() -> None:
    lines = ["offer: fan assy both fans, top off; for 2 3; do now; est 571.75", "did: 1.0 h diag fan",
             "later: fan assy; waiting on ok; because no answer yet; risk: overheats"]  # fmt: skip
    told = whole(*OFFERS, *lines, section="later")
    assert "Cost: about $571.75." in told
    assert "Why it waits: We are waiting for your answer." in told


# --- known words in a shape of their own -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("horn, strobe, backup alarm ok", "The horn, the strobe, and the backup alarm were in order."),
        ("upper and lower lamps dead", "The upper and lower lamps were dead."),
        ("fan 2 motor open", "The fan 2 motor was open."),
        ("hoses, clamps loose", "Hoses, clamps loose."),  # who knows whether of the hoses too
        ("drop link slight play, boot, clamp ok", "Drop link slight play, boot, clamp ok."),  # play is no part
    ],
)
def test_a_good_word_behind_a_list_is_said_of_all_of_it(line: str, told: str) -> None:
    assert told in whole("says: slow", f"found: {line}", section="found")


@pytest.mark.parametrize(
    ("work", "parts", "told"),
    [
        ("front discs & pads b/s", ["1 pr front discs, new @ 9", "1 set front pads, new @ 9"],
         "We fitted the front discs and pads on both sides."),
        ("LF hub brg", ["1 x hub brg, new @ 9"], "We fitted the left front hub bearing."),
        ("upper rad hose, cap, fill n bleed", ["1 x upper rad hose, new @ 9", "1 x rad cap, new @ 9"],
         "We fitted the upper radiator hose and the cap, filled up, and bled the air out."),
        ("LF hub brg, cap", ["1 x hub brg, new @ 9"], "Left front hub bearing, cap."),  # no cap was used
        ("oil n filter", ["4 qt oil @ 9", "1 x oil filter, new @ 9"], "Oil and filter."),  # nobody fits oil
        ("LF hub brg", ["sublet hub brg @ 9"], "Left front hub bearing."),
    ],
)  # fmt: skip
def test_bare_things_were_put_in_where_parts_of_their_names_were_used(work: str, parts: list[str], told: str) -> None:
    assert told in whole("says: x", f"did: {work}", *(f"used: {part}" for part in parts), section="did")


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (["ruled: alternator; 14.3 V at 2000 rpm (13.8-14.8)"],
         "It was not the alternator (the part that makes the current): 14.3 V at 2000 rpm (13.8-14.8)."),
        (["found: gizmo did a thing", "ruled: weak batt; from 2"], "It was not a weak battery."),
    ],
)  # fmt: skip
def test_what_it_was_not_is_said_with_what_was_read(lines: list[str], told: str) -> None:
    assert told in whole("says: slow", *lines)


def test_how_a_numbered_fan_is_switched_is_no_control_unit() -> None:
    told = whole("says: hot", "code: P0481 fan 2 control, stored", section="found")
    assert told[0].startswith("Fault code P0481 (fan 2 control) was stored")


# --- what is one work, one cause, one verdict ------------------------------------------------------------------------


def test_a_head_line_that_nobody_knows_moves_the_number_of_no_entry() -> None:
    head = "vehicle: 2011 Ember Fox\npayer: Laurel Gap Plan\nodometer in: 129,554 mi\n"
    file = read_file(f"{head}says: runs hot\noffer: hose; est 58\ntold: Ada Fenn, yes 2")
    assert [draft.fact.kind for draft in file.drafts] == ["says", "offer", "told", "note"]
    assert str(file.header.odometer_in) == "129,554 mi"
    assert str(read_file("vehicle: loader\nhours in: 6,318\n\nsays: hot").header.odometer_in) == "6,318 h"
    plain = read_file("vehicle: loader\nbrakes: soft\nfound: pads worn")  # no head line behind it: it is an entry
    assert [draft.shop_only for draft in plain.drafts] == [False, False]


def test_an_offer_turned_down_and_put_off_is_one_work() -> None:
    lines = ["says: pedal sinks", "found: LR brake line rusted through",
             "cause: LR brake line rusted through; sure; from 2",
             "offer: new lines LR and RR over axle, flush and bleed; for 2; do now; est 346.50", "told: Ada Fenn, no 4",
             "later: LR and RR brake lines; turned down, cant wait; risk: lose the brakes any stop"]  # fmt: skip
    assert whole(*lines, section="short") == [
        "We found the cause; you said no to the repair.",
        "One thing is still to do, and it must not wait.",
    ]


def test_one_doubtful_cause_does_not_make_another_doubtful() -> None:
    lines = ["says: lamp dim, wheel smokes", "found: ground at LH lamp 4.6 ohm (max 0.2)",
             "found: LH hub 265 F (max 160)", "cause: LH hub bearing worn; likely; from 3",
             "cause: LH lamp ground rusted; sure; from 2", "offer: replace LH hub bearing; for 3; do now",
             "told: Ada Fenn, yes 6", "did: replaced LH hub bearing; for 6", "used: 1 x hub bearing, new @ 9",
             "proof: 2 now 0.1 ohm"]  # fmt: skip
    assert whole(*lines, section="short") == ["We did the work listed below and tested it."]


def test_a_head_that_was_planed_elsewhere_is_no_new_head() -> None:
    told = whole("says: hot", "did: R&R head n gasket", "used: 1 x head gasket set, new @ 9",
                 "used: sublet head planed at Brannick Machine @ 165", section="did")  # fmt: skip
    assert not [one for one in told if "replaced the head" in one]


def test_words_typed_beside_a_code_stand_against_the_table() -> None:
    told = whole("says: lamp on", "code: C0040 rt frt wheel speed, stored", section="found")
    assert not [one for one in told if "brake pedal" in one]


@pytest.mark.parametrize(
    ("typed", "told"),
    [("hub bearin worn", "Hub bearing worn."), ("seal leakin", "Seal leaking."), ("batt settin", "Battery settin."),
     ("main cabin wet", "Main cabin wet.")],
)  # fmt: skip
def test_a_g_that_was_left_out_is_put_back_where_only_one_word_can_be_meant(typed: str, told: str) -> None:
    assert spell(typed, "found") == told


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("told him pedal goes down, not safe to drive", "We warned of this: Pedal goes down, not safe to drive."),
        ("took it anyhow, drove off", "We wrote down: Took it anyhow, drove off."),
        ("service done, nothin else needed", "We told you in person that nothing else is needed."),
    ],
)
def test_what_was_said_beside_a_warning_is_part_of_it(words: str, told: str) -> None:
    assert told in whole("says: pedal sinks", f"told: Ada Fenn in person, {words}", section="agreed")


def test_why_something_waits_is_no_reason_why_it_must_not() -> None:
    told = whole("says: rolls", "later: park brake cables; do now; because on backorder", section="later")
    assert "Why it waits: On backorder." in told
