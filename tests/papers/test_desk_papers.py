"""Papers of the front desk: written estimate, invoice, receipt, the lists of a day, mail and text messages."""

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from email import message_from_bytes
from email.policy import default
from pathlib import Path

import pytest

from support.clock import Clock
from ticket.job.errors import InputError, NotFoundError
from ticket.job.ticket import Customer, Header, Vehicle
from ticket.job.values import Quantity
from ticket.money.invoice_series import series_of
from ticket.money.prices import Details, Statement
from ticket.papers.formats import written
from ticket.papers.mail import mail
from ticket.rules.pack import load, packaged
from ticket.shop.changing import add_lines, amend_ticket, new_ticket, set_status, sign_ticket
from ticket.shop.money import account_of, set_prices
from ticket.shop.opening import Shop, set_setting
from ticket.shop.papers import desk, paper
from ticket.shop.reading import unanswered
from ticket.shop.settings import put

PRICES = {
    "format": "price-list-1", "currency": "USD", "rates": [{"name": "general", "price": "140.00"}],
    "fees": [{"name": "shop supplies", "charge": "supplies", "percent": "5", "of": ["part"], "cap": "40"}],
    "places": [{"name": "Sandmere", "taxes": [{"name": "sales tax", "percent": "6.25", "on": ["part"]}]}],
    "place": "Sandmere", "quotes": "before tax",
    "details": {
        "address": "4 Tollgate Yard, Wrenfold", "phone": "555-0100", "registration": "WR-30418", "tax_number": "T-88",
        "statements": [
            {"field": "guarantee", "words": "Guaranteed for 12 months or 12,000 mi."},
            {"field": "guarantee", "words": "Con garantía de 12 meses.", "language": "es"},
        ],
    },
}  # fmt: skip
HEADER = Header(
    Vehicle("2019 Corvane Alder", plate="FEN-204", vin="11111111111111111"),
    Customer("Ivo Tammel", "555-0171", "ivo@tammel.example", "9 Quay Row, Wrenfold"),
    ready_by="today 16:00",
)
OFFERS = """
says: battery light flickers at idle
found: charge cable eyelet green with corrosion
offer: replace charge cable; for 2; hours 0.9; parts 38.00
offer: clean both battery posts; hours 0.3
""".strip()
Text = Callable[..., str]


@pytest.fixture
def job(shop: Shop) -> int:
    set_prices(shop, json.dumps(PRICES))
    set_setting(shop, "shop", "Wrenfold Vehicle Repair")
    number = new_ticket(shop, replace(HEADER, odometer_in=Quantity("91,804", "mi")))
    add_lines(shop, number, OFFERS)
    return number


def estimate(shop: Shop, number: int, **more: str | int) -> str:
    return str(written(desk.estimate_sheet(shop, number, **more), "text", 100))  # type: ignore[arg-type]


def signed(shop: Shop, number: int) -> None:
    sign_ticket(shop, number, overruled={gap.id: "the customer waits" for gap in unanswered(shop, number)})


def cents(text: str) -> Decimal:
    return Decimal(text).quantize(Decimal("0.01"), ROUND_HALF_UP)


def test_an_estimate_tells_each_work_apart_and_adds_up_to_the_cent(shop: Shop, job: int) -> None:
    """0.9 h and 0.3 h at 140.00, parts 38.00; tax 6.25 % on parts rounds half up (2.375 becomes 2.38)."""
    text = " ".join(estimate(shop, job).split())
    assert "Replace charge cable 0.9 $126.00 $38.00 $164.00 [ ] yes [ ] no" in text
    assert "Clean both battery posts 0.3 $42.00 $0.00 $42.00" in text
    tax = cents(str(Decimal("38.00") * Decimal("6.25") / 100))
    assert "Labor $168.00 Parts $38.00 Total before tax $206.00" in text
    assert f"Tax ${tax} " in text
    assert f"Total with tax ${Decimal(206) + tax}" in text
    assert "These taxes come on top: sales tax, 6.25 % on parts." in text
    assert "shop supplies: 5 % of parts, at most $40.00" in text
    assert "Customer: I agree to the work marked yes, date" in text


