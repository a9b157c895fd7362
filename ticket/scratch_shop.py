"""Filling a scratch shop from the demo jobs that travel with the program."""

import json
from collections.abc import Callable
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from ticket.data import data_folder
from ticket.job.ticket import Person
from ticket.job.ticket_document import from_document
from ticket.shop.money import set_prices
from ticket.shop.opening import Shop, add_person, set_setting

SHOP_FILE = "shop.json"
DATABASE = "demo.db"  # name of a scratch shop's file


def fill(shop: Shop) -> tuple[int, ...]:
    """Load settings, price list, staff and every demo job into an empty shop; the ticket numbers."""
    folder = data_folder("demo_jobs")
    about = json.loads((folder / SHOP_FILE).read_text(encoding="utf-8"))
    for key, value in about["settings"].items():
        set_setting(shop, key, value)
    set_prices(shop, json.dumps(about["prices"], indent=2), SHOP_FILE)
    for person in about["people"]:
        add_person(shop, Person(person["name"], person["role"]))
    files = sorted(file for file in folder.glob("*.json") if file.name != SHOP_FILE)
    tickets = [from_document(json.loads(file.read_text(encoding="utf-8"))) for file in files]
    return shop.store.load(tickets, shop.person, "demo jobs")


def scratch() -> tuple[TemporaryDirectory[str], Callable[[], Shop]]:
    """A filled scratch shop in a folder that vanishes with the returned object, and what opens it."""
    folder: TemporaryDirectory[str] = TemporaryDirectory(prefix="ticket-demo-")
    path = Path(folder.name) / DATABASE
    with Shop.open(path, scratch=True) as shop:
        fill(shop)
    return folder, partial(Shop.open, path, create=False)
