"""Spanish as it is read: typed lines and what is told of them, what is never guessed at, and how easy it reads."""

import json
import re

import pytest
from story_jobs import case_of, ticket_from

from ticket.data import data_folder
from ticket.job.case import Case, Settings
from ticket.job.ticket_document import FORMAT, from_document
from ticket.story.build import build
from ticket.story.sentence import Val

textstat = pytest.importorskip("textstat", reason="textstat, a test-only reference")

# ruff: noqa: E501
PAIRS = [
    ("found: LF INNER PAD 1.9 mm (min 3.0)", "Medimos la pastilla interior delantera izquierda: 1.9 mm, lo cual es demasiado bajo; lo mínimo es 3.0 mm."),
    ("found: voltage at battery, engine running 12.3 V (13.8 to 14.8)", "Con el motor en marcha, el voltaje en la batería era de 12.3 voltios, lo cual es demasiado bajo; lo normal es de 13.8 a 14.8 voltios."),
    ("found: coolant level, cold -14 mm (-10 to 0)", "En frío, el nivel del refrigerante estaba 14 mm por debajo de su marca, lo cual es demasiado bajo; lo normal es hasta 10 mm por debajo de su marca."),
    ("found: hose dry, not swollen", "Hose dry, not swollen."),
    ("found: hose wet at its crimp", "La manguera estaba mojada en su prensado."),
    ("found: pump leaks fluid", "Pump leaks fluid."),
    ("code: C0040-11 ABS, stored", "El sistema de frenos antibloqueo tenía guardado el código de falla C0040 con subcódigo 11."),
    ("found: slide pins seized", "Los pernos guía estaban agarrotados."),
    ("ruled: worn alternator; output at its stud is within limits", "No era un alternador gastado, porque la salida en su borne estaba dentro de lo permitido."),
    ("cause: prob stuck thermostat", "Lo más probable es que fuera un termostato atascado."),
    ("ruled: leaking pump or hose; no bubbles", "Ruled out: Leaking pump or hose; no bubbles."),
    ("did: 1 h replace fuel cap and clear codes", "Cambiamos la tapa del combustible y borramos los códigos."),
    ("did: 1 h replace oil pan and drain plug", "Cambiamos el cárter y el tapón de drenaje."),
    ("did: 1 h frobnicate idle valve", "Frobnicate idle valve."),
    ("did: 1 h replace injector and ignition coil", "Cambiamos el inyector y la bobina."),
    ("did: 1 h replace ignition coil and injector", "Cambiamos la bobina y el inyector."),
    ("used: 2 x RT-5518 front brake disc, new @ 61.50", "Usamos dos discos de freno delanteros nuevos."),
    ("later: replace rear brake pads; may wait; by 2026-05-02", "Cuándo: a más tardar el 2 de mayo de 2026."),
    ("later: replace hose; do soon; in 8000 km or 6 months", "Cuándo: dentro de 8,000 km o 6 meses, lo que ocurra primero."),
    ("told: Ada Fenn by phone, yes; total 1214.50", "Usted aprobó por teléfono este trabajo; el total es de $1,214.50."),
]  # fmt: skip


@pytest.mark.parametrize(("line", "told"), PAIRS)
def test_pairs(line: str, told: str) -> None:
    ticket = ticket_from(f"customer: Ada Fenn\n\n{line}")
    story = build(case_of(ticket), language="es")
    texts = [one.text.replace("\u00a0", " ") for section in story.sections for one in section.sentences]
    assert told in texts


def _demo() -> list[Case]:
    loaded = [json.loads(path.read_text(encoding="utf-8")) for path in sorted(data_folder("demo_jobs").glob("*.json"))]
    return [case_of(from_document(one), settings=Settings()) for one in loaded if one.get("format") == FORMAT]


@pytest.mark.slow
def test_few_words_of_the_demo_jobs_stay_english() -> None:
    """Under 5 % of the slots that hold typed words are quoted; the customer's own words always are."""
    held = quoted = 0
    for case in _demo():
        for section in build(case, language="es").sections:
            for part in [part for sentence in section.sentences for part in sentence.parts]:
                entry = case.ticket.entry(part.no.no) if isinstance(part, Val) and not part.no.ticket else None
                if isinstance(part, Val) and entry is not None and entry.kind not in ("says", "told"):
                    held += part.op in ("told", "quoted")
                    quoted += part.op == "quoted"
    assert quoted / held < 0.05


def test_the_customer_story_is_easy_to_read() -> None:
    """Fernandez Huerta (1959), as textstat computes it: 60 to 70 is plain, the aim is 70 (style sheet).

    Codes, figures with their units and quotes are taken out first. The mean over the demo jobs counts: a single score
    says little.
    """
    textstat.set_lang("es")
    scores = []
    for case in _demo():
        texts = [one.text for section in build(case, language="es").sections for one in section.sentences]
        plain = re.sub(r"“[^”]*”|\([^)]*\)|[0-9A-Z][0-9A-Z.,/-]*[0-9]\S*", "", " ".join(texts))
        scores.append(textstat.fernandez_huerta(re.sub(r"\s+", " ", plain)))
    assert sum(scores) / len(scores) >= 60, scores
