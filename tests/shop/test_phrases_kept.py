"""A wording taken on one ticket, kept in the shop's book, told later, taken back; signed tickets keep theirs."""

import json
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from support.clock import Clock
from ticket.assist.suggestions import Asked, Command, Offered, offers
from ticket.job.errors import ConflictError, InputError, NotFoundError
from ticket.language.book import book_of
from ticket.language.spans import spans
from ticket.shop import wordings
from ticket.shop.changing import add_lines, new_ticket, strike_entry
from ticket.shop.opening import Shop, set_setting
from ticket.shop.reading import case_of, open_gaps, story_of, ticket_of
from ticket.shop.signed_under import book_for
from ticket.shop.wordings import sources, waiting
from ticket.story.noted import notes

LINES = """
says: brakes growl
found: gov cuts out 118 psi
found: hub zorbel worn
found: oil level low
did: 1.2 h caged & changed LR 30/30 can, adj slack
"""


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    with Shop.open(tmp_path / "shop.db", "Mo Vale", now=Clock()) as opened:
        number = new_ticket(opened)
        add_lines(opened, number, LINES)
        yield opened


def told(shop: Shop, number: int = 1) -> str:
    return " ".join(sentence.text for section in story_of(shop, number).sections for sentence in section.sentences)


def booked(shop: Shop, number: int, line: str, language: str = "en") -> str | None:
    """What the book of a ticket has for a finding."""
    found = book_of(case_of(shop, number).book, language).match(spans(line), "found", "en")
    return found.told if found else None


def test_what_waits_stands_worst_first_with_the_line_as_typed(shop: Shop) -> None:
    add_lines(shop, 1, "cause: sticky frobnik in gov")
    add_lines(shop, 1, "later: replace zorbel; do now; because zorbels fretted")
    found = waiting(shop)
    assert found[0].note.no == 7
    kinds = [one.note.where for one in found if one.note.no != 7]
    assert kinds == ["cause", "did", "found", "found"]
    assert found[-1].note.unlisted == ("zorbel",), "unlisted words last"
    assert next(one.note for one in found if one.note.no == 2).line == "gov cuts out 118 psi"
    assert [one.note.unlisted for one in found if one.note.no == 3] == [("zorbel",)]
    assert waiting(shop, 1) == found
    with pytest.raises(NotFoundError):
        waiting(shop, 9)


def test_a_wording_is_told_on_its_ticket_and_kept_only_when_asked(shop: Shop) -> None:
    taken = wordings.take(shop, 1, 2, "The governor cut out at 118 psi.", unproved=True)
    assert taken.kept is None
    assert "The governor cut out at 118 psi." in told(shop)
    assert shop.book.entries == ()
    assert booked(shop, 1, "gov cuts out 118 psi") is None


def test_a_kept_wording_fits_later_lines_with_other_figures_and_things(shop: Shop) -> None:
    taken = wordings.take(shop, 1, 2, "The governor cut out at 118 psi.", size="clause", unproved=True)
    assert taken.kept is not None
    assert (taken.kept.typed, taken.kept.told, taken.kept.by, taken.kept.ticket) == (
        "{thing} cuts out {n}", "{thing} cut out at {n}", "Mo Vale", 1,
    )  # fmt: skip
    assert booked(shop, 1, "air compressor cuts out 9 bar") == "the air compressor cut out at 9\u00a0bar"
    assert shop.store.audit(deep=True).ok


def test_what_the_judge_refuses_is_neither_told_nor_kept(shop: Shop) -> None:
    for wording in ("The governor cut out at 119 psi.", "The left governor cut out at 118 psi."):
        with pytest.raises(InputError):
            wordings.take(shop, 1, 2, wording, size="clause")
    assert shop.book.entries == ()
    assert ticket_of(shop, 1).rewordings == ()


def test_a_note_that_is_not_there_is_named(shop: Shop) -> None:
    with pytest.raises(NotFoundError, match="ticket phrases 1 lists its notes"):
        wordings.take(shop, 1, 4, "The oil level was low.")


def test_of_two_wordings_of_one_phrase_the_second_waits_for_the_first_to_be_taken_back(shop: Shop) -> None:
    wordings.take(shop, 1, 2, "The governor cut out at 118 psi.", size="clause", unproved=True)
    other = new_ticket(shop)
    add_lines(shop, other, "says: slow\nfound: gov cuts out 120 psi")
    with pytest.raises(NotFoundError):
        wordings.take(shop, other, 2, "The governor stopped at 120 psi.", size="clause")  # the book tells it
    assert "The governor cut out at 120" in told(shop, other)
    rival = replace(shop.book.entries[0], told="{thing} stopped at {n}")
    with pytest.raises(ConflictError, match="take entry 1 back first"):
        wordings.keep(shop, rival)
    wordings.take_back(shop, 1)
    assert booked(shop, other, "gov cuts out 120 psi") is None
    assert [(one.state, one.by, one.back_by) for one in shop.book.entries] == [("back", "Mo Vale", "Mo Vale")]


