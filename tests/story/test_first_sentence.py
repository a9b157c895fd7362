"""Each way a concern may stand has a first sentence of its own, in every language, chosen by typed facts alone.

The rows and their order are common practice of the trade, no source: a customer who reads no further must know whether
the trouble is gone, and what was done about it.
"""

from datetime import date

import pytest
from story_jobs import case_of, sentences, signed, ticket_from, told_of

from support.faithful import check_story
from support.tickets import MORNING, ticket_of
from ticket.job.case import Case, Settings
from ticket.story.build import build
from ticket.story.context import Job
from ticket.story.document import to_document
from ticket.story.facts.first_sentence import _ROWS, opening
from ticket.story.facts.open_work import open_work
from ticket.story.sections.catalogue import english
from ticket.story.sections.files import load
from ticket.story.sentence import text_of

LEAK = ["says: hydraulic oil on the floor", "found: return hose split", "cause: split return hose; from 2"]
OFFER = "offer: replace return hose; est 120"
PART = "used: 1 x RH-20 return hose, new @ 41.00"
DONE = "did: 0.8 h replaced return hose"
DRY = "proof: ran 15 min, hose dry"


def case(lines: list[str]) -> Case:
    return Case(ticket_of(lines, customer="Ada Fenn"), Settings(), date(2026, 3, 2))


def kind(*lines: str) -> str:
    job = Job(case(list(lines)))
    found = opening(job, job.letters[0])
    return found.kind + (".likely" if found.likely else "")


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        (["says: hums"], "untouched"),
        (["says: hums", "offer: look for noise; est 60", "told: Ada Fenn, no 2"], "offered.no"),
        ([*LEAK, DONE, PART, "proof: hydraulic oil still on the floor"], "back.again"),
        ([*LEAK, DONE, PART, "proof: ran 15 min; failed"], "failed"),
        ([*LEAK, DONE, PART, "code: C1234-00; stored again"], "back.again"),
        (["says: hums; back from 4", "found: hub dry"], "again.looked"),
        (["says: hums; back from 4; not reproduced", "found: road test 9 mi, no noise"], "again.unseen"),
        (["says: hums; back from 4", "did: 0.4 h greased hub", "proof: road test 4 mi, quiet"], "again.tested"),
        (["says: hums; back from 4", "did: 0.4 h greased hub"], "again.worked"),
        (["says: hums; not reproduced", "found: road test 9 mi, no noise"], "unseen"),
        (["says: recheck of belt tension", "found: belt tension 410 N (350 to 450)"], "recheck.good"),
        (["says: recheck of belt tension", "found: belt tension 210 N (350 to 450)"], "recheck.bad"),
        (["says: recheck of belt tension", "found: belt is in place"], "recheck"),
        (["says: yearly service is due", "did: 0.9 h service, changed engine oil"], "serviced"),
        (["says: oil service", "did: 0.2 h replaced wiper blade"], "done"),
        (["says: yearly inspection", "found: lights in order"], "checked"),
        ([*LEAK, OFFER, "told: Ada Fenn by phone, no 4"], "no"),
        ([*LEAK, OFFER, "told: Ada Fenn by phone, no 4", "did: 0.2 h cleaned floor plate"], "no.worked"),
        ([*LEAK, "later: return hose on order; do soon; in 1 week"], "part"),
        ([*LEAK, "later: replace return hose; do not drive; because split; in 1 day"], "held"),
        ([*LEAK, OFFER, "told: Ada Fenn by phone, thinks 4"], "thinks"),
        ([*LEAK, OFFER], "unanswered"),
        ([*LEAK, DONE, PART, "later: replace split return hose rear; do soon; in 1 week"], "partly"),
        ([*LEAK, DONE, PART, DRY], "fixed"),
        ([*LEAK, OFFER, "told: Ada Fenn by phone, yes 4", f"{DONE}; for 4", DRY], "fixed"),
        (
            ["says: oil leak", "found: hose split", "cause: split hose; likely; from 2", DONE, PART],
            "untested.likely",
        ),
        ([*LEAK, DONE, PART, "proof: ran 15 min, sometimes wet"], "open test"),
        ([*LEAK, DONE, PART, "proof: not tested yet"], "untested"),
        ([*LEAK, "did: 0.3 h wiped hose", DRY], "worked.tested"),
        ([*LEAK, "did: 0.3 h wiped hose"], "worked"),
        ([*LEAK, "did: 0.3 h inspected hose"], "waits"),
        ([*LEAK, "did: 0.3 h drained tank, capped line"], "waits"),
        (["says: oil on floor", "cause: prob split hose"], "not proved"),
        (
            ["says: reboots", "maybe: head unit", "did: 1 h updated software", "proof: 20 starts"],
            "suspected.tested",
        ),
        (["says: reboots", "maybe: head unit", "did: 1 h updated software"], "suspected.worked"),
        (["says: reboots", "maybe: head unit"], "suspected"),
        (["says: flat tire", "found: nail in tire", "did: 0.4 h patched tire", "proof: dunk tank, dry"], "done.tested"),
        (["says: flat tire", "found: nail in tire", "did: 0.4 h patched tire"], "done"),
        (["says: flat tire", "found: nail in tire", "offer: new tire", "told: Ada Fenn, thinks 3"], "offered.thinks"),
        (["says: flat tire", "found: nail in tire", "later: tire on order; in 1 week"], "part.plain"),
        (["says: flat tire", "found: nail in tire", "offer: replace tire; est 90"], "offered"),
        (["says: hums", "found: hub dry"], "not found.yet"),
    ],
)
def test_the_first_sentence_follows_the_facts(lines: list[str], expected: str) -> None:
    assert kind(*lines) == expected
    for name in ("en", "es"):
        told = next(section for section in build(case(lines), language=name).sections if section.id == "short")
        assert told.sentences[0].sources
    story = build(case(lines))
    assert [flaw for flaw in check_story(to_document(story), case(lines)) if flaw.section == "In short"] == []


