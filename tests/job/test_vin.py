"""The vehicle identification number against 49 CFR 565.15 and published numbers."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ticket.job.vin import EXPECTED, OPTIONAL, REQUIRED, check, check_digit, model_years, tidy

ALPHABET = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ"

# Published numbers: the first is the worked example of 49 CFR 565.15 table VI; the others are printed in an
# encyclopedia's article on the VIN, a bar-code library's tests and wiki, a Canadian importers' page on the check digit,
# a statistics package's example, a Chinese page on VIN rules and telematics samples. Sums: by the rule of the CFR.
PUBLISHED = [
    ("1G4AH59H45G118341", 411, 2005),
    ("JH2RC3605MM101581", 280, None),
    ("1M8GDM9AXKP042788", 351, 1989),
    ("11111111111111111", 89, 2001),
    ("1ZZAB12C8DE345678", 382, 1983),
    ("1FAPP64R7LH123456", 403, 1990),
    ("1FACP45EXLF192944", 373, 1990),
    ("WDBEA30D3HA391172", 355, None),
    ("1HGCM82633A004352", 311, 2003),
    ("LJCPCBLCX11000237", 186, None),
    ("WBAXW1104J0X16755", 279, None),
    ("LSVFA49J232037048", 266, None),
]


@pytest.mark.parametrize(("vin", "total", "year"), PUBLISHED)
def test_published_numbers_are_right(vin: str, total: int, year: int | None) -> None:
    report = check(vin)
    assert (report.ok, report.problems, report.suggestions) == (True, (), ())
    assert vin[8] == check_digit(vin) == "0123456789X"[total % 11]
    assert report.year == year


# What is wrong with each is by the same rule; the two with a changed character come from the bar-code library's tests
# and from the encyclopedia, the one with a dash from a test suite in Go.
@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("1G4AH59H45G11834", "17 characters, this one has 16"),
        ("1G4AH59H45G1183411", "17 characters, this one has 18"),
        ("1G4AH59H45G1I8341", "position 13: the letter I"),
        ("1G4AH59H45G11834O", "position 17: the letter O"),
        ("1Q4AH59H45G118341", "position 2: the letter Q"),
        ("1G4AH59H55G118341", "is 5, the other characters call for 4"),
        ("1G4AH59H45G118331", "is 4, the other characters call for 1"),
        ("1G4AH59H45G118314", "is 4, the other characters call for 1"),
        ("1M8GDM9A1KP042788", "is 1, the other characters call for X"),
        ("1HGCM82633A0-4352", "17 characters, this one has 16"),
        ("1G4AH59H4ZG118341", "stands for no model year"),
        ("", "No VIN"),
    ],
)
def test_wrong_numbers_are_wrong_for_a_stated_reason(typed: str, words: str) -> None:
    report = check(typed)
    assert report.ok is False
    assert words in " ".join(report.problems)


@pytest.mark.parametrize(("vin", "digit"), [("WP0ZZZ99ZTS392124", "8"), ("KLATF08Y1VB363636", "4")])
def test_no_check_digit_is_asked_for_where_none_is_required(vin: str, digit: str) -> None:
    # The encyclopedia prints both as right although the digit fails: Europe and Korea do not use it.
    report = check(vin)
    assert (report.ok, report.problems, report.expected, report.check_digit) == (None, (), digit, OPTIONAL)
    assert report.notes


def test_who_requires_the_check_digit() -> None:
    # First character 1 to 5: United States, Canada, Mexico. L: China, where national rules expect it.
    assert {c: check(c + "1111111111111111").check_digit for c in "15LWJ"} == {
        "1": REQUIRED, "5": REQUIRED, "L": EXPECTED, "W": OPTIONAL, "J": OPTIONAL,
    }  # fmt: skip
    chinese = check("LJCPCBLC111000237")
    assert chinese.ok is None
    assert chinese.problems


def test_model_years_run_in_two_cycles_of_thirty() -> None:
    # 49 CFR 565.15 table VII, checked at its ends and around the letters it leaves out.
    def years(code: str) -> tuple[int, ...]:
        return model_years("1" * 9 + code + "1" * 7)

    assert [years(c)[0] for c in "AHJNPRTVY19"] == [
        1980, 1987, 1988, 1992, 1993, 1994, 1996, 1997, 2000, 2001, 2009,
    ]  # fmt: skip
    assert all(second - first == 30 for c in "AHJNPRTVY19" for first, second in [years(c)])
    assert [years(c) for c in "IOQUZ0"] == [()] * 6


def test_position_seven_tells_the_cycle_of_north_american_cars_only() -> None:
    assert check("1G4AH59H45G118341").year == 2005  # position 7 is a digit: table VII, note
    letter = "1G4AH5AH_5G118341"
    assert check(letter.replace("_", check_digit(letter))).year == 2035
    assert check("JH2RC3605MM101581").year is None
    assert check("JH2RC3605MM101581").years == (1991, 2021)


@pytest.mark.parametrize(
    "typed",
    ["I1M8GDM9AXKP042788", "*1M8GDM9AXKP042788*", " 1m8gdm9axkp042788\r\n", "1M8-GDM9AX-KP042788"],
)
def test_labels_and_typists_dressing_is_taken_off(typed: str) -> None:
    # The first is the label of the bar-code library's own test: an I before the number.
    assert tidy(typed) == "1M8GDM9AXKP042788"


def test_an_inner_letter_is_never_dropped() -> None:
    assert tidy("1G4AH59H45G1I8341O") == "1G4AH59H45G1I8341O"


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("1G4AH59H45GII8341", "1G4AH59H45G118341"),
        ("1G4AH59H45G118314", "1G4AH59H45G118341"),  # last two swapped
        ("1G4AHS9H45G118341", "1G4AH59H45G118341"),  # 5 read as S
    ],
)
def test_misreads_are_offered_and_never_applied(typed: str, meant: str) -> None:
    report = check(typed)
    assert report.vin == typed
    assert meant in report.suggestions


def test_a_misread_first_character_is_offered_but_is_no_error() -> None:
    # The encyclopedia's example: a 5 read as S turns an American number into one that needs no check digit.
    report = check("SGZCZ43D13S812715")
    assert (report.ok, report.expected) == (None, "X")
    assert report.suggestions == ("5GZCZ43D13S812715",)


@given(st.text(alphabet=ALPHABET, min_size=17, max_size=17), st.integers(0, 16), st.sampled_from(ALPHABET))
def test_one_changed_character_is_caught_unless_its_value_is_equal(vin: str, place: int, other: str) -> None:
    # The weights are all prime to 11, so only characters of equal value may pass (49 CFR 565.15, tables III and IV).
    right = vin[:8] + check_digit(vin) + vin[9:]
    changed = right[:place] + other + right[place + 1 :]
    same = len({check_digit("1" * 7 + c + "1" * 9) for c in (right[place], other)}) == 1
    caught = changed[8] != check_digit(changed)
    assert caught == (changed != right and (place == 8 or not same))


@given(st.text(max_size=40))
def test_any_text_gives_a_report(typed: str) -> None:
    report = check(typed)
    assert report.ok is not True or len(report.vin) == 17
    assert all(len(offered) == 17 and offered != report.vin for offered in report.suggestions)


def test_an_independent_library_agrees() -> None:
    vininfo = pytest.importorskip("vininfo", reason="extra: oracles")
    for vin, _, _ in PUBLISHED:
        assert vininfo.Vin(vin).verify_checksum(check_year=False), vin
