"""A paper in Spanish says of each English list item in which language it is (HTML, global attribute ``lang``)."""

import re

from papers_cases import contents_for

from support.tickets import ticket_of
from ticket.papers.copy import copy
from ticket.papers.html import sheet_html

LINES = [
    "says: clunk",
    "found: gnarled frobnicator hums",
    "found: hose wet at its crimp",
    "later: lap the bung; do now",
]


def _page(language: str) -> str:

    return sheet_html(copy(contents_for(ticket_of(LINES, customer="Ada Fenn"), "customer", language=language)))


def test_english_items_of_a_spanish_paper_are_marked_as_english() -> None:
    page = _page("es")
    assert '<html lang="es"' in page
    for words in ("Gnarled frobnicator hums", "Clunk", "Lap the bung"):
        assert re.search(rf'<li lang="en">(?:(?!</li>).)*{words}', page), words
    assert not re.search(r'lang="en">(?:(?!</span>).)*manguera', page)


def test_an_english_paper_marks_nothing() -> None:
    assert 'lang="en">Gnarled' not in _page("en")
    assert _page("en").count('lang="') == 1
