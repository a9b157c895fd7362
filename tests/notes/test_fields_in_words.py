"""Fields of a line in ordinary words, each by classes: how the trade types hours, parts, answers, dues and codes.

Common practice of the trade, no source, where nothing else stands beside a check. SPN and FMI are of SAE J1939-73.
"""

from typing import Any

import pytest

from ticket.job.kinds import Offer
from ticket.notes.meaning import meaning_of
from ticket.notes.read import read


def said(line: str) -> dict[str, Any]:
    return meaning_of(read(line))


@pytest.mark.parametrize(
    ("line", "hours"),
    [
        ("swapped nearside damper, took 1.25hrs", "1.25"), ("2h 15m strip and rebuild calipers", "2.25"),
        ("fitted hose, 1h30", "1.5"), ("remove gearbox (4.5h) and change clutch", "4.5"),
        ("half an hour on the latch", "0.5"),
        ("two and a half hours on the loom", "2.5"), ("3/4 hr adjust linkage", "0.75"),
        ("replaced sender .75hr", "0.75"),
        ("pressure test 20 min, 0.6 hr", "0.6"), ("flat rate 1.8", "1.8"),
        ("book time 2.8, actual 3.4, turbo", "2.8"),
        ("worked on the loom for 2.5 hours", "2.5"), ("welded bracket, 6hrs@95", "6"),
        ("3 hrs 10 mins both hubs", "3.1667"),
    ],
)  # fmt: skip
def test_hours_are_read_wherever_they_stand(line: str, hours: str) -> None:
    assert said(f"did: {line}")["hours"] == hours


@pytest.mark.parametrize(
    "line",
    ["idle for 2 h", "changed oil after 2 hrs of soaking", "torqued to 110 Nm", "replaced fuse 12", "coil of cyl 2"],
)
def test_time_that_something_ran_and_numbers_of_things_are_no_hours(line: str) -> None:
    meant = said(f"did: {line}")
    assert (meant["hours"], meant["unread"], meant["questions"]) == (None, [], [])


@pytest.mark.parametrize(
    "line",
    ["replaced pump 2", "2 replaced pump", "two techs 1.5 hrs each", "brake job 1:30", "charged battery 2 hrs, retest"],
)
def test_hours_nobody_can_be_sure_of_are_asked_about_and_not_billed(line: str) -> None:
    (draft,) = read(f"did: {line}")
    assert said(f"did: {line}")["hours"] is None
    assert [remark.state for remark in draft.remarks if remark.blocks] == ["unread"]


def test_of_several_figures_without_a_unit_none_is_billed_unless_each_has_its_own_work() -> None:
    meant = said("did: cleaned nozzles, 2.1, 2.3, 2.2")
    assert (meant["hours"], [piece["text"] for piece in meant["unread"]]) == (None, ["2.1, 2.3, 2.2"])
    assert said("did: 2.1 R&I tank, 0.5 replaced sender")["hours"] == "2.6"


def test_what_waits_behind_labour_is_asked_to_be_a_line_of_its_own() -> None:
    meant = said("did: retightened the U-bolts, .4 h, recheck in 100 km")
    assert (meant["hours"], [piece["text"] for piece in meant["unread"]]) == ("0.4", ["recheck in 100 km"])


def test_several_hours_are_added_with_a_question() -> None:
    meant = said("did: inspection 1.5 hr, wash 0.5 hr")
    assert (meant["hours"], len(meant["questions"])) == ("2", 1)


@pytest.mark.parametrize(
    ("line", "quantity", "measure", "part", "price"),
    [
        ("2 off front discs BD-1182 £46.50 each", "2", None, "BD-1182", "46.5"),
        ("oil filter OF-2231, 1 off, 9.95", "1", None, "OF-2231", "9.95"),
        ("5 litres 5W30 @ 6.20/litre", "5", "L", None, "6.2"), ("DEF 2.5gal", "2.5", "gal", None, None),
        ("12 lug nuts .85 ea", "12", None, None, "0.85"), ("tyre 225/65R17 2 @ $142.00", "2", None, None, "142"),
        ("a pair of wiper blades $24.99", "1", "pair", None, "24.99"), ("seal 35x52x7", None, None, None, None),
        ("part# 4410-77 washer x4", "4", None, "4410-77", None), ("hose 3 ft @ 2.80/ft", "3", "ft", None, "2.8"),
        ("alternator ALT-90211 $289.00 + core 65.00", None, None, "ALT-90211", "289"),
        ("2 off track rods tr-62 £18.40 each", "2", None, "tr-62", "18.4"),
        ("1 qt sae-30 $9.50", "1", "qt", None, "9.5"),
        ("2 1/2 qts ATF", "2.5", "qt", None, None), ("qty: 3 relay RY-1180 $12.40/ea", "3", None, "RY-1180", "12.4"),
    ],
)  # fmt: skip
def test_quantity_part_and_price_are_read_wherever_they_stand(
    line: str, quantity: str | None, measure: str | None, part: str | None, price: str | None
) -> None:
    meant = said(f"used: {line}")
    assert (meant["quantity"], meant["measure"], meant["part"], meant["price"]) == (quantity, measure, part, price)


