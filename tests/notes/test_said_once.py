"""What hurried hands say once, leave out or put behind: held for all it is meant for, else asked; invented lines."""

import pytest

from ticket.job.kinds import Cause, Later, Told
from ticket.notes.meaning import Json, meaning_of
from ticket.notes.read import read


def _said(line: str) -> Json:
    return meaning_of(read(line))


def _open(line: str) -> str:
    said = _said(line)
    return " ".join(line[one["start"] : one["end"]] for one in (*said["unread"], *said["questions"]))


def _told(line: str) -> list[str]:
    """Each reading in few words: what of, where, how much, and how it is judged."""
    told = []
    for one in _said(line)["measurements"]:
        figure = f"{one['value']}{'-' + one['to'] if one['to'] else ''}{one['unit'] or ''}"
        verdict = "" if one["verdict"] == "none" else one["verdict"]
        told.append(" ".join(word for word in (*one["at"], figure, verdict) if word))
    return told


@pytest.mark.parametrize(
    ("line", "condition"),
    [
        ("alt 13.8 v, draw 62 a at 2000 rpm all loads on", "2000 rpm all loads on"),
        ("rear axle temp 180 F, trans 195 F after 30 min loaded", "30 min loaded"),
        ("boost 12 psi, egt 900 F at full load 3rd gear", "3rd gear"),
        ("hyd pump flow 18 gpm pressure 2400 psi at 2000 rpm oil 120 F", "2000 rpm, 120 F"),
        ("suction 28 psi discharge 190 psi at 1500 rpm 85 F outside", "85 f outside"),
        ("oil pressure cold 84 psi hot 24 psi at idle", "at idle"),
        ("volt drop cranking 0.18 v live side, 0.62 v earth side", "cranking"),
        ("duct left 38C right 21C full heat 10 min", "full heat 10 min"),
        ("HUB LF 120 F RF 125 F AFTER 10 MI", "AFTER 10 MI"),
    ],
)
def test_how_all_was_read_may_be_said_once(line: str, condition: str) -> None:
    readings = _said(line)["measurements"]
    assert len(readings) == 2
    for one in readings:
        for word in condition.casefold().replace(",", "").split():
            assert word in " ".join(one["when"]).casefold(), one


