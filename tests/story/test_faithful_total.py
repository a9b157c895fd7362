"""The judge takes any text over any entries, in time that grows with the text and no faster."""

import time
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.faithful import check
from support.tickets import tickets
from ticket.job.entry import Entry
from ticket.job.kinds import Did, Fact, Found, Later, Maybe, Ruled, Told, Used
from ticket.job.ticket import Ticket

_AT = datetime(2026, 3, 2, tzinfo=UTC)
_SAID = st.lists(
    st.sampled_from(
        "we replaced the left front pad was not 12.3 V , too low ; again because you said yes all never ( ) “ ” . "
        "3 1/2 P0300-11 4410-77 $5 March 2, new still down from may both have not one of which is within limits".split()
    )
    | st.text(max_size=8),
    max_size=40,
).map(" ".join)


@given(tickets(), _SAID | st.text(max_size=300), st.sampled_from(["customer", "payer", "shop"]), st.data())
def test_any_text_over_any_entries_gives_findings_with_their_places(
    ticket: Ticket, text: str, reader: str, data: st.DataObject
) -> None:
    cited = data.draw(st.lists(st.sampled_from(ticket.entries), max_size=4, unique_by=lambda entry: entry.no))
    for finding in check(text, cited, reader=reader, ticket=ticket):
        assert 0 <= finding.start <= finding.end <= len(text.replace("\r\n", "\n"))
        assert finding.rule[0] == "F"
        assert 1 <= int(finding.rule[1:]) <= 27


def _entries(text: str) -> list[Entry]:
    facts: tuple[Fact, ...] = (
        Found(what=text), Maybe(text=text), Ruled(text=text, reason=text), Did(text=text), Used(text=text),
        Later(text=text, risk=f"may {text}"), Told(who="Ada", words=text),
    )  # fmt: skip
    return [Entry(no, fact, "Bo", _AT) for no, fact in enumerate(facts, 1)]


PIECES = (
    "never ", "because ", "we replaced ", "left front pad ", "“", "“a” ", "(", "not ", "all ", "12 V 13 mm ", "1 ",
    "$5 ", "two ", "may ", "too low ", "a", "4410-77 ", "again ", "you said yes ", "Both ", "we ", "5 in ", "٣ ",
    "it was not. it may be. ", "\u202e", "\ud800", "; ",
)  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("piece", PIECES)
def test_time_grows_with_the_text(piece: str) -> None:
    """16 times the text may take 16 times as long, with room for a busy machine; squared would be 256 times."""

    def seconds(length: int) -> float:
        text = piece * (length // len(piece))
        sources = [*_entries("fan motor seized"), *_entries(text)]
        start = time.process_time()
        check(text, sources)
        return time.process_time() - start

    assert seconds(8_000) < max(3.0, 160 * min(seconds(500) for _ in range(2)))