@pytest.mark.parametrize(
    ("line", "price", "left"),
    [
        ("3 pcs clip a 0,80", "0.8", []), ("seal kit SK-991 44,90", "44.9", []), ("2 x hose HX-22 à 14,50", "14.5", []),
        ("gasket 12.50, bolts 4.40", None, ["12.50, bolts 4.40"]),
        ("2 clamps 3.20, new, spare 1.80", None, ["3.20, new, spare 1.80"]),
        ("1 hub seal HX-4402 61.75, 1.2 L 75w90", "61.75", ["1.2 L"]), ("1 seal 4402-AX @ 5, 0.5L oil", "5", ["0.5L"]),
    ],
)  # fmt: skip
def test_a_price_with_a_comma_is_one_and_a_second_sum_or_amount_is_not_lost(
    line: str, price: str | None, left: list[str]
) -> None:
    meant = said(f"used: {line}")
    assert (meant["price"], [piece["text"] for piece in meant["unread"]]) == (price, left)


@pytest.mark.parametrize(
    ("line", "kept"),
    [("24 oz brake fluid $8", "$8"), ("2 filters $30 total", "$30 total"), ("fluid $8 or $9", "$8 or $9"),
     ("2 x filter @ 12.5o", "@ 12.5o"), ("1 pump, 1 gasket, 1 gal coolant", "1 gasket"), ("shop rags 5%", "5%")],
)  # fmt: skip
def test_a_sum_that_may_mean_two_things_is_asked_about_and_stays_on_the_line(line: str, kept: str) -> None:
    (draft,) = read(f"used: {line}")
    assert said(f"used: {line}")["price"] is None
    assert any(remark.blocks for remark in draft.remarks)
    assert kept in getattr(draft.fact, "text", "")


@pytest.mark.parametrize(
    ("line", "answers"),
    [
        ("Mrs Halloran phoned 9.15am, go ahead with brakes, not the tyres", [("yes", "brakes"), ("no", "tyres")]),
        ("wife Runa ok everything except wipers, by phone", [("yes", "all"), ("no", "wipers")]),
        ("Bo called 10am, wants to wait on the struts, ok brakes", [("wait", "struts"), ("yes", "brakes")]),
        ("brakes yes, tires no", [("yes", "brakes"), ("no", "tires")]),
        ("Bo not sure about struts", [("thinks", "struts")]), ("customer declined everything", [("no", "all")]),
        ("ok'd by Dora 9:40", [("yes", "all")]), ("called Ray 3:05pm, LVM", []), ("waiting for approval", []),
        ("Bo, no charge", []), ("Bo said no problem, go ahead", [("yes", "all")]),
        ("Bo, no hurry", []), ("Bo agrees to wait", [("wait", "all")]),
        ("by phone Ms. Vu not agree the price", [("no", "all")]), ("Ray will call back", []),
        ("Bo, ok 7 and 9", [("yes", "7 9")]), ("Bo, do the lot but no more than 300", [("yes", "all")]),
    ],
)  # fmt: skip
def test_answers_are_read_with_what_they_are_about(line: str, answers: list[tuple[str, str]]) -> None:
    assert [(one["answer"], " ".join(one["to"])) for one in said(f"told: {line}")["answers"]] == answers


@pytest.mark.parametrize(
    "line",
    [
        "Bo ok if warranty pays",
        "partial approval - do brakes",
        "yes to all, no to all",
        "approved? waiting",
        "did not say ok",
        "ok 2 of 3",
    ],
)
def test_an_answer_that_depends_or_contradicts_is_no_answer_and_stops_the_signing(line: str) -> None:
    (draft,) = read(f"told: {line}")
    assert said(f"told: {line}")["answers"] == []
    assert any(remark.blocks for remark in draft.remarks)


