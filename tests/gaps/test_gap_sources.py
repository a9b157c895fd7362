"""Every rule rests on something, every item of the lists is asked or says why not, and every rule has its tests."""

import re
from pathlib import Path

from ticket.gaps import find, money_gaps

ROWS = [
    line.split("\t")
    for line in (Path(find.__file__).with_name("sources.tsv")).read_text("utf-8").split("\n")[6:]
    if line
]
HERE = Path(__file__).parent


def rules() -> set[str]:
    return {rule.__name__.replace("_", "-") for rule in find.RULES}


def money_rules() -> set[str]:
    return {rule.__name__.replace("_", "-") for rule in money_gaps.RULES} | {"bill-rate", "bill-price", "bill-tax"}


def test_the_lists_are_whole() -> None:
    items = {(row[0], row[1]) for row in ROWS}
    assert {name for kind, name in items if kind == "auditor"} == {str(number) for number in range(1, 19)}
    lint = [f"{'E' if n <= 10 else 'W' if n <= 22 else 'N'}{n:02}" for n in range(1, 26)]
    assert {name for kind, name in items if kind == "lint"} == set(lint)
    assert len(items) == len(ROWS)


def test_each_item_names_rules_that_exist_or_says_why_none_asks_it() -> None:
    for kind, item, _, named, source, *note in ROWS:
        assert source, (kind, item)
        if named == "-":
            assert note, (kind, item)
        else:
            assert set(named.split(", ")) <= rules() | money_rules(), (kind, item)


def test_each_rule_rests_on_an_item() -> None:
    named = {name for row in ROWS for name in row[3].split(", ")}
    assert rules() - named == set()
    assert len(rules()) >= 30


def test_each_rule_is_tested_by_name() -> None:
    tests = " ".join(
        path.read_text("utf-8") for path in HERE.parent.glob("**/test_*.py") if path.name != Path(__file__).name
    )
    mine = {rule.__name__.replace("_", "-") for rule in find.RULES if rule.__module__ != "ticket.gaps.rewording_gaps"}
    assert [rule for rule in sorted(mine) if not re.search(rf'"{rule}"', tests)] == []


def test_a_rule_gives_gaps_of_its_own_name_only() -> None:
    for module in {rule.__module__ for rule in find.RULES}:
        text = (Path(find.__file__).parent / f"{module.rpartition('.')[2]}.py").read_text("utf-8")
        for name, body in re.findall(r"\ndef ([a-z]\w*)\(case: Case\)(.*?)(?=\n\n\n|\Z)", text, re.S):
            if name.replace("_", "-") in rules():
                assert set(re.findall(r'Gap\(\s*"([\w-]+)"', body)) <= {name.replace("_", "-")}, name