def test_every_row_has_its_sentence_in_every_language_and_no_two_say_the_same() -> None:
    for tell in (lambda name: text_of(english().say(name)), load("es").catalogue.text):
        told = {row.kind: tell(f"short.{row.kind}") for row in _ROWS}
        assert len(set(told.values())) == len(told)
        for row in _ROWS:
            if row.rests.startswith("causes") and row.kind not in (
                "not proved",
                "back.again",
                "failed",
                "waits",
                "known",
            ):
                assert tell(f"short.{row.kind}.likely") not in told.values()


def test_a_cause_the_customer_said_yes_to_is_not_doubted_for_want_of_a_number() -> None:
    lines = ["says: oil on the floor", "found: hose split", "cause: split hose", "did: 1 h replaced hose", PART, DRY]
    assert kind(*lines) == "fixed.likely"
    assert kind(*lines, "told: Ada Fenn by phone, yes; total 120") == "fixed"
    assert kind(lines[0], lines[1], "cause: prob split hose", *lines[3:], "told: Ada Fenn, yes") == "fixed.likely"
    told = " ".join(x.text for s in build(case([*lines, "told: Ada Fenn, yes"])).sections for x in s.sentences)
    assert "likely" not in told.lower()


def test_a_reading_within_limits_proves_no_fault() -> None:
    lines = ["says: slow", "found: pump flow 30 gpm (min 26)", "cause: worn pump; from 2"]
    for name in ("en", "es"):
        story = build(case(lines), language=name)
        cause = [x.text for s in story.sections if s.id == "cause" for x in s.sentences]
        assert len(cause) == 1
    assert kind(*lines) == "not proved"


def test_an_offer_and_a_deferred_item_of_one_thing_are_counted_once_and_what_was_done_not_at_all() -> None:
    offers = ["offer: replace rear tires; for 2; est 320", "offer: replace wiper blades; est 30"]
    lines = ["says: service", "found: rear tires 2 mm (min 3)", *offers, "told: Ada Fenn, no 3; yes 4"]
    assert [(item.entry.no, item.answer) for item in open_work(Job(case(lines)))] == [(3, "no"), (4, "yes")]
    lines.append("did: new wiper blades; for 4")
    assert [item.entry.no for item in open_work(Job(case(lines)))] == [3]
    waiting = [*lines, "later: rear tires; do soon; for 3; in 4 weeks"]
    items = open_work(Job(case(waiting)))
    assert [(item.entry.no, [ref.no for ref in item.offers], item.answer) for item in items] == [(7, [3], "no")]
    for name, words in (("en", "One thing is still to do."), ("es", "Falta una cosa por hacer.")):
        short = next(s for s in build(case(waiting), language=name).sections if s.id == "short")
        assert short.sentences[-1].text == words


@pytest.mark.parametrize(
    ("typed", "waiting"),
    [
        ("found: bulb glass black", [2]),
        ("did: road test", [2]),
        ("did: blower in", []),  # it may be that work in other words
        ("did: R&R lamp assy; for 2", []),
        ("did: new unit in; for 1", []),
        ("used: 1 x lamp", []),
        ("later: lamp; waits for part", [4]),
    ],
)
def test_agreed_work_that_nothing_typed_may_have_done_is_still_to_do(typed: str, waiting: list[int]) -> None:
    lines = ["says: lamp out", "offer: replace rear lamp; est 20", "told: Ada Fenn, yes 2", typed]
    assert [item.entry.no for item in open_work(Job(case(lines)))] == waiting