@pytest.mark.parametrize(
    ("line", "left"),
    [
        ("yes but not for the dear one", "but not for the dear one"),
        ("ok to all except the big one", "except the big one"),
        ("yes to the front ones", "yes to the front ones"),
        ("yeah to one of em not the other", "yeah to one of em not the other"),
    ],
)  # fmt: skip
def test_a_thing_called_one_is_no_thing_by_name(line: str, left: str) -> None:
    assert [piece["text"] for piece in said(f"told: {line}")["unread"]] == [left]


@pytest.mark.parametrize(
    ("line", "answer"),
    [
        ("Ada by phone, work away", "yes"), ("he said fire away", "yes"), ("happy days, plough on", "yes"),
        ("she'll think about it", "thinks"), ("got hold of Ada, approved", "yes"),
    ],
)  # fmt: skip
def test_what_people_say_for_yes_is_an_answer_to_all(line: str, answer: str) -> None:
    assert said(f"told: {line}")["answers"] == [{"answer": answer, "to": ["all"]}]


@pytest.mark.parametrize(
    ("line", "number", "time"),
    [
        ("rang Hann 8.50, fine", None, "08:50"), ("texted Ola Tarn 14.05, no", None, "14:05"),
        ("called Mr Vass 0712-4481, ok", "0712-4481", None), ("Nils 0771-20044 at 9.15, ok", "0771-20044", "09:15"),
        ("rang Ada re 8.50, ok", None, None), ("ok 8.50", None, None),
    ],
)  # fmt: skip
def test_a_number_and_a_time_with_a_full_stop_belong_to_who_was_reached(
    line: str, number: str | None, time: str | None
) -> None:
    meant = said(f"told: {line}")
    assert (meant["number"], meant["time"]) == (number, time)


def test_no_sum_of_a_contact_is_lost() -> None:
    for line, left in (("no answer yet, 412.50 quoted", "412.50"), ("they agree, until 900 no need to ask", "900")):
        assert [piece["text"] for piece in said(f"told: {line}")["unread"]] == [left]
    assert said("told: ok, he'll go to 500 but no further")["ceiling"] == "500"


def test_an_answer_to_words_agrees_to_no_entry() -> None:
    (draft,) = read("told: Ada Fenn by phone, ok drain and refill, no to seal kit")
    assert getattr(draft.fact, "answers", None) == ()
    assert [(one.answer, one.to) for one in draft.spoken] == [("yes", "drain and refill"), ("no", "seal kit")]
    assert all(draft.line[one.start : one.end].lower().startswith(("ok", "no")) for one in draft.spoken)


@pytest.mark.parametrize(
    ("line", "total", "ceiling"),
    [
        ("Bo ok for $640", "640", None), ("ok all, nte 500", None, "500"), ("yes, 500 max", None, "500"),
        ("approved, not more than £300 inc vat", None, "300"), ("ok if under 500", None, "500"),
        ("ok, PO 44812, total 402", "402", None), ("yes to all, cap it at 1500, call if more", None, "1500"),
        ("agreed, comes to 812.40", "812.4", None), ("ok w/ 210.50 tot", "210.5", None), ("ok, PO 44812", None, None),
    ],
)  # fmt: skip
def test_sums_and_ceilings_are_told_apart_from_each_other_and_from_numbers_of_orders(
    line: str, total: str | None, ceiling: str | None
) -> None:
    meant = said(f"told: {line}")
    assert (meant["total"], meant["ceiling"], meant["unread"]) == (total, ceiling, [])
    assert [one["answer"] for one in meant["answers"]] == ["yes"]


def test_an_estimate_is_no_total() -> None:
    meant = said("told: approved by Lou, est 880")
    assert (meant["total"], [piece["text"] for piece in meant["unread"]]) == (None, ["est 880"])


