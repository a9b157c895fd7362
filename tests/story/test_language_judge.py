"""The judge of Spanish sentences: bad ones are caught by their rule, good ones let through."""

import pytest
from story_jobs import ticket_from

from support.faithful import check
from support.faithful.language import load
from ticket.job.entry import Entry

# Line of the notation, sentence, the rule it breaks (empty: none). The sentences are this project's own.
CASES = [
    ("found: LF inner pad 1.9 mm (min 3.0)", "Medimos la pastilla interior delantera izquierda: 1.9 mm.", ""),
    ("found: LF inner pad 1.9 mm (min 3.0)", "Medimos la pastilla interior delantera derecha: 1.9 mm.", "F6"),
    ("found: LF inner pad 1.9 mm (min 3.0)", "Medimos la pastilla interior delantera izquierda: 2 mm.", "F2"),
    ("found: voltage at battery 12.3 V (13.8 to 14.8)", "El voltaje en la batería era de 12.3 voltios.", ""),
    ("found: voltage at battery 12.3 V (13.8 to 14.8)", "El voltaje en la batería era de 12.3 amperios.", "F2"),
    ("found: voltage at battery 12.3 V (13.8 to 14.8)", "El voltaje era de 12.3 V, un valor demasiado alto.", "F21"),
    ("found: coolant level -14 mm (-10 to 0)", "Encontramos una fuga de refrigerante.", "F9"),
    ("found: hose dry", "La manguera no estaba seca.", "F7"),
    ("found: hose not dry", "La manguera no estaba seca.", ""),
    ("did: 0.4 h clear codes", "Borramos los códigos y la falla quedó arreglada.", "F8"),
    ("cause: prob stuck thermostat", "Era un termostato atascado.", "F19"),
    ("cause: prob stuck thermostat", "Lo más probable es que fuera un termostato atascado.", ""),
    ("maybe: loose plug", "Era un conector flojo.", "F19"),
    ("code: P0562-16 engine computer, stored", "La computadora tenía guardado el código P0563.", "F5"),
    ("code: P0562-16 engine computer, stored", "El código es P0562 con subcódigo 16.", ""),
    ("used: 1 x CB-0912 caliper bracket, rebuilt @ 44.00", "Se usó un soporte de la pinza nuevo.", "F9"),
    ("used: 1 x CB-0912 caliper bracket, rebuilt @ 44.00", "Pieza CB-0913.", "F5"),
    ("did: 0.4 h clean throttle body", "Cambiamos el cuerpo del acelerador.", "F9"),
    ("told: Ada Fenn by phone, yes; total 214.50", "Usted aprobó este trabajo; el total es de $214.50.", ""),
    ("told: Ada Fenn by phone, yes; total 214.50", "Usted aprobó este trabajo; el total es de $241.50.", "F2"),
    ("later: replace rear tires; by 2026-05-02", "Venga a más tardar el 2 de mayo de 2026.", ""),
    ("later: replace rear tires; by 2026-05-02", "Venga a más tardar el 3 de mayo de 2026.", "F5"),
    ("found: relay hums", "El técnico anotó: “relay hums”.", ""),
    ("found: relay hums", "El técnico anotó: “relay burned”.", "F5"),
    ("found: relay hums", "El relé relé zumbaba.", "F26"),
    ("found: relay hums", "El relé zumbaba ;.", "F26"),
]  # fmt: skip


def _entry(line: str) -> Entry:
    return ticket_from(line).entries[0]


@pytest.mark.parametrize(("line", "sentence", "rule"), CASES)
def test_sentences(line: str, sentence: str, rule: str) -> None:
    found = {one.rule for one in check(sentence, [_entry(line)], language="es")}
    assert found == ({rule} if rule else set())


def test_no_source_no_sentence() -> None:
    assert {one.rule for one in check("El motor falla.", [], language="es")} == {"F1"}


def test_a_converted_figure_is_right_or_found_and_only_behind_the_typed_one() -> None:
    """1 mile is 1.609 344 km exactly (NIST SP 811, appendix B.8)."""
    entry = _entry("proof: road test 9 mi, quiet")
    for text, declared, rules in (
        ("We drove 9 miles (14 km).", "14 km", set()),
        ("We drove 9 miles (15 km).", "15 km", {"F3"}),
        ("Recorrimos 9 millas (14 km).", "14 km", set()),
        ("Recorrimos 9 millas (16 km).", "16 km", {"F3"}),
    ):
        language = "en" if text.startswith("We") else "es"
        found = {one.rule for one in check(text, [entry], derived=[declared], language=language)}
        assert found == rules, text


def test_every_side_and_verdict_has_its_english() -> None:
    lists = load("es")
    assert set(lists.data["sides"]) == {"left", "right", "front", "rear", "inner", "outer", "upper", "lower"}
    for group in ("sides", "words"):
        assert all(row["told"] and row["typed"] for row in lists.data[group].values())
