"""The rules of the notation, one trap a row: what a line becomes, and what is asked about it."""

from typing import Any

import pytest

from support.facts import in_parts, said
from ticket.job.entry import Draft
from ticket.job.kinds import Cause, Code, Did, Fact, Found, Later, Maybe, Note, Offer, Proof, Ruled, Says, Told, Used
from ticket.job.values import Answer, Clock, Due, Limits, Quantity, Ref, Run, Value
from ticket.notes.read import read

PEOPLE = ("Kay", "Bo Karst")
RATES = ("engine",)


def drafts(line: str) -> tuple[Draft, ...]:
    return read(line, people=PEOPLE, rates=RATES)


def one(line: str) -> Draft:
    (draft,) = drafts(line)
    return draft


def run(unit: str, *values: str | tuple[str, str], **limits: str) -> Run:
    made = tuple(Value(item) if isinstance(item, str) else Value(item[1], item[0]) for item in values)
    return Run(made, unit, Limits(**limits) if limits else None)


def asked(draft: Draft) -> str:
    return " ".join(remark.text for remark in draft.remarks)


@pytest.mark.parametrize(
    "text",
    [
        "10:30 called", "4:1", "VIN: 1C9EXAMPLE", "TSB: 12-34", "https://shop.example/a;b", "road test: quiet",
        "12: text", "3 studs missing", "- found: x", "off: relay clicks", "no: leaks",
        "C: drive", r"c:\x", "V: see plate",
        "AC found: no cold", "I found: nothing", "O found: nothing", "a found: dry", "#3 cylinder misfire", "noisy",
        "not charging", "did not start", "used oil black", "water: in the fuel", "cold: starts badly", "roof: leaks",
        "none in sight", "metal in oil pan", "dry after 20 min at idle", "vibration at 60 mph", "hum @ 60 mph",
        "4x4 light stays on", "no 12 V at the lamp connector", "a 10 kΩ resistor fitted",
        "says nothing; because nothing", "3 cans can be seen",
    ],
)  # fmt: skip
def test_a_line_without_a_word_is_a_finding_untouched(text: str) -> None:
    draft = one(text)
    assert draft.fact == Found(what=text)
    assert draft.remarks == ()


@pytest.mark.parametrize(
    ("line", "stated", "word"),
    [
        ("l: 4 mm", ["left: 4 mm"], "later:"),
        ("r: 4 mm (min 3)", ["right: 4 mm (min 3)"], "ruled:"),
        ("ca: low pressure 3 psi (min 5)", ["ca low pressure: 3 psi (min 5)"], "cause:"),
        ("co: 0.4 %", ["co: 0.4 %"], "code:"),
        ("d: 2 washers", [], "did:"),
        ("p: 4 mm", ["p: 4 mm"], "proof:"),
        ("B f: 4 mm", ["front: 4 mm"], "found:"),
    ],
)
def test_a_short_lead_before_a_reading_is_a_finding_and_a_question(line: str, stated: list[str], word: str) -> None:
    draft = one(line)
    assert isinstance(draft.fact, Found)
    assert draft.fact.what == line.removeprefix("B ")
    assert said(draft.fact) == stated
    assert draft.concern == line[: line.startswith("B ")]
    assert word in asked(draft)


@pytest.mark.parametrize(
    ("line", "fact", "concern", "shop_only"),
    [
        ("s: roars", Says(text="roars"), "", False),
        ("m: relay", Maybe(text="relay"), "", False),
        ("d: 1.2 h clean", Did(hours="1.2", text="clean"), "", False),
        ("u: 2 x 4410-77", Used(amount="2", unit="x", part="4410-77", text=""), "", False),
        ("p: 3 now -1 mm", Proof(of=Ref(3), run=run("mm", "-1")), "", False),
        ("f: pads 4 mm (min 3)", Found(what="pads", run=run("mm", "4", low="3")), "", False),
        ("FOUND : dry", Found(what="dry"), "", False),
        ("found:dry", Found(what="dry"), "", False),
        ("ruled  out: fuse; has voltage", Ruled(text="fuse", reason="has voltage"), "", False),
        ("B found: dry", Found(what="dry"), "B", False),
        ("A+C found: dry", Found(what="dry"), "A+C", False),
        ("# found: dry", Found(what="dry"), "", True),
        ("# B did: 1 h clean", Did(hours="1", text="clean"), "B", True),
        ("# seal kit comes Friday", Note(text="seal kit comes Friday"), "", True),
        ("note: A found: dry", Note(text="A found: dry"), "", False),
        ("says: A found: dry", Says(text="A found: dry"), "", False),
    ],
)
def test_the_word_with_its_colon_decides(line: str, fact: Fact, concern: str, shop_only: bool) -> None:
    draft = one(line)
    assert (in_parts(draft.fact), draft.concern, draft.shop_only) == (in_parts(fact), concern, shop_only)
    assert draft.remarks == ()


