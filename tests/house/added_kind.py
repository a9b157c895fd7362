"""Run in a copy of the program that declares one kind more: each way of a fact, what it gave, as JSON on the output."""

import asyncio
import json
import sys
from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any

from textual.widgets import Input

import ticket
from ticket.assist.completing import complete
from ticket.assist.typing_context import gather
from ticket.job.kinds import KINDS
from ticket.job.ticket_document import to_document
from ticket.job.ticket_schema import ticket_schema
from ticket.notes.filled import filled, on_form
from ticket.notes.lead import near_word
from ticket.notes.likely_kinds import likely_kinds
from ticket.notes.meaning import meaning_of
from ticket.notes.read import read
from ticket.notes.shapes import Context
from ticket.notes.write import write
from ticket.screens.app import TicketApp
from ticket.screens.choice import Choice
from ticket.screens.entry_screen import EntryScreen
from ticket.screens.help_screen import help_rows
from ticket.screens.page import Page
from ticket.shop.changing import add_lines, edit_entry, load_documents, new_ticket, sign_ticket
from ticket.shop.opening import Shop
from ticket.shop.papers import paper
from ticket.shop.past import find_jobs
from ticket.shop.reading import case_of, open_gaps, ticket_of
from ticket.store.views import views_file

LINE = "kept: four winter wheels; shelf 12; until 2027-04-01; for 1; sealed"
HIDDEN = "gate: code of the yard 4711"


def now() -> datetime:
    """A fixed clock."""
    return datetime(2026, 11, 25, 9, 0, tzinfo=UTC)


def notation() -> dict[str, Any]:
    """Lines to facts and back, by the word, by its short lead, and from a form."""
    (draft,) = read(LINE)
    (short,) = read(LINE.replace("kept:", "k:"))
    fields = {spec.name: text for spec, text in on_form(draft.fact)}
    return {
        "line": write(draft.fact),
        "kind": draft.fact.kind,
        "fields": {name: getattr(draft.fact, name) for name in ("what", "place", "until", "seal")},
        "short": short.fact == draft.fact,
        "meaning": meaning_of((draft,))["kind"],
        "form": filled(draft.fact, fields, Context()) == draft.fact,
        "changed": write(filled(draft.fact, fields | {"place": "shelf 9"}, Context())),
        "offered by one key": "kept" in likely_kinds("four winter wheels"),
        "slip": (near_word("kpet: four") or ("", ""))[1],
    }


def store(folder: Path) -> dict[str, Any]:
    """Kept, found, written out, taken in elsewhere, told on papers."""
    out: dict[str, Any] = {}
    with Shop.open(folder / "shop.db", "K. Orlo", create=True, now=now) as shop:
        number = new_ticket(shop)
        add_lines(shop, number, f"says: wants the summer wheels on\n{LINE}\n{HIDDEN}")
        held = ticket_of(shop, number)
        out["entries"] = [[entry.kind, entry.concern, write(entry.fact)] for entry in held.entries]
        out["search"] = list(find_jobs(shop, "winter wheels")[0].numbers)
        out["hidden search"] = list(find_jobs(shop, "yard")[0].numbers)
        row = shop.store._session.db.execute("SELECT what, place, until, refs, seal FROM v_kept").fetchone()
        out["view"] = list(row)
        out["audit"] = shop.store.audit(deep=True).ok
        out["index"] = shop.store.check_index()
        out["papers"] = {
            f"{reader} {form}": paper(shop, number, reader, form)
            for reader in ("customer", "payer", "shop")
            for form in ("text", "html")
        }
        out["spanish"] = paper(shop, number, "customer", "text", language="es")
        known = gather(case_of(shop, number), ())
        out["completed"] = [one.line for one in complete("kept: four", known, lambda kind, text: ())]
        document = to_document(held)
    with Shop.open(folder / "other.db", "K. Orlo", create=True, now=now) as other:
        load_documents(other, [("one.json", json.dumps(document))])
        out["loaded"] = to_document(ticket_of(other, number))["entries"] == document["entries"]
        shop_edit = replace(ticket_of(other, number).entries[1].fact, place="shelf 9")  # type: ignore[call-arg]
        edit_entry(other, number, 2, shop_edit)
        out["edited"] = write(ticket_of(other, number).entries[1].fact)
        sign_ticket(other, number, overruled={gap.id: "tried" for gap in open_gaps(other, number)})
        out["signed"] = other.store.audit(deep=True).ok
    return out | {"document": document}


async def screens(folder: Path) -> dict[str, Any]:
    """Typed on the screen, seen in its band, opened as a form."""
    path = folder / "shop.db"
    app = TicketApp(path, partial(Shop.open, path, "K. Orlo", now=now))
    async with app.run_test(size=(100, 40)) as pilot:
        await pilot.pause(0.3)
        app.open_ticket(1)
        await pilot.pause(0.3)
        await pilot.press(*"kept: spare key; hook 3", "enter")
        await pilot.pause(0.3)
        rows = [row.text for row in app.screen.query_one("#page", Page).rows]
        app.push_screen(EntryScreen(app.shop, ticket_of(app.shop, 1), ticket_of(app.shop, 1).entries[1]))
        await pilot.pause(0.3)
        fields = [*app.screen.query(Input), *app.screen.query(Choice)]
        form = {field.id: field.value for field in fields}
        app.close_shop()
    return {"rows": rows, "form": form, "help": [row.text for row in help_rows("ticket", 100)]}


def main(folder: Path) -> None:
    """All of it."""
    shop = store(folder)
    told = {
        "program": ticket.__file__, "kinds": list(KINDS), "notation": notation(), "store": shop,
        "screens": asyncio.run(screens(folder)), "schema": ticket_schema(), "views": views_file(),
    }  # fmt: skip
    print(json.dumps(told))  # noqa: T201


if __name__ == "__main__":
    main(Path(sys.argv[1]))
