"""Text, Markdown and JSON of a story: wrapped, literal, valid against the schema."""

import json
import re

import jsonschema
import pytest
from markdown_it import MarkdownIt
from story_golden import case_for, jobs
from story_jobs import told_of

from support.schemas import validate
from ticket.data import data_folder
from ticket.papers.markdown import as_markdown, escaped
from ticket.papers.plain_text import as_text
from ticket.story.build import build
from ticket.story.document import to_document
from ticket.story.sentence import READERS, Story

SCHEMA = json.loads((data_folder("schemas") / "story.json").read_text(encoding="utf-8"))
_FLAT = ("heading", "inline", "paragraph", "bullet_list", "list_item")
EVIL = "says: **bold** <script>x</script> [a](http://b.example) # no | `code` _it_ \x1b[31mred"


@pytest.mark.slow
@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("job", jobs())
def test_the_document_of_every_kept_story_is_valid(job: str, reader: str) -> None:
    validate(to_document(build(case_for(job), reader)), SCHEMA)


def test_the_schema_refuses_a_sentence_without_a_source() -> None:
    document = to_document(told_of("says: hums"))
    document["sections"][0]["sentences"][0]["sources"] = []
    with pytest.raises(jsonschema.ValidationError):
        validate(document, SCHEMA)


@pytest.mark.parametrize("width", [20, 40, 80, 200])
def test_no_line_is_wider_than_asked(width: int) -> None:
    for line in as_text(build(case_for("06-truck-boost")), width, sources=True).split("\n"):
        assert len(line) <= width


@pytest.mark.slow
def test_a_figure_stays_with_its_unit() -> None:
    for width in range(30, 90):
        text = as_text(build(case_for("01-brakes")), width)
        assert not re.search(r"[0-9]\n +(mm|psi)\b", text)


def test_deferred_items_are_a_list_in_both_papers() -> None:
    story = build(case_for("07-service-declined"))
    text, paper = (made.partition("Still to do")[2].partition("What you agreed to")[0] for made in _papers(story))
    assert text.count("\n  - ") == 3
    assert paper.count("\n- ") == 3


def test_notes_are_a_list_under_their_own_line_in_both_papers() -> None:
    text, paper = _papers(build(case_for("07-service-declined")))
    note = "Upper radiator hose slightly swollen near clamp, dry."
    assert f"  In the technician’s words:\n  - {note}\n" in text
    assert f"*In the technician’s words:*\n\n- {note}\n" in paper


def _papers(story: Story) -> tuple[str, str]:
    return as_text(story), as_markdown(story)


def test_the_customers_copy_hides_the_sources_unless_asked() -> None:
    story = build(case_for("02-charging"))
    assert "[" not in as_text(story)
    assert "[14, 6]" in as_text(story, sources=True)
    assert "\\[14, 6\\]" in as_markdown(story, sources=True)


def test_markup_of_a_typed_text_prints_literally() -> None:
    paper = as_markdown(told_of(EVIL))
    body = paper.split("\n\n", 1)[1]
    assert not re.search(r"(?<!\\)[*_`<>\[\]|]", body)
    assert "https://" not in body.replace("\\", "")
    assert "\x1b" not in paper
    assert "␛" in paper


@pytest.mark.parametrize(
    "text", ["- item", "* item", "1. one", "1) one", "+ plus", "=====", "---", "# head", "> quote", "    code"]
)
@pytest.mark.parametrize("kind", ["found", "did", "cause", "says"])
def test_what_was_typed_never_opens_a_block(kind: str, text: str) -> None:
    """As CommonMark reads it (markdown-it-py): headings, and paragraphs that stand alone or in one flat list."""
    paper = as_markdown(told_of(f"says: hums\n{kind}: {text}"))
    depth = 0
    for token in MarkdownIt("commonmark").parse(paper):
        assert token.type.removesuffix("_open").removesuffix("_close") in _FLAT, f"{token.type}: {paper}"
        depth += (token.type == "bullet_list_open") - (token.type == "bullet_list_close")
        assert depth <= 1
        assert token.type != "heading_open" or token.tag in ("h2", "h3")


@pytest.mark.parametrize("text", ["a\nb", "\t", "\u202e", "\x00\x07", "", "&amp;", "<b>", "a" * 5000])
def test_escaping_is_total(text: str) -> None:
    assert "\n" not in escaped(text)


@pytest.mark.parametrize("reader", READERS)
def test_an_empty_ticket_makes_a_paper(reader: str) -> None:
    story = told_of("", reader=reader)
    titles = [section.title for section in story.sections]
    assert titles == (["Not recorded"] if reader == "payer" else [])
    assert as_text(story).endswith("\n")
    assert json.dumps(to_document(story))


@pytest.mark.parametrize(
    ("contact", "gone"),
    [
        ("told: Ada Fenn by phone, yes; at 9:05", "who took the approval"),
        ("told: Ada Fenn by phone, yes", "time of the approval and who took it"),
    ],
)
def test_what_stands_on_the_ticket_is_not_called_missing(contact: str, gone: str) -> None:
    text = " ".join(as_text(told_of(contact, reader="payer")).split())
    assert gone in text
    assert ("time of the approval" in text) == ("at 9:05" not in contact)
