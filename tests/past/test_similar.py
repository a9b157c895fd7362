"""Jobs told alike: the published worked example of the score, and invented jobs told in other words with slips."""

import random
from math import log

import pytest

from ticket.past.similar import Told, nearest, pieces, score
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.shop.past import similar_to


def test_the_score_by_hand() -> None:
    """Two texts of three terms, one holds the term twice: 2 * 2.2 / (2 + 1.2), times the logarithm of 1 + 1.5 / 1.5."""
    found = score({"fan": 1}, [{"fan": 2, "roars": 1}, {"lamp": 2, "off": 1}])
    assert found == pytest.approx([log(2) * 2 * 2.2 / 3.2, 0.0])


def test_as_another_library_scores() -> None:
    """The reference library leaves the one out of the logarithm, so the order is compared, not the figures."""
    library = pytest.importorskip("rank_bm25")
    texts = ["fan roars loudly uphill", "lamp flickers", "fan quiet now", "roars and roars", "wet carpet", "slow crank"]
    terms = [text.split() for text in texts]
    ours = score({"fan": 1, "roars": 1}, [{word: one.count(word) for word in one} for one in terms])
    theirs = list(library.BM25Okapi(terms, k1=1.2, b=0.75).get_scores(["fan", "roars"]))
    rank = sorted(range(6), key=lambda i: -ours[i])[:3]
    assert rank == sorted(range(6), key=lambda i: -theirs[i])[:3]


def test_a_slip_of_the_finger_is_near_and_a_code_decides_between_two() -> None:
    hand = Told(9, "thermosatt stuck, heater cold", frozenset({("P0128", "11")}))
    jobs = [
        Told(1, "thermostat stuck open, cold heater", frozenset({("P0128", "11")})),
        Told(2, "thermostat stuck open, cold heater", frozenset({("P0300", "")})),
        Told(3, "wiper stands still"),
    ]
    assert [near.number for near in nearest(hand, jobs)][:2] == [1, 2]
    assert nearest(hand, jobs)[0].words == ("cold", "heater", "stuck")
    assert nearest(Told(9, "xyzzy"), jobs) == ()


THINGS = (
    "heater flap",
    "wiper motor",
    "seat switch",
    "fuel cap",
    "horn relay",
    "door latch",
    "oil cooler",
    "level sensor",
)
SIGNS = (("rattles", "knocks"), ("stays cold", "never warms"), ("leaks", "seeps"), ("does not work", "is dead"))
FINDS = (
    ("spring cracked", "spring broken"),
    ("valve stuck", "valve seized"),
    ("hose wet", "hose damp"),
    ("no voltage",) * 2,
)
SYNONYMS = {
    "broken": "cracked",
    "seized": "stuck",
    "damp": "wet",
    "knocks": "rattles",
    "warms": "cold",
    "seeps": "leaks",
    "dead": "work",
}


def _slipped(draw: random.Random, text: str) -> str:
    words = text.split()
    at = draw.randrange(len(words))
    if len(words[at]) > 4:
        words[at] = words[at][:2] + words[at][3:]
    return " ".join(words)


@pytest.mark.slow
def test_jobs_told_in_other_words_with_slips_are_found() -> None:
    draw = random.Random(2)
    families = [(thing, *told) for thing in THINGS for told in zip(SIGNS, FINDS, strict=True)]
    jobs = [
        Told(i, " ".join(_slipped(draw, part) for part in (f"{thing} {sign[0]}", f"{thing} {find[0]}")))
        for i, (thing, sign, find) in enumerate(families * 6)
    ]
    first = within = 0
    for family, (thing, sign, find) in enumerate(families):
        found = nearest(Told(10_000, _slipped(draw, f"{thing} {sign[1]} now, {find[1]}")), jobs, synonyms=SYNONYMS)
        right = [near.number % len(families) == family for near in found]
        first += right[0]
        within += sum(right)
    assert first / len(families) >= 0.95
    assert within / (5 * len(families)) >= 0.80


def test_the_shop_is_asked_for_jobs_like_a_ticket(shop: Shop) -> None:
    for line in ("says: fan roars uphill", "says: lamp flickers at idle", "says: wet carpet"):
        add_lines(shop, new_ticket(shop), line)
    hand = new_ticket(shop)
    add_lines(shop, hand, "says: lamps flickering")
    near, jobs = similar_to(shop, hand)
    assert [one.number for one in near] == [job.number for job in jobs] == [2]
    add_lines(shop, bare := new_ticket(shop), "says: strange")
    assert similar_to(shop, bare) == ((), ())


def test_pieces_hold_the_ends_of_words() -> None:
    assert dict(pieces("fan")) == {" fa": 1, "fan": 1, "an ": 1}
