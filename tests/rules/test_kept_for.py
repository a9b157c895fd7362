"""How long records are kept: years and months of a rule add up, and a rule without a period says so."""

import dataclasses
from datetime import date

from ticket.rules.kept_for import KeptFor, kept_for, may_go_before
from ticket.rules.pack import load


def test_years_and_months_of_a_rule_are_one_period() -> None:
    """Fla. Stat. 559.915 keeps repair records for twelve months; the other two periods are arithmetic."""
    pack = load("US-FL")
    (row,) = (one for one in pack.retention if one.what == "repair records")
    for years, months, whole in (("", "12", 12), ("1", "", 12), ("2", "6", 30)):
        longer = dataclasses.replace(pack, retention=(dataclasses.replace(row, years=years, months=months),))
        repair, *_ = kept_for(longer)
        assert repair.months == whole
    assert may_go_before(
        dataclasses.replace(pack, retention=(dataclasses.replace(row, months="84"),)), date(2026, 3, 2)
    ) == date(2019, 3, 2)


def test_a_period_is_told_in_years_where_it_is_whole_years() -> None:
    for months, words in ((0, "no period is set"), (12, "12 months"), (30, "30 months"), (36, "3 years")):
        assert KeptFor("tax records", months, (), "x").words == f"tax records: {words} (x)"
    assert KeptFor("repair records", 24, ("claim", "warranty"), "x").words == (
        "repair records: 2 years, longer with a claim or a warranty (x)"
    )
