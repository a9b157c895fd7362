"""Limits of the book are offered at the end of a line, with their source; nothing is judged before they stand in it."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ticket.assist.limits_offered import with_limits_offered
from ticket.assist.limits_shelf import base_book, bracket
from ticket.job.entry import Remark
from ticket.job.errors import InputError
from ticket.job.kinds import Found
from ticket.job.ticket import Header, Vehicle
from ticket.notes.read import read
from ticket.readings.limits_book import LimitRow, Shelf
from ticket.readings.measured_groups import groups
from ticket.readings.verdict import judge
from ticket.shop.changing import add_lines, new_ticket, strike_entry
from ticket.shop.opening import Shop, set_setting
from ticket.shop.reading import ticket_of, understand
from ticket.shop.settings import keep_proposed, own_book, proposed, set_limits

PAD = LimitRow(thing="brake pad", also=("pad",), unit="mm", low="3.0", source="maker", citation="Alder handbook 7-2")
ROTOR = LimitRow(thing="rotor", unit="mm", nominal="27", tol="0.5", source="shop")
PLAY = LimitRow(thing="ball joint play", unit="in", high="1/16", source="maker")
SHELF = Shelf((PAD, ROTOR, PLAY))


def offered(line: str, shelf: Shelf = SHELF) -> tuple[Remark, ...]:
    (draft,) = read(line)
    return with_limits_offered(draft, shelf, "", "").remarks


def verdicts(line: str) -> list[str]:
    (draft,) = read(line)
    assert isinstance(draft.fact, Found)
    return [verdict.word for group in groups(draft.fact) for verdict in judge(group.run)]


def test_a_reading_without_limits_is_offered_the_row_that_fits() -> None:
    line = "LF pad 2 mm"
    (remark,) = offered(line)
    assert (remark.state, remark.blocks) == ("remark", False)
    assert remark.start == remark.end == len(line)
    assert remark.answers == (" (min 3.0 mm per maker)",)
    assert "Alder handbook 7-2" in remark.text
    assert verdicts(line) == ["none"], "the book judges nothing by itself"
    assert verdicts(line + remark.answers[0]) == ["low"]
    assert offered(line + remark.answers[0]) == (), "and offers nothing twice"


@pytest.mark.parametrize(
    ("line", "answer", "verdict"),
    [
        ("found: rotor LF 26.4 mm", " (27 +/- 0.5 mm per shop)", "low"),
        ("ball joint play L 1/8 in", " (max 1/16 in per maker)", "high"),
        ("ball joint play 1.5 mm", " (max 1/16 in per maker)", "in"),  # 1/16 in is 1.5875 mm (NIST SP 811, B.8)
        ("ball joint play 1.6 mm", " (max 1/16 in per maker)", "high"),
        ("pads RF 5 mm ", "(min 3.0 mm per maker)", "in"),
        ("proof: pads RF 3 mm", " (min 3.0 mm per maker)", None),
    ],
)
def test_every_form_of_limits_is_read_back_as_the_row_means_it(line: str, answer: str, verdict: str | None) -> None:
    (remark,) = offered(line)
    assert remark.answers == (answer,)
    if verdict:
        assert verdicts(line + answer) == [verdict]


@pytest.mark.parametrize(
    "line",
    [
        "LF pad 2 mm (min 4)",  # what was typed stands
        "LF pad 2 mm (spec 9)",
        "pad temperature 80 C",
        "pad slide gap 2 mm",
        "pads 5",  # the number is asked about first
        "LF pad 2 mm, 2018",
        "proof: 3 now 4 mm",
        "did: 1.0 h replace pads 5 mm",
        "says: pads 5 mm",
        "# LF pad 2 mm",
        "pads worn",
    ],
)
def test_nothing_is_offered_where_nothing_fits(line: str) -> None:
    assert not any(remark.answers and remark.state == "remark" for remark in offered(line))


def test_what_cannot_stand_at_the_end_is_told_and_not_added() -> None:
    (remark,) = offered("LF pad 2 mm, hub face 27 mm")
    assert remark.answers == (), "a bracket at the end would judge the hub face"
    assert "min 3.0 mm per maker" in remark.text
    both = offered("LF pad 2 mm, rotor 27.1 mm")
    assert [one.answers for one in both] == [(), (" (27 +/- 0.5 mm per shop)",)]


def test_several_rows_are_several_answers_and_one_text_names_both_sources() -> None:
    more = LimitRow(thing="pad", unit="mm", low="3.0", source="maker", citation="bulletin 12")
    law = LimitRow(thing="pad", unit="in", low="1/16", source="law", citation="some act")
    (remark,) = offered("pad 2 mm", Shelf((PAD, more, law)))
    assert remark.answers == (" (min 3.0 mm per maker)", " (min 1/16 in per law)")
    for source in ("Alder handbook 7-2", "bulletin 12", "some act", "stricter limit of the maker"):
        assert source in remark.text


THINGS = st.sampled_from(["tread", "brake lining", "pads", "low air warning", "rotor", "ball joint play", "hub"])
PLACES = st.sampled_from(["", "LF ", "RR ", "axle 2 ", "inner ", "steer axle ", "front "])
VALUES = st.sampled_from(["2 mm", "4/32", "58 psi", "7 LF 2 RF mm", "<3 mm", "5 to 6 mm", "2,5 mm", "3 in", '3/16"'])
TAILS = st.sampled_from(["", " ", ", rotor 27 mm", "; tire scuffed", " after 20 min", " hot", ", pad 3", "."])


@given(PLACES, THINGS, VALUES, TAILS)
def test_an_answer_never_changes_anything_but_the_limits_it_names(
    place: str, thing: str, value: str, tail: str
) -> None:
    line = f"{place}{thing} {value}{tail}"
    (draft,) = read(line)
    assert isinstance(draft.fact, Found)
    was = groups(draft.fact)
    shelf = Shelf((PAD, ROTOR, PLAY, *base_book().limits))
    for remark in with_limits_offered(draft, shelf, "", "").remarks:
        for answer in remark.answers if remark.state == "remark" else ():
            (after,) = read(line + answer)
            assert isinstance(after.fact, Found)
            now = groups(after.fact)
            assert [(g.what, g.when, g.run.values, g.run.unit) for g in was] == [
                (g.what, g.when, g.run.values, g.run.unit) for g in now
            ]
            changed = [new.run.limits for old, new in zip(was, now, strict=True) if old.run.limits != new.run.limits]
            assert len(changed) == 1
            assert changed[0] is not None
            assert changed[0].source in answer


BOOK = {"format": "limits-book-1", "limits": [{"thing": "pad", "unit": "mm", "low": "3", "source": "maker"}]}
ALDER = Header(vehicle=Vehicle(label="Corvane Alder"))


def test_the_shop_offers_its_own_rows_first_and_keeps_them_by_value_in_the_line(shop: Shop) -> None:
    set_setting(shop, "rules", "GB")
    set_limits(shop, json.dumps(BOOK))
    number = new_ticket(shop, ALDER)
    (item,) = understand(shop, ticket_of(shop, number), "LF pad 2 mm")
    (remark,) = item.draft.remarks
    assert remark.answers == (" (min 3 mm per maker)",), "no law of another country"
    add_lines(shop, number, "LF pad 2 mm")
    add_lines(shop, number, "LF pad 2 mm" + remark.answers[0])
    set_limits(shop, json.dumps(BOOK).replace('"3"', '"1"'))
    plain, limited = (entry.fact for entry in ticket_of(shop, number).entries)
    assert isinstance(plain, Found)
    assert isinstance(limited, Found)
    assert groups(plain)[0].run.limits is None, "a stored reading without limits is never judged"
    assert [verdict.word for verdict in judge(groups(limited)[0].run)] == ["low"]
    assert shop.store.audit(deep=True).ok


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"low": "three"}, "row 1, low: "),
        ({"low": ""}, "row 1, low: give low, high or both"),
        ({"low": "5", "high": "4"}, "row 1, low: The low limit 5 is above the high limit 4"),
        ({"low": "", "nominal": "4"}, "row 1, tol: "),
        ({"unit": "blinks"}, "row 1, unit: 'blinks' is no unit"),
        ({"thing": "--"}, "row 1, thing: "),
        ({"also": [" "]}, "row 1, also/0: "),
        ({"source": "maker (p. 3)"}, "row 1, source: "),
        ({"source": ""}, "row 1, source: "),
        ({"colour": "red"}, "row 1, colour: unknown field"),
        ({"low": 3}, "row 1, low: expected text"),
        ({"standing": "gospel"}, "row 1, standing: must be one of"),
    ],
)
def test_a_book_is_taken_in_whole_or_not_at_all(shop: Shop, change: dict[str, object], told: str) -> None:
    set_limits(shop, json.dumps(BOOK))
    before = own_book(shop)
    broken = {**BOOK, "limits": [{"thing": "pad", "unit": "mm", "low": "3", "source": "maker"} | change]}
    with pytest.raises(InputError) as error:
        set_limits(shop, json.dumps(broken), "ours.json")
    assert str(error.value).startswith(f"ours.json: {told}")
    assert str(error.value).endswith("nothing was changed.")
    assert own_book(shop) == before


def test_a_row_that_stands_twice_is_refused(shop: Shop) -> None:
    twice = {**BOOK, "limits": [BOOK["limits"][0], BOOK["limits"][0]]}
    with pytest.raises(InputError, match="row 2, thing: says again what row 1 says"):
        set_limits(shop, json.dumps(twice))
    assert own_book(shop).limits == ()


def test_what_was_typed_twice_is_proposed_kept_and_then_offered(shop: Shop) -> None:
    first, second = new_ticket(shop, ALDER), new_ticket(shop, ALDER)
    add_lines(shop, first, "front pads LF 7 RF 6 mm (min 3 per maker)\nrotor 27.0 mm (min 26)")
    assert proposed(shop) == ()
    add_lines(shop, second, "pads RF 2 mm (min 3 mm per maker)")
    add_lines(shop, second, "rotor 26.5 mm (min 26)")
    strike_entry(shop, second, 2)
    (one,) = proposed(shop)
    assert one.stands == ((first, 1), (second, 1)), "what was struck counts no more"
    with pytest.raises(InputError, match="no proposal 2, there are 1"):
        keep_proposed(shop, 2)
    row = keep_proposed(shop, 1)
    assert own_book(shop).limits == (row,)
    assert bracket(row) == "(min 3 mm per maker)"
    assert proposed(shop) == ()
    assert any("limits" in event.summary for event in shop.store.history())
    (item,) = understand(shop, ticket_of(shop, second), "pads LF 5 mm")
    assert item.draft.remarks[0].answers[0] == " (min 3 mm per maker)"
    other = new_ticket(shop, Header(vehicle=Vehicle(label="Corvane Birch")))
    (item,) = understand(shop, ticket_of(shop, other), "pads LF 5 mm")
    assert " (min 3 mm per maker)" not in item.draft.remarks[0].answers


def test_the_book_outlives_the_terminal(tmp_path: Path) -> None:
    with Shop.open(tmp_path / "shop.db", "Bo Karst") as shop:
        set_limits(shop, json.dumps(BOOK))
    with Shop.open(tmp_path / "shop.db", "Bo Karst") as shop:
        assert [row.low for row in own_book(shop).limits] == ["3"]
