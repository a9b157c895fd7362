"""Fault codes in every written form; values from published texts and standards, named beside each table."""

import time

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from ticket.faults.layout import base, decimal_form, from_hex, to_number
from ticket.faults.trucks import unpack, unpack_message
from ticket.faults.written import Written, leading, parse

# Bytes and text as printed in articles on ISO 15031-6 and ISO 14229-1, in a diagnostics library's documentation
# (56789A, A5B6C7) and in carmakers' repair manuals (U0100-87).
THREE_BYTES = [
    ("012700", "P0127", "00"), ("0A0817", "P0A08", "17"), ("403123", "C0031", "23"), ("56789A", "C1678", "9A"),
    ("803910", "B0039", "10"), ("A5B6C7", "B25B6", "C7"), ("C07304", "U0073", "04"), ("C10087", "U0100", "87"),
    ("D15887", "U1158", "87"), ("3FFF00", "P3FFF", "00"),
]  # fmt: skip
# The same articles; a public-domain decoder's comment (4123).
TWO_BYTES = [
    ("0127", "P0127"), ("0143", "P0143"), ("0301", "P0301"), ("0420", "P0420"), ("4123", "C0123"), ("8039", "B0039"),
    ("9234", "B1234"), ("C073", "U0073"), ("C100", "U0100"), ("D158", "U1158"), ("0A08", "P0A08"), ("3400", "P3400"),
    ("A5B6", "B25B6"), ("0000", "P0000"),
]  # fmt: skip


@pytest.mark.parametrize(("raw", "code", "sub"), THREE_BYTES)
def test_three_bytes_and_text_are_one_thing(raw: str, code: str, sub: str) -> None:
    assert from_hex(f"{int(raw, 16):06X}") == (code, sub)
    assert to_number(code, sub) == int(raw, 16)
    assert leading(f"0x{raw} x") == (code, sub, 8)
    assert (parse(f"0x{raw}").code, parse(f"0x{raw}").sub) == (code, sub)


@pytest.mark.parametrize(("raw", "code"), TWO_BYTES)
def test_two_bytes_carry_no_sub_code(raw: str, code: str) -> None:
    assert from_hex(raw) == (code, "")
    assert to_number(code) == int(raw, 16)
    spaced = parse(f"{raw[:2]} {raw[2:]}")
    assert (spaced.code, spaced.sub, spaced.scheme) == (code, "", "obd")


@given(st.integers(0, 0xFFFFFF))
def test_any_three_bytes_survive_the_way_through_text(value: int) -> None:
    code, sub = from_hex(f"{value:06X}")
    assert to_number(code, sub) == value
    for text in (f"{code}-{sub}", f"{code.lower()}{sub.lower()}", f"{code}:{sub}", f"{code} sub-code {sub}"):
        assert leading(text) == (code, sub, len(text)), text
        assert (parse(text).code, parse(text).sub) == (code, sub)


# Forms printed in repair manuals (dash, none, Type, symptom), in pasted logs (colon), in a library's documentation
# (raw), or common practice without a source (slash, full stop, letter O, letter set apart).
FORMS = [
    ("P0123-45", "P0123", "45"), ("p0123-45", "P0123", "45"), ("P0123–45", "P0123", "45"), ("P0123−45", "P0123", "45"),
    ("P07957F", "P0795", "7F"), ("U030057", "U0300", "57"), ("C100800", "C1008", "00"), ("U0100:87", "U0100", "87"),
    ("B1325 03", "B1325", "03"), ("DTC B1325 03:", "B1325", "03"), ("B1325 Type 03", "B1325", "03"),
    ("C0035 symptom 5A", "C0035", "5A"), ("C0035 sub 5A", "C0035", "5A"), ("C0035 FTB 5A", "C0035", "5A"),
    ("C0035 0x5A", "C0035", "5A"), ("C0035, failure type 5A", "C0035", "5A"), ("C0035 (sub-code: 5A)", "C0035", "5A"),
    ("C1 00 87", "U0100", "87"), ("90 00 16", "B1000", "16"), ("P0420/00", "P0420", "00"), ("P0420.00", "P0420", "00"),
    ("P 0420", "P0420", ""), ("P-0420", "P0420", ""), ("PO42O", "P0420", ""), ("code p0a93", "P0A93", ""),
    ("16486-P0102", "P0102", ""), ("17704 P1296", "P1296", ""), ("P2BAD", "P2BAD", ""), ("P1A30 7B", "P1A30", "7B"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "code", "sub"), FORMS)
def test_written_forms(text: str, code: str, sub: str) -> None:
    found = leading(text)
    assert found is not None
    assert found[:2] == (code, sub)
    assert (parse(text).code, parse(text).sub, parse(text).typed) == (code, sub, text)


