"""A phrasebook as a PO file: what is written comes back, another reader reads the same, a wrong entry refuses the file.

``polib`` (an independent reader of gettext files) is asked where it is there; Babel's own reader always is.
"""

import io
from datetime import UTC, datetime

import pytest
from babel.messages.pofile import read_po
from hypothesis import given
from hypothesis import strategies as st

from ticket.job.book_entry import BookEntry
from ticket.job.errors import InputError
from ticket.language.po import read_book, write_book
from ticket.language.slots import flaw, tidied

AT = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
GROWLS = BookEntry("en", "clause", "found", "{thing} growls", "{thing} growled", by="Ann Vale", at=AT, ticket=31)
SWIVEL = BookEntry("en", "word", "thing", "swivel", "swivel", plural="swivels", told_plural="swivels", state="waiting")
GRATE = BookEntry("en", "word", "doing", "grate", "grate", past="grated")


def test_the_file_is_what_gettext_tools_know() -> None:
    text = write_book([GROWLS, SWIVEL], "en", AT)
    assert '#. taken by Ann Vale, 2 March 2026, ticket 31\nmsgctxt "found|clause"\nmsgid "{thing} growls"\n' in text
    assert '#, fuzzy\nmsgctxt "thing|word"\nmsgid "swivel"\nmsgid_plural "swivels"\n' in text
    assert '"Language: en\\n"' in text


def test_what_is_written_comes_back_with_where_it_comes_from() -> None:
    one, two, three = read_book(write_book([GROWLS, SWIVEL, GRATE], "en", AT), "b.po")
    assert (one.bare, one.origin, one.state) == (GROWLS.bare, "taken by Ann Vale, 2 March 2026, ticket 31", "kept")
    assert {(o.typed, o.plural, o.past, o.state) for o in (two, three)} == {
        ("swivel", "swivels", "", "waiting"), ("grate", "", "grated", "kept"),
    }  # fmt: skip


def test_what_was_taken_back_is_not_handed_on() -> None:
    from dataclasses import replace

    assert read_book(write_book([replace(GROWLS, state="back"), GRATE], "en", AT), "b.po")[0].typed == "grate"


SPANISH = BookEntry("es", "word", "thing", "swivel", "pivote", plural="swivels", told_plural="pivotes", gender="m")


def test_a_language_with_more_plurals_than_two_keeps_both_forms() -> None:
    (back,) = read_book(write_book([SPANISH], "es", AT), "b.po")
    assert back.bare == SPANISH


WORDS = st.text(st.characters(blacklist_categories=("Cs", "Cc", "Cf", "Zl", "Zp")), min_size=1, max_size=30)


@given(st.lists(st.tuples(WORDS, WORDS, st.booleans()), max_size=8))
def test_any_entries_come_back_from_their_file(texts: list[tuple[str, str, bool]]) -> None:
    made = [
        tidied(BookEntry("en", "clause", "found", f"{typed} {{thing}} qx", f"{{thing}} {told} qx",
                         state="waiting" if waits else "kept"))
        for typed, told, waits in texts
    ]  # fmt: skip
    good = {one.typed: one for one in made[::-1] if not flaw(one)}
    text = write_book(good.values(), "en", AT)
    assert {one.typed: one for one in read_book(text, "b.po")} == good
    catalog = read_po(io.BytesIO(text.encode()))
    assert {m.id: m.string for m in catalog if m.id} == {one.typed: one.told for one in good.values()}


def test_another_reader_reads_the_same() -> None:
    polib = pytest.importorskip("polib")
    read = polib.pofile(write_book([GROWLS, SWIVEL, GRATE], "en", AT))
    found = {(e.msgctxt, e.msgid, e.msgstr or e.msgstr_plural[0], "fuzzy" in e.flags) for e in read}
    assert found == {
        ("found|clause", "{thing} growls", "{thing} growled", False), ("thing|word", "swivel", "swivel", True),
        ("doing|word", "grate", "grate", False),
    }  # fmt: skip
    read.wrapwidth = 20  # another tool wraps its lines and writes them anew
    assert {one.typed for one in read_book(str(read), "b.po")} == {"{thing} growls", "swivel", "grate"}


GOOD = write_book([GROWLS, GRATE], "en", AT)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (GOOD.replace("growled", "growled {n}"), "line 19: each place stands once"),
        (GOOD.replace("growled", "growled at 3 bar"), "line 19: the wording says 3"),
        (GOOD.replace("found|clause", "seen|clause"), "line 19: its msgctxt is no kind and size"),
        (GOOD.replace("msgctxt", "msgcontext", 1), "it is no PO file there"),
        (GOOD + GOOD[GOOD.index("#. taken") :], "stands there a second time"),
        (GOOD.replace('"Language: en\\n"\n', ""), "names no Language"),
        (GOOD.replace("Language: en", "Language: tlh"), "no language 'tlh'"),
        ("not a catalogue", "it is no PO file there"),
        ('msgid "x', "PO file"),
        ("", "names no Language"),
    ],
)
def test_a_file_with_one_wrong_entry_is_refused_whole_with_its_line(text: str, says: str) -> None:
    with pytest.raises(InputError) as refused:
        read_book(text, "theirs.po")
    assert str(refused.value).startswith("theirs.po")
    assert says in str(refused.value)
    assert str(refused.value).endswith("nothing was taken in.")


def answer(text: str) -> str:
    try:
        return str(len(read_book(text, "b.po")))
    except InputError as error:
        return str(error)


@given(st.text(max_size=200), st.integers(0, len(GOOD)))
def test_no_file_is_too_hostile_to_be_answered_in_one_sentence(noise: str, at: int) -> None:
    for text in (noise, GOOD[:at] + noise + GOOD[at:]):
        assert "\n" not in answer(text)