@pytest.mark.parametrize(
    "line",
    [
        "batt 12.6 V, alt 14.2 V at 1500 rpm",  # at rest as likely
        "tank 8.1 bar, 7.6 bar after 5 min",  # one thing, and how it fell
        "pad 3 mm, boost 12 psi at 2000 rpm",  # a pad is as thick at every speed
    ],
)
def test_what_another_reading_may_not_share_stays_with_its_own(line: str) -> None:
    first, last = _said(line)["measurements"]
    assert not first["when"]
    assert last["when"]


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("charging 13.9 v at idle 14.2 at 2000 rpm", ["13.9V", "14.2V"]),
        ("12v aux 12.1 v asleep 14.6 awake", ["12.1V", "14.6V"]),
        ("trans temp 210 F towing, 180 empty", ["210F", "180F"]),
        ("stft +8 ltft +14 %", ["8%", "14%"]),
        ("coolant temp 198, oil temp 210, trans 185 F", ["198F", "210F", "185F"]),
        ("fork sag 35 front 40 rear mm", ["front 35mm", "rear 40mm"]),
        ("left pad 6 vs right pad 3 mm", ["left 6mm", "right 3mm"]),
        ("F brk 5 mm R brk 3 mm", ["front 5mm", "rear 3mm"]),
        ("injector balance 1 2 3: 45 44 30 ml", ["cylinder 1 45mL", "cylinder 2 44mL", "cylinder 3 30mL"]),
        ("compression 24, 23.5, 17 bar on 1 to 3", ["cylinder 1 24bar", "cylinder 2 23.5bar", "cylinder 3 17bar"]),
        (
            "comp 1 150 2 148 3 60 dry, 3 wet 95",
            ["cylinder 1 150psi", "cylinder 2 148psi", "cylinder 3 60psi", "cylinder 3 95psi"],
        ),
        ("return 62 ml/min cyl 4 others 20-25", ["cylinder 4 62mL/min", "20-25mL/min"]),
        ("door open 2.1 s, close 4.9, want 2.5 to 3.5", ["2.1s low", "4.9s high"]),
        ("leaks down half a bar in 10 min", ["0.5bar"]),
    ],
)
def test_what_is_said_once_or_in_order_reaches_each_figure(line: str, told: list[str]) -> None:
    assert _told(line) == told


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("u joint play .006 in, none allowed", ["0.006in high"]),
        ("drop link 3mm play, no play allowed", ["3mm high"]),
        ("blower 18.4 A on hi over 16 on hi is bad", ["18.4A high"]),
        ("brake fluid 3.4 % and over 3 we change", ["3.4% high"]),
        ("chain 1.8 % stretch, .5 is too much", ["1.8% high"]),
        ("cut out 131 psi cut in 98, 125-135 for cut out", ["131psi in", "98psi"]),
        ("suction -0.35 bar at 3000 rpm, no worse than -0.2", ["-0.35bar low"]),
        ("pads 5 mm inner 2 outer 3 min", ["inner 5mm in", "outer 2mm low"]),
        ("clutch gap .041 .016-.031", ["0.041in high"]),
        ("DEF 28.1% - 31.8 to 33.2", ["28.1% low"]),
        ("crank volts 18.6 starter 410 A, volts should stay over 19.2", ["18.6V low", "410A"]),
        ("pto 412 rpm under load, 540 needed", ["412rpm low"]),
        ("mast drift 12 mm/min limit 8", ["12mm high"]),
        ("caster L 3.1 R 4.4 deg spec 2.8 to 4.3 cross max 0.7", ["left 3.1deg in", "right 4.4deg high"]),
        ("thermistor 12.4 kohm at 20 C, 9.5-10.5 kohm at 25 C", ["12.4kohm"]),
        ("BATT 12.4 V KOEO, FALLS TO 9.4 CRANKING, MIN 9.6", ["12.4V", "9.4V low"]),
    ],
)
def test_a_bound_in_few_words_judges_what_it_is_for(line: str, told: list[str]) -> None:
    assert _told(line) == told


@pytest.mark.parametrize(
    ("line", "piece"),
    [
        ("oil level 3 mm below max 5", "3 mm below max 5"),
        ("oil 14 mm below mark (0 to 3 mm below)", "(0 to 3 mm below)"),
        ("tread rf 7/32 lr 3/32, steer min 4/32", "min 4/32"),
        ("pads front 5 5 rear 4 3 mm", "5"),
        ("cond fan 2 of 4 not turning", "2"),
        ("9.4 A cuts off at 52 psi 45-55", "45-55"),
        ("pressure 62 psi 65 min", "65 min"),
    ],
)
def test_what_can_be_read_two_ways_is_asked_and_not_judged(line: str, piece: str) -> None:
    assert piece in _open(line)
    assert {one["verdict"] for one in _said(line)["measurements"]} <= {"none", "undecided"}


def test_a_mark_says_on_which_side_of_it_a_level_is() -> None:
    assert _told("coolant 5 mm above min mark") == ["5mm in"]
    assert _told("coolant 5 mm over max") == ["5mm high"]
    assert _told("oil 3 mm under max mark") == ["-3mm"]  # whether that is too little does not stand there


@pytest.mark.parametrize(
    ("line", "field", "value"),
    [
        ("told: rang the yard twice, last one 11.20, rang out", "time", "11:20"),
        ("told: depot mgr 8.15 ok the lot", "time", "08:15"),
        ("told: owner rang at ten past two, ok for everything", "time", "14:10"),
        ("told: half ten, said carry on", "time", "10:30"),
        ("told: owner ok to 600 no more", "ceiling", "600"),
        ("told: yes all, not a cent over 380", "ceiling", "380"),
        ("did: hrs 1.8 replaced water pump", "hours", "1.8"),
        ("did: welded bracket, hour and ten", "hours", "1.1667"),
    ],
)
def test_fields_as_they_are_said(line: str, field: str, value: str) -> None:
    assert _said(line)[field] == value