@pytest.mark.parametrize(("text", "rest"), [
    ("P1A30-7B fan control, stored", " fan control, stored"),
    ("P1A30 7B fan control", " fan control"),
    ("P0300 14 times", " 14 times"),
    ("P0562:12 V low", ":12 V low"),
    ("P0420-be careful", "-be careful"),
    ("P0420 - bad", " - bad"),
    ("P0171/74", "/74"),
    ("P0300 (14)", " (14)"),
    ("P0420, P0430", ", P0430"),
    ("C0035-C0040", "-C0040"),
    ("P0420-123", "-123"),
    ("SPN 102 FMI 18 engine computer", " engine computer"),
    ("SPN 100 14 times", " 14 times"),
])  # fmt: skip
def test_what_is_no_sub_code_stays_behind_the_code(text: str, rest: str) -> None:
    found = leading(text)
    assert found is not None
    assert text[found[2] :] == rest


def test_status_bytes_are_kept_apart_from_sub_codes() -> None:
    # Four-byte record of ISO 14229-1 service 0x19, as a diagnostics library documents it.
    for text in (
        "C10087 2F",
        "C100872F",
        "0xC10087 2F",
        "C1 00 87 2F",
        "U0100-87 2F",
        "U0100-87 status: 0x2F",
        "U0100872F",
    ):
        read = parse(text)
        assert (read.code, read.sub, read.status_byte) == ("U0100", "87", 0x2F), text
    assert not parse("C1 00 87 2F").certain  # a truck packs SPN, FMI and count into four bytes
    assert parse("U0100-87 2F").certain
    assert parse("P0420-00 14 times").status_byte is None
    assert parse("P0420-00 14 times").count == 14


def test_no_sub_code_is_not_sub_code_00() -> None:
    assert parse("P0420").sub == ""
    assert parse("P0420-00").sub == "00"


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("C100", "character may be missing"),
        ("PO42O", "letter O"),
        ("P0171/74", "P0171 and P0174"),
        ("P0300 (14)", "sub-code or a count"),
        ("17705 P1296", "does not belong to P1296"),
        ("P0420-123", "-123"),
        ("P0300 P0301", "P0301 follows"),
        ("100:1", "SPN 100 FMI 1"),
        ("J1939: 61 02 13 81", "SPN uncertain"),
        ("03 01", "raw bytes"),
    ],
)
def test_what_can_mean_two_things_says_so(text: str, part: str) -> None:
    read = parse(text)
    assert read.code
    assert not read.certain
    assert part in read.reason


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("P4000", "second character"), ("X0123", "five characters"), ("P012", "five characters"),
        ("P012G", "five characters"), ("P01234", "five characters"), ("SPN 100 FMI 32", "at most 31"),
        ("SPN 524288 FMI 1", "at most"), ("MID 128 PID 110 FMI 3", "older truck list"), ("bad ground", "kept as typed"),
        ("", "kept as typed"),
    ],
)  # fmt: skip
def test_what_is_no_code_is_kept_with_a_reason(text: str, part: str) -> None:
    read = parse(text)
    assert (read.typed, read.code, read.sub, read.certain) == (text, "", "", False)
    assert part in read.reason


@pytest.mark.parametrize("text", ["14", "44", "2111", "900016", "16486", "E21", "4-1-2"])
def test_flash_codes_stay_text(text: str) -> None:
    # A string of decimal digits is raw hex only with 0x or as spaced pairs: old manuals print flash codes that way.
    read = parse(text)
    assert (read.code, read.scheme, read.sub) == (text, "maker", "")
    assert leading(text) is None


def test_the_older_decimal_form() -> None:
    # Five printed pairs of one maker's older decimal form; two of them here.
    assert (decimal_form("P0102"), decimal_form("P1296")) == (16486, 17704)
    assert decimal_form("P2000") is None
    assert decimal_form("P0A08") is None


# --- trucks -------------------------------------------------------------------------------------------------------

# Test values of an open conformance test for SAE J1939-84; the last three from a CAN library's decoder.
PACKED = [
    ("61 02 13 81", 609, 19, 1, True), ("21 06 1F 23", 1569, 31, 35, False), ("00 00 1F 00", 0, 31, 0, False),
    ("00 00 00 80", 0, 0, 0, True), ("00 00 00 7F", 0, 0, 127, False), ("FF FF E0 00", 524287, 0, 0, False),
    ("64 00 01 01", 100, 1, 1, False), ("00 F0 F3 01", 520192, 19, 1, False), ("FF FF FF 7F", 524287, 31, 127, False),
]  # fmt: skip
# Appendix on older conversion methods in a generator controller's manual: SPN 1208 FMI 3 and SPN 609 FMI 19 in
# packings 1, 2, 3 and 4.
OLDER = [
    (1208, ("00 97 03 8A", "97 00 03 8A", "B8 04 03 8A", "B8 04 03 0A")),
    (609, ("00 4C 33 81", "4C 00 33 81", "61 02 13 81", "61 02 13 01")),
]


@pytest.mark.parametrize(("raw", "spn", "fmi", "count", "old"), PACKED)
def test_four_bytes_of_a_truck(raw: str, spn: int, fmi: int, count: int, old: bool) -> None:
    packed = unpack(bytes.fromhex(raw))
    assert (packed.spn, packed.fmi, packed.count, packed.old) == (spn, fmi, count, old)
    read = parse(raw, truck=True)
    assert (read.spn, read.fmi, read.certain) == (spn, fmi, not old)
    assert read.count == (None if count == 127 else count)  # 127 is the field's own "not available"