def test_work_typed_behind_a_deferred_item_takes_it_off_the_list() -> None:
    lines = ["says: service", "later: replace rear wiper; may wait", "did: 0.2 h replaced rear wiper"]
    assert open_work(Job(case(lines))) == ()


@pytest.mark.parametrize("name", ["en", "es"])
def test_a_come_back_is_told_by_its_number_where_the_earlier_ticket_is_not_at_hand(name: str) -> None:
    story = build(case(["says: hums; back from 4", "found: hub dry"]), language=name)
    visit = [x for s in story.sections if s.id == "visit" for x in s.sentences]
    assert len(visit) == 1
    assert "4" in visit[0].text


@pytest.mark.parametrize("name", ["en", "es"])
@pytest.mark.parametrize("words", ["rear pads", ""])
def test_what_was_looked_at_and_still_waits_is_told_whether_or_not_the_item_is_at_hand(name: str, words: str) -> None:
    line = f"later: {words}; for 7/2; looked at, still waits" if words else "later: for 7/2; looked at, still waits"
    waits = {"en": "We looked at", "es": "Lo revisamos, y sigue pendiente."}[name]
    for earlier in ((), (signed("says: x\nlater: replace rear pads; may wait", number=7, opened=MORNING),)):
        told = case_of(ticket_from(f"says: wiper broke\n{line}"), *earlier)
        text = " ".join(x.text for s in build(told, language=name).sections for x in s.sentences)
        assert waits in text


def test_a_danger_that_was_put_right_is_not_told_first() -> None:
    found = ["says: grinding", "found: front brake pads metal on metal", "found: right front tire worn to the cord"]
    later = "later: front tires; do now; because worn; in 1 day"
    done = ["did: 1.2 h replaced front brake pads", "used: 1 set BP-3 front brake pads, new @ 60.00"]

    def first(lines: list[str]) -> str:
        return " ".join(x.text for s in build(case(lines)).sections if s.id == "read" for x in s.sentences)

    assert "cord" in first([*found, later])
    assert "pads" not in first([*found, *done, later])
    assert "cord" in first([*found, *done, later])
    tires = ["did: 0.8 h replaced front tires", "used: 2 x FT-1 front tire, new @ 90.00"]
    assert first([*found, later, *tires]) == ""


def test_several_concerns_have_one_sentence_each_with_the_letter_in_front() -> None:
    lines = [
        "A says: hums",
        "B says: radio dead",
        "A found: hub dry",
        "B found: fuse blown",
        "B did: replaced fuse",
    ]
    short = next(s for s in build(case(lines)).sections if s.id == "short")
    assert [x.text[:2] for x in short.sentences] == ["A:", "B:"]


def test_what_was_looked_at_and_is_put_off_anew_is_one_thing() -> None:
    lines = ["says: service", "later: rear pads; for 7/2; looked at, still waits", "later: rear pads; do soon"]
    assert [item.entry.no for item in open_work(Job(case(lines)))] == [3]


@pytest.mark.parametrize(
    "second", ["started like 2 wks ago, only w/ racks inside", "also one marker lamp is out since months"]
)
def test_no_complaint_is_called_untouched_where_all_was_typed_behind_the_last(second: str) -> None:
    lines = f"says: knock at the rear post\nsays: {second}\nfound: rear post bent\nfound: marker lamp full of water"
    told = sentences(told_of(lines), "short")
    assert not any("not looked at" in one or one.startswith(("A:", "B:")) for one in told)


def test_what_waits_beside_done_work_is_no_rest_of_it() -> None:
    lines = (
        "says: pulls\nfound: axle 2 stroke 2-1/4 in (max 2)\ncause: slack adjuster axle 2 seized; sure; from 2\n"
        "offer: slack adjuster axle 2; do now; est 236.00\ntold: Bo by phone, yes 4\n"
        "did: replaced slack adjuster axle 2; for 4\nproof: 2 now 1-5/8 in\n"
        "later: lining axle 2; may wait; because 5/16 is still over 1/4; in 8000 mi"
    )
    story = told_of(lines)
    assert "We found the cause, did the repair, and tested it." in sentences(story, "short")
    assert not any("We offered" in one for one in sentences(story, "later"))
