"""The certainty rule: each line is told, or kept as a note, as the design's rules and counter-examples say.

The lines are the examples the rules were written with; what is told is judged by a reader, no source.
"""

import pytest

from ticket.language.certain import read
from ticket.language.records import Meaning, Trial, Unsure
from ticket.language.sentences import sentences
from ticket.language.tell import PRESENT, Gap, tell, tell_group

NOTES = [
    # a figure without a thing of its own
    ("found", "nail in LR tread, 18 psi"),
    # work inside a finding
    ("found", "2 quarts low, bearing dry, replaced"),
    ("found", "air filter dirty replaced"),
    # a bad word behind a list, and a list with something wrong in it
    ("found", "hoses, clamps loose"),
    ("found", "drop link slight play, boot ok, clamp"),
    # a word that is noun and verb
    ("risk", "plugs up"),
    ("found", "gov cuts out 118 psi"),
    ("found", "pulls good"),
    ("found", "hose clamp off"),
    # a bad quality in front and a state behind
    ("found", "poor grip wet"),
    ("found", "loose bolt missing"),
    # a price phrase
    ("found", "bulb no charge"),
    ("found", "front plate lamp out, bulb no charge"),
    # a figure below zero, a bare figure of a part
    ("found", "coolant -34F"),
    ("found", "block 6 13.1V"),
    ("found", "rad cap holds 9psi"),
    # an unlisted word ending in -ed
    ("found", "bracket fretzed"),
    # which of two is plugged
    ("found", "drain pinched at pillar, plugged"),
    # a side that belongs to nothing
    ("found", "rotors rr axle"),
    # no subject at all
    ("found", "oily"),
    ("found", "would not retract"),
    # words nobody listed: two, or the last one
    ("found", "grumbly wozzle pump loose"),
    ("found", "front wozzle loose"),
    # work lines
    ("did", "chain & sprockets"),
    ("did", "both rear brake assys"),
    ("did", "new plug, re-ran ground, all lights work"),
    ("did", "dropped pan, insp, refilled"),
    ("did", "cleaned new filter"),
    ("did", "repair splice, seal, tape"),
    ("did", "replaced pump overnight hour"),
    # an adverb taken as a thing, a particle taken as a place
    ("found", "marker lights out left side"),
    ("found", "tire worn inside edge"),
    ("proof", "had to drive them out"),
    # noun or verb in front of a word that says how something is done
    ("found", "compressor pumps slow"),
    ("found", "belt glazed and squeals wet"),
    # stuck on, or on and stuck
    ("found", "blend door stuck on hot"),
    # hours of the shop are no part of the work
    ("did", "replaced oil pump 2.2 hrs"),
    # which of two things
    ("did", "replaced hose and clamp, tightened it"),
    # a quality that may be what goes on
    ("found", "hose cracked, weeping fluid"),
    # a subject behind a stop, or behind an absence
    ("proof", "drove over bumps in lot, quiet. needs paint"),
    ("found", "no noise, dry"),
    # doubt and advice
    ("found", "suspect bad ground"),
    ("found", "possible leak at pump"),
    ("cause", "either pump or relay"),
    # a lone side behind a doing
    ("found", "seal leaks rear"),
    # two states without a word between them
    ("found", "valve wet corroded"),
    # a short form nobody listed
    ("found", "XQZ noise"),
    # a part in front of what it does, and what comes of it
    ("found", "RR shock leaking oil"),
    ("found", "water pump weeping coolant"),
    # behind "and": the work, or the beginning of the name of a part
    ("remedy", "replace pads and machine rotors"),
    ("remedy", "replace pump and test port"),
    ("remedy", "replace lamp and reset switch"),
    ("remedy", "replace caliper and bleed screw"),
    ("remedy", "replace hose and lower bracket"),
    ("remedy", "replace latch and lock door"),
    ("remedy", "replace hose or test system"),
    ("remedy", "replace wheel bearing and road test"),
    # base forms behind work in the past
    ("did", "replaced hose and test system"),
]

