"""How much may be charged and when an estimate is owed: the figures of the laws, each with its citation."""

import dataclasses
import json
from typing import Any

import pytest

from ticket.money.prices import Details, Fee, PriceList
from ticket.rules.charge_rules import fee_charges, may_charge
from ticket.rules.overrun import Situation, allowed, compare
from ticket.rules.owed import estimate_owed
from ticket.rules.pack import load, packaged, read_pack

NO_ESTIMATE, LIMIT = Situation(case="no estimate"), Situation(case="price limit")
CALL_FIRST = Situation(asked_to_be_called=True)


@pytest.mark.parametrize(
    ("place", "estimate", "situation", "most", "citation"),
    [
        ("US-MI", 40000, None, 44000, "MCL 257.1332"),
        ("US-MI", 60000, None, 65000, "MCL 257.1332"),
        ("US-MI", 40000, CALL_FIRST, 40000, "MCL 257.1332"),
        ("US-FL", 8500, None, 9500, "559.909(1)(b), (3)"),
        ("US-FL", 40000, None, 44000, "559.909(1)(b), (3)"),
        ("US-FL", 100000, None, 105000, "559.909(1)(b), (3)"),
        ("US-CO", 20000, None, 22000, "42-9-105(1)"),
        ("US-CO", 40000, None, 42500, "42-9-105(1)"),
        ("US-NV", 30000, None, 36000, "NRS 487.6877"),
        ("US-NV", 80000, None, 90000, "NRS 487.6877"),
        ("US-OH", 40000, None, 43999, "109:4-3-13(C)(2)"),
        ("US-OH", 0, NO_ESTIMATE, 5000, "109:4-3-13(C)(3)"),
        ("US-WA", 40000, None, 44000, "RCW 46.71.025"),
        ("US-CA", 40000, None, 40000, "9884.9(a); 16 CCR 3354(a)"),
        ("US-MA", 40000, None, 41000, "940 CMR 5.05(7)"),
        ("US-HI", 10000, None, 11000, "HRS 437B-15(a)"),
        ("US-HI", 9999, None, 11498, "HRS 437B-15(a)"),
        ("US-NY", 40000, None, 40000, "398-d(2)"),
        ("US-MD", 40000, None, 44000, "14-1002(b)"),
        ("US-MN", 40000, None, 44000, "325F.58 subd. 6"),
        ("US-NC", 40000, None, 44000, "20-354.5"),
        ("US-IL", 40000, None, 44000, "306/15(b)"),
        ("US-IL", 40000, LIMIT, 40000, "306/15(b)"),
        ("US-WI", 40000, None, 40000, "132.06(2)"),
        ("US-VA", 40000, None, 44000, "59.1-207.3"),
        ("US-PA", 40000, None, 40000, "301.5(3)"),
        ("US-AK", 40000, None, 40000, "45.45.140"),
        ("CA-ON", 33333, None, 36666, "s. 58(2)"),  # 366.663 rounded down: half-up could step over the line
        ("CA-ON", 30000, LIMIT, 30000, "s. 56"),
        ("CA-QC", 40000, None, 40000, "s. 169-171"),
        # no tolerance in money was read: the neutral answer
        ("GB", 40000, None, 40000, "no source"),
        ("AU", 40000, None, 40000, "no source"),
        ("US-MI", 5300, Situation(case="diagnosis only"), 5300, "agency answer on MCL 257.1332"),
        # the cent at which another half of a rule begins to govern
        ("US-MI", 49999, None, 54998, "MCL 257.1332"),  # 10 per cent is 49.999: the whole cents below
        ("US-MI", 50001, None, 55001, "MCL 257.1332"),
        ("US-FL", 9999, None, 10999, "559.909(1)(b), (3)"),
        ("US-FL", 10009, None, 11009, "559.909(1)(b), (3)"),
        ("US-FL", 49999, None, 54998, "559.909(1)(b), (3)"),
        ("US-FL", 50001, None, 55001, "559.909(1)(b), (3)"),
        ("US-CO", 24999, None, 27498, "42-9-105(1)"),
        ("US-CO", 25001, None, 27501, "42-9-105(1)"),
        ("US-NV", 49999, None, 59998, "NRS 487.6877"),
        ("US-NV", 50001, None, 60001, "NRS 487.6877"),
        ("US-WA", 33335, None, 36668, "RCW 46.71.025"),  # 33.335: half a cent is not allowed either
        ("US-MD", 33335, None, 36668, "14-1002(b)"),
        ("US-MN", 33335, None, 36668, "325F.58 subd. 6"),
        ("US-NC", 33335, None, 36668, "20-354.5"),
        ("US-IL", 33335, None, 36668, "306/15(b)"),
        ("US-VA", 33335, None, 36668, "59.1-207.3"),
        ("US-OH", 33335, None, 36668, "109:4-3-13(C)(2)"),
    ],
)
def test_the_most_that_may_be_charged(
    place: str, estimate: int, situation: Situation | None, most: int, citation: str
) -> None:
    answer = allowed(estimate, load(place), situation)
    assert (answer.allowed, answer.consent_from) == (most, most + 1)
    assert citation in answer.citation
    assert answer.estimate == estimate
    assert ("unverified" in answer.source) == (answer.status != "C")