@pytest.mark.parametrize(("spn", "forms"), OLDER)
def test_older_packings_are_named_and_never_trusted(spn: int, forms: tuple[str, ...]) -> None:
    first, second, third, fourth = (unpack(bytes.fromhex(form)) for form in forms)
    assert (first.others[0], second.others[1], third.spn, fourth.spn) == (spn, spn, spn, spn)
    assert [packed.old for packed in (first, second, third, fourth)] == [True, True, True, False]


def test_a_whole_truck_message() -> None:
    # The open conformance test's DM1 example.
    found = unpack_message(bytes.fromhex("544F61021300 21061F00 EE100400"))
    assert [(packed.spn, packed.fmi, packed.count) for packed in found] == [(609, 19, 0), (1569, 31, 0), (4334, 4, 0)]
    assert unpack_message(bytes.fromhex("00FF00000000FFFF")) == ()
    assert parse("00 00 00 00", truck=True).code == "none"


@pytest.mark.parametrize(
    "text",
    ["SPN 100 FMI 1", "SPN100 FMI1", "SA 0 SPN 100 FMI 1", "SPN:100/FMI:1", "SPN0100-FMI01", "FMI 1, SPN 100",
     "spn 100, fmi 1", "SPN 100 (FMI 1)", "SPN 100/1", "100:1", "100/1", "100-1"],
)  # fmt: skip
def test_truck_forms(text: str) -> None:
    # The conformance test prints 609:19; the others are common practice, no source.
    read = parse(text)
    assert (read.code, read.sub, read.spn, read.fmi, read.scheme) == ("SPN 100", "FMI 1", 100, 1, "truck")


def test_bare_numbers_are_a_fault_only_where_a_whole_field_holds_them() -> None:
    assert leading("100:1") is None
    assert leading("100-1 fan") is None
    assert parse("SPN 100").reason == "The failure mode (FMI) is missing."
    assert parse("SA 11 SPN 100 FMI 1 OC 14") == Written(
        "SA 11 SPN 100 FMI 1 OC 14", "SPN 100", "FMI 1", None, "truck", 100, 1, 14, source=11
    )


# --- ordinary words -----------------------------------------------------------------------------------------------

WORDS = """bad ground|face|dead|cafe|CAN bus|added|beef|decade|facade|fade|bead|feed|deed|coded|cocoa|CODE3|cooed|booed
ad hoc|be careful|AC 12 V|BA 22|C2 04 loose|10 20 30 psi|12 24 36 V|12 14|cyl 3|B pillar|C clip|U joint|P clamp
P 1200 psi|C 1500 km|B-1000 km|p 2000 rpm|5A fuse|2A 12 gauge|fan 2|bank B2|AA battery|DEF low|FADED paint|C note
0x|0x5A|0xABC|SPN|SPN FMI|FMI 3|SA 3|spnx 100|10:30 called|1/2 turn|7B|none|no codes|PCB|CPU|P0|P04|P042|P0420X
1G4AH59H45G118341|PO box 12|UO|boo|cab|cub|cup|bed|U-bolt|B+ 12.6 V|C/S 12|4410-77|B1234567|C123456789""".replace(
    "\n", "|"
).split("|")


@pytest.mark.parametrize("text", WORDS)
def test_ordinary_words_are_never_codes(text: str) -> None:
    assert leading(text) is None


ALPHABET = "PCBUpcbuOo0123456789ABCDEFabcdefSPNFMIx:-–/.,;()[] \t\nstypexDM\u00e9\u0661\ud800"


@given(st.one_of(st.text(max_size=60), st.text(alphabet=ALPHABET, max_size=60)), st.booleans())
@example("FMI 1 SPN 99999999999", True)
@example("DM1 " + "00" * 300, False)
def test_any_text_is_read_and_nothing_is_lost(text: str, truck: bool) -> None:
    read = parse(text, truck=truck)
    assert read.typed == text
    assert read.code or read.reason
    assert read.certain or read.reason
    found = leading(text)
    if found is not None:
        assert 0 < found[2] <= len(text)
        assert base(found[0]) == found[0] or found[0].startswith("SPN ")


@pytest.mark.parametrize(
    "piece",
    [
        "0",
        " ",
        "P0",
        "P0420 ",
        "C1 ",
        "0x",
        "SPN ",
        "SPN 1 FMI 1 ",
        "-",
        "(",
        "sub ",
        "12 ",
        "O",
        "\t",
        "0xC1 ",
        "DM1 00 ",
    ],
)
def test_time_grows_no_faster_than_the_text(piece: str) -> None:
    def seconds(size: int) -> float:
        text = (piece * size)[:size]
        best = 9.0
        for _ in range(3):
            start = time.process_time()
            parse(text)
            leading("P0420 " + text)
            best = min(best, time.process_time() - start)
        return best

    assert seconds(65536) < 0.05 + 40 * seconds(4096)
    assert seconds(65536) < 0.5
