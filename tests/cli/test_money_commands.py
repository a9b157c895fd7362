"""The commands about money: bill, estimate, allowed, hours, and price list and rules of the shop.

Each of the four runs once as a subprocess, everything around it in this process, which is quicker.
"""

import json
import subprocess
import sys
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from support.schemas import validate
from ticket.cli.main import main
from ticket.data import data_folder

PRICES = {
    "format": "price-list-1",
    "currency": "USD",
    "rates": [{"name": "general", "price": "100.00"}, {"name": "glass", "price": "90.00"}],
    "places": [{"name": "here", "taxes": [{"name": "sales tax", "percent": "7.4", "on": ["part"]}]}],
    "quotes": "before tax",
}
LINES = """
says: horn silent
offer: replace horn; hours 0.5; parts 12.50
offer: polish both lamps; est 80.00
told: Ada Fenn by phone 555-0134, yes 2, no 3; at 9:00
did: 0.7 h replace horn; for 2; clock 9:10-9:52; less 0.2; shared: cover is off anyway; rate general
used: 1 x HN-2041 horn, new @ 12.50; for 2; core 5.00; core back 1
""".strip()
Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def ticket(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    for name, value in {
        "TICKET_DB": str(tmp_path / "shop.db"), "TICKET_PERSON": "K. Orlo", "TZ": "UTC",
        "TICKET_NOW": "2026-03-02T14:10:00+00:00",
    }.items():  # fmt: skip
        monkeypatch.setenv(name, value)
    (tmp_path / "prices.json").write_text(json.dumps(PRICES), "utf-8")

    monkeypatch.chdir(tmp_path)
    assert main(["shop", "--start"]) == 0
    capsys.readouterr()

    def run(*arguments: str, apart: bool = False) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-m", "ticket", *arguments]
        if apart:
            return subprocess.run(command, capture_output=True, text=True, check=False, cwd=tmp_path)
        code = main(arguments)
        out, err = capsys.readouterr()
        return subprocess.CompletedProcess(command, code, out, err)

    return run


def document(run: subprocess.CompletedProcess[str], schema: str) -> Any:
    assert run.stderr == ""
    data = json.loads(run.stdout)
    validate(data, json.loads((data_folder("schemas") / f"{schema}.json").read_text("utf-8")))
    return data


@pytest.mark.slow
def test_a_bill_from_typed_lines_to_the_verdict(ticket: Run) -> None:
    assert ticket("shop", "prices", "prices.json").stdout.startswith("The price list is taken in: 2 rates")
    header = ["--vehicle", "Corvane Alder", "--customer", "Ada Fenn", "--odometer", "91,804 mi"]
    assert ticket("new", *header).returncode == 0
    assert ticket("add", "1", *LINES.splitlines()).stderr == ""  # the rate class of the price list may be named
    run = ticket("bill", "1", "--json", apart=True)
    made = document(run, "bill")
    assert run.returncode == 0
    # 0.5 h x 100 + 12.50 = 62.50 before tax; 12.50 x 7.4 % = 0.925, half up 0.93 (Streamlined agreement s. 324);
    # the core charge of 5.00 came back, and no tax falls on it here.
    assert {key: made[key] for key in ("labour", "parts", "cores", "tax", "total")} == {
        "labour": "50.00", "parts": "12.50", "cores": "0.00", "tax": "0.93", "total": "63.43",
    }  # fmt: skip
    assert (made["estimate"], made["approved"], made["allowed"], made["verdict"]) == ("62.50",) * 3 + ("within",)
    sums = sum(Decimal(line["amount"]) for line in made["lines"]) - Decimal(made["discount"]) + Decimal(made["tax"])
    assert sums == Decimal(made["total"]) == sum(Decimal(payer["total"]) for payer in made["by_payer"])
    assert [line["entry"] for line in made["lines"]] == [5, 6, 6, 6]

    assert ticket("set", "1", "--discount", "10 % of labour; long wait").returncode == 0
    assert document(ticket("bill", "1", "--json"), "bill")["discount"] == "5.00"
    assert ticket("add", "1", "used: 1 x LP-0099 lamp, new @ 30.00").returncode == 0
    over = ticket("bill", "1")
    assert over.returncode == 1
    assert "Ask first. The bill is 87.50; 62.50 was agreed" in over.stdout
    assert "Not legal advice" in over.stdout
    assert max(map(len, over.stdout.splitlines())) <= 80
    gaps = ticket("gaps", "1")
    assert "bill-above-approved" in gaps.stdout

    found = document(ticket("estimate", "1", "--json", apart=True), "estimate")
    assert [(offer["answer"], offer["price"]) for offer in found["offers"]] == [("yes", "62.50"), ("no", "80.00")]
    assert (found["room"], found["astray"]) == ("-25.00", [])
    shown = ticket("estimate", "1")
    assert shown.returncode == 1
    assert "answered no by Ada Fenn, 2026-03-02 09:00 [4]" in " ".join(shown.stdout.split())

    hours = document(ticket("hours", "--since", "2026-03-01", "--until", "2026-03-02", "--json", apart=True), "hours")
    assert (hours["all"]["hours_billed"], hours["all"]["hours_clocked"]) == ("0.50", "0.70")
    assert hours["all"]["measures"][0] == {
        "formula": "labour sales / hours billed", "unit": "per hour", "value": "90.00",
    }  # fmt: skip
    assert document(ticket("hours", "--since", "2026-03-03", "--json"), "hours")["all"]["measures"] == []


def test_rules_are_chosen_compared_and_added_as_a_file(ticket: Run, tmp_path: Path) -> None:
    assert document(ticket("allowed", "400", "--rules", "US-FL", "--json", apart=True), "allowed") == {
        "rules": "US-FL/overrun", "estimate": "400.00", "allowed": "440.00", "consent_from": "440.01",
        "citation": "Fla. Stat. 559.909(1)(b), (3)", "status": "C", "beyond": [],
    }  # fmt: skip
    called = ticket("allowed", "400", "--rules", "US-MI", "--option", "asked-to-be-called", "--json")
    assert json.loads(called.stdout)["allowed"] == "400.00"
    several = document(ticket("allowed", "200", "--compare", "US-CO", "US-CA", "US-FL", "--json"), "allowed")
    assert [(one["rules"].partition("/")[0], one["allowed"]) for one in several] == [
        ("US-CA", "200.00"), ("US-CO", "220.00"), ("US-FL", "220.00"),
    ]  # fmt: skip
    every = " ".join(ticket("allowed", "200", "--compare", "--db", str(tmp_path / "none.db")).stdout.split())
    assert every.count("neutral/ask first estimate, which answers for AU, CA,") == every.count("neutral/") == 1
    assert not (tmp_path / "none.db").exists()  # a question about packaged rules makes no database

    row = {"citation": "house rule", "status": "M", "as_of": "2026-03-02"}
    own = {
        "format": "rule-pack-1", "id": "OURS", "name": "our own", "notice": "no advice", "recheck": "2027-03-02",
        "inherits": "US-FL", "overrun": [{"id": "five", "combine": "amount", "amount": "5.00", **row}],
    }  # fmt: skip
    (tmp_path / "ours.json").write_text(json.dumps(own), "utf-8")
    assert "ticket shop rules OURS" in ticket("shop", "pack", "ours.json").stdout
    assert ticket("shop", "rules", "OURS").returncode == 0
    assert json.loads(ticket("allowed", "400", "--json").stdout)["allowed"] == "405.00"

    twice = own | {"overrun": [*own["overrun"], {"id": "six", "combine": "none", **row}]}
    (tmp_path / "twice.json").write_text(json.dumps(twice), "utf-8")
    refused = ticket("shop", "pack", "twice.json")
    assert refused.returncode == 2
    assert refused.stderr == "ticket: twice.json: overrun/1: says again what overrun/0 says; nothing was changed.\n"


def test_a_price_list_is_looked_at_before_it_is_used(ticket: Run, tmp_path: Path) -> None:
    bands = [{"start": "0", "value": "3.0"}, {"start": "5.01", "value": "2.5"}]
    falling = PRICES | {"tables": [{"name": "by cost", "basis": "times", "bands": bands}]}
    falling |= {"fees": [{"name": "supplies", "charge": "supplies", "percent": "8", "of": ["labour"]}]}
    (tmp_path / "falling.json").write_text(json.dumps(falling), "utf-8")
    assert ticket("shop", "rules", "US-CA").returncode == 0
    told = ticket("shop", "prices", "falling.json").stderr.splitlines()
    assert told[0].startswith("Table by cost: a part that costs 5.01 sells for 12.53, less than 15.00")
    assert told[-1].startswith("Fee supplies may not be charged like this: no line for supplies (16 CCR 3356(f), (g)")
    (tmp_path / "broken.json").write_text(
        json.dumps(falling | {"rates": [{"name": "general", "price": "much"}]}), "utf-8"
    )
    refused = ticket("shop", "prices", "broken.json")
    assert "broken.json: rates/0/price: expected an amount such as 12.50; nothing was changed." in refused.stderr
    assert json.loads(ticket("shop", "prices").stdout)["tables"][0]["name"] == "by cost"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("allowed", "a lot"), "'a lot' is no sum of money"),
        (("allowed", "1", "--rules", "ZZ"), "There are no local rules 'ZZ'"),
        (("bill", "7"), "7"),
        (("hours", "--since", "March"), "'March' is no date"),
        (("shop", "prices", "missing.json"), "missing.json cannot be read: no such file"),
        (("shop", "rules", "ZZ"), "There are no local rules 'ZZ'"),
    ],
)
def test_bad_input_is_one_clear_line(ticket: Run, arguments: tuple[str, ...], words: str) -> None:
    run = ticket(*arguments)
    assert run.returncode == 2
    assert run.stdout == ""
    assert words in run.stderr
    assert len(run.stderr.splitlines()) == 1


def test_the_command_says_where_a_rule_begins_instead_of_citing_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["allowed", "99.99", "--rules", "US-CO"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "up to 99.99 may be charged" in said
    assert "C.R.S. 42-9-105" not in said
    assert "US-CO/scope does not reach this sum: it begins above 100.00 (C.R.S. 42-9-103" in said