@pytest.mark.parametrize(
    ("place", "cost", "contact", "requested", "owed"),
    [
        ("US-FL", 15000, "face to face", False, False),  # Fla. Stat. 559.905
        ("US-FL", 15001, "face to face", False, True),
        ("US-OH", 4000, "face to face", False, False),  # Ohio Adm. Code 109:4-3-13(A)(1)
        ("US-OH", 5001, "face to face", False, True),
        ("US-OH", 4000, "remote", False, True),  # (B): no floor by telephone
        ("US-MI", 4999, "face to face", False, False),  # state manual ch. 4
        ("US-MI", 5000, "face to face", False, True),
        ("US-NC", 35000, "face to face", False, False),  # N.C.G.S. 20-354.3
        ("US-NC", 35001, "face to face", False, True),
        ("US-CA", 1, "face to face", False, True),  # Bus. & Prof. Code 9884.9: no floor
        ("US-NY", 90000, "face to face", False, False),  # Veh. & Traf. Law 398-d(2): on request
        ("US-NY", 90000, "face to face", True, True),
        ("US-MD", 5000, "face to face", True, False),  # Com. Law 14-1002(a): on request above 50
        ("US-MD", 5001, "face to face", True, True),
        ("US-WA", 10000, "remote", False, False),  # RCW 46.71.015
        ("US-WA", 10001, "remote", False, True),
        ("CA-QC", 10000, "face to face", False, False),  # Reg. P-40.1 r. 3 s. 73
        ("CA-QC", 10001, "face to face", False, True),
        ("GB", 90000, "face to face", True, False),  # Consumer Rights Act 2015 s. 51
        ("US-FL", None, "face to face", False, True),
        ("US-DE", 1, "face to face", False, True),  # nothing read there: the neutral answer
        ("US-OH", 5000, "face to face", False, False),  # 109:4-3-13(A)(1): above 50
        ("US-WA", 10000, "face to face", False, False),
        ("US-WA", 10001, "face to face", False, True),
        ("US-NV", 5000, "face to face", False, False),  # NRS 487.6875
        ("US-NV", 5001, "face to face", False, True),
        ("US-HI", 1, "face to face", False, True),  # HRS 437B-15(a): every job
        ("US-IL", 10000, "face to face", False, False),  # 815 ILCS 306/15
        ("US-IL", 10001, "face to face", False, True),
        ("US-WI", 5000, "face to face", False, False),  # Wis. ATCP 132.03
        ("US-WI", 5001, "face to face", False, True),
        ("US-AK", 90000, "face to face", False, False),  # AS 45.45.140: on request
        ("US-AK", 1, "face to face", True, True),
        ("US-VA", 90000, "face to face", False, False),  # Va. Code 59.1-207.3: on request
        ("US-VA", 1, "face to face", True, True),
        ("US-PA", 1, "face to face", False, True),  # 37 Pa. Code 301.5(2): a record of every job
        ("US-MA", 1, "face to face", False, True),  # 940 CMR 5.05(3)
        ("CA-ON", 1, "face to face", False, True),  # Consumer Protection Act 2002 s. 56
        ("AU", 90000, "face to face", True, False),  # no trigger found in the ACL
    ],
)
def test_when_something_is_owed_before_the_work(
    place: str, cost: int | None, contact: str, requested: bool, owed: bool
) -> None:
    assert estimate_owed(load(place), cost, contact=contact, requested=requested).owed == owed


def test_a_job_the_law_does_not_reach() -> None:
    """C.R.S. 42-9-103: jobs of 100 or less."""
    assert not estimate_owed(load("US-CO"), 10000).owed
    assert estimate_owed(load("US-CO"), 10001).owed
    assert estimate_owed(load("US-MN"), 9000, requested=True).source.rules == "US-MN/scope"
    assert not estimate_owed(load("US-MN"), 750001, requested=True).owed


# The traps: figures that circulate and are wrong.


