"""Lines that name no kind, or name it without a colon: read as what they are where that is certain, else findings.

Common practice of the trade, no source, where nothing else stands beside a check.
"""

from typing import Any

import pytest

from ticket.notes.meaning import meaning_of
from ticket.notes.read import read


def said(line: str) -> dict[str, Any]:
    return meaning_of(read(line))


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("did 2.1 h, both ball joints pressed", "did"),
        ("used 3 clamps @ 2.10 ea", "used"),
        ("photo pad.jpg; worn pad", "photo"),
        ("photo shows rust on the arm", "found"),
        ("used 1/4 L hand cleaner", "used"),
        ("told Wilma 380 for the rack, she says go ahead", "told"),
        ("code U0100 stored", "code"),
        ("codes P0455 pending n P0456 stored", "code"),
        ("dtc: C0035-31 history", "code"),
        ("later - wiper arms, at next service", "later"),
        ("maybe the purge valve sticks", "maybe"),
        ("ruled out the ground strap", "ruled"),
        ("code F4 on the heater", "code"),
        ("spoke to Ulla 555-0123, nothing back yet", "told"),
        ("lvm for Kito 4:05 pm", "told"),
        ("text from Ottmar 7:50, wants to think about the rack", "told"),
        ("owner in person, yes to the hose, not over 300", "told"),
        ("Mrs Vantongeren at the counter 9:05, will think about it", "told"),
        ("2 h on the hoist valve", "did"),
        ("no lift at all, traced the chafed feed and remade the end, 1.75 h", "did"),
        ("Odalys wants to think about the chains", "told"),
        ("txt Odalys Brand abt the mast, no reply", "told"),
        ("cust at the counter, yes to all, not over 350", "told"),
        ("50 min freeing the seized mast pin", "did"),
        ("6 qt 15W-40 into the sump", "used"),
        ("txt msg to Ottmar Kulli, go ahead with all of it", "told"),
        ("no codes in the mast ecu", "code"),
        ("1.7 hr renewed both wheel seals", "did"),
        ("R&I dash 5.2", "did"),
        ("repacked both hubs, 1.5 hr.", "did"),
        ("0.6 strip and clean idle valve", "did"),
        ("recheck belt in 3 months", "later"),
        ("shocks can wait, see again in 8000 km", "later"),
        ("filter due at 61,000 km", "later"),
        ("3 L gear oil 9.40/L", "used"),
        ("1 pr blades WB-1188 19.90", "used"),
        ("2 off bushes 33-4471, 6.15 each", "used"),
        ("4 x clips @ 0.85", "used"),
        ("ECM P0118 pending", "code"),
        ("P0455 large leak came back 3 times", "code"),
    ],
)
def test_a_line_that_can_hardly_be_anything_else_is_that(line: str, kind: str) -> None:
    assert said(line)["kind"] == kind


@pytest.mark.parametrize(
    "line",
    [
        "did not start after 2 hrs",
        "did nothing for 3 h",
        "used oil black",
        "used 2 qts in 1000 mi",
        "used 1 L since last change",
        "codes light is on",
        "40 min idling, temp 88 C",
        "stalled twice, 1.5 h",
        "no heat, stalled again, 1.5 h",
        "Boom wants to drop",
        "cust at fault, kerb strike",
        "2 h on the clock since last fill",
        "3 qt leaked into the bell housing",
        "code reader shows nothing",
        "told by the driver side lamp",
        "maybe 3 mm of play",
        "later model harness",
        "battery said to be new",
        "brakes ok",
        "driver side pads ok",
        "gauge says no pressure",
        "customer side mirror loose",
        "2 bolts missing",
        "3 qt low",
        "2 L leaked out overnight",
        "1 tooth chipped 0.25",
        "4 cyl engine",
        "2 hrs parked then no start",
        "replaced pump 2 hrs ago, still leaks",
        "cleaned sensor, died after 20 min",
        "can wait at the light with no stall",
        "check engine lamp on",
        "return line hot",
        "review of harness shows chafing",
        "text on display garbled",
        "left mirror cracked",
        "met resistance at half travel",
        "called for by the maker",
        "call light stays on",
        "adjusted idle to 1.4",
        "set screw loose",
        "due to corrosion",
        "owner installed a switch",
        "mail slot stuck",
    ],
)
def test_words_that_only_begin_alike_leave_a_finding(line: str) -> None:
    assert said(line)["kind"] == "found"


