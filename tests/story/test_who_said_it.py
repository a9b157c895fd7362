"""Who answered is told by name wherever the name is not the customer's; where nobody knows, nobody is named."""

import pytest
from story_jobs import case_of, sentences, ticket_from

from ticket.story.build import build

LINES = "says: noise\noffer: replace fan belt; est 120\noffer: replace hose; est 40\ntold: "


def told(words: str, customer: str = "Hilltop Council", language: str = "en") -> list[str]:
    """What an answer is told as, and what is still to do."""
    story = build(case_of(ticket_from(f"customer: {customer}\n\n{LINES}{words}")), language=language)
    return [*sentences(story, "later"), *sentences(story, "agreed")]


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ("Neil Garside ext 214, yes 2", "Neil Garside said yes to this by phone: replace the fan belt."),
        ("Neil Garside by phone, no 2", "Neil Garside said no to this by phone."),
        ("Neil Garside, thinks 3", "Neil Garside wants to think about this."),
        ("Neil Garside no answer", "We tried to reach Neil Garside; no answer has come yet."),
        ("left message with Neil", "We left a message for Neil; no answer has come yet."),
        ("Neil Garside, yes 2, deposit 50", "Neil Garside has already paid $50."),
        ("Neil Garside by phone, no charge", "We told Neil Garside by phone that there is no charge for this visit."),
        ("depot by phone, yes 2", "The depot said yes to this by phone: replace the fan belt."),
        ("Neil Garside by text, both prices sent", "We wrote to Neil Garside by text message, with the prices."),
        ("yes 2 (Neil Garside)", "The answer was yes to this: replace the fan belt."),
        ("phoned 01632 960112, spoke w/ Neil, no 2", "The answer to this by phone was no."),
    ],
)
def test_somebody_else_is_never_told_as_you(words: str, sentence: str) -> None:
    lines = told(words)
    assert sentence in lines
    assert not [line for line in lines if line.startswith(("You said", "You want", "You have")) or "with you" in line]


@pytest.mark.parametrize("words", ["Neil Garside by phone, no 2", "Neil, no 2", "by phone, wants it Friday, no 2"])
def test_the_customer_is_told_as_you(words: str) -> None:
    assert any(line.startswith("You said no to this") for line in told(words, customer="Neil Garside"))


def test_in_another_language_an_english_word_for_somebody_is_no_name() -> None:
    lines = told("driver by phone, yes 2", language="es")
    assert "driver" not in " ".join(lines)
    assert any(line.startswith("La respuesta fue sí") for line in lines)