def test_where_prices_hold_the_tax_the_parts_still_make_the_whole(shop: Shop, job: int) -> None:
    set_prices(shop, json.dumps(PRICES | {"quotes": "with tax"}))
    add_lines(shop, job, "offer: renew drive belt; hours 0.5; parts 20.00; est 71.25")  # 70.00 + 20.00 - 20 + 1.25
    add_lines(shop, job, "offer: renew drive belt; hours 0.5; parts 20.00; est 91.25")
    text = " ".join(estimate(shop, job).split())
    assert "Renew drive belt 0.5 $70.00 $20.00 $91.25" in text
    assert "Renew drive belt 0.5 $71.25" in text, "a price that its hours and parts do not make is not told apart"
    assert "The prices hold these taxes: sales tax, 6.25 % on parts." in text


def test_what_was_refused_is_in_no_sum_and_what_has_no_price_is_told(shop: Shop, job: int) -> None:
    add_lines(shop, job, "offer: look for the water leak\ntold: Ivo Tammel by phone 555-0171, yes 3, no 4")
    text = " ".join(estimate(shop, job).split())
    assert "Clean both battery posts 0.3 $42.00 $0.00 $42.00 no" in text
    assert "Look for the water leak no price" in text
    assert "Total before tax $164.00" in text


# -- what the law wants ------------------------------------------------------------------------------------------

# What shows each field on the estimate of the job above; every other field is a line to write in.
SHOWN = {
    "shop name": "Wrenfold Vehicle Repair", "shop address": "4 Tollgate Yard", "shop phone": "555-0100",
    "shop registration": "Registration WR-30418", "shop tax number": "Tax number T-88",
    "shop signature": "For the shop, date", "customer name": "Customer Ivo Tammel",
    "customer address": "Address 9 Quay Row", "customer phone": "Phone 555-0171", "date": "Made March 2, 2026",
    "time": "Made March 2, 2026, 08:", "promised date": "Promised today 16:00", "vehicle": "Vehicle 2019 Corvane Alder",
    "vin": "Identification number 11111111111111111", "plate": "Plate FEN-204", "vin or plate": "Plate FEN-204",
    "odometer in": "Odometer 91,804 mi at arrival", "complaint": "“battery light flickers at idle”",
    "repairs requested": "“battery light flickers at idle”", "repairs needed": "Replace charge cable",
    "estimated cost": "$206.00", "hourly price": "An hour of labor costs $140.00.", "hours": "Replace charge cable 0.9",
    "price per job": "$164.00", "part prices": "$38.00", "labour total": "Labor $168.00", "parts total": "Parts $38.00",
    "tax": "Tax $2.38", "total": "Total before tax $206.00", "every other charge": "shop supplies: 5 % of parts",
    "guarantee": "Guaranteed for 12 months", "choice": "Your choice", "sublet named": "",
}  # fmt: skip


@pytest.mark.parametrize("place", packaged())
def test_every_field_the_law_lists_stands_on_the_estimate_or_is_a_line_to_write_in(
    shop: Shop, job: int, place: str
) -> None:  # fmt: skip
    put(shop, "setting/rules", place)
    text = " ".join(estimate(shop, job).split())
    blank = " ".join(written_in(desk.estimate_sheet(shop, job, version=1)))
    for row in load(place).papers:
        for field in row.fields if row.paper in ("estimate", "order") and row.when == "always" else ():
            from ticket.papers.labels import labels

            line = labels("en")(f"field.{field}")
            assert (SHOWN.get(field, "\0") in text) != (line in blank), field
        for kind in row.part_kinds if row.paper == "estimate" else ():
            assert kind in blank


def written_in(sheet: object) -> list[str]:
    """The names of the lines that are to be written in."""
    from ticket.papers.fill_in import LINE
    from ticket.papers.sheet import Facts

    blocks = [block for block in sheet.blocks if isinstance(block, Facts)]  # type: ignore[attr-defined]
    return [name for block in blocks for name, value in block.pairs if value == LINE]


def test_the_sentence_and_the_choice_of_florida_stand_on_the_paper_word_for_word(shop: Shop, job: int) -> None:
    """Fla. Stat. 559.905(1)(h) and (2)."""
    put(shop, "setting/rules", "US-FL")
    for language in ("en", "es"):
        text = " ".join(estimate(shop, job, language=language).split())
        assert "costs and profits to the motor vehicle repair facility for miscellaneous shop supplies" in text
        assert text.count("[ ]") == 2 * 2 + 3