@pytest.mark.parametrize(
    ("line", "due"),
    [
        ("recheck in a fortnight", {"time": "2 week"}), ("pads, 6 mos", {"time": "6 month"}),
        ("flush in 30 days or 3k mi whichever first", {"time": "30 day", "distance": "3000 mi"}),
        ("trans service at 60,000 mi", {"odometer": "60000 mi"}),
        ("discs lipped, next service", {"event": "next service"}),
        ("duals do before seeding", {"event": "before seeding"}), ("hoses, before haying", {"event": "before haying"}),
        ("belt before winter", {"event": "before winter"}), ("filters due in 250 hrs", {"time": "250 h"}),
        ("filter due 25/12/2026", {"date": "2026-12-25"}), ("inspection 15 Mar 2027", {"date": "2027-03-15"}),
        ("shocks; 2 wks", {"time": "2 week"}), ("bushings; at next tire rotation or 6000 miles",
                                              {"event": "next tire rotation", "distance": "6000 mi"}),
        ("tie rod next PM; in 2 wks", {"event": "next PM", "time": "2 week"}),
    ],
)  # fmt: skip
def test_a_due_is_read_in_ordinary_words(line: str, due: dict[str, str]) -> None:
    meant = said(f"later: {line}")["due"]
    assert {name: value for name, value in meant.items() if value} == due


@pytest.mark.parametrize(
    "line",
    ["filter 12/4/2026", "service at 9k", "recheck at 500 mi", "tires in a couple of months", "boots in 3-4 months"],
)
def test_a_due_nobody_can_be_sure_of_is_asked_about_and_stays_on_the_line(line: str) -> None:
    (draft,) = read(f"later: {line}")
    assert said(f"later: {line}")["due"] is None
    assert any(remark.blocks for remark in draft.remarks)
    assert getattr(draft.fact, "text", "") == line


@pytest.mark.parametrize(
    ("line", "left"),
    [
        ("coolant, 240,000 km", "240,000"), ("hoses in 2 or 3 months", "in 2 or 3 months"), ("wipers Oct", "Oct"),
        ("shocks within the year", "within the year"), ("clutch end of summer", "end of summer"),
        ("service in spring 2027", "2027"), ("pump service, 2000 h", "2000 h"),
        ("pads 20,000 km or 5 years", "20,000 km"),
    ],
)  # fmt: skip
def test_no_word_of_time_of_deferred_work_is_lost(line: str, left: str) -> None:
    assert left in [piece["text"] for piece in said(f"later: {line}")["unread"]]


@pytest.mark.parametrize(
    ("line", "due"),
    [
        ("drums, can wait, 20,000 km or next PM", {"distance": "20000 km", "event": "next PM"}),
        ("belt in half a year", {"time": "6 month"}), ("filter 15000 mi from now", {"distance": "15000 mi"}),
        ("hub seal can wait 6 wks", {"time": "6 week"}),
    ],
)  # fmt: skip
def test_a_due_beside_an_event_from_now_or_behind_wait_is_one(line: str, due: dict[str, str]) -> None:
    assert {slot: value for slot, value in said(f"later: {line}")["due"].items() if value} == due


@pytest.mark.parametrize("line", ["steer tires 8/32, watch", "pads 4 mm left", "pump noisy for 2 weeks"])
def test_a_measure_and_the_past_are_no_due(line: str) -> None:
    assert said(f"later: {line}")["due"] is None


@pytest.mark.parametrize(
    ("line", "left", "blocks"),
    [
        ("did: 1.5 h replaced hose @ 95/h", "@ 95", True), ("did: 1.5 h replaced hose, $142.50", "$142.50", True),
        ("did: 0.5 h checked idle @ 700", "@ 700", False),
    ],
)  # fmt: skip
def test_a_price_of_labour_is_asked_about_and_never_just_words(line: str, left: str, blocks: bool) -> None:
    (draft,) = read(line)
    assert draft.fact.hours == line.split()[1]  # type: ignore[attr-defined]
    assert [(line[one.start : one.end], one.blocks) for one in draft.remarks] == [(left, blocks)]
    assert not read("did: 1 h torqued @ 140 Nm")[0].remarks


@pytest.mark.parametrize("line", ["hoses 10 yrs old", "a 6 year old battery, weak", "belt, last done 8 years ago"])
def test_an_age_is_no_due_and_nothing_is_asked_of_it(line: str) -> None:
    read_so = said(f"later: {line}")
    assert (read_so["due"], read_so["unread"], read_so["questions"]) == (None, [], [])


