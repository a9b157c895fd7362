"""No sentence of a Spanish story holds a word of English: what Spanish cannot say wholly is a note under its heading.

Held against the lists of both languages, which know nothing of how a sentence was made: a word that the English lists
hold and no Spanish text does is English. Names of people and firms, codes and signs of units are left out.
"""

import json
import re
from collections.abc import Callable
from functools import cache

import pytest
from story_golden import case_for, jobs
from story_jobs import case_of, generated, ticket_from

from ticket.data import data_folder
from ticket.job.case import Case
from ticket.job.kinds import Fact, Found, Proof, Told
from ticket.job.ticket_document import FORMAT, from_document
from ticket.job.values import Ref
from ticket.language.lexicon import words
from ticket.language.tables import rows
from ticket.readings.measured_groups import groups
from ticket.readings.units import NAMES
from ticket.readings.verdict import judge
from ticket.story.build import build
from ticket.story.sections.files import load
from ticket.story.sentence import NOTE, READERS, Sentence, Story, Val

_WORD = re.compile(r"(?<![\w-])[^\W\d_]{3,}")
_FIGURE = re.compile(r"[0-9](?:[0-9 ,.\u00a0\u202f]*[0-9])?")
_JOBS = {  # lines of every kind whose words or shapes Spanish does not know, or knows only in part
    "readings": "says: it shakes\nfound: flywheel dowel wobble 0.9 mm (max 0.2)\n"
    "found: tyre OSF 3.1 NSF 1.2 mm (min 1.6)\n"
    "found: frobnicator 9 click (4 to 6)\nproof: 3 now 3.0",
    "causes": "says: hot\nruled: exhaust hitting; shook it cold\ncause: likely gnarled frobnicator\n"
    "maybe: loose wotsit at the bung",
    "work": "says: hot\ndid: 1 h r&r frobnicator, blow out drain; rate frames\nused: 2 x bung-strap, new @ 4\n"
    "used: straightening at the works, sublet @ 90\nproof: road test 6 mi, no clunk",
    "waiting": "says: hot\nlater: replace rear pads; do soon; because rotors back ordered; "
    "risk: wheel folds under; watch: grinding; next oil change\n"
    "offer: lap the bung; do now; est 40\nlater: bung; do not drive",
    "talk": "customer: Ada Fenn\n\nsays: quits\ntold: Ada Fenn by phone, not safe to drive, "
    "wheel can come off; yes; total 40\n"
    "told: the owner by pigeon, ok with that",
    "codes": "says: light on\ncode: P0301 frobnicator module, history; at idle in the rain\ncode: none",
    "plain": "says: squeaks\nfound: oil filter and drain plug dry\nfound: rust between hub and disc\n"
    "found: fluid full of bubbles\n"
    "found: voltage drop engine block to negative battery post 1.4 V (max 0.1)",
}  # fmt: skip


def _demo() -> list[Case]:
    loaded = [json.loads(path.read_text(encoding="utf-8")) for path in sorted(data_folder("demo_jobs").glob("*.json"))]
    return [case_of(from_document(one)) for one in loaded if one.get("format") == FORMAT]


SETS: dict[str, Callable[[], list[Case]]] = {
    "demo": _demo,
    "kept": lambda: [case_for(job) for job in jobs()],
    "generated": lambda: [case_of(ticket) for ticket in generated(40)],
    "own": lambda: [case_of(ticket_from(text)) for text in _JOBS.values()],
}


@cache
def _stories(name: str, reader: str, language: str = "es") -> list[tuple[Case, Story]]:
    """The jobs of a set with their stories, which several tests look at and none changes."""
    return [(case, build(case, reader, language)) for case in SETS[name]()]


@cache
def _english() -> frozenset[str]:
    """Words of the English lists that no Spanish text holds."""
    own = " ".join(" ".join(row[2:]) for row in rows("es", "lexicon"))
    own += " ".join(row[3] for row in rows("es", "templates"))
    own += " ".join(text for texts in load("es").catalogue.patterns.values() for text in texts)
    spanish = {word.lower() for word in _WORD.findall(own)} | {name.lower() for name in NAMES}
    return frozenset(word for text in words() for word in text.split() if len(word) > 2) - spanish


