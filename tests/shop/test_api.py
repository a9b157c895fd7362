"""``ticket.api`` as its own examples tell it, and what it refuses."""

import doctest
from pathlib import Path

import pytest

from ticket import api


def test_the_examples_of_the_module_are_what_it_does(tmp_path: Path) -> None:
    found = doctest.testmod(api, extraglobs={"folder": tmp_path}, optionflags=doctest.IGNORE_EXCEPTION_DETAIL)
    assert found.attempted > 5
    assert found.failed == 0


def test_every_public_name_says_what_it_is() -> None:
    for name in api.__all__:
        made = getattr(api, name)
        assert made.__doc__, name
        for inner, value in vars(made).items() if isinstance(made, type) and made is not api.TicketError else ():
            assert inner.startswith("_") or not callable(value) or value.__doc__, (name, inner)


def test_what_cannot_be_is_one_sentence_and_changes_nothing(database: Path) -> None:
    with api.open_shop(database, "K. Orlo") as shop:
        with pytest.raises(api.TicketError, match="no field 'colour'"):
            shop.new_ticket(colour="red")
        with pytest.raises(api.TicketError, match="odometer"):
            shop.new_ticket(odometer="many")
        number = shop.new_ticket(plate="FEN-204")
        with pytest.raises(api.TicketError):
            shop.add(number, "")
        assert shop.entries(number) == ()
        assert shop.search("plate:FEN-204") == [number]
    with pytest.raises(api.TicketError):
        api.read_line("one\ntwo")


def test_a_missing_shop_is_not_made_by_the_way(tmp_path: Path) -> None:
    with pytest.raises(api.TicketError), api.open_shop(tmp_path / "none.db", "K. Orlo"):
        pass
    assert not list(tmp_path.iterdir())