@pytest.mark.parametrize(
    ("line", "word"),
    [("not: fuse", "ruled:"), ("test: drove it", "proof:"), ("labour: 2 h", "did:"), ("fuond: leaks", "found:"),
     ("part: seal", "used:"), ("lateer: seal", "later:")],
)  # fmt: skip
def test_a_word_one_slip_away_stays_a_finding_and_is_asked_about(line: str, word: str) -> None:
    draft = one(line)
    assert draft.fact == Found(what=line)
    assert word in asked(draft)


@pytest.mark.parametrize(
    ("line", "fact"),
    [
        ("later: seal; because it seeped; slowly; in town only; in 2 weeks",
         Later(text="seal", because="it seeped; slowly; in town only", due=Due(time=Quantity("2", "weeks")))),
        ("later: seal; by 2028-02-29; in 1500km or 2 months, whichever comes first; for 3",
         Later(text="seal", date="2028-02-29", due=Due(Quantity("1500", "km"), Quantity("2", "months")),
               refs=(Ref(3),))),
        ("later: for 2107/12; done here", Later(text="", refs=(Ref(12, 2107),), answer="done here")),
        ("later: pump; looked at, still waits", Later(text="pump", answer="looked at, still waits")),
        ("later: seal; in the meantime check; risk:it leaks",
         Later(text="seal; in the meantime check", risk="it leaks")),
        ("did: align; by the book", Did(text="align; by the book")),
        ("did: align; by kay", Did(text="align", by="Kay")),
        ("did: idle for 2 h", Did(text="idle for 2 h")),
        ("did: 2h; idle", Did(hours="2", text="idle")),
        ("did: 1 1/2 hrs clean; clock 8:10-9:30, 10:00-10:45; pay Warranty",
         Did(hours="1 1/2", text="clean", clock=(Clock("8:10", "9:30"), Clock("10:00", "10:45")), pays="warranty")),
        ("cause: dry joint; Likely; from 3, 4 and 2107/12",
         Cause(text="dry joint", sure="likely", refs=(Ref(3), Ref(4), Ref(12, 2107)))),
        ("cause: dry joint; from the start", Cause(text="dry joint; from the start")),
        ("offer: clean; est $1,228.40; hours 1.5; parts 90",
         Offer(text="clean", estimate="1,228.40", hours="1.5", parts="90")),
        ('says: "it roars; then stops"', Says(text="it roars; then stops")),
        ("says: it roars; then stops; not reproduced; back from 1871",
         Says(text="it roars; then stops", reproduced="not reproduced", back_from="1871")),
        ("says: reproduced; or so", Says(text="reproduced; or so")),
        ("ruled: leak; dry; even hot; from 4", Ruled(text="leak", reason="dry; even hot", refs=(Ref(4),))),
        ("used: seal; core 12.50; cost 3; pay shop; for 7",
         Used(text="seal", core="12.50", cost="3", pays="shop", refs=(Ref(7),))),
    ],
)  # fmt: skip
def test_fields_behind_semicolons(line: str, fact: Fact) -> None:
    assert in_parts(one(line).fact) == in_parts(fact)


@pytest.mark.parametrize(
    ("line", "question"),
    [
        ("offer: x; est 2,28", "est"), ("offer: x; est 3; est 4", "twice"), ("did: x; rate brakes", "rate class"),
        ("did: x; pay nobody", "pay"), ("did: x; clock 8:10", "clock"), ("did: x; clock 8:10-25:00", "clock"),
        ("did: x 30", "hours"), ("later:", "Nothing stands behind later:"),
    ],
)  # fmt: skip
def test_what_looks_like_a_field_and_is_none_is_kept_and_asked_about(line: str, question: str) -> None:
    draft = one(line)
    text = line.partition(": ")[2]
    assert getattr(draft.fact, "text", "") == text or (question == "twice" and text.endswith("est 4"))
    assert question in asked(draft)


@pytest.mark.parametrize(
    ("line", "fields"),
    [
        ("12 V bulb", {"text": "12 V bulb"}),
        ("10 mm bolt", {"text": "10 mm bolt"}),
        ("0,9 L oil", {"amount": "0.9", "unit": "L", "text": "oil"}),
        ("fluid @ 60 mph", {"text": "fluid @ 60 mph"}),
        ("belt @ 21,40", {"text": "belt", "price": "21.40"}),
        ("0.9 L oil @ 21.40/qt", {"amount": "0.9", "unit": "L", "text": "oil @ 21.40/qt"}),
        ("0.9 L oil @ 21.40", {"amount": "0.9", "unit": "L", "text": "oil", "price": "21.40"}),
    ],
)
def test_parts_that_are_asked_about(line: str, fields: dict[str, Any]) -> None:
    draft = one(f"used: {line}")
    assert draft.fact == Used(**fields)
    assert bool(draft.remarks) == (line != "fluid @ 60 mph")