@pytest.mark.parametrize(
    ("line", "codes"),
    [
        ("SPN 3251 FMI 0 active OC 14", [("3251/0", "active", 14)]),
        ("5394/7 sa 0 active", [("5394/7", "active", None)]),
        ("110/0 active, 1761/17 inactive", [("110/0", "active", None), ("1761/17", "previously active", None)]),
        ("P0300 stored, P0301 pending x3", [("P0300", "stored", None), ("P0301", "pending", 3)]),
        ("ECM: P0420, P0430; TCM: P0700", [("P0420", "", None), ("P0430", "", None), ("P0700", "", None)]),
        ("C0035 LF sensor, C0040 RF sensor, both current", [("C0035", "active", None), ("C0040", "active", None)]),
        ("cleared P0420", [("P0420", "cleared", None)]), ("no codes", []), ("P0171 1Ch", [("P0171-1C", "", None)]),
        ("P0171,1C", [("P0171-1C", "", None)]), ("U0100 history", [("U0100", "history", None)]),
        ("none engine, gearbox P0700 stored", [("P0700", "stored", None)]),
        ("no codes engine, crane controller 520301-4 active", [("520301/4", "active", None)]),
        ("none, cleared P0420 last visit", []), ("none now, P0420 cleared", []),
        ("SPN 102 FMI 18 active 9 counts 651 fmi 5 stored", [("102/18", "active", 9), ("651/5", "stored", None)]),
    ],
)  # fmt: skip
def test_several_codes_a_line_keep_their_own_state_and_count(
    line: str, codes: list[tuple[str, str, int | None]]
) -> None:
    found = [
        (f"{one['spn']}/{one['fmi']}" if one["spn"] else "-".join(filter(None, (one["code"], one["sub"]))),
         "".join(one["status"]), one["times"])
        for one in said(f"code: {line}")["codes"]
    ]  # fmt: skip
    assert found == codes


@pytest.mark.parametrize(
    ("line", "names"),
    [
        ("EE 10 04 00", ("U2E10-04", "SPN 4334 FMI 4")), ("C1:00:87", ("U0100-87",)),
        ("DM1 96 4B B1 40", ("SPN 347030 FMI 17",)),
    ],
)  # fmt: skip
def test_bytes_claim_nothing_and_every_reading_is_named(line: str, names: tuple[str, ...]) -> None:
    meant = said(f"code: {line}")
    assert meant["codes"] == []
    (piece,) = meant["unread"]
    assert all(name in piece["question"] for name in names)
    assert piece["answers"] == list(names)


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("P0420 stored", "code"), ("SPN 102 FMI 18 active OC 3", "code"), ("replaced water pump 2.2 hrs", "did"),
        ("1 x 44-7 drain washer @ 12", "used"), ("called Ada, she said yes", "told"),
        ("codes read again, none", "proof"),
        ("no codes", "code"), ("customer states brakes squeal", "says"), ("C/S: HYD LITE ON", "says"),
        ("replaced pads 3 mm left", "found"), ("battery dead after 2 hrs", "found"),
        ("customer called about noise", "found"),
        ("P0420 came back on road test", "found"), ("MAX HVY LITE", "found"),
    ],
)  # fmt: skip
def test_a_line_without_a_word_says_its_kind_only_where_it_is_certain(line: str, kind: str) -> None:
    assert said(line)["kind"] == kind


@pytest.mark.parametrize(
    ("line", "hours", "price", "left"),
    [
        ("clutch kit 4 h 620", "4", None, ["620"]), ("2.5 h + parts 180, 412 total", "2.5", "412", ["180"]),
        ("discs and pads 285 fitted", None, None, ["285"]), ("belt kit 3,5 h, 410,50", None, None, ["3,5 h", "410,50"]),
        ("1.5 to 2 h, trace draw", None, None, ["2 h"]), ("set of 4 tyres, stat opens at 82 C", None, None, []),
    ],
)  # fmt: skip
def test_no_hours_and_no_sum_of_an_offer_are_lost(
    line: str, hours: str | None, price: str | None, left: list[str]
) -> None:
    meant = said(f"offer: {line}")
    assert (meant["hours"], meant["price"], [piece["text"] for piece in meant["unread"]]) == (hours, price, left)


def test_readings_behind_the_semicolon_of_what_was_ruled_out_are_stated() -> None:
    (reading,) = said("ruled: dosing relay 4; coil 82 ohm")["measurements"]
    assert (reading["of"], reading["value"], reading["unit"]) == ("coil", "82", "ohm")