def test_trap_colorado_is_the_lesser() -> None:
    """C.R.S. 42-9-105(1): the lesser of 10 per cent and 25; popular pages print the greater (225)."""
    assert allowed(20000, load("US-CO")).allowed == 22000


def test_trap_old_thresholds() -> None:
    """Fla. Stat. 559.905 (150, was 100), MCL 257.1332 (50, not 10), Ohio (50, was 25), NRS 487.6877 (100, was 40)."""
    assert not estimate_owed(load("US-FL"), 12000).owed
    assert allowed(60000, load("US-MI")).allowed == 65000
    assert not estimate_owed(load("US-OH"), 4000).owed
    assert allowed(80000, load("US-NV")).allowed == 90000
    assert load("US-MI").retention[0].years == "3"


def test_trap_ohio_starts_at_ten_per_cent() -> None:
    """Ohio Adm. Code 109:4-3-13(C)(2), operative text: 10 per cent or more."""
    answer = allowed(40000, load("US-OH"))
    assert (answer.allowed, answer.consent_from) == (43999, 44000)
    assert allowed(33333, load("US-OH")).allowed == 36666  # 366.663 is not reached by 366.66


def test_trap_california_allows_nothing() -> None:
    """Cal. Bus. & Prof. Code 9884.9(a): sample code that allows 10 per cent is wrong."""
    assert allowed(40000, load("US-CA")).consent_from == 40001


def test_trap_one_supplies_line_three_laws() -> None:
    """16 CCR 3356(f), (g); Fla. Stat. 559.905(1)(h); Michigan manual 4-1.2(c)."""
    percent = Fee(name="shop supplies", charge="supplies", percent="8", of=("part",))
    money = Fee(name="shop supplies", charge="supplies", amount="33.00")
    printed = {"itemised on estimate"}

    def ask(place: str, fee: Fee) -> Any:
        return fee_charges(load(place), PriceList(fees=(fee,)), printed)[0][1]

    california = ask("US-CA", dataclasses.replace(money, amount="12.00"))
    assert not california.allowed
    assert "3356" in california.source.citation
    assert "(g)" in california.source.citation
    assert ask("US-MI", percent).unmet == ("amount not percent",)
    assert ask("US-MI", money).allowed
    florida = ask("US-FL", dataclasses.replace(money, amount="10.00"))
    assert florida.allowed
    assert florida.words.startswith("This charge represents costs and profits")
    assert ask("US-IL", percent).allowed  # no law that was read sets a cap


def test_trap_ohio_general_repair_rule_is_not_for_vehicles() -> None:
    """109:4-3-05 (25 floor, greater of 5 or 10 per cent) would allow 35.00 on 30.00."""
    assert allowed(3000, load("US-OH")).allowed == 3299


@pytest.mark.parametrize("place", ["US-OH", "US-WA", "US-WI"])
def test_trap_the_base_excludes_tax(place: str) -> None:
    """109:4-3-13(C)(2); RCW 46.71.025; ATCP 132.01(11)."""
    assert allowed(40000, load(place)).before_tax
    assert not allowed(40000, load("US-MD")).before_tax


@pytest.mark.parametrize(("estimate", "percent"), [(8000, 12.5), (30000, 10), (100000, 5)])
def test_trap_florida_is_not_a_flat_percentage(estimate: int, percent: float) -> None:
    """Fla. Stat. 559.909(3): 12.5 per cent at 80, 10 at 300, 5 at 1,000."""
    assert (allowed(estimate, load("US-FL")).allowed - estimate) * 100 / estimate == percent


def test_trap_ontario_is_dated() -> None:
    """The Consumer Protection Act, 2023 is to replace the act of 2002 (from memory)."""
    pack = load("CA-ON")
    assert pack.recheck < load("CA-QC").recheck
    assert all(row.as_of and ("2002" not in row.citation or row.status != "C") for row in pack.overrun)
    assert "2023" in allowed(100, pack).note


def test_an_estimate_nobody_asked_for_gives_no_allowance() -> None:
    """Ohio Adm. Code 109:4-3-13(C)(2) speaks of an estimate the customer asked for."""
    answer = allowed(40000, load("US-OH"), Situation(estimate_asked=False))
    assert (answer.allowed, answer.rules) == (40000, "neutral/ask first estimate")


def test_packs_compare_with_the_strictest_first() -> None:
    answers = compare(40000, [load(place) for place in ("US-NV", "US-FL", "US-CA", "US-OH")])
    assert [answer.rules.partition("/")[0] for answer in answers] == ["US-CA", "US-OH", "US-FL", "US-NV"]


