"""Published and statutory figures, each with its source: rounding, tax, cash, mark-up, labour time, measures."""

from datetime import UTC, datetime
from fractions import Fraction

import pytest

from ticket.job.values import Clock
from ticket.money import labour_hours, price_markup
from ticket.money.amount import cents, down, grouped, half_up, plain, price, spread, written
from ticket.money.prices import Band, PriceTable
from ticket.money.sale_units import factor


def tax(base: str, percent: str) -> int:
    return half_up(Fraction(base) * Fraction(percent))


@pytest.mark.parametrize(
    ("base", "percent", "expected"),
    [
        # Streamlined Sales and Use Tax Agreement s. 324 (N.D.C.C. 57-39.4-25): third decimal above four rounds up
        ("12.50", "7.4", 93),  # 0.925: half-even would give 0.92
        ("0.50", "9", 5),  # 0.045
        ("12.49", "7.4", 92),
        ("31.95", "13", 415),  # Excise Tax Act (Canada) 165.2(2), case 125136: 13 per cent combined
    ],
)
def test_tax_is_rounded_half_up_on_the_exact_product(base: str, percent: str, expected: int) -> None:
    assert tax(base, percent) == expected


def test_split_rates_are_rounded_each_by_itself() -> None:
    """Case 125136 (Canada, 2011): 5 + 8 per cent of 31.95 are 1.60 + 2.56 = 4.16."""
    assert (tax("31.95", "5"), tax("31.95", "8")) == (160, 256)


def test_no_rounding_to_three_places_first() -> None:
    """Streamlined agreement s. 324: 0.0449 rounds to 0.04; by way of 0.045 it would become 0.05."""
    assert half_up(Fraction("4.49")) == 4
    assert half_up(Fraction("4.4999999999")) == 4


def test_value_added_tax_may_be_rounded_down() -> None:
    """VAT Notice 700 para. 17.5: 6.666 may be 6.66; nearest gives 6.67."""
    assert (down(Fraction("666.6")), half_up(Fraction("666.6"))) == (666, 667)


def test_margin_and_markup() -> None:
    """Open accounting course: cost 8, price 10 is a mark-up of 25 and a margin of 20 per cent."""
    assert price_markup.by_markup(Fraction(8), Fraction(25)) == price_markup.by_margin(Fraction(8), Fraction(20)) == 10
    assert price_markup.by_margin(Fraction(60), Fraction(40)) == 100  # and 40 per cent mark-up on 60 is 84
    assert price_markup.by_markup(Fraction(60), Fraction(40)) == 84


FALLING = PriceTable(
    name="falling", basis="times", bands=(Band(start="0", value="3.0"), Band(start="5.01", value="2.5"))
)


def test_a_band_is_half_open_and_its_edge_is_checked() -> None:
    """Arithmetic: cost 5.00 x 3.0 sells for 15.00, cost 5.01 x 2.5 for 12.53, so the dearer part is cheaper."""
    assert price_markup.table_price(FALLING, Fraction("5.00")) == 1500
    assert price_markup.table_price(FALLING, Fraction("5.01")) == 1253
    assert list(price_markup.edge_faults(FALLING)) == [price_markup.EdgeFault(501, 1500, 1253)]
    held = PriceTable(name="held", basis="times", bands=FALLING.bands, hold=True)
    assert price_markup.table_price(held, Fraction("5.01")) == 1500
    assert not list(price_markup.edge_faults(held))


def test_below_the_first_band_a_part_sells_for_what_it_costs() -> None:
    table = PriceTable(name="t", basis="times", bands=(Band(start="10", value="2"),))
    assert [price_markup.table_price(table, Fraction(cost)) for cost in ("9.99", "10")] == [999, 2000]


@pytest.mark.parametrize(("basis", "value", "expected"), [("markup", "40", 8400), ("margin", "40", 10000)])
def test_tables_by_markup_and_margin(basis: str, value: str, expected: int) -> None:
    table = PriceTable(name="t", basis=basis, bands=(Band(start="0", value=value),))
    assert price_markup.table_price(table, Fraction(60)) == expected


@pytest.mark.parametrize(
    ("minutes", "tenths"),
    [(0, 0), (2, 0), (3, 1), (8, 1), (9, 2), (14, 2), (15, 3), (20, 3), (21, 4), (26, 4), (27, 5), (32, 5), (33, 6),
     (38, 6), (39, 7), (44, 7), (45, 8), (50, 8), (51, 9), (56, 9), (57, 10), (62, 10)],
)  # fmt: skip
def test_minutes_become_tenths_half_up(minutes: int, tenths: int) -> None:
    """29 CFR 785.48(b) accepts tenths; the map is arithmetic."""
    assert labour_hours.tenths(minutes) == Fraction(tenths, 10)