@pytest.mark.parametrize(
    ("line", "asked"),
    [
        ("told: Bo rang back, yes to one of the two", "one"),
        ("told: Bo says do one of them", "one of them"),
        ("told: Bo said go with that one", "that one"),
        ("told: Bo ok to the one but not the other", "one"),
        ("used: 2 or 3 L coolant", "2 or 3"),
        ("used: grease 1 tube or maybe 2", "or maybe 2"),
        ("used: seal 40-118 or 40-181", "40-118 or 40-181"),
        ("did: replaced axle seal 2 5 hr", "5 hr"),
        ("later: gear oil in 4", "in 4"),
        ("later: pads in 8, keeps an eye on it", "in 8"),
        ("later: filters at 250 hrs", "250 hrs"),
    ],
)
def test_what_may_be_two_things_is_asked_and_not_taken(line: str, asked: str) -> None:
    meant = said(line)
    pieces = [*meant["unread"], *meant["questions"]]
    assert any(asked in line[one["start"] : one["end"]] or line[one["start"] : one["end"]] in asked for one in pieces)
    assert (meant["answers"], meant["hours"], meant["quantity"], meant["part"], meant["due"]) == (
        [],
        None,
        meant["quantity"] if "seal" in line else None,
        None,
        None,
    )


@pytest.mark.parametrize(
    ("line", "answers"),
    [
        ("Bo texted, tires declined, wants the mirror fixed", [("no", "tires"), ("yes", "mirror")]),
        ("Bo called, ok on the hose but leave the clutch", [("yes", "hose"), ("no", "clutch")]),
        ("told: Bo by phone, pump yes, hose he declined", [("yes", "pump"), ("no", "hose")]),
        ("told: Bo by phone, ok the pads, tires not till spring", [("yes", "pads"), ("wait", "tires")]),
        ("called Bo, left vm, no call back yet", []),
        ("told: Bo by phone, go ahead on everthing 212.40", [("yes", "all")]),
    ],
)
def test_answers_in_the_words_of_the_counter(line: str, answers: list[tuple[str, str]]) -> None:
    assert [(one["answer"], " ".join(one["to"])) for one in said(line)["answers"]] == answers


@pytest.mark.parametrize(
    ("line", "due"),
    [
        ("later: filters in 300 engine hrs", {"time": "300 h"}),
        ("later: hydraulic oil at 5,200 hrs", {"odometer": "5200 h"}),
        ("later: filter at 720 on the hour meter", {"odometer": "720 h"}),
        ("later: seal, do with the next clutch", {"event": "next clutch"}),
        ("later: drains before freeze-up", {"event": "before freeze-up"}),
        ("later: wax put off till spring", {"event": "till spring"}),
    ],
)
def test_due_by_hours_by_a_meter_and_by_what_comes_anyway(line: str, due: dict[str, str]) -> None:
    assert {name: value for name, value in (said(line)["due"] or {}).items() if value} == due


@pytest.mark.parametrize(
    ("line", "part", "price"),
    [
        ("used: 4 plugs KT-60 @ 7.10 each", "KT-60", "7.1"),
        ("used: 1 x filter 7713-GH, 380/-", "7713-GH", "380"),
        ("used: 2 x lamp 12-VDC @ 3", None, "3"),
        ("used: 2 sleeves PN 5521-K @ 31", "5521-K", "31"),
        ("used: 2 L PAG-46 @ 12", None, "12"),
        ("used: 3 red rings #6 0.90 ea", None, "0.9"),
        ("used: 2 qts 5w20 at 6.10 a qt", None, "6.1"),
        ("used: shoes dr4410 31.20, off the van", "dr4410", "31.2"),
    ],
)
def test_part_numbers_with_letters_and_prices_as_receipts_write_them(line: str, part: str | None, price: str) -> None:
    assert (said(line)["part"], said(line)["price"]) == (part, price)