@pytest.mark.parametrize("place", packaged())
@pytest.mark.parametrize("estimate", [0, 1, 999, 9999, 10000, 33333, 10**9])
def test_no_pack_allows_less_than_was_agreed(place: str, estimate: int) -> None:
    for case in ("estimate", "price limit", "diagnosis only"):
        answer = allowed(estimate, load(place), Situation(case=case))
        assert estimate <= answer.allowed
        assert answer.consent_from == answer.allowed + 1
    assert allowed(estimate, load(place), Situation(case="price limit")).allowed == estimate


def test_a_lump_price_in_new_york() -> None:
    """15 NYCRR 82.8(a): only under 200."""
    assert may_charge(load("US-NY"), "lump price", 19999).allowed
    assert may_charge(load("US-NY"), "lump price", 20000).unmet == ("less than 200",)


def test_waste_in_california_needs_an_identity() -> None:
    """16 CCR 3357: on estimate and invoice, with the shop's EPA identity."""
    fee = Fee(name="waste oil", charge="waste", amount="4.00")
    for details, fine in ((Details(), False), (Details(waste_id="CAL000"), True)):
        prices = PriceList(fees=(fee,), details=details)
        assert fee_charges(load("US-CA"), prices, {"itemised on estimate"})[0][1].allowed == fine


def test_a_fee_the_law_fixes() -> None:
    """Fla. Stat. 403.718: 1.00 for a new tire, law and sum named."""
    fee = Fee(name="tire fee", charge="tire", amount="1.00", each=("tire",), law="Fla. Stat. 403.718")
    dearer = dataclasses.replace(fee, name="dear", amount="2.00")
    unnamed = dataclasses.replace(fee, name="unnamed", law="")
    answers = [charge.unmet for _, charge in fee_charges(load("US-FL"), PriceList(fees=(fee, dearer, unnamed)))]
    assert answers == [(), ("1.00 for each",), ("law and sum named",)]


def test_a_shop_adds_its_own_rules_as_a_file() -> None:
    own = {
        "format": "rule-pack-1", "id": "our-fleet", "name": "Fleet contract", "notice": "Agreed with one customer.",
        "recheck": "2027-01-31", "inherits": "US-FL",
        "overrun": [
            {"id": "contract", "percent": "2", "combine": "percent", "citation": "contract of 2026-01-31",
             "status": "M", "as_of": "2026-01-31"},
        ],
    }  # fmt: skip
    pack = read_pack(json.dumps(own), "our-fleet.json")
    assert allowed(40000, pack).allowed == 40800
    assert not estimate_owed(pack, 15000).owed  # from the pack it inherits
    assert allowed(40000, pack, LIMIT).rules == "neutral/ask first price limit"


@pytest.mark.parametrize(
    ("place", "cents", "most", "rules", "begins"),
    [
        # C.R.S. 42-9-103: the act does not reach jobs of 100 or less (read in a secondary text)
        (
            "US-CO",
            9999,
            9999,
            "neutral",
            "US-CO/scope does not reach this sum: it begins above 100.00 (C.R.S. 42-9-103",
        ),
        ("US-CO", 10000, 10000, "neutral", "it begins above 100.00"),
        ("US-CO", 10001, 11001, "US-CO", ""),
        # Regulation P-40.1 r. 3 s. 73: 50 or less is no repair
        ("CA-QC", 5000, 5000, "neutral", "it begins above 50.00 (Regulation P-40.1 r. 3 s. 73"),
        ("CA-QC", 5001, 5001, "CA-QC", ""),
        # MCL 257.1332 by the state's manual: an estimate for each job of 50 or more
        ("US-MI", 4999, 4999, "neutral", "US-MI/overrun does not reach this sum: it begins at 50.00 (MCL 257.1332"),
        ("US-MI", 5000, 5500, "US-MI", ""),
        # scope of the Minnesota act, from memory
        ("US-MN", 750001, 750001, "neutral", "it ends at 7,500.00"),
        ("US-MN", 750000, 825000, "US-MN", ""),
        # bands that meet leave nothing out
        ("US-HI", 9999, 11498, "US-HI", ""),
        ("US-CA", 9999, 9999, "US-CA", ""),
    ],
)
def test_a_law_that_does_not_reach_a_sum_is_not_cited_for_it(
    place: str, cents: int, most: int, rules: str, begins: str
) -> None:
    found = allowed(cents, load(place))
    assert (found.allowed, found.rules.partition("/")[0]) == (most, rules)
    assert begins in " ".join(found.beyond)
    assert bool(begins) == bool(found.beyond)