def test_an_offer_names_its_hours_and_its_estimate_in_words() -> None:
    (draft,) = read("offer: replace front pads 1.5 hrs, est $400; may wait")
    assert draft.fact == Offer(text="replace front pads", hours="1.5", estimate="400", judgement="may wait")
    (draft,) = read("offer: replace front pads $400")
    assert isinstance(draft.fact, Offer)
    assert (draft.fact.estimate, draft.remarks[0].blocks) == ("", True)


@pytest.mark.parametrize("line", ['did: replaced "pump 2"', 'used: fluid "$8 or $9"', 'later: filter "12/4/2026"'])
def test_a_piece_in_quotes_is_no_fact_and_is_not_asked_about(line: str) -> None:
    (draft,) = read(line)
    assert draft.remarks == ()


@pytest.mark.parametrize("kind", ["says", "maybe", "ruled", "cause", "note"])
def test_nothing_of_free_words_is_left_over(kind: str) -> None:
    meant = said(f"{kind}: hard start 2-3 times, 28 psi, $40, P0420, 3 wks")
    assert (meant["unread"], meant["questions"]) == ([], [])


TYPED = (
    "did: replaced pump (1.5h) @ 95, two techs", "used: qty 2 x p/n 41-993 (3) seal, new @ $1.10/ea + core 5, 1 set",
    "told: Bo by phone 555-0134 at 2:40p, ok if under 500, no to pads but ok rest; total 400 max",
    "later: belt in about a couple of months or 3k mi, whichever first, before the next PM, 12/4/2026, 15 March 2027",
    "code: ECM: SPN 102 FMI 18 sa 0 oc 14 active; P0562-16 (2) both stored, EE 10 04 00", "offer: pads est 1.5 hrs $40",
    "called Bo 10am, said yes", "P0420 stored and P0430",
)  # fmt: skip


@pytest.mark.parametrize("line", TYPED)
def test_every_beginning_of_a_line_is_read(line: str) -> None:
    for end in range(len(line) + 1):
        for draft in read(line[:end], live=True):
            assert all(0 <= remark.start <= remark.end <= len(line) for remark in draft.remarks)
        meaning_of(read(line[end:]))


def test_when_a_code_was_read_is_no_part_of_its_unit() -> None:
    (draft,) = read("co: P0480-13 mast computer, stored 3 times at arrival")
    assert (draft.fact.unit, draft.fact.moment) == ("mast computer", "at arrival")  # type: ignore[attr-defined]


def test_hours_of_an_offer_in_any_short_form() -> None:
    for word in ("hours", "hrs", "hr"):
        (draft,) = read(f"o: replace mast belt; {word} 0.6; est 132.20")
        assert (draft.fact.hours, draft.fact.text) == ("0.6", "replace mast belt")  # type: ignore[attr-defined]


def test_words_of_tax_or_payment_behind_a_sum_are_no_mistake() -> None:
    for words in ("total 499.77 with tax", "total 300 before tax", "deposit 40.00 cash"):
        (draft,) = read(f"told: Marta, yes; {words}")
        assert draft.remarks == ()
    (draft,) = read("told marta velin phone ok to 499.77 w/ tax")
    assert (draft.fact.kind, draft.fact.total) == ("told", "499.77")  # type: ignore[attr-defined]


def test_a_question_stands_where_its_piece_was_typed_though_a_piece_before_it_was_taken() -> None:
    (draft,) = read("later: mast pads worn, may wait, some $40")
    (remark,) = draft.remarks
    assert draft.line[remark.start : remark.end] == "$40"


@pytest.mark.parametrize(
    ("line", "people", "asked"),
    [
        ("did: 0.6 h swap relay; by Tim Rusk", ("Kay",), True), ("did: 0.6 h swap relay; by Kay", ("Kay",), False),
        ("did: 0.6 h swap relay; by hand", ("Kay",), False), ("did: 0.6 h swap relay; by Tim Rusk", (), False),
    ],
)  # fmt: skip
def test_a_name_that_nobody_here_has_is_asked_about(line: str, people: tuple[str, ...], asked: bool) -> None:
    (draft,) = read(line, people)
    assert [one.text for one in draft.remarks if "somebody of this shop" in one.text] == (
        ["Behind “by” somebody of this shop (ticket shop person NAME adds one) was expected; it stays text."] * asked
    )