TOLD = [
    ("risk", "driveshaft can drop at speed", "The driveshaft can drop at speed."),
    ("found", "horn, backup alarm, lamps ok", "The horn, the backup alarm, and the lamps were in order."),
    ("did", "replaced pump, fill, bleed", "We replaced the pump, filled up, and bled the air out."),
    ("found", "vent flaps behind bumper ok", "The vent flaps behind the bumper were in order."),
    ("found", "coil in limits", "The coil was in limits."),
    ("found", "wp bearing growls", "The water pump bearing growled."),
    ("found", "plate lamp out", "The plate lamp was out."),
    ("found", "wiper switch bad", "The wiper switch was bad."),
    ("found", "spare well 2 in of water", "The spare well had 2 inches of water."),
    ("found", "bushing 8 mm play", "The bushing had 8 mm of play."),
    ("found", "wiper switch no output on high", "The wiper switch had no output on high."),
    ("found", "coolant 2qt low", "The coolant was 2 quarts low."),
    ("found", "fan intake packed w/ straw", "The fan intake was packed with straw."),
    ("found", "caliper frozen, won't retract", "The caliper was frozen and would not retract."),
    ("found", "no noise or play", "There was no noise or play."),
    ("proof", "no squeal, no drag, temps even", "There was no squeal, no drag, and the temperatures were even."),
    ("found", "bulb RH loose", "The bulb on the right was loose."),
    ("found", "bulb RF loose", "The right front bulb was loose."),
    ("found", "lower right corner dented", "The lower right corner was dented."),
    ("found", "magnets wore to the wire", "The magnets wore to the wire."),
    ("found", "fluid smells burnt", "The fluid smelled burnt."),
    ("found", "mold on door edge", "There was mold on the door edge."),
    ("found", "actuator clicks but does not move", "The actuator clicked, but did not move."),
    ("found", "clutch chatter cold", "There was clutch chatter when cold."),
    ("found", "other side same", "The other side was the same."),
    ("did", "removed and cleaned injectors", "We took the injectors off and cleaned them."),
    ("cause", "frozen RR caliper", "A frozen right rear caliper."),
    ("cause", "u-joint and mount", "The u-joint and the mount."),
    ("did", "r/r rr caliper, bled brks", "We replaced the right rear caliper and bled the brakes."),
    (
        "did", "r&i lh taillight, new gasket",
        "We took the left taillight off and put it back, with a new gasket.",
    ),
    ("did", "replaced wp, fan belt & cap", "We replaced the water pump, the fan belt, and the cap."),
    ("did", "torqued nuts to 100 lb-ft", "We tightened the nuts to 100 lb-ft."),
    ("did", "added 2 gal hyd oil", "We added 2 gallons of hydraulic oil."),
    ("did", "pulled seat, freed track, greased it", "We pulled the seat, freed the track, and greased it."),
    ("found", "egr passage rusted shut", "The EGR passage was rusted shut."),
    ("found", "bearing race spun in hub", "The bearing race spun in the hub."),
    ("found", "wheel stud broken lr", "The left rear wheel stud was broken."),
    ("found", "oil on shoes", "There was oil on the shoes."),
    ("found", "gauge reads empty", "The gauge read empty."),
    ("found", "door has no power with key on", "The door had no power with the key on."),
    ("cause", "cyl 3 injector stuck open", "The cylinder 3 injector was stuck open."),
    ("proof", "codes cleared, drove 9 mi, codes read again, none stored",
     "We cleared the codes, drove 9 miles, and read the codes again: none were stored."),
    ("proof", "hosed 10 min, bone dry", "We put water on it for 10 minutes: bone dry."),
    ("proof", "rt 6mi no squeal", "We drove 6 miles: there was no squeal."),
    ("proof", "idled 20 min, no drips", "We let the engine idle for 20 minutes: there were no drips."),
    ("did", "replace hose and test system", "We replaced the hose and tested the system."),
    ("did", "replace hose and test the system", "We replaced the hose and tested the system."),
    ("did", "replace tire and balance wheel", "We replaced the tire and balanced the wheel."),
    ("did", "replace caliper and bleed brakes", "We replaced the caliper and bled the brakes."),
    ("did", "replaced pads and machined rotors", "We replaced the pads and machined the rotors."),
    ("did", "replaced pump and drive belt", "We replaced the pump and the drive belt."),
    ("did", "replaced strut and mount bracket", "We replaced the strut and the mount bracket."),
    ("did", "replace hose and clamp", "We replaced the hose and the clamp."),
    ("did", "replace line and check valve", "We replaced the line and the check valve."),
]  # fmt: skip