@pytest.mark.parametrize(
    ("line", "fields"),
    [
        ("2 washers", {"amount": "2", "unit": "x", "text": "washers"}),
        ("5 qt 5W-30 oil", {"amount": "5", "unit": "qt", "text": "5W-30 oil"}),
        ("4x4 actuator", {"text": "4x4 actuator"}),
        ("1 x 90 degree elbow", {"amount": "1", "unit": "x", "text": "90 degree elbow"}),
        ("2x 12-volt bulb", {"amount": "2", "unit": "x", "text": "12-volt bulb"}),
        ("4 x M8-1.25 bolt", {"amount": "4", "unit": "x", "text": "M8-1.25 bolt"}),
        ("1 x #90 elbow", {"amount": "1", "unit": "x", "part": "90", "text": "elbow"}),
        ('1 x "4410-77 washer"', {"amount": "1", "unit": "x", "text": "4410-77 washer"}),
        ("1 x 4410-77, NEW", {"amount": "1", "unit": "x", "part": "4410-77", "text": "", "condition": "new"}),
        ("1 x lamp, customer’s own", {"amount": "1", "unit": "x", "text": "lamp", "condition": "customer's own"}),
        ("1 x lamp, remanufactured", {"amount": "1", "unit": "x", "text": "lamp, remanufactured"}),
        ("1 x lamp @ $1,228.40 each, used", {"amount": "1", "unit": "x", "text": "lamp", "price": "1,228.40",
                                             "condition": "used"}),
        ("2 h machining, sublet @ 95.00/h", {"amount": "2", "unit": "h", "text": "machining", "condition": "sublet",
                                             "price": "95.00"}),
        ("1 1/2 L coolant @ 9.50/liter", {"amount": "1 1/2", "unit": "L", "text": "coolant", "price": "9.50"}),
    ],
)  # fmt: skip
def test_parts(line: str, fields: dict[str, Any]) -> None:
    draft = one(f"used: {line}")
    assert draft.fact == Used(**fields)
    assert draft.remarks == ()


@pytest.mark.parametrize(
    ("line", "fields"),
    [
        ("Ada by phone, yes 300", {"who": "Ada", "way": "phone", "answers": (Answer("yes", (Ref(300),)),)}),
        ("Fenn, Ada by phone 555, yes 7",
         {"who": "Fenn, Ada", "way": "phone", "address": "555", "answers": (Answer("yes", (Ref(7),)),)}),
        ("Ada by phone, yes to 300 but not the seal",
         {"who": "Ada", "way": "phone", "words": "yes to 300 but not the seal"}),
        ("Ada via email, thinks 3", {"who": "Ada", "way": "email", "answers": (Answer("thinks", (Ref(3),)),)}),
        ("Ada, yes 7, 8, no 9 and 10",
         {"who": "Ada", "answers": (Answer("yes", (Ref(7), Ref(8))), Answer("no", (Ref(9), Ref(10))))}),
        ("Ada by text 555, no answer", {"who": "Ada", "way": "text message", "address": "555",
                                        "answers": (Answer("no answer"),)}),
        ("Ada by phone 555 at 14:10, yes; up to 300; by Bo Karst",
         {"who": "Ada", "way": "phone", "address": "555", "at": "14:10", "answers": (Answer("yes"),),
          "ceiling": "300", "by": "Bo Karst"}),
        ("Ada in writing, wants it Friday; at 2026-03-02 14:10",
         {"who": "Ada", "way": "in writing", "words": "wants it Friday", "at": "2026-03-02 14:10"}),
        ("Ada by phone, yes 7; at 24:10", {"who": "Ada", "way": "phone", "answers": (Answer("yes", (Ref(7),)),),
                                           "words": "at 24:10"}),
        ("yes 7", {"who": "", "answers": (Answer("yes", (Ref(7),)),)}),
        ("Ada", {"who": "Ada"}),
    ],
)  # fmt: skip
def test_contacts(line: str, fields: dict[str, Any]) -> None:
    assert one(f"told: {line}").fact == Told(**fields)


