"""The three answers of the judge: what each rule refuses, what is proved, and what is left to the writer."""

import csv
from pathlib import Path

import pytest
from story_jobs import case_of, ticket_from

from ticket.job.case import Case
from ticket.job.kinds import KINDS
from ticket.job.values import Ref
from ticket.story.judge import NOT_PROVED, PROVED, REFUSED, judge
from ticket.story.sentence import Lit, Sentence, Source, Val

HERE = Path(__file__).parent


def _rows() -> list[tuple[str, str, str, str]]:
    lines = (HERE / "judged.tsv").read_text(encoding="utf-8").splitlines()
    rows = csv.DictReader((one for one in lines if not one.startswith("#")), delimiter="\t", quoting=csv.QUOTE_NONE)
    return [(row["answer"], row["rule"], row["typed"], row["told"]) for row in rows]


ROWS = _rows()


def case_from(typed: str) -> Case:
    return case_of(ticket_from("\n".join(typed.split(" ¦ "))))


def resting_on(case: Case, *numbers: int, parts: tuple[Lit | Val, ...] = (Lit("It was so."),)) -> Sentence:
    sources: tuple[Source, ...] = tuple(Ref(no) for no in numbers or [one.no for one in case.ticket.living])
    return Sentence(parts, sources)


@pytest.mark.parametrize(("answer", "rule", "typed", "told"), ROWS, ids=[f"{row[1]}: {row[3][:40]}" for row in ROWS])
def test_each_answer_and_the_rule_that_gives_it(answer: str, rule: str, typed: str, told: str) -> None:
    case = case_from(typed)
    found = judge(case, "customer", resting_on(case), told)
    assert found.word == answer, found
    if answer == PROVED:
        assert not found.findings
        return
    assert rule in {one.rule for one in found.findings}
    assert all(one.reason.endswith(".") and "\n" not in one.reason for one in found.findings)
    assert all(0 <= one.start <= one.end <= len(told) for one in found.findings)


def test_what_is_not_proved_says_which_word_nobody_typed() -> None:
    case = case_from("found: fan hums")
    assert judge(case, "customer", resting_on(case), "The fan computer hums.").why == "“computer” is not typed."


def test_a_figure_the_program_worked_out_is_a_fact_of_its_sentence() -> None:
    """A count, a meaning, a date or a total that the story tells itself is no figure of the writer's."""
    case = case_from("found: LF tire cupped ¦ found: RF tire cupped ¦ found: LR tire cupped")
    told = "Three tires were cupped."
    bare = judge(case, "customer", resting_on(case, 1), told)
    assert bare.word == REFUSED
    counted = resting_on(case, 1, parts=(Val(Ref(1), "what", "count", "three"), Lit(" tires")))
    assert judge(case, "customer", counted, told).word != REFUSED


def test_a_further_entry_lends_its_words_and_only_then() -> None:
    case = case_from("found: RR caliper seized ¦ did: 1.1 h replaced RR caliper")
    told = "The right rear caliper was seized, and we replaced it."
    assert judge(case, "customer", resting_on(case, 1, 2), told).word == PROVED
    assert judge(case, "customer", resting_on(case, 1), told).word == NOT_PROVED


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("found: door wont close", "The door won't close."),
        ("found: door wont close", "The door won’t close."),
        ("found: tire pressure 60+ psi", "The tire pressure was 60 psi or more."),
        ("found: 0 leaks", "There were no leaks."),
        ("found: fan brg dry, RH lamp out", "The fan bearing was dry, and the right lamp was out."),
        ("found: fuel pump 43 psi (min 50) ¦ proof: 1 now 54", "Measured again, the fuel pump was at 54 psi."),
    ],
)
def test_short_forms_and_plain_turns_are_understood(typed: str, told: str) -> None:
    case = case_from(typed)
    assert judge(case, "customer", resting_on(case), told).word != REFUSED


def test_another_language_is_never_proved_by_chance() -> None:
    case = case_from("found: oil pressure 14 psi at idle (min 20)")
    sentence = resting_on(case)
    for text in ("La presión de aceite era de 14 psi.", "oil pressure 14 psi at idle", "The oil pressure was 14 psi."):
        assert judge(case, "customer", sentence, text, "es").word == NOT_PROVED
    assert judge(case, "customer", sentence, "La presión de aceite era de 41 psi.", "es").word == REFUSED


def test_what_is_for_the_shop_alone_is_no_ground_for_anybody_else() -> None:
    case = case_from("found: fan hums ¦ # found: fan hums badly")
    told = "The fan hums badly."
    assert judge(case, "customer", resting_on(case, 1, 2), told).word == REFUSED
    assert judge(case, "payer", resting_on(case, 1, 2), told).word == REFUSED
    assert judge(case, "shop", resting_on(case, 1, 2), told).word != REFUSED


@pytest.mark.parametrize(
    ("typed", "told", "turned"),
    [
        ("found: LF cal frozen, wont retract",
         "La pinza de freno delantera izquierda estaba agarrotada y no se retraía.",
         "La pinza de freno delantera derecha estaba agarrotada y no se retraía."),
        ("found: no play in ball joint", "No había holgura en la rótula.", "Había holgura en la rótula."),
        ("did: replaced water pump, bled brakes", "Cambiamos la bomba de agua y purgamos el aire de los frenos.",
         "Cambiamos la bomba de agua y el aire de los frenos."),
    ],
)  # fmt: skip
def test_another_language_is_proved_where_it_tells_the_record_of_the_line(typed: str, told: str, turned: str) -> None:
    case = case_from(typed)
    assert judge(case, "customer", resting_on(case), told, "es").word == PROVED
    assert judge(case, "customer", resting_on(case), turned, "es").word == NOT_PROVED


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_entry_may_be_what_a_wording_rests_on(kind: str) -> None:
    case = case_from(KINDS[kind].example)
    answer = judge(case, "shop", resting_on(case), "The fan housing was wet below the seal.")
    assert answer.word in (REFUSED, NOT_PROVED)
    assert answer.findings
