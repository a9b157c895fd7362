"""What the judge promises of any ticket: a sentence of the story with one thing turned round is never proved."""

import re
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from itertools import pairwise

import pytest
from story_jobs import case_of, ticket_from, tried
from test_faithful_generated import _demo_cases

from ticket.job.case import Case
from ticket.job.entry import Entry
from ticket.job.kinds import Cause, Later, Maybe
from ticket.job.values import Ref
from ticket.readings.units import convert, find
from ticket.story.build import build
from ticket.story.judge import PROVED, REFUSED, judge
from ticket.story.judge.statement import FIGURE, statement
from ticket.story.places import places
from ticket.story.sentence import CAUTION, READERS, Lit, Sentence

TICKETS = 40
_NO = re.compile(r"\b(?:no|not|never|without) (?=\w)")
_SIDE = re.compile(r"\b(?:left|right|front|rear)\b")
_OTHER = {"left": "right", "right": "left", "front": "rear", "rear": "front"}
_FIGURE = re.compile(r"(?<![\w-])\d+(?:\.\d+)?(?![\w-])")
_HEDGED = re.compile(
    r"\b(?:likely|probably|may|might|perhaps|possibly|thinks?|suspect|could|can|seems?|appears?)\b", re.I
)
_HEDGES = ("Most likely, ", "most likely ", "probably ", " may ", " might ")
_DANGERS = ("fire", "brakes", "burst", "steering", "airbag", "dark", "slide", "fail")


@cache
def _told() -> list[tuple[Case, str, Sentence]]:
    cases = [*_demo_cases(), *(case_of(ticket) for ticket in tried(TICKETS))]
    return [
        (case, reader, sentence)
        for case in cases
        for reader in READERS
        for _, sentence in places(build(case, reader))
        if not any(str(source).startswith(CAUTION) for source in sentence.sources)
    ]


@cache
def _texts_of(number: int) -> list[str]:
    return [one.text for _, one in places(build(next(case for case, _, _ in _told() if id(case) == number)))]


def _texts(case: Case) -> list[str]:
    return _texts_of(
        id(case)
    )  # the cases stay as long as the tests: one is found sooner by its place than by its facts


def _entries(case: Case, sentence: Sentence) -> list[Entry]:
    found = (case.ticket.entry(source.no) for source in sentence.sources if isinstance(source, Ref))
    return [entry for entry in found if entry is not None]


def _without_no(case: Case, sentence: Sentence) -> Iterator[str]:
    text = sentence.text
    yield from (text[: hit.start()] + text[hit.end() :] for hit in _NO.finditer(text))


def _other_side(case: Case, sentence: Sentence) -> Iterator[str]:
    text = sentence.text
    if hit := _SIDE.search(text):
        turned = text[: hit.start()] + _OTHER[hit[0]] + text[hit.end() :]
        listed = re.split(r"[,;] (?:and )?|: ", turned.lower().rstrip("."))
        about = next(piece for piece in re.split(r", (?:and )?", turned) if piece not in text)
        true = any(about in one for one in _texts(case))  # told of that corner too, in another sentence
        if len(listed) == len(set(listed)) and not true:  # a list that names one corner twice is still true
            yield turned


def _figures_swapped(case: Case, sentence: Sentence) -> Iterator[str]:
    text = sentence.text
    hits = list(_FIGURE.finditer(text))
    for a, b in pairwise(hits):
        between = text[a.end() : b.start()]
        if float(a[0]) != float(b[0]) and between.strip() not in ("and", "or", "and cylinder", ","):
            yield text[: a.start()] + b[0] + between + a[0] + text[b.end() :]


def _hedge_put_in(case: Case, sentence: Sentence) -> Iterator[str]:
    text = sentence.text
    entries = _entries(case, sentence)
    guess = any(
        isinstance(one.fact, Maybe) or (isinstance(one.fact, Cause) and one.fact.sure == "likely") for one in entries
    )
    typed = " ".join(getattr(one.fact, "text", "") or getattr(one.fact, "what", "") for one in entries)
    if not guess and not _HEDGED.search(text) and not _HEDGED.search(typed):
        yield f"Most likely, {text[:1].lower()}{text[1:]}"