@pytest.mark.parametrize(("where", "typed"), NOTES, ids=[row[1] for row in NOTES])
def test_a_line_that_could_be_read_in_two_ways_stays_as_typed(where: str, typed: str) -> None:
    found = read(typed, where)
    assert isinstance(found, Unsure), sentences(found, "en")
    assert found.reason
    assert 0 <= found.start < found.end <= len(typed)


@pytest.mark.parametrize(("where", "typed", "told"), TOLD, ids=[row[1] for row in TOLD])
def test_a_line_with_one_reading_is_told(where: str, typed: str, told: str) -> None:
    found = read(typed, where)
    assert isinstance(found, Meaning), found
    said = sentences(found, "en")
    assert isinstance(said, tuple)
    assert " ".join(said).replace("\u00a0", " ") == told


def test_what_was_typed_in_the_past_is_not_told_as_going_on() -> None:
    found = read("plug got hot", "because")
    assert isinstance(found, Meaning)
    assert tell(found, "en", PRESENT) == ("the plug got hot",)
    going_on = read("belt slips when wet", "because")
    assert isinstance(going_on, Meaning)
    assert tell(going_on, "en", PRESENT) == ("the belt slips when wet",)


@pytest.mark.parametrize(
    ("typed", "form", "told"),
    [
        ("both front tires", "of", "of both front tires"),
        ("2 front tires", "to", "to two front tires"),
        ("12V battery", "a", "a 12-volt battery"),
        ("cyl 3 injector", "the", "the cylinder 3 injector"),
        ("sensor 3", "the", "sensor 3"),
        ("air", "a", "air"),
    ],
)
def test_a_group_alone_is_told_behind_its_small_word(typed: str, form: str, told: str) -> None:
    assert tell_group(typed, "en", form) == told


def test_what_is_no_certain_group_is_a_gap() -> None:
    assert isinstance(tell_group("head unit if it comes back", "en"), Gap)
    assert isinstance(tell_group("brake pads", "es", "the"), str)


@pytest.mark.parametrize(
    ("form", "told"),
    [
        ("past", ("replaced the water pump", "bled the system")),
        ("base", ("replace the water pump", "bleed the system")),
        ("participle", ("replaced", "bled")),
        ("gerund", ("replacing the water pump", "bleeding the system")),
    ],
)
def test_work_is_told_in_the_form_asked_for(form: str, told: tuple[str, ...]) -> None:
    found = read("r/r water pump, bled system", "did")
    assert isinstance(found, Meaning)
    assert tell(found, "en", work=form) == told


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("14 km run, no noise", "drive"),
        ("10 min idle, no leak", "idle"),
        ("30 min drive", "drive for"),
        ("20 min idle speed steady", ""),  # the speed was steady
        ("10 min run, no leak", ""),  # driven or run, nobody knows
    ],
)
def test_a_trial_may_stand_behind_its_figure(line: str, kind: str) -> None:
    meaning = read(line, "proof")
    clauses = meaning.clauses if isinstance(meaning, Meaning) else ()
    assert [one.kind for one in clauses if isinstance(one, Trial)] == ([kind] if kind else [])


@pytest.mark.parametrize(
    ("line", "certain"),
    [
        ("lh rear spring off n on", True),
        ("both drums off and back on, adjusted shoes", True),
        ("cycled lights off and on", False),
        ("pump off and on", False),  # switched, or taken off
        ("turned key off and on", False),
    ],
)
def test_what_was_taken_off_and_put_back_is_work_where_nothing_was_switched(line: str, certain: bool) -> None:
    assert isinstance(read(line, "did"), Meaning) is certain
