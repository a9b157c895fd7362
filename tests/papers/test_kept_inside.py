"""What stays inside the shop is on no customer's copy, and typed words that look like it are asked about.

Common practice of the trade, no source.
"""

from dataclasses import replace
from datetime import date

import pytest
from papers_cases import contents_for

from support.tickets import ticket_of
from ticket.gaps.find import find_gaps
from ticket.job.case import Case, Settings
from ticket.money.bill import bill
from ticket.money.prices import PriceList, Rate
from ticket.money.terms import Cover, Terms
from ticket.papers.copy import copy
from ticket.papers.html import sheet_html
from ticket.papers.markdown import sheet_markdown
from ticket.papers.plain_text import sheet_text

LINES = [
    "says: fan roars",
    "found: hose wet at its crimp",
    "cause: hose crimp leaks, from 2",
    "did: 1.6 h replace fan-drive pressure hose; rate fleetdeal; pay contract",
    "used: 1 x HX-4410 hose, new @ 64.00; cost 31.17",
    "used: 1 x machining at Corvane Works, sublet @ 120.00; cost 77.43",
    "used: 1 x rotor machining, our cost 85.19, sublet @ 130.00",
    "note: owner argues about every bill",
]
TERMS = Terms(covers=(Cover(payer="contract", name="Harrow Cover"),))
RATES = PriceList(currency="USD", rates=(Rate(name="general", price="140.00"), Rate(name="fleetdeal", price="87.61")))
INSIDE = ("31.17", "77.43", "85.19", "our cost", "fleetdeal", "87.61", "argues")


def copies(language: str, reader: str = "customer") -> list[str]:
    ticket = ticket_of(LINES, rates=("general", "fleetdeal"), customer="Ada Fenn")
    matter = contents_for(ticket, reader, terms=TERMS, language=language)
    matter = replace(matter, bill=bill(ticket, RATES, TERMS))
    sheet = copy(matter)
    return [sheet_text(sheet), sheet_markdown(sheet), sheet_html(sheet)]


@pytest.mark.parametrize("language", ["en", "es"])
def test_costs_rates_and_remarks_are_on_no_form_of_the_customers_copy(language: str) -> None:
    for told in copies(language):
        assert [word for word in INSIDE if word in told] == []
        assert "140.18" in told  # 1.6 h at 87.61: the line itself stands there with its sum


def test_the_payer_and_the_shop_still_see_the_price_of_an_hour() -> None:
    assert all("87.61" in told for reader in ("payer", "shop") for told in copies("en", reader))


@pytest.mark.parametrize(
    ("line", "alike"),
    [
        ("found: owner was rude and drove it dry", "found: bearing was dry"),
        ("found: hack job by somebody on the harness", "found: harness taped by hand"),
        ("found: previous shop butchered the thread", "found: thread stripped"),
        ("told: Ada Fenn by phone, yes, do not trust her", "told: Ada Fenn by phone, yes, call her after 5"),
        ("used: 1 x machining, margin 40 %, sublet @ 130", "used: 1 x machining, sublet @ 130"),
        (
            "used: 1 x machining at Corvane Works 85.00, sublet @ 130",
            "used: 1 x machining at Corvane Works, sublet @ 130",
        ),
        ("did: 1.0 h replace hose, 87.50/hr", "did: 1.0 h replace hose, 20 L/h flow"),
        ("did: 1.0 h replace hose at contract rate", "did: 1.0 h replace hose at flow rate of the maker"),
        ("found: old hose in bin 14, tagged W-4471", "found: old hose brittle, 14 mm"),
        ("used: 1 x HX-4410 hose, hold tag on shelf", "used: 1 x HX-4410 hose"),
    ],
)
def test_words_that_may_be_for_the_shop_only_are_asked_about(line: str, alike: str) -> None:
    def asked(text: str) -> set[str]:
        case = Case(ticket_of(["says: fan roars", text]), Settings(), date(2026, 3, 2))
        return {f"{gap.id}" for gap in find_gaps(case) if gap.id == "shop-only-words"}

    assert asked(line) == {"shop-only-words"}
    assert asked(alike) == set()
    assert asked(f"# {line}") == set()
