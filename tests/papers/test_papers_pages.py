"""HTML and Markdown of a copy, read back by independent parsers: html5lib in strict mode, and markdown-it-py."""

import re
from itertools import pairwise

import html5lib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from papers_cases import COVERED, demo, full_of, long_job, sheet_of, texts_of

from support.tickets import tickets
from ticket.job.text import one_line
from ticket.papers.formats import written
from ticket.papers.html import sheet_html
from ticket.papers.markdown import sheet_markdown
from ticket.papers.markup import literal
from ticket.papers.sheet import Block, Facts, Sheet, Signatures
from ticket.story.sentence import READERS

HTML = "{http://www.w3.org/1999/xhtml}"
OURS = frozenset(
    "html head meta title style body header main div p h1 h2 h3 h4 dl dt dd ul li span small a b table caption thead "
    "tbody tr th td details summary".split()
)
# What Unicode 23.7 calls no characters: markup may not hold them.
_NO_CHARACTER = re.compile(
    f"[\ufdd0-\ufdef{''.join(chr(plane + last) for plane in range(0, 0x110000, 0x10000) for last in (0xFFFE, 0xFFFF))}]"
)
HOSTILE = (
    "<script>alert(1)</script> <img src=x onerror=a> </style></title></table> &amp; &lt; <!-- --> ]]>",
    "**bold** [a](http://b.example) ![x](y) `code` | pipe | # head ~~no~~ https://c.example <b>x</b> \\ *",
    "\x1b[31mred\x07 a\u202eb\u2066c\u200fd\ufeff \x85 \u2028 \x00 \ufdd0 \U0001fffe",
    "1. one\n- two\n# three\n> four\n\n    code\n***\n| a | b |\n|---|---|",
    "x" * 10_000,
    "a “long” remark with 'quotes', \"more\" and words " * 208,
)


def page(html: str) -> "html5lib.treebuilders.etree.Element":
    """The page as html5lib reads it; the first thing the standard forbids is an error."""
    return html5lib.HTMLParser(strict=True).parse(html)


def squeezed(text: str) -> str:
    """A text without its white space."""
    return re.sub(r"\s", "", text)


def shown(text: str) -> str:
    """What a page shows of a text: on one line, code points that are no characters as U+FFFD."""
    return _NO_CHARACTER.sub("\ufffd", one_line(text))


def expected(blocks: tuple[Block, ...]) -> str:
    return squeezed("".join(shown(text) for text in texts_of(blocks)))


def body_text(html: str) -> str:
    return squeezed("".join(page(html).find(f".//{HTML}main").itertext()))


@pytest.mark.slow
@pytest.mark.parametrize(
    ("text", "reader"),
    [(text, reader) for text in HOSTILE for reader in READERS if len(text) < 1000 or reader == "payer"],
    ids=lambda value: repr(value[:10]),
)
def test_hostile_text_is_literal_on_a_page_and_opens_no_element(text: str, reader: str) -> None:
    sheet = sheet_of(full_of(text), reader)
    html = sheet_html(sheet)
    tree = page(html)
    assert {node.tag.removeprefix(HTML) for node in tree.iter()} <= OURS
    assert body_text(html) == expected(sheet.blocks)
    assert not re.search("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2066-\u2069\ufeff]", html)


@pytest.mark.parametrize("size", ["Letter", "A4"])
def test_a_page_needs_nothing_from_outside_and_runs_nothing(size: str) -> None:
    from dataclasses import replace

    html = sheet_html(replace(sheet_of(demo(1020), "payer", sources=True), size=size))
    tree = page(html)
    links = [value for node in tree.iter() for name, value in node.items() if name in ("href", "src", "action")]
    assert links
    assert all(link.startswith("#") for link in links)
    assert not [name for node in tree.iter() for name, _ in node.items() if name.startswith("on") or name == "style"]
    policy = next(node.get("content") for node in tree.iter(f"{HTML}meta") if node.get("http-equiv"))
    assert "default-src 'none'" in policy
    style = next(tree.iter(f"{HTML}style")).text
    assert not re.search(r"url\(|@import|expression", style)
    assert f"size: {size.lower()};" in style
    assert tree.get("lang") == "en"


def test_the_style_sheet_of_a_page_is_the_one_its_policy_allows() -> None:
    from base64 import b64encode
    from hashlib import sha256  # Content Security Policy Level 3, section 6.7.3.3: the digest of the element's text

    tree = page(sheet_html(sheet_of(full_of("</style><script>x</script> \"'\\"))))
    style = next(tree.iter(f"{HTML}style")).text
    policy = next(node.get("content") for node in tree.iter(f"{HTML}meta") if node.get("http-equiv"))
    assert f"'sha256-{b64encode(sha256(style.encode()).digest()).decode()}'" in policy