def test_a_signed_ticket_keeps_the_book_it_was_signed_with(shop: Shop) -> None:
    wordings.take(shop, 1, 2, "The governor cut out at 118 psi.", size="clause", unproved=True)
    shop.store.sign(1, ticket_of(shop, 1).rev, "Mo Vale", {})
    wordings.take_back(shop, 1)
    after = new_ticket(shop)
    assert booked(shop, 1, "gov cuts out 118 psi") == "the governor cut out at 118\u00a0psi"
    assert booked(shop, after, "gov cuts out 118 psi") is None
    before = new_ticket(shop)
    shop.store.sign(before, ticket_of(shop, before).rev, "Mo Vale", {})
    wordings.teach(shop, "zorbel", "thing")
    assert booked(shop, before, "zorbel leaking") is None
    assert book_for(shop, ticket_of(shop, before)).told == ()


def test_a_rewording_that_the_story_says_by_itself_is_not_outdated(shop: Shop) -> None:
    from ticket.story.build import build

    wordings.take(shop, 1, 2, "The governor cut out at 118 psi.", unproved=True)
    (kept,) = ticket_of(shop, 1).rewordings
    case = case_of(shop, 1)
    assert build(case, "customer").stale == ()
    said = next(one for part in story_of(shop, 1).sections for one in part.sentences if "low" in one.text)
    rests = tuple(replace(kept.rests_on[0], source=str(source)) for source in said.sources)
    by_itself = replace(kept, original="Oil low.", text=said.text.lower().rstrip("."), rests_on=rests)
    for text, stale in ((by_itself.text, False), ("the oil was gone", True)):
        ticket = replace(case.ticket, rewordings=(replace(by_itself, text=text),))
        assert bool(build(replace(case, ticket=ticket), "customer").stale) == stale


def test_a_taught_word_is_a_thing_in_every_later_phrase(shop: Shop) -> None:
    made = wordings.teach(shop, "zorbel", "thing", ticket=1)
    assert (made.typed, made.plural, made.told) == ("zorbel", "zorbels", "zorbel")
    assert wordings.teach(shop, "zorbel", "thing").no == made.no
    taught = book_of(shop.book).word("zorbels", "en")
    assert taught is not None
    assert taught.kind == "thing"
    assert booked(shop, 1, "zorbel inop") == "the zorbel did not work"
    with pytest.raises(InputError, match="nothing a word may be"):
        wordings.teach(shop, "zorbel", "verb")


def test_a_taught_doing_is_told_behind_a_thing_in_the_past(shop: Shop) -> None:
    wordings.teach(shop, "snorf", "doing", past="snorft")
    assert booked(shop, 1, "pump snorfs") == "the pump snorft"
    assert booked(shop, 1, "pump not snorfs") is None


def test_the_same_book_tells_another_language_from_its_own_entries(shop: Shop) -> None:
    assert booked(shop, 1, "rotor down to metal", "es") == "el rotor estaba gastado hasta el metal"
    assert booked(shop, 1, "zorbel down to metal", "es") is None
    wordings.teach(shop, "zorbel", "thing", told="anillo", told_plural="anillos", gender="m", language="es")
    assert booked(shop, 1, "zorbel down to metal", "es") == "el anillo estaba gastado hasta el metal"


def test_books_are_traded_and_nothing_of_them_is_told_unseen(shop: Shop, tmp_path: Path) -> None:
    wordings.take(shop, 1, 2, "The governor cut out at 118 psi.", size="clause", unproved=True)
    wordings.teach(shop, "zorbel", "thing")
    text = wordings.exported(shop)
    with Shop.open(tmp_path / "other.db", "Ann Fell", now=Clock()) as other:
        made, there = wordings.imported(other, text, "theirs.po")
        assert (len(made), there) == (2, 2)
        number = new_ticket(other)
        assert booked(other, number, "gov cuts out 118 psi") is None
        assert made[0].origin.startswith("taken by Mo Vale, ")
        for one in made:
            wordings.let_in(other, one.no)
        assert booked(other, number, "gov cuts out 118 psi") is not None
        assert {one.by for one in other.book.told} == {"Ann Fell"}
        assert wordings.imported(other, text, "theirs.po")[0] == ()
        with pytest.raises(InputError, match="nothing was taken in"):
            wordings.imported(other, text.replace("{n}", "{side}", 1), "theirs.po")
        assert len(other.book.entries) == 2
        assert other.store.audit(deep=True).ok


# -- wordings that are offered -------------------------------------------------------------------------------------


def asked(shop: Shop, no: int) -> Asked:
    case = case_of(shop, 1)
    note = next(one for one in notes(case, story_of(shop, 1)) if one.no == no)
    return Asked(case, note, "en")


