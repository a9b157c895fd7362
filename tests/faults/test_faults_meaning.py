"""What codes, sub-codes, status bytes and failure modes mean; sources stand beside each table."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ticket.faults import fault_tables
from ticket.faults.code_meaning import group, meaning
from ticket.faults.layout import CODE, from_hex
from ticket.faults.status import status
from ticket.faults.table import CodeRow, CodeTable, builtin

# Words that openly licensed lists of the generic codes use for these numbers (several agree on each).
KEY_WORDS = {
    "P0011": "camshaft timing", "P0087": "fuel pressure low", "P0101": "air flow",
    "P0113": "intake air temperature high", "P0128": "thermostat", "P0171": "lean", "P0300": "misfire multiple",
    "P0335": "crankshaft", "P0401": "EGR flow",
    "P0420": "catalyst efficiency", "P0442": "EVAP small leak", "P0455": "EVAP large leak", "P0500": "vehicle speed",
    "P0562": "voltage low", "P0601": "memory", "P0700": "transmission", "P0741": "torque converter",
    "P2096": "catalyst lean", "P2135": "throttle correlation", "U0073": "bus off", "U0100": "engine", "U0121": "ABS",
}  # fmt: skip


@pytest.mark.parametrize(("code", "words"), KEY_WORDS.items())
def test_well_known_codes(code: str, words: str) -> None:
    known = meaning(code)
    assert all(word in known.trade for word in words.split()), known.trade


def test_words_the_story_is_built_on() -> None:
    assert meaning("P0562", "16").words == "low system voltage"
    assert meaning("P0303").words == "cylinder 3 not burning its fuel as it should"
    assert meaning("P0480", "1F").words == "a fault in the circuit of cooling fan 1"
    assert meaning("P0480", "1F").sub_words == "a circuit that comes and goes"
    assert meaning("P1A30", "7B").words == ""  # the maker's own number: never guessed
    assert meaning("P1A30", "7B").sub_words == "a fluid that is low"
    truck = meaning("SPN 102", "FMI 18")
    assert (truck.what.split(" (")[0], truck.failure) == (
        "the boost pressure after the turbo",
        "was too low, to a medium degree",
    )


# Who controls a number: SAE J2012 / ISO 15031-6 as told by articles on them and carmakers' manuals.
@pytest.mark.parametrize(
    ("code", "who"),
    [
        ("P0420", "standard"), ("P2096", "standard"), ("P1A30", "maker"), ("P3000", "maker"), ("P33FF", "maker"),
        ("P3400", "standard"), ("P3FFF", "standard"), ("C0031", "standard"), ("B0039", "standard"), ("C1678", "maker"),
        ("B25B6", "maker"), ("C3123", "reserved"), ("U0100", "standard"), ("U1158", "maker"), ("U3001", "standard"),
    ],
)  # fmt: skip
def test_who_controls_the_number(code: str, who: str) -> None:
    assert group(code) == who


@given(st.integers(0, 0xFFFFFF))
def test_every_code_has_a_system_and_an_owner(value: int) -> None:
    code, sub = from_hex(f"{value:06X}")
    known = meaning(code, sub)
    assert known.system == {"P": "powertrain", "C": "chassis", "B": "body", "U": "network"}[code[0]]
    assert known.control in ("standard", "maker", "reserved")
    assert known.sub_scheme
    if known.sub_scheme == "unknown":
        assert not known.sub_words


@given(st.text(max_size=12), st.text(max_size=8))
def test_any_text_has_a_meaning_of_sorts(code: str, sub: str) -> None:
    assert meaning(code, sub).code == code


# Sub-codes: a telematics repository's fault-type lists, articles on ISO 14229-1, a maker's manual of 2023; own words.
@pytest.mark.parametrize(
    ("sub", "category", "word"),
    [
        ("11", "electrical", "ground"), ("13", "electrical", "break"), ("16", "electrical", "low"),
        ("2F", "signal", "jumps"), ("31", "frequency, pulse width or counting", "no signal"),
        ("49", "inside the control unit", "electronics"), ("55", "programming and setup", "not set up"),
        ("62", "calculation and comparison", "agree"), ("73", "mechanical", "stuck closed"),
        ("87", "data network", "missing"), ("98", "component", "too hot"), ("C7", "reserved", ""),
        ("F1", "the maker's own", ""), ("10", "electrical", ""), ("00", "", ""),
    ],
)  # fmt: skip
def test_sub_codes(sub: str, category: str, word: str) -> None:
    known = meaning("P0562", sub)
    assert known.sub_category == category
    assert word in known.sub_words
    assert bool(known.sub_words) == bool(word)


def test_a_makers_older_table_is_used_only_where_it_is_known_to_apply() -> None:
    # One maker's manuals before 2010: B1325 03 is under 9 V, B1325 07 over 18 V; its manual of 2023 uses the ISO table.
    assert "too low" in meaning("B1325", "03", scheme="maker-old").sub_words
    assert "too high" in meaning("B1325", "07", scheme="maker-old").sub_words
    for year in (None, 2004):
        known = meaning("B1325", "03", year=year)
        assert (known.sub_scheme, known.sub_words) == ("unknown", "")
        assert any("which table" in note for note in known.notes)
    assert meaning("B1325", "03", year=2020).sub_scheme == "iso"
    assert meaning("U0100", "87").sub_scheme == "iso"


def test_a_generic_number_is_not_one_meaning_in_old_cars() -> None:
    # Before about 2010 one maker printed C0035 for the left front wheel; the standard's C0035 is another one.
    assert any("mind the year" in note for note in meaning("C0034", year=2005).notes)
    assert not any("mind the year" in note for note in meaning("C0034", year=2015).notes)


# FMI: an open conformance test for SAE J1939-84 and a valve maker's manual; bad copies shift 16 to 19.
@pytest.mark.parametrize(
    ("fmi", "word"),
    [
        (0, "too high, to the most"), (1, "too low, to the most"), (3, "voltage in its circuit was too high"),
        (4, "voltage in its circuit was too low"),
        (5, "broken"), (6, "ground"), (15, "too high, to a slight"), (16, "too high, to a medium"),
        (17, "too low, to a slight"), (18, "too low, to a medium"), (19, "network"), (20, "drifting too high"),
        (21, "drifting too low"), (31, "condition that this fault stands for"),
    ],
)  # fmt: skip
def test_failure_modes(fmi: int, word: str) -> None:
    assert word in meaning("SPN 100", f"FMI {fmi}").failure


def test_reserved_failure_modes_are_not_guessed() -> None:
    known = meaning("SPN 100", "FMI 27")
    assert known.failure == ""
    assert known.notes


# Status bytes as a diagnostics library splits them; ISO 14229-1 annex D.
@pytest.mark.parametrize(
    ("byte", "words", "entry", "proved"),
    [
        (0x00, "never failed", "", True), (0x01, "failing now, not yet stored", "active", False),
        (0x04, "pending", "pending", True),
        (0x08, "stored, not failing now", "stored", True), (0x09, "stored and failing now", "active", False),
        (0x27, "failing now", "active", False), (0x28, "stored, not failing now", "stored", True),
        (0x2C, "failed this or the last drive", "stored", True), (0x2F, "stored and failing now", "active", False),
        (0x50, "not yet tested", "", None), (0x68, "not tested since this key-on", "stored", None),
        (0x88, "warning light", "stored", True), (0xFF, "no data", "", None), (0x0A, "stored", "stored", None),
    ],
)  # fmt: skip
def test_status_bytes(byte: int, words: str, entry: str, proved: bool | None) -> None:
    known = status(byte)
    assert words in known.words
    assert (known.entry, known.proved) == (entry, proved)
    assert len(known.bits) == byte.bit_count()


def test_cleared_and_not_tested_proves_nothing() -> None:
    assert status(0x50).proof.startswith("Proves nothing about the repair")
    assert status(0x00, available=0x08).proved is None  # this unit sends the stored bit only


@given(st.integers(0, 255), st.integers(0, 255))
def test_proof_needs_a_test_that_ran_and_did_not_fail(byte: int, available: int) -> None:
    known = status(byte, available)
    if known.proved:
        assert available & 0x41 == 0x41
        assert byte & available & 0x53 == 0
    if byte & available & 0x01 and byte & available & 0x10 == 0 and byte != 0xFF:
        assert known.proved is False


# --- the tables themselves ----------------------------------------------------------------------------------------

JARGON = re.compile(
    r"\b(?:actuator|solenoid|correlation|threshold|efficiency|malfunction|module|bank|EGR|EVAP|MAF|MAP|ECM|PCM|CAN|"
    r"sensor [AB]\b|plausib\w*|intermittent|amplitude|rationality)",
)


def test_the_table_of_codes_is_large_and_sound() -> None:
    rows = builtin().by_code
    assert len(rows) >= 300
    assert {code[0] for code in rows} == set("PCBU")
    for code, row in rows.items():
        assert CODE.match(code), code
        assert group(code) == "standard", code
        assert row.source in ("lists", "list", "memory"), code
        assert row.trade, code
        assert row.area, code


def plain_texts() -> list[tuple[str, str]]:
    texts = [(code, row.plain) for code, row in builtin().by_code.items()]
    texts += [(row[1], row[2]) for row in fault_tables.rows("subcodes.tsv") if row[2]]
    texts += [(row[0], row[1]) for row in fault_tables.rows("spn.tsv")]
    return texts + [(row[0], row[1]) for row in fault_tables.rows("fmi.tsv")]


def test_customers_words_fit_into_a_sentence() -> None:
    for name, text in plain_texts():
        assert text == " ".join(text.split()), (name, text)
        assert text[0].islower(), (name, text)
        assert text[-1] not in ".;:", (name, text)
        assert not JARGON.search(text), (name, text)
        assert len(text.split()) <= 22, (name, text)


def test_figures_in_the_customers_words_come_from_the_code() -> None:
    # "cylinder 3" is read off the code; any other figure would have to be explained to the customer.
    allowed = re.compile(r"cylinder (\d+)|cooling fan ([123])")
    for code, row in builtin().by_code.items():
        assert not re.search(r"\d", allowed.sub("", row.plain)), (code, row.plain)


def test_every_table_names_its_standing() -> None:
    from importlib.resources import files

    for name in ("codes", "subcodes", "categories", "fmi", "spn", "groups", "areas", "status", "report_words"):
        text = files("ticket.faults").joinpath(f"{name}.tsv").read_text(encoding="utf-8")
        assert text.startswith("# "), name
        width = {len(row) for row in fault_tables.rows(f"{name}.tsv")}
        assert len(width) == 1, name
    assert len(fault_tables.rows("spn.tsv")) >= 60
    assert {int(row[0]) for row in fault_tables.rows("fmi.tsv")} >= {*range(22), 31}


def test_the_shops_own_words_win() -> None:
    table = CodeTable(
        {"P1A30": CodeRow("P1A30", "a fault in the fan drive"), "P1A30-7B": CodeRow("P1A30-7B", "low fan-drive fluid")}
    )
    assert meaning("P1A30", "16", table).words == "a fault in the fan drive"
    exact = meaning("P1A30", "7B", table)
    assert (exact.words, exact.sub_words) == ("low fan-drive fluid", "")
    assert exact.sub_category == "mechanical"