@pytest.mark.parametrize(
    ("line", "fact"),
    [
        ("3 now LF 12 RF 12", Proof(of=Ref(3), run=run("", ("LF", "12"), ("RF", "12")))),
        ("2107/3 now 12, quiet; passed", Proof(of=Ref(3, 2107), run=run("", "12"), seen="quiet", result="passed")),
        ("3 now 12 (min 10)", Proof(of=Ref(3), run=run("", "12", low="10"))),
        ("3 now dry", Proof(of=Ref(3), seen="dry")),
        ("road test 6 mi, no pull; Failed", Proof(what="road test 6 mi, no pull", result="failed")),
        ("3 nowhere", Proof(what="3 nowhere")),
    ],
)
def test_measured_again(line: str, fact: Fact) -> None:
    assert in_parts(one(f"proof: {line}").fact) == in_parts(fact)


def test_what_was_measured_again_has_its_condition() -> None:
    draft = one("proof: 3 now level -1 mm hot")
    assert isinstance(draft.fact, Proof)
    assert (draft.fact.of, said(draft.fact), draft.remarks) == (Ref(3), ["level: -1 mm [hot]"], ())


def test_two_figures_measured_again_without_places_are_asked_about() -> None:
    draft = one("proof: 3 now 12 13 (min 10)")
    assert draft.fact == Proof(of=Ref(3), what="12 13 (min 10)")
    assert "12 13" in [draft.line[remark.start : remark.end] for remark in draft.remarks]


# Truck codes are SPN and FMI of SAE J1939-73; the five characters with a two-digit failure type are SAE J2012 (from
# memory; the forms themselves are tested with the package that reads them).
@pytest.mark.parametrize(
    ("line", "facts"),
    [
        ("P0300 P0301", [Code(code="P0300"), Code(code="P0301")]),
        ("P0300, P0301 and P0302 engine computer, stored; frame: 2000 rpm",
         [Code(code=code, unit="engine computer", status="stored", frame="2000 rpm")
          for code in ("P0300", "P0301", "P0302")]),
        ("P0300 engine computer, stored, B1234 door, pending",
         [Code(code="P0300", unit="engine computer", status="stored"),
          Code(code="B1234", unit="door", status="pending")]),
        ("P0300 pending", [Code(code="P0300", status="pending")]),
        ("P1A30-7B fan control, bank 1, previously active, 3 times, after road test",
         [Code(code="P1A30", sub="7B", unit="fan control, bank 1", status="previously active", times="3 times",
               moment="after road test")]),
        ("SPN 102 FMI 18 engine, active", [Code(code="SPN 102", sub="FMI 18", unit="engine", status="active")]),
        ("none", [Code(code="none")]),
        ("no codes stored, after repair", [Code(code="none", moment="after repair")]),
        ("None in any unit", [Code(code="none", unit="in any unit")]),
    ],
)  # fmt: skip
def test_codes(line: str, facts: list[Fact]) -> None:
    assert [draft.fact for draft in drafts(f"code: {line}")] == facts


def test_an_unknown_code_is_kept_as_typed_and_asked_about() -> None:
    draft = one("code: E12 body computer, stored")
    assert draft.fact == Code(code="E12", unit="body computer", status="stored")
    assert [draft.line[remark.start : remark.end] for remark in draft.remarks] == ["E12"]


@pytest.mark.parametrize(
    ("typed", "read_as"), [("2028-02-29", "2028-02-29"), ("2026-02-29", ""), ("2100-02-29", ""), ("20280229", "")]
)
def test_dates_are_those_of_the_calendar(typed: str, read_as: str) -> None:
    """Extended calendar dates of ISO 8601-1; leap years by the Gregorian rule (from memory)."""
    fact = one(f"later: seal; by {typed}").fact
    assert isinstance(fact, Later)
    assert fact.date == read_as
    assert fact.text == ("seal" if read_as else f"seal; by {typed}")


@pytest.mark.parametrize(
    "text", ["found: rest 12.6 V (min 12", 'found: he said "it', 'note: "x', "found:", "offer: x; est 2,"]
)
def test_while_it_is_typed_an_open_end_is_no_mistake(text: str) -> None:
    (now,), (done,) = read(text, live=True), read(text)
    assert now.fact == done.fact
    assert now.remarks == ()
    assert done.remarks or text.startswith("offer")


def test_live_looks_only_at_the_line_being_typed() -> None:
    first, second = read('found: "a\nfound: "b', live=True)
    assert first.remarks
    assert not second.remarks


def test_remarks_point_into_the_line() -> None:
    draft = one("  B offer: clean; est 2,28 ")
    assert [draft.line[remark.start : remark.end] for remark in draft.remarks] == ["est 2,28"]
    again = one("found: pads L 4 mm R 3 mm (min 2 psi)")
    assert [again.line[remark.start : remark.end] for remark in again.remarks] == ["(min 2 psi)"]
