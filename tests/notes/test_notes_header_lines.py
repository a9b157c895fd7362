"""What stands about money above the entries: read, written, and the same again."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.facts import money, texts
from support.tickets import ticket_of
from ticket.assist.typed_header import changed_header, typed_header
from ticket.job.ticket import Cover, Discount, Header
from ticket.money.prices import LINES
from ticket.notes.file import read_file, write_file
from ticket.notes.header_lines import cover_in, cover_text, discount_in, discount_text

reasons = st.just("") | texts
amounts = money.filter(lambda text: "," not in text)
classes = st.lists(st.sampled_from(LINES), max_size=3, unique=True).map(tuple)
discounts = st.one_of(
    st.builds(Discount, amount=amounts, of=classes, reason=reasons),
    st.builds(Discount, percent=st.sampled_from(("10", "2.5", "100")), of=classes, reason=reasons),
)
covers = st.builds(Cover, name=reasons, deductible=st.just("") | amounts, approval=reasons)


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("10 % of labour, part; rainy day", Discount(percent="10", of=("labour", "part"), reason="rainy day")),
        ("10%", Discount(percent="10")),
        ("$20.00; long wait; and rain", Discount(amount="20.00", reason="long wait; and rain")),
        ("", Discount()),
        ("half", None),
        ("10 % of everything", None),
    ],
)  # fmt: skip
def test_a_discount_is_a_sum_or_a_share_with_its_reason(line: str, meant: Discount | None) -> None:
    assert discount_in(line) == meant


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("Oakline Cover; deductible 50; approval 7731", Cover("Oakline Cover", "50", "7731")),
        ("Oakline Cover; approval by Mo; deductible $50.00", Cover("Oakline Cover", "50.00", "by Mo")),
        ("Oakline Cover", Cover("Oakline Cover")),
        ("Oakline Cover; deductible much", None),
        ("Oakline Cover; whatever", None),
    ],
)
def test_a_cover_is_a_name_with_deductible_and_approval(line: str, meant: Cover | None) -> None:
    assert cover_in(line) == meant


@given(discounts, covers, covers, reasons)
def test_they_come_back_from_file_and_form(discount: Discount, warranty: Cover, contract: Cover, place: str) -> None:
    assert discount_in(discount_text(discount)) == discount
    assert cover_in(cover_text(warranty)) == warranty
    header = Header(discount=discount, warranty=warranty, contract=contract, tax_place=place)
    ticket = ticket_of("says: horn silent", discount=discount, warranty=warranty, contract=contract, tax_place=place)
    assert read_file(write_file(ticket)).header == header
    typed = typed_header(header) | {"tax-place": ""}  # a plain text keeps no outer white space in a form
    kept = changed_header(Header(), typed, "mi")
    assert (kept.discount, kept.warranty, kept.contract) == (discount, warranty, contract)


def test_a_line_that_cannot_be_used_is_named_and_changes_nothing() -> None:
    sheet = read_file("discount: lots\nwarranty: A; deductible lots\ncontract: B\n\nsays: x")
    assert sheet.header == Header(contract=Cover("B"))
    assert [remark.text.split(":")[0] for remark in sheet.remarks] == ["What follows discount", "What follows warranty"]