def _names(case: Case) -> set[str]:
    held = [case.ticket.header.customer.name]
    for ticket in (case.ticket, *case.earlier):
        held += [entry.fact.who + " " + entry.fact.by for entry in ticket.entries if isinstance(entry.fact, Told)]
    return {word for text in held for word in _WORD.findall(text) if word[0].isupper()}


def _told(story: Story) -> list[Sentence]:
    return [one for section in story.sections for one in section.sentences]


def _figures(story: Story) -> set[tuple[Ref, str, str]]:
    """Every figure that is told of a field of an entry, without what sets thousands apart."""
    told = (part for one in _told(story) for part in one.parts if isinstance(part, Val))
    return {(part.no, part.field, re.sub(r"[^0-9.]", "", one)) for part in told for one in _FIGURE.findall(part.text)}


@pytest.mark.slow
@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("name", SETS)
def test_no_sentence_in_spanish_holds_a_word_of_english(name: str, reader: str) -> None:
    for case, story in _stories(name, reader):
        names = _names(case)
        for one in _told(story):
            english = {word for word in _WORD.findall(one.text) if word.lower() in _english() and word not in names}
            assert one.form == NOTE or not english, one.text


@pytest.mark.slow
@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("name", SETS)
def test_what_stays_english_is_all_english_under_one_heading_a_section(name: str, reader: str) -> None:
    known = load("es").catalogue
    own = {known.text("under.noted"), known.text("under.said")}
    assert all("inglés" in text for text in own)
    for _, story in _stories(name, reader):
        for section in story.sections:
            notes = [one for one in section.sentences if one.form == NOTE]
            assert {one.under for one in notes} <= own
            places = [i for i, one in enumerate(section.sentences) if one.form == NOTE]
            assert places == list(range(places[0], places[0] + len(places))) if places else True
            assert not any(re.search(r"[áéíóúñ]|\b(?:lo|está|para|según|una)\b", one.text) for one in notes)


def _limits_in(fact: Fact) -> set[str]:
    """The figures of the limits whose readings all lie within them."""
    if not isinstance(fact, Found | Proof):
        return set()
    held = [group.run for group in groups(fact) if group.run.limits is not None]
    inside = [run for run in held if all(verdict.word == "in" for verdict in judge(run))]
    return {text for run in inside if run.limits for text in (run.limits.low, run.limits.high) if text}


@pytest.mark.slow
@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("name", SETS)
def test_no_reading_is_lost_in_another_language(name: str, reader: str) -> None:
    """Limits may go: several readings in limits are one sentence without them, where a language has their names."""
    for (case, english_story), (_, story) in zip(_stories(name, reader, "en"), _stories(name, reader), strict=True):
        limits = {(Ref(entry.no), text) for entry in case.ticket.entries for text in _limits_in(entry.fact)}
        english = {(no, figure) for no, field, figure in _figures(english_story) if field == "run"} - limits
        spanish = {(no, figure) for no, _, figure in _figures(story)}
        assert spanish >= english, english - spanish


def test_a_verdict_is_not_lost_with_a_name_that_spanish_lacks() -> None:
    told = [
        one.text.replace("\u00a0", " ")
        for one in _told(build(case_of(ticket_from(_JOBS["readings"])), "customer", "es"))
    ]
    assert any("0.9 mm, lo cual es demasiado alto; lo máximo es 0.2 mm" in text for text in told)
    numbers = [found[1] for text in told if (found := re.match(r"Reading (\d+)\. Flywheel dowel wobble", text))]
    assert len(numbers) == 1
    assert any(text.startswith(f"La medición {numbers[0]}, ") for text in told)


def test_an_item_of_work_and_its_reasons_are_joined_by_their_number() -> None:
    told = [one.text for one in _told(build(case_of(ticket_from(_JOBS["waiting"])), "customer", "es"))]
    assert any(text.startswith("Trabajo") and "pastillas traseras" in text for text in told)
    assert any(re.match(r"Job [0-9]\. Risk: Wheel folds under", text) for text in told)
