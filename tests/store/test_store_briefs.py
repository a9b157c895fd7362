"""Jobs in a few words agree with their whole tickets; vehicles are found by every name they go by."""

from pathlib import Path

from support.screens_desk import demo_shop
from ticket.job.kinds import Cause, Code, Did, Says
from ticket.shop.changing import add_lines, amend_ticket, strike_entry
from ticket.shop.reading import ticket_of
from ticket.store.ticket_list import any_ticket


def test_a_brief_says_what_its_ticket_says(tmp_path: Path) -> None:
    with demo_shop(tmp_path / "demo.db") as shop:
        add_lines(shop, 1023, "cause: corroded plug")
        strike_entry(shop, 1023, max(entry.no for entry in ticket_of(shop, 1023).entries))
        amend_ticket(shop, 1019, "cause: worn tensioner spring", "said more exactly", replaces=next(
            entry.no for entry in ticket_of(shop, 1019).entries if isinstance(entry.fact, Cause)))  # fmt: skip
        numbers = shop.store.numbers()
        briefs = shop.store.briefs([*numbers, 999_999])
        assert [brief.number for brief in briefs] == sorted(numbers, reverse=True)
        for brief in briefs:
            ticket = ticket_of(shop, brief.number)
            facts = [entry.fact for entry in ticket.living]
            assert brief.causes == tuple(fact.text for fact in facts if isinstance(fact, Cause))
            assert brief.work == tuple(fact.text for fact in facts if isinstance(fact, Did))
            assert brief.said == next((fact.text for fact in facts if isinstance(fact, Says)), "")
            codes = ((fact.code, fact.sub) for fact in facts if isinstance(fact, Code) and fact.code != "none")
            assert brief.codes == tuple(dict.fromkeys(codes))
            assert (brief.status, brief.opened) == (ticket.status, ticket.opened)
            assert brief.odometer == str(ticket.header.odometer_in or "")
            assert brief.vehicle == ticket.header.vehicle.name


def test_visits_are_found_by_number_its_end_or_plate(tmp_path: Path) -> None:
    with demo_shop(tmp_path / "demo.db") as shop:
        by_vin = shop.store.visits(vin="Z6XCA20D4NA001482")
        assert by_vin == (1018, 1002)
        assert shop.store.visits(vin="na001482") == shop.store.visits(vin="001482") == by_vin
        assert shop.store.visits(plate="lth-7730") == by_vin
        assert shop.store.visits(vin="Z6XCA20D4NA001483", plate="LTH7730") == by_vin, "an unknown number, a known plate"
        assert shop.store.visits() == shop.store.visits(plate="'; --") == ()


def test_whether_there_is_any_ticket(tmp_path: Path) -> None:
    path = tmp_path / "demo.db"
    assert not any_ticket(path)
    demo_shop(path).close()
    assert any_ticket(path)