def test_the_invoice_has_lines_for_what_nobody_typed(shop: Shop, job: int) -> None:
    put(shop, "setting/rules", "US-MI")
    lacking = [one.field for one in account_of(shop, shop.store.ticket(job)).missing_invoice]
    names = " ".join(written_in(desk.invoice_sheet(shop, job, draft=True)))
    assert "The repair is complete, or why not" in names
    assert len(lacking) > 3


# -- versions ----------------------------------------------------------------------------------------------------


def test_a_version_that_was_handed_out_stays_as_it_was(shop: Shop, job: int) -> None:
    first = estimate(shop, job)
    assert estimate(shop, job) == first, "the same words are the same version"
    spanish = estimate(shop, job, language="es")
    assert "versión 1" in spanish
    add_lines(shop, job, "offer: renew drive belt; est 96.00\ntold: Ivo Tammel by phone 555-0171, yes")
    set_prices(shop, json.dumps(PRICES | {"rates": [{"name": "general", "price": "200.00"}]}))
    put(shop, "setting/rules", "US-FL")
    second = estimate(shop, job)
    assert "version 2" in second
    assert "Replaces" in second
    assert estimate(shop, job, version=1) == first
    assert estimate(shop, job, version=1, language="es") == spanish
    assert [one.version for one in desk.estimate_versions(shop, job)] == [1, 2]
    with pytest.raises(NotFoundError, match="no version 3"):
        desk.estimate_sheet(shop, job, version=3)


def test_a_version_of_another_journal_is_not_made_up(shop: Shop, job: int, monkeypatch: pytest.MonkeyPatch) -> None:
    estimate(shop, job)
    monkeypatch.setattr(shop.store.proofs, "uid", lambda: "another file")
    with pytest.raises(NotFoundError, match="rescued"):
        desk.estimate_sheet(shop, job, version=1)


def test_the_audit_and_the_settings_bear_what_was_handed_out(shop: Shop, job: int) -> None:
    estimate(shop, job)
    assert not shop.store.audit(deep=True).differences
    assert not shop.kept.doubts


# -- invoices ----------------------------------------------------------------------------------------------------


def test_an_invoice_gets_the_next_number_of_the_series_once(shop: Shop, job: int) -> None:
    put(shop, "setting/invoices", "R-{year}-{0098}")
    with pytest.raises(InputError, match="signed ticket"):
        desk.invoice_sheet(shop, job)
    numbers = [job, *(new_ticket(shop, HEADER) for _ in range(2))]
    for number in numbers:
        signed(shop, number)
    titles = [desk.invoice_sheet(shop, number).title for number in (*numbers, job)]
    assert titles == ["Invoice R-2026-0098", "Invoice R-2026-0099", "Invoice R-2026-0100", "Invoice R-2026-0098"]
    amend_ticket(shop, job, "note: the old cable was kept", "asked for later")
    corrected = written(desk.invoice_sheet(shop, job), "text")
    assert "Invoice R-2026-0101" in str(corrected)
    assert "Corrects" in str(corrected)
    assert "invoice R-2026-0098" in str(corrected)


def test_two_terminals_never_give_the_same_number(shop: Shop, job: int, database: Path) -> None:
    other = new_ticket(shop, HEADER)
    for number in (job, other):
        signed(shop, number)
    with Shop.open(database, "Ona Writer", now=Clock()) as beside:
        first, second = desk.invoice_sheet(shop, job), desk.invoice_sheet(beside, other)
    assert {first.title, second.title} == {"Invoice 0001", "Invoice 0002"}


def test_a_changed_series_never_repeats_a_number(shop: Shop, job: int) -> None:
    other = new_ticket(shop, HEADER)
    for number in (job, other):
        signed(shop, number)
    assert desk.invoice_sheet(shop, job).title == "Invoice 0001"
    put(shop, "setting/invoices", "00{01}")
    assert desk.invoice_sheet(shop, other).title == "Invoice 0002"


@pytest.mark.parametrize("pattern", ["", "R-2026", "{year}", "{1}{2}", "{01", "{x}-{01}", "R{0001}" + "x" * 60])
def test_what_names_no_series_is_refused(shop: Shop, pattern: str) -> None:
    with pytest.raises(InputError, match="series"):
        put(shop, "setting/invoices", pattern)
    assert series_of("R-{year}-{0007}", 2026) == ("R-2026-{}", 7, 4)