def _hedge_left_out(case: Case, sentence: Sentence) -> Iterator[str]:
    for hedge in _HEDGES:
        if hedge in sentence.text:
            yield sentence.text.replace(hedge, " " if hedge[0] == " " else "", 1)


def _danger_left_out(case: Case, sentence: Sentence) -> Iterator[str]:
    risks = " ".join(one.fact.risk for one in _entries(case, sentence) if isinstance(one.fact, Later))
    for word in _DANGERS:
        if (
            _HEDGED.search(sentence.text)
            and re.search(rf"\b{word}\b", risks)
            and re.search(rf"\b{word}\b", sentence.text)
        ):
            yield re.sub(rf"\b{word}\b ?", "", sentence.text)


def _unit_exchanged(case: Case, sentence: Sentence) -> Iterator[str]:
    """Each figure with a unit gets another one: first of its own dimension, 14 L told as 14 gallons."""
    text = sentence.text
    for token in statement(text).tokens:
        unit = find(token.unit) if token.kind == FIGURE and token.value and text[token.start].isdigit() else None
        for other in _OTHER_UNITS if unit is not None else ():
            digits = re.match(r"[\d.,/-]*\d", text[token.start : token.end])
            if unit is not None and other != unit.name and digits:
                yield f"{text[: token.start]}{digits[0]} {other}{text[token.end :]}"


_UNITS = frozenset(
    {"L", "gal", "qt", "mm", "in", "cm", "m", "ft", "psi", "kPa", "bar", "kg", "lb", "Nm", "h", "min", "%"}
)
_OTHER_UNITS = ("gal", "L", "mm", "in", "psi", "kPa", "degC", "degF")
TURNS = (_without_no, _other_side, _figures_swapped, _unit_exchanged, _hedge_put_in, _hedge_left_out, _danger_left_out)


@pytest.mark.slow
@pytest.mark.parametrize("turn", TURNS, ids=lambda one: one.__name__.strip("_"))
def test_a_sentence_with_one_thing_turned_round_is_never_proved(turn) -> None:  # type: ignore[no-untyped-def]
    tried = 0
    for case, reader, sentence in _told():
        for text in turn(case, sentence):
            tried += 1
            found = judge(case, reader, sentence, text)
            assert found.word != PROVED, f"{reader}: {sentence.text!r} became {text!r}"
    assert tried > 20, "the story holds too little to turn round"


@pytest.mark.slow
def test_the_judge_refuses_nothing_that_the_story_tells_the_customer() -> None:
    """But what was said beside an answer, which no copy should repeat."""
    for case, reader, sentence in _told():
        if reader == "customer":
            found = judge(case, reader, sentence, f"{sentence.text} So it was.")
            assert found.word != REFUSED or found.findings[0].rule == "inside", f"{sentence.text!r}: {found.why}"


@pytest.mark.parametrize("typed", sorted(_UNITS))
def test_a_figure_told_in_another_unit_is_refused(typed: str) -> None:
    """The same figure behind any other unit, unless that is the exact conversion."""
    case = case_of(ticket_from(f"found: header beam sags 14 {typed}"))
    sentence = Sentence((Lit("It was so."),), (Ref(1),))
    assert judge(case, "customer", sentence, f"The header beam sags 14 {typed}.").word == PROVED
    for other in _UNITS - {typed}:
        assert convert(Fraction(14), typed, other) != 14
        assert judge(case, "customer", sentence, f"The header beam sags 14 {other}.").word == REFUSED, other


@pytest.mark.parametrize("unit", sorted(_UNITS))
def test_a_unit_that_nobody_typed_is_never_proved(unit: str) -> None:
    case = case_of(ticket_from("found: header beam sags 14"))
    sentence = Sentence((Lit("It was so."),), (Ref(1),))
    assert judge(case, "customer", sentence, f"The header beam sags 14 {unit}.").word != PROVED
