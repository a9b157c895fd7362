"""Spanish from the same meanings: whole sentences or a gap, never a word of English in between.

No source: read aloud.
"""

import pytest

from ticket.language.certain import read
from ticket.language.records import Meaning
from ticket.language.sentences import sentences
from ticket.language.tell import Gap

TOLD = [
    ("found", "rr cal frozen, wont retract", "La pinza de freno trasera derecha estaba agarrotada y no se retraía."),
    ("found", "no squeal, no drag", "No había chillido ni resistencia al giro."),
    ("found", "air in ft brake, fluid black", "Había aire en el freno delantero y el líquido estaba negro."),
    ("found", "coolant 2qt low", "Al refrigerante le faltaban 2 cuartos de galón."),
    ("cause", "plugged drains", "Unos drenajes tapados."),
    (
        "did",
        "r&i lh taillight",
        "Desmontamos y volvimos a montar la luz trasera izquierda.",
    ),
    ("did", "replaced pump, cleared codes", "Cambiamos la bomba y borramos los códigos."),
    ("proof", "rt 6mi, no leaks", "Recorrimos 6 millas: no había fugas."),
]

GAPS = [
    ("found", "left bracket bolt loose", "a side in front of two nouns"),
    ("found", "wozzle pump loose", "a word nobody listed"),
    ("found", "ignition coil cyl 2 cracked", "a number that may belong to either"),
    ("found", "chain links worn", "a word of two meanings"),
    ("did", "resealed wozzle pump", "a word nobody listed"),
]


@pytest.mark.parametrize(("where", "typed", "told"), TOLD, ids=[row[1] for row in TOLD])
def test_a_meaning_is_told_in_spanish(where: str, typed: str, told: str) -> None:
    found = read(typed, where)
    assert isinstance(found, Meaning), found
    said = sentences(found, "es")
    assert isinstance(said, tuple), said
    assert " ".join(said).replace("\u00a0", " ") == told


@pytest.mark.parametrize(("where", "typed", "why"), GAPS, ids=[row[1] for row in GAPS])
def test_one_gap_keeps_the_whole_line_from_being_told(where: str, typed: str, why: str) -> None:
    found = read(typed, where)
    assert isinstance(found, Meaning), found
    assert isinstance(sentences(found, "es"), Gap), why
    assert not isinstance(sentences(found, "en"), Gap)