TYPED = datetime(2026, 3, 2, 14, 10, tzinfo=UTC)


def test_punches_are_added_raw_and_rounded_once() -> None:
    """Reading of 29 CFR 785.48: three spans of 2 minutes are 6 minutes = 0.1 h, not three times 0.0."""
    spans = (Clock("8:00", "8:02"), Clock("9:00", "9:02"), Clock("23:59", "0:01"))
    assert labour_hours.clocked(spans, TYPED) == 6
    assert labour_hours.tenths(6) == Fraction(1, 10)
    assert labour_hours.clocked((Clock("8:61", "9:00"),), TYPED) is None
    assert labour_hours.clocked((Clock("23:00", "24:00"),), TYPED) == 60


def test_shared_steps_are_billed_once() -> None:
    """Open estimating course: the larger job in full, the shared time cut from the other."""
    front = labour_hours.net(Fraction("1.2"), Fraction("0.4"), "same wheels off")
    assert (front.book, front.cut, front.billed, front.reason) == (
        Fraction("1.2"), Fraction("0.4"), Fraction("0.8"), "same wheels off",
    )  # fmt: skip
    assert labour_hours.net(Fraction("0.3"), Fraction(1), "all shared").billed == 0


def test_labour_at_the_published_rate() -> None:
    """Trade-press column: 3.5 h x 93.65 = 327.775; the source prints 327.77 because it truncated."""
    assert half_up(Fraction("3.5") * Fraction("93.65") * 100) == 32778


def test_measures_of_a_workshop() -> None:
    """Worked examples of a trade-press column on shop management and an adviser training page."""
    assert round(labour_hours.utilisation(Fraction(957), Fraction(1040)) * 100) == 92
    assert round(labour_hours.efficiency(Fraction("3.5"), Fraction("2.2")) * 100) == 159
    assert f"{float(labour_hours.proficiency(Fraction(420), Fraction(515)) * 100):.1f}" == "81.6"
    assert f"{float(labour_hours.proficiency(Fraction('419.89'), Fraction(515)) * 100):.1f}" == "81.5"
    sold = Fraction(39_323) / Fraction("93.65")
    assert f"{float(sold):.2f}" == "419.89"
    assert round(labour_hours.effective_rate(3_932_300, sold)) == 9365


def test_spreading_a_discount() -> None:
    """Arithmetic: 25.00 over 120, 80 and 50 is 12.00, 8.00 and 5.00."""
    assert spread(2500, (12000, 8000, 5000)) == (1200, 800, 500)
    assert spread(1, (1, 1, 1)) == (1, 0, 0)
    assert spread(-1, (1, 1, 1)) == (-1, 0, 0)
    assert spread(0, (0, 0)) == (0, 0)
    with pytest.raises(ValueError, match="nothing"):
        spread(1, (0,))
    with pytest.raises(ValueError, match="below zero"):
        spread(1, (2, -1))


def test_a_quart_is_an_exact_part_of_a_litre() -> None:
    """NIST Handbook 44 appendix C: 1 US quart = 0.946352946 L, 1 lb = 453.59237 g."""
    assert factor("qt", "L") == Fraction("0.946352946")
    assert factor("lb", "g") == Fraction("453.59237")
    assert factor("x", "") == 1
    assert factor("ml", "l") == Fraction(1, 1000)
    assert factor("L", "x") is None
    assert factor("L", "kg") is None


@pytest.mark.parametrize(
    ("typed", "expected"),
    [("228.40", 22840), ("$1,228.40", 122840), (".0125", 1), ("0.005", 1), ("1/2", 50), ("0", 0), ("", None),
     ("-5", None), ("<5", None), ("free", None), ("9" * 30, None), ("9" * 6000, None), ("1e9", None), ("٣", None)],
)  # fmt: skip
def test_typed_prices(typed: str, expected: int | None) -> None:
    assert cents(typed) == expected
    assert (price(typed) is None) == (expected is None)


def test_printing() -> None:
    assert (plain(22840), plain(-5), grouped(122840), grouped(-100000099)) == (
        "228.40",
        "-0.05",
        "1,228.40",
        "-1,000,000.99",
    )
    assert [written(Fraction(n)) for n in ("3/2", "2", "-0.25", "1/3", "0")] == ["1.5", "2", "-0.25", "1/3", "0"]