# -- receipts and days -------------------------------------------------------------------------------------------


def test_a_receipt_is_of_one_deposit_and_says_what_the_law_lists(shop: Shop, job: int) -> None:
    """Australian Consumer Law s. 100: supplier, its number, date, what was supplied, price."""
    put(shop, "setting/rules", "AU")
    with pytest.raises(InputError, match="holds no deposit"):
        desk.receipt_sheet(shop, job)
    add_lines(
        shop,
        job,
        "told: Ivo Tammel by phone 555-0171, yes 3; deposit 50\ntold: Ivo Tammel in person, yes 4, cash; deposit 20",
    )
    text = " ".join(str(written(desk.receipt_sheet(shop, job, 5), "text")).split())
    assert "Paid by ____" in text  # nobody typed how: a line to write it in
    for wanted in ("Receipt 1/5", "Tax number T-88", "Sum $50.00", "Received from Ivo Tammel", "Agreed so far $164.00"):
        assert wanted in text
    newest = " ".join(str(written(desk.receipt_sheet(shop, job), "text")).split())
    assert "Receipt 1/6" in newest
    assert "Deposits so far $70.00" in newest
    assert "Paid by cash" in newest


def test_the_day_lists_what_is_promised_and_what_is_late(shop: Shop, job: int) -> None:
    for words in ("2026-03-01", "2 March 9:00", "tomorrow", "when the part is here"):
        new_ticket(shop, replace(HEADER, ready_by=words))
    signed(shop, new_ticket(shop, HEADER))
    found = desk.promised(shop, date(2026, 3, 2))
    assert [one.typed for one in found] == ["2026-03-01", "2 March 9:00", "today 16:00", "when the part is here"]
    assert [one.document(date(2026, 3, 2))["late"] for one in found] == [True, False, False, False]


def test_the_totals_of_a_day_are_the_bills_of_its_signed_tickets(shop: Shop, job: int) -> None:
    add_lines(shop, job, "told: Ivo Tammel by phone 555-0171, yes; deposit 50")
    add_lines(shop, job, "did: 0.9 h replace charge cable; for 3\nused: 1 x CC-11 charge cable, new @ 38.00; for 3")
    other = new_ticket(shop, HEADER)
    add_lines(shop, other, "did: 0.5 h adjust door; pay warranty")
    for number in (job, other):
        signed(shop, number)
    desk.invoice_sheet(shop, job)
    found = desk.totals(shop, date(2026, 3, 2))
    # 0.9 x 140 + 38 + 5 % supplies of 38 = 1.90 + tax 2.375 half up; and 0.5 x 140 for the warranty
    assert [(line.total, line.invoice) for line in found.lines] == [(12600 + 3800 + 190 + 238, "0001"), (7000, "")]
    assert dict(found.payers)["warranty"] == 7000
    assert found.taxes == (("sales tax, 6.25 %", 238),)
    assert [(one.ticket, one.amount) for one in found.deposits] == [(job, 5000)]
    assert sum(amount for _, amount in found.payers) == found.sum_of("total")
    assert desk.totals(shop, date(2026, 3, 3)).lines == ()


# -- mail --------------------------------------------------------------------------------------------------------


def test_a_message_to_be_sent_is_read_by_the_parser_of_the_standard_library(shop: Shop, job: int) -> None:
    sheet = desk.estimate_sheet(shop, job)
    made = mail(sheet, desk.letterhead(shop, job))
    assert made == mail(sheet, desk.letterhead(shop, job)), "the same paper gives the same bytes"
    read = message_from_bytes(made, policy=default)
    assert read["To"].addresses[0].addr_spec == "ivo@tammel.example"
    assert "Estimate for ticket 1, version 1" in read["Subject"]
    assert read["From"] is None, "who sends it says who they are"
    body = read.get_body(("plain",))
    assert body is not None
    assert "Replace charge cable" in body.get_content()
    (attached,) = read.iter_attachments()
    assert attached.get_content_type() == "application/pdf"
    assert attached.get_content().startswith(b"%PDF-")