def test_nobody_outside_is_asked_unless_the_shop_names_a_command(shop: Shop) -> None:
    assert [getattr(one, "__name__", "") for one in sources(shop)] == ["from_book", "from_reading"]
    set_setting(shop, "suggest", "helper --plain")
    assert sources(shop)[2:] == (Command("helper --plain"),)


def test_an_imported_wording_is_offered_before_it_is_told(shop: Shop) -> None:
    wordings.take(shop, 1, 2, "The governor cut out at 118 psi.", size="clause", unproved=True)
    text = wordings.exported(shop)
    wordings.take_back(shop, 1)
    from ticket.shop.own_words import unreword

    unreword(shop, 1, "customer", ticket_of(shop, 1).rewordings[0].text)
    wordings.imported(shop, text, "theirs.po")
    assert Offered("The governor cut out at 118 psi.", "book") in offers(asked(shop, 2), sources(shop)).offers


def test_a_word_nobody_listed_is_offered_as_what_it_may_be_and_its_place_is_named(shop: Shop) -> None:
    (offer, *_) = offers(asked(shop, 3), sources(shop)).offers
    assert offer.source == "reading"
    assert "hub zorbel worn"[offer.start : offer.end] == "zorbel"


def command(tmp_path: Path, body: str) -> Command:
    script = tmp_path / "helper.py"
    script.write_text(f"import json, sys, time\ngiven = json.load(sys.stdin)\n{body}\n")
    return Command(f"{sys.executable} {script}", seconds=3)


def test_a_command_gets_the_line_and_its_answer_is_judged(shop: Shop, tmp_path: Path) -> None:
    answer = ["The governor cut out at 118 psi.", "The governor cut out at 999 psi.", "It exploded."]
    kept = tmp_path / "asked.json"
    helper = command(tmp_path, f"open({str(kept)!r}, 'w').write(json.dumps(given))\n"
                               f"print(json.dumps({{'suggestions': {answer!r}}}))")  # fmt: skip
    found = offers(asked(shop, 2), [helper])
    assert [(one.text, one.source) for one in found.offers] == [("The governor cut out at 118 psi.", "command")]
    given = json.loads(kept.read_text())
    assert (given["line"], given["where"], given["language"]) == ("gov cuts out 118 psi", "found", "en")
    assert given["entries"] == ["found: gov cuts out 118 psi"]


@pytest.mark.parametrize(
    ("body", "says"),
    [
        ("sys.exit(3)", "ended with 3"),
        ("print('[1')", "no JSON"),
        ("print('{}')", "did not answer"),
        ("print(json.dumps({'suggestions': [1]}))", "did not answer"),
        ("time.sleep(30)", "gave no answer within 3 s"),
        ("import subprocess; subprocess.Popen(['sleep', '30']); sys.exit(0)", "gave no answer within 3 s"),
        ("sys.stdout.buffer.write(bytes([255, 254]))", "no JSON"),
    ],
)
def test_a_command_that_fails_is_one_sentence_and_the_note_stays(
    shop: Shop, tmp_path: Path, body: str, says: str
) -> None:  # fmt: skip
    found = offers(asked(shop, 2), [command(tmp_path, body)])
    assert found.offers == ()
    assert len(found.failed) == 1
    assert says in found.failed[0]
    assert "the note stays as it is" in found.failed[0]
    assert "\n" not in found.failed[0]


def test_a_command_that_is_not_there_is_one_sentence(shop: Shop) -> None:
    for name in ("/nowhere/helper", "'", "  '' "):
        (failed,) = offers(asked(shop, 2), [Command(name)]).failed
        assert "cannot be started" in failed


# -- met again ---------------------------------------------------------------------------------------------------------


def test_a_phrase_met_for_the_third_time_names_the_three_entries(shop: Shop) -> None:
    for pressure in ("120", "95"):
        number = new_ticket(shop)
        add_lines(shop, number, f"says: slow\nfound: gov cuts out {pressure} psi")
        asked_for = [gap for gap in open_gaps(shop, number) if gap.id == "phrase-met-thrice"]
    (gap,) = asked_for
    assert gap.level == "advice"
    assert gap.entry == 2
    assert "3/2, 2/2 and 1/2" in gap.question
    assert "ticket phrases take 3/2" in gap.question
    strike_entry(shop, 2, 2)
    assert not [one for one in open_gaps(shop, 3) if one.id == "phrase-met-thrice"]


def test_a_phrase_that_the_story_can_tell_is_not_asked_about(shop: Shop) -> None:
    for _ in range(2):
        number = new_ticket(shop)
        add_lines(shop, number, "says: slow\nfound: oil level low")
    assert not [one for one in open_gaps(shop, number) if one.id == "phrase-met-thrice"]
