"""Any text gives drafts, in time that grows with its length and no faster."""

import gc
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.facts import PIECES
from ticket.job.kinds import KINDS, Code, Found, Note, Says
from ticket.notes.finding.stated import Walked
from ticket.notes.finding.strays import find_strays
from ticket.notes.read import LONGEST, read
from ticket.notes.write import write

PIECE_LINES = st.lists(st.sampled_from(PIECES) | st.text(max_size=4), max_size=12).map("".join)
EVIL = (
    "1 ", "1V", "1 V ", "= 1 ", "= LF ", "LF 1 ", "LF inner 1, ", "L 4 R ", "cyl 1 2 3 psi ", "1 in Hg ",
    "1 V (min 2) ", "1 V (1", "no 1 V, ", "(", "()", "((1", '"', ' "', '"a" ', '\\"', "; ", "; because a", "; by a",
    "; may wait", "; est 3x", "; in 3 km or ", "for 3 ", "3/", "1 1/2 ", "1,5 L ", ",", "a, ", "yes 7, ",
    "by phone ", "at 14:10 ", "P0300 ", "P0300,", "stored, ", "# ", "A+", "A+B ", "@ 1 ", "12:30-13:30, ", " ",
    "\u2028", "whichever ", "per ", "spread ", "1 to ", "٣", "², ",
)  # fmt: skip


@given(st.text() | PIECE_LINES | st.text(alphabet='0123456789 ./,-+()=;:"\\#@LFVm\n', max_size=80), st.booleans())
def test_any_text_reads_and_nothing_typed_is_lost(text: str, live: bool) -> None:
    drafts = read(text, people=("Kay",), rates=("engine",), live=live)
    kept = [draft.line for draft in drafts if not isinstance(draft.fact, Code)]
    lines = text.replace("\r\n", "\n").replace("\r", "\n").replace("\0", "\u2400").split("\n")
    written = [line for line in lines if line.strip()]
    assert [line for line in written if line in kept or any(draft.line == line for draft in drafts)] == written
    for draft in drafts:
        assert draft.line.strip()
        for remark in draft.remarks:
            assert 0 <= remark.start <= remark.end <= len(draft.line)
            assert remark.text[-1] in ".?"


def test_blank_lines_are_nothing_and_only_line_feeds_part_lines() -> None:
    assert read("") == read(" \n\t\n") == ()
    drafts = read("says: a\u2028b\x85c\r\nfound: d\re")
    assert [draft.fact for draft in drafts] == [Says(text="a\u2028b\x85c"), Found(what="d"), Found(what="e")]


def test_what_cannot_be_kept_is_replaced_and_said() -> None:
    (draft,) = read("found: a\0b\ud800c")
    assert draft.fact == Found(what="a\u2400b\ufffdc")
    assert [(remark.start, remark.end) for remark in draft.remarks] == [(8, 9)]


@pytest.mark.parametrize("lead", [*(f"{kind}: " for kind in KINDS), "", "# ", "B+C found: ", "f: "])
def test_a_line_too_long_to_look_into_is_kept_as_text(lead: str) -> None:
    text = "12 V (min 3); for 3, P0300 yes 7 " * 2500
    (draft,) = read(lead + text)
    assert text.strip() in (getattr(draft.fact, name, "") for name in ("text", "what", "words", "code", "picture"))
    assert len(lead + text) > LONGEST
    assert "longer than" in draft.remarks[-1].text
    (again,) = read(write(draft.fact, concern=draft.concern, shop_only=draft.shop_only))
    assert again.fact == draft.fact or draft.fact.kind == "told"  # whose words need a span, for which there is no room


def _seconds(text: str) -> float:
    gc.disable()  # what other tests left in memory would be looked through, the more often the longer the text is
    try:
        start = time.process_time()
        read(text, people=("Kay", "Bo Karst"), rates=("engine",))
        return time.process_time() - start
    finally:
        gc.enable()


def _grows_too_fast(short: str, long: str) -> bool:
    taken = _seconds(long)
    return taken > 8 * 0.015 and taken > 8 * _seconds(short)  # where it is quick, the short one need not be timed


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["found", "proof", "later", "did", "used", "told", "code", "says"])
def test_time_grows_with_the_length_and_no_faster(kind: str) -> None:
    """Four times the length takes about four times as long; a quadratic rule takes sixteen times."""
    for evil in EVIL:
        short, long = (f"{kind}: x {evil * (size // len(evil))}"[:size] for size in (16384, LONGEST))
        assert not all(_grows_too_fast(short, long) for _ in range(4)), evil  # once in four may be the machine


def test_what_is_too_long_for_one_finding_states_nothing_and_is_asked_about() -> None:
    (long,), (longer,) = read("cells " + "1.2 " * 150 + "V"), read("cells " + "1.2 " * 250 + "V")
    assert isinstance(long.fact, Found)
    assert len(long.fact.measurements) == 150
    assert isinstance(longer.fact, Found)
    assert not longer.fact.measurements
    assert [remark.state for remark in longer.remarks] == ["unread"]


def test_a_hash_without_a_space_is_no_mark() -> None:
    hidden, shown = read("# 3 cylinder misfire\n#3 cylinder misfire")
    assert (hidden.fact, hidden.shop_only) == (Note(text="3 cylinder misfire"), True)
    assert (shown.fact, shown.shop_only) == (Found(what="#3 cylinder misfire"), False)


def test_a_row_of_like_amounts_is_each_condition_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each takes over the conditions of the one before it: told again each time they treble."""
    from ticket.notes.finding import statement

    seen: list[int] = []

    def find(done: Walked) -> None:
        find_strays(done)
        seen.extend(len(reading.when) for reading in done.readings)

    monkeypatch.setattr(statement, "find_strays", find)
    for count in (4, 6):
        read(f"found: tire tread LF{' 6F' * count} 6/42 RF 7/46 in (min 2/32)", live=True)
    assert seen
    assert 1 < max(seen) <= 10
