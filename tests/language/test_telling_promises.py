"""What holds for any line: nothing typed is lost in spans, and a told line keeps figures, sides, denials and order."""

import re

from hypothesis import given
from hypothesis import strategies as st

from ticket.language.certain import read
from ticket.language.lexicon import words
from ticket.language.records import Meaning, Unsure
from ticket.language.sentences import sentences
from ticket.language.shortforms import spell, table
from ticket.language.spans import spans
from ticket.language.tables import languages
from ticket.language.tell import Gap

_WORDS = sorted(
    text
    for text, held in words().items()
    if any(word.cls in ("thing", "matter", "state", "doing", "work") for word in held)
)
_SMALL = ["no", "not", "and", "or", "but", "at", "on", "with", "in", ",", ",", "left", "right front", "lf", "rh", "rr"]
_FIGURES = ["2 mm", "12.3 V", "35 psi", "6mi", "3", "2 in of", "#4", "10 min", "20x"]
_PIECE = st.one_of(
    st.sampled_from(_WORDS), st.sampled_from(_WORDS), st.sampled_from(_SMALL), st.sampled_from(_FIGURES),
    st.sampled_from(sorted(table())),
)  # fmt: skip
_LINE = st.lists(_PIECE, min_size=1, max_size=7).map(" ".join)
_WHERE = st.sampled_from(["found", "cause", "did", "proof", "risk", "because", "ruled", "maybe"])
_SIDES = {"left", "right", "front", "rear", "nearside", "offside"}
_DENIALS = {"no", "not", "never", "nor", "cannot", "none", "without"}


def _said(meaning: Meaning, language: str) -> str:
    told = sentences(meaning, language)
    return "" if isinstance(told, Gap) else " ".join(told).replace("\u00a0", " ")


@given(st.text(max_size=60), _WHERE)
def test_any_text_is_cut_without_loss(text: str, where: str) -> None:
    last = 0
    for span in spans(text, where):
        assert last <= span.start < span.end
        assert not text[last : span.start].strip()
        assert text[span.start : span.end] == span.text or span.cls == "side"
        last = span.end
    assert not text[last:].strip()


@given(st.text(max_size=60), _WHERE)
def test_any_text_is_read_and_spelled(text: str, where: str) -> None:
    found = read(text, where)
    assert isinstance(found, (Meaning, Unsure))
    spelled = spell(text, where)
    assert re.findall(r"\d", spelled) == re.findall(r"\d", text) or "²" in text or "³" in text


@given(_LINE, _WHERE)
def test_a_told_line_keeps_its_figures(line: str, where: str) -> None:
    found = read(line, where)
    if isinstance(found, Meaning) and (said := _said(found, "en")):
        typed = [span.value for span in spans(line, where) if span.cls == "figure"]
        told = re.findall(r"\d[\d.,/]*(?<![.,])", said)
        for figure in typed:
            assert figure in told, (line, said)
            told.remove(figure)


@given(_LINE, _WHERE)
def test_a_told_line_keeps_its_sides_and_denials(line: str, where: str) -> None:
    found = read(line, where)
    if isinstance(found, Meaning) and (said := _said(found, "en")):
        base = " ".join(span.base for span in spans(line, where)).lower().replace("n't", " not").split()
        told = said.lower().replace("cannot", "can not").replace(".", " ").replace(",", " ").split()
        assert sorted(set(base) & _SIDES) == sorted(set(told) & _SIDES), (line, said)
        assert bool(set(base) & _DENIALS) == bool(set(told) & (_DENIALS)), (line, said)


@given(_LINE, st.sampled_from(["found", "cause", "risk", "because"]))
def test_a_told_line_keeps_its_things_in_typed_order(line: str, where: str) -> None:
    found = read(line, where)
    if isinstance(found, Meaning) and (said := _said(found, "en")):
        last = 0
        for span in spans(line, where):
            if span.cls in ("thing", "matter") and span.also[:1] and not set(span.also) - {"thing", "matter"}:
                at = said.lower().find(span.base.lower(), last)
                assert at >= 0, (line, said, span.base)
                last = at + len(span.base)


@given(_LINE, _WHERE)
def test_another_language_tells_all_or_nothing(line: str, where: str) -> None:
    found = read(line, where)
    if isinstance(found, Meaning):
        for language in languages():
            if language == "en":
                continue
            said = _said(found, language)
            assert "{" not in said, (line, said)
            assert not set(said.lower().split()) & {"the", "was", "were", "there", "of", "with", "and"}, (line, said)
