"""What is asked of whoever drives stands first, once, and is no more than was typed. Common practice, no source."""

import pytest
from story_jobs import sentences, told_of

_NAMED = "customer: Ada Fenn\n\nsays: temp light on\n"
_STOP = "Please do not drive until this is done."


@pytest.mark.parametrize(
    ("risk", "rest"),
    [
        ("do not drive it, may seize the engine", "may seize the engine"),
        ("don't drive it, water pump can let go", "water pump can let go"),
    ],
)
def test_an_order_typed_as_a_risk_is_told_as_an_order_with_part_and_risk(risk: str, rest: str) -> None:
    story = told_of(f"{_NAMED}later: water pump; because waiting on her answer; risk: {risk}")
    first = " ".join(sentences(story, "read"))
    assert "ater pump." in first
    assert rest.lower() in first.lower()
    assert first.count("drive") == 1
    assert _STOP in first
    assert any("please do not drive until it is done" in text for text in sentences(story, "short"))
    assert not any(text.startswith("Risk:") and "drive" in text for text in sentences(story, "later"))


@pytest.mark.parametrize("risk", ["do not drive over 50, may wander", "long stop, brake can fail"])
def test_less_than_a_ban_is_told_as_no_ban(risk: str) -> None:
    assert _STOP not in sentences(told_of(f"{_NAMED}later: front tires; risk: {risk}"))


def test_a_ban_told_in_a_talk_is_the_order_where_one_thing_waits() -> None:
    typed = f"{_NAMED}offer: front pads; do now\ntold: Ada Fenn in person, no 2\n"
    warned = "told: Ada Fenn in person, not safe to drive, metal on metal LF\n"
    later = "later: front pads; risk: brake can fail"
    story = told_of(typed + warned + later)
    first = " ".join(sentences(story, "read"))
    assert "brake can fail" in first.lower()
    assert "metal on metal" in first
    assert _STOP in first
    assert _STOP not in sentences(told_of(typed + later))


@pytest.mark.parametrize("words", ["she declined", "he said no", "Fenn declined", "cust refused"])
def test_the_reader_who_said_no_is_told_as_you(words: str) -> None:
    told = sentences(told_of(f"{_NAMED}later: wiper motor; because {words}"), "later")
    assert "Why it waits: You said no to this." in told, told


def test_a_day_that_is_the_readers_answer_is_not_told_beside_the_waiting() -> None:
    told = sentences(told_of(f"{_NAMED}later: wiper motor; because waiting on her answer; when she answers"), "later")
    assert "Why it waits: We are waiting for your answer." in told
    assert not any("she" in text for text in told)


@pytest.mark.parametrize("thing", ["wheel nuts", "lug nuts", "wheel studs"])
def test_the_nuts_of_one_wheel_stay_several(thing: str) -> None:
    told = sentences(told_of(f"found: LF {thing} 80 lb-ft (76 to 84)"), "found")
    assert any(f"The left front {thing} were 80 lb-ft" in text for text in told), told


@pytest.mark.parametrize("cause", ["head gasket at cyl 2", "main seal at the rear"])
def test_a_cause_that_names_a_place_only_is_told_as_typed(cause: str) -> None:
    told = sentences(told_of(f"says: loses coolant\ncause: {cause}; likely"), "cause")
    assert not any(" was at " in text for text in told), told
    assert any(cause.split(" at ", maxsplit=1)[0] in text.lower() for text in told)


def test_a_ban_of_other_work_in_a_talk_stands_first_with_part_and_risk() -> None:
    later = "later: pivot bushing; bushing on back order; risk: pin can let go\n"
    story = told_of(f"{_NAMED}{later}told: Ada Fenn in person, no mowing till it is done")
    first = " ".join(sentences(story, "read")).lower()
    assert "pivot bushing" in first
    assert "pin can let go" in first
    assert "no mowing till it is done" in first
    assert not sentences(told_of(f"{_NAMED}{later}told: Ada Fenn in person, all good"), "read")