@pytest.mark.parametrize("name", ["Ivo\r\nBcc: x@y.example", "Zoë, “Z” <x@y.example>", "=?utf-8?q?x?=", ""])
def test_no_name_gets_into_the_head_of_a_message(shop: Shop, job: int, name: str) -> None:
    head = replace(desk.letterhead(shop, job), customer=name, shop=name)
    read = message_from_bytes(mail(desk.estimate_sheet(shop, job), head), policy=default)
    assert [one.addr_spec for one in read["To"].addresses] == ["ivo@tammel.example"]
    assert read["Bcc"] is None


@pytest.mark.parametrize("address", ["", "nobody", "a@b.example, c@d.example", "a@b.example\nBcc: c@d.example"])
def test_what_is_no_address_is_refused(shop: Shop, job: int, address: str) -> None:
    with pytest.raises(InputError, match="address"):
        mail(desk.estimate_sheet(shop, job), replace(desk.letterhead(shop, job), email=address))


def test_a_text_message_asks_or_says_that_it_is_ready(shop: Shop, job: int) -> None:
    asked = desk.text_message(shop, job, "estimate")
    assert asked.startswith(
        "Wrenfold Vehicle Repair: for your 2019 Corvane Alder we propose: 1) replace charge cable: $"
    )
    assert "; 2) clean" in asked
    assert "Please answer yes or no to each. Phone 555-0100." in asked
    with pytest.raises(InputError, match="not ready"):
        desk.text_message(shop, job, "ready")
    add_lines(shop, job, "told: Ivo Tammel by phone 555-0171, yes; deposit 50\ndid: 0.9 h replace charge cable; for 3")
    set_status(shop, job, "ready")
    assert "To pay: $76.00." in desk.text_message(shop, job, "ready")
    assert "está listo" in desk.text_message(shop, job, "ready", "es")
    with pytest.raises(InputError, match="no offer that waits"):
        desk.text_message(shop, job, "estimate")
    add_lines(shop, job, "offer: polish lamp; est 10")
    assert "we propose: polish lamp. Price: $10.00 before tax. Please answer" in (
        desk.text_message(shop, job, "estimate")
    )
    add_lines(shop, job, "used: 1 x LP-1 lamp, new @ 500")
    with pytest.raises(InputError, match="Ask before you name a sum"):
        desk.text_message(shop, job, "ready")


def test_what_the_shop_states_is_told_in_the_language_of_the_paper(shop: Shop, job: int) -> None:
    assert "Con garantía de 12 meses." in estimate(shop, job, language="es")
    assert "Guaranteed for 12 months" in estimate(shop, job)
    details = Details(
        statements=(
            Statement(field="storage rate", words="Quinze.", language="fr"),
            Statement(field="guarantee", words="A"), Statement(field="guarantee", words="B", language="es"),
        )
    )  # fmt: skip
    assert [one.words for one in details.stated("es")] == ["Quinze.", "B"]
    assert [one.words for one in details.stated("en")] == ["Quinze.", "A"]


def test_where_a_line_has_no_price_nothing_is_said_to_be_left_or_given_back(shop: Shop, job: int) -> None:
    add_lines(shop, job, "told: Ivo Tammel by phone 555-0171, yes; total 190; deposit 50\ndid: 0.1 h look at it; for 3")
    assert "Left to pay" in paper(shop, job, "customer", "text") or "To be given back" in paper(
        shop, job, "customer", "text"
    )
    add_lines(shop, job, "used: 1 x BP-11 pad set, new; for 3")
    text = paper(shop, job, "customer", "text")
    assert "not final" in text
    assert "$50.00" in text
    assert "Left to pay" not in text
    assert "To be given back" not in text
    assert account_of(shop, shop.store.ticket(job)).bill.unpriced


def test_what_was_added_by_mistake_after_signing_is_shown_as_withdrawn(shop: Shop, job: int) -> None:
    signed(shop, job)
    (wrong,) = amend_ticket(shop, job, "used: 0.9 L coolant @ 11.40/L", "one line forgotten")
    amend_ticket(shop, job, "note: nothing was filled in", "typed on the wrong ticket", replaces=wrong.entry.no)
    text = " ".join(str(written(desk.invoice_sheet(shop, job), "text", 200)).split())
    assert "typed on the wrong ticket" in text, text
    assert "withdrawn" in text
    assert "nothing was filled in" not in text, "a note is the shop's own"