def test_a_yes_may_leave_one_thing_out_in_so_many_words() -> None:
    answers = _said("told: she wants the brakes done but not the bulbs")["answers"]
    assert [(one["answer"], one["to"]) for one in answers] == [("yes", ["brakes"]), ("no", ["bulbs"])]


def test_which_of_several_was_agreed_to_is_asked() -> None:
    assert not _said("told: he rang back, said go on so with the one of them")["answers"]
    assert "one of them" in _open("told: he rang back, said go on so with the one of them")


@pytest.mark.parametrize(
    ("line", "due"),
    [
        ("later: wipers, when it rains", ("event", "when it rains")),
        ("later: pads maybe 10 thou miles", ("distance", "10000 mi")),
    ],
)
def test_when_work_falls_due_as_it_is_said(line: str, due: tuple[str, str]) -> None:
    assert _said(line)["due"][due[0]] == due[1]


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("cause front pads worn out", "cause"),
        ("cause unknown so far", "found"),
        ("3 now LF 11 RF 11", "proof"),
        ("3 now 9 mm", "found"),
        ("drain 180 mA 20 min", "found"),
    ],
)
def test_the_kind_a_line_shows_without_its_colon(line: str, kind: str) -> None:
    assert _said(line)["kind"] == kind


def test_codes_of_a_maker_stand_behind_the_name_of_their_unit() -> None:
    codes = _said("code: hvac F14 hi press x3 inactive, F22 active")["codes"]
    assert [(one["code"], one["status"], one["times"]) for one in codes] == [
        ("F14", ["previously active"], 3),
        ("F22", ["active"], None),
    ]


def test_a_month_behind_in_is_no_inch() -> None:
    assert _told("RF tread 4.2 mm, was 4.6 in Aug (min 3.5)")[1] == "right front 4.6mm in"
    assert _told("L outer tie rod end 1.4 mm play, was 0.6 in Aug")[1] == "left 0.6mm"


def test_right_before_a_place_says_how_near() -> None:
    assert _told('hose has a 1/4" crack right at the crimp') == ["0.25in"]


@pytest.mark.parametrize(
    ("line", "event"),
    [
        ("later: tires; may wait; risk: poor grip; by the 15th", "by the 15th"),
        ("later: replace belt; may wait; before the 2nd", "before the 2nd"),
        ("later: replace bearing; may wait; on the 3rd axle", None),
    ],
)
def test_a_day_of_the_month_is_when_work_falls_due(line: str, event: str | None) -> None:
    assert (_said(line)["due"] or {"event": None})["event"] == event


@pytest.mark.parametrize(
    ("line", "judgement", "due"),
    [
        ("later: step light; may wait two weeks; risk: kids trip", "may wait", "2 weeks"),
        ("later: pads; do soon, before winter", "do soon", "before winter"),
    ],
)
def test_how_pressing_it_is_and_when_it_falls_due_may_stand_in_one_piece(line: str, judgement: str, due: str) -> None:
    fact = read(line)[0].fact
    assert isinstance(fact, Later)
    assert fact.judgement == judgement
    assert fact.due is not None
    assert due in (fact.due.event, str(fact.due.time and f"{fact.due.time.number} {fact.due.time.unit}"))
    assert "wait" not in fact.text


def test_a_proven_cause_is_a_certain_one() -> None:
    fact = read("cause: broken valve; proven; from 3")[0].fact
    assert isinstance(fact, Cause)
    assert (fact.text, fact.sure) == ("broken valve", "certain")


@pytest.mark.parametrize(
    ("line", "at"),
    [
        ("told: Bo by phone, booked Fri 8 am", ""),
        ("told: Bo by phone, custodian picks up 3:30", ""),
        ("told: Bo called back 3:30, yes 7", "3:30"),
        ("told: Bo by phone 10:40, yes 7", "10:40"),
    ],
)
def test_the_time_of_an_appointment_is_not_when_they_spoke(line: str, at: str) -> None:
    fact = read(line)[0].fact
    assert isinstance(fact, Told)
    assert fact.at == at


def test_a_judgement_with_a_due_behind_it_keeps_the_due() -> None:
    line = "later: rear tyres; may wait, replace within 4000 km or 3 months"
    assert _said(line)["due"] == {"distance": "4000 km", "time": "3 month", "date": None, "event": None}