def test_tables_of_a_page_name_themselves_their_columns_and_their_rows() -> None:
    tree = page(sheet_html(sheet_of(long_job(), "payer", terms=COVERED)))
    tables = list(tree.iter(f"{HTML}table"))
    assert len(tables) >= 3
    for table in tables:
        assert table[0].tag == f"{HTML}caption"
        columns = list(table.find(f"{HTML}thead").iter(f"{HTML}th"))
        assert all(th.get("scope") == "col" for th in columns)
        for row in (row for body in table.iter(f"{HTML}tbody") for row in body):
            assert sum(int(cell.get("colspan", "1")) for cell in row) == len(columns)
            assert row[0].get("scope") == "row"
    levels = [int(node.tag[-1]) for node in tree.iter() if re.fullmatch(r".*\}h[1-6]", node.tag)]
    assert levels[0] == 1
    assert all(b - a <= 1 for a, b in pairwise(levels))


@settings(max_examples=10)
@given(tickets(), st.sampled_from(READERS))
def test_sentences_and_what_they_rest_on_lead_to_each_other(ticket: object, reader: str) -> None:
    tree = page(sheet_html(sheet_of(ticket, reader, sources=True)))  # type: ignore[arg-type]
    named = [node.get("id") for node in tree.iter() if node.get("id")]
    assert len(named) == len(set(named))
    there: set[tuple[str, str]] = set()
    back: set[tuple[str, str]] = set()
    parents = {child: parent for parent in tree.iter() for child in parent}
    for link in tree.iter(f"{HTML}a"):
        target = link.get("href").removeprefix("#")
        assert target in named
        if target.startswith("e-"):
            note = parents[link]
            if parents[note].tag == f"{HTML}td":  # a line of what was measured: its name opens the row
                sentence = parents[parents[note]][0]
            else:
                siblings = list(parents[note])
                sentence = siblings[siblings.index(note) - 1]
            there.add((sentence.get("id"), target))
        else:
            back.add((target, parents[parents[link]].get("id")))
    assert there == back
    assert there or not [node for node in tree.iter(f"{HTML}span") if (node.get("id") or "").startswith("s-")]


def test_the_customers_page_shows_no_entries_unless_asked() -> None:
    assert "<details" not in sheet_html(sheet_of(demo(1020)))
    assert "<details" in sheet_html(sheet_of(demo(1020), sources=True))


def markdown_text(sheet: Sheet) -> tuple[str, set[str]]:
    """What a reader of the rendered Markdown sees below the title, and the elements it is made of."""
    html = MarkdownIt("commonmark").enable("table").enable("strikethrough").render(sheet_markdown(sheet))
    tree = html5lib.HTMLParser(strict=True).parseFragment(_NO_CHARACTER.sub("\ufffd", html))
    text = squeezed("".join(tree.itertext()))
    return text, {str(node.tag).removeprefix(HTML) for node in tree.iter()} - {"DOCUMENT_FRAGMENT"}


def as_marked(block: Block) -> str:
    """The text of a block with the few signs Markdown adds to it."""
    if isinstance(block, Facts):
        return "".join(f"{shown(name)}:{shown(value)}" for name, value in block.pairs)
    if isinstance(block, Signatures):
        return "".join(f"{'_' * 30}{name}" for name in block.names)
    return expected((block,))


@pytest.mark.parametrize("text", HOSTILE, ids=lambda text: repr(text[:10]))
def test_hostile_text_is_literal_in_markdown(text: str) -> None:
    sheet = sheet_of(full_of(text))
    read, elements = markdown_text(sheet)
    marks = "h1 h2 h3 p br ul li strong em table thead tbody tr th td blockquote"
    assert elements <= set(marks.split())
    assert read.endswith(squeezed("".join(map(as_marked, sheet.blocks))))


@given(st.text(max_size=40))
def test_no_text_leaves_its_element(text: str) -> None:
    tree = html5lib.HTMLParser(strict=True).parseFragment(f"<p>{literal(text)}</p>")
    assert len(list(tree.iter())) == 2
    assert "".join(tree.itertext()) == shown(text)


def test_the_same_ticket_gives_the_same_page() -> None:
    for form in ("text", "markdown", "html"):
        one, other = (written(sheet_of(long_job(), "payer", sources=True), form) for _ in range(2))
        assert one == other
