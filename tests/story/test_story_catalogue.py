"""The catalogue and the word lists: no figures in patterns, every pattern used, lists that agree with a dictionary."""

import re
from pathlib import Path

import pytest

import ticket.story
from ticket.language.forms import a_or_an, gerund, listed, number_word, plural, regular_past
from ticket.language.lexicon import words
from ticket.story.cautions import cautions
from ticket.story.glossing import glossary
from ticket.story.sections.catalogue import english

SOURCES = "\n".join(
    path.read_text(encoding="utf-8") for path in sorted(Path(ticket.story.__file__).parent.glob("**/*.py"))
)
# Count words, months and weekdays come from entries, never from the catalogue; "one" may be a pronoun.
FORBIDDEN = re.compile(
    r"\b(two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|both|half|twice|dozen|couple|january|february|march|april"
    r"|june|july|august|september|october|november|december|monday|tuesday|wednesday|thursday|friday|saturday|sunday)\b"
)
TEXTS = [(name, text) for name, variants in english().patterns.items() for text in variants]


@pytest.mark.parametrize(("name", "text"), TEXTS, ids=[f"{name}-{i}" for i, (name, _) in enumerate(TEXTS)])
def test_a_pattern_holds_no_figure_and_no_count(name: str, text: str) -> None:
    bare = re.sub(r"\{[a-z0-9]+\}", "", text).lower()
    assert not re.search(r"[0-9]", bare)
    assert not FORBIDDEN.search(bare)


def test_every_pattern_is_used() -> None:
    named = set(re.findall(r'"([a-z]+(?:\.[a-z ]+)*)"', SOURCES))
    # Names that are put together: by quantity, verdict, payer, status, answer, section.
    put_together = re.compile(
        r"(title|verdict|full|row|span|form|noun|brief|names|pays|payer|code|short|way|again|balance|later|told|earlier|limit"
        r"|proof|seen|t|offer|reading|run|line|gone|label|when|used|cause|code|level|value|caution|earlier|balance|maybe|did|ruled|ban|within|under|clauses)\b|t\.|\w+\|"
    )
    assert [name for name in english().patterns if name not in named and not put_together.match(name)] == []


def test_every_caution_defers_and_states_no_event() -> None:
    for caution in cautions():
        assert not re.search(r"\b(was|were|had|did)\b", caution.customer), caution.id
        assert caution.standing in ("C", "S", "M")
        assert caution.source


def test_sides_are_sides_and_nothing_else() -> None:
    for side in ("left", "right"):
        assert {word.cls for word in words()[side]} == {"side"}


def test_every_term_of_the_glossary_is_explained_without_a_figure() -> None:
    assert len(glossary()) > 20
    assert [term.term for term in glossary().values() if not term.gloss or re.search("[0-9]", term.gloss)] == []


# Forms of English as any dictionary gives them (from memory, common words).
@pytest.mark.parametrize(
    ("base", "past", "ing"),
    [
        ("clip", "clipped", "clipping"), ("weld", "welded", "welding"), ("tighten", "tightened", "tightening"),
        ("replace", "replaced", "replacing"), ("dry", "dried", "drying"), ("top", "topped", "topping"),
        ("solder", "soldered", "soldering"), ("clean", "cleaned", "cleaning"), ("plug", "plugged", "plugging"),
    ],
)  # fmt: skip
def test_verb_forms(base: str, past: str, ing: str) -> None:
    assert (regular_past(base), gerund(base)) == (past, ing)


@pytest.mark.parametrize(
    ("words", "article"),
    [
        ("hose", "a"), ("old hose", "an"), ("EGR valve", "an"), ("LED lamp", "an"), ("UV lamp", "a"), ("USB port", "a"),
        ("hour", "an"), ("used part", "a"), ("O-ring", "an"), ("8-bolt hub", "an"), ("12-volt pump", "a"),
        ("unit", "a"), ("oil leak", "an"), ("one-way valve", "a"),
    ],
)  # fmt: skip
def test_a_and_an_go_by_sound(words: str, article: str) -> None:
    assert a_or_an(words) == article


def test_lists_and_numbers() -> None:
    assert listed(["a"]) == "a"
    assert listed(["a", "b"]) == "a and b"
    assert listed(["a", "b", "c"]) == "a, b, and c"
    assert [number_word(n) for n in (1, 12, 13)] == ["one", "twelve", "13"]
    assert [plural(word) for word in ("bush", "battery", "hose", "key", "box")] == [
        "bushes", "batteries", "hoses", "keys", "boxes",
    ]  # fmt: skip
