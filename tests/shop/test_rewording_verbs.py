"""Rewording through the shop and the shell: kept, refused with reasons, outdated, taken back, carried along."""

import json
from pathlib import Path

import pytest

from ticket.assist.rewording_ground import UnprovedError, Wording
from ticket.cli.main import main
from ticket.job.errors import ConflictError, InputError, NotFoundError, SealedError
from ticket.job.ticket_document import to_document
from ticket.shop.changing import add_lines, load_documents, new_ticket, sign_ticket, strike_entry, undo
from ticket.shop.opening import Shop
from ticket.shop.own_words import outdated, reword, unreword
from ticket.shop.reading import open_gaps, story_of, ticket_of
from ticket.story.places import places, sentence_at

LINES = """says: fan roars all the time, worse on hills
found: LF inner pad 1.9 mm (min 3.0)
found: engine oil level +6 mm (-5 to 0), smells of hydraulic fluid
cause: fluid passing the shaft seal; likely; from 3"""
WORDS = "The engine oil level stood 6 mm above its mark, which is too high."


@pytest.fixture
def number(shop: Shop) -> int:
    made = new_ticket(shop)
    add_lines(shop, made, LINES)
    return made


def place_of(shop: Shop, number: int, words: str) -> str:
    return next(at for at, one in places(story_of(shop, number)) if words in one.text)


def test_from_the_desk(shop: Shop, number: int) -> None:
    place = place_of(shop, number, "oil level")
    before = sentence_at(story_of(shop, number), place)
    made = reword(shop, number, Wording("customer", place, f"  {WORDS} "))
    assert (made.text, made.by, made.original) == (WORDS, "K. Orlo", before.text)
    assert sentence_at(story_of(shop, number), place).text == WORDS
    assert sentence_at(story_of(shop, number), WORDS) == sentence_at(story_of(shop, number), before.text)
    assert all(one.reworded is None for _, one in places(story_of(shop, number, "payer")))
    assert not outdated(shop, number)
    unreword(shop, number, "customer", place)
    assert sentence_at(story_of(shop, number), place) == before
    with pytest.raises(NotFoundError, match="nobody reworded sentence"):
        unreword(shop, number, "customer", place)
    undo(shop, number)
    assert sentence_at(story_of(shop, number), place).text == WORDS


def test_a_typed_line_that_was_reworded_is_reworded_again(shop: Shop) -> None:
    """In its own words it is no note any more, and stands elsewhere in the section."""
    number = new_ticket(shop)
    add_lines(shop, number, "says: steam\nfound: upper hose swollen and soft at the clamp, dry\nfound: horn ok")
    for words in ("The upper hose was swollen and soft.", "The upper hose was soft and swollen at the clamp."):
        place = place_of(shop, number, "pper hose")
        made = reword(shop, number, Wording("customer", place, words, keep=True))
        assert made.original == "Upper hose swollen and soft at the clamp, dry."
        assert sentence_at(story_of(shop, number), words).reworded is not None


def test_what_is_refused_is_refused_with_its_reasons_and_changes_nothing(shop: Shop, number: int) -> None:
    place = place_of(shop, number, "oil level")
    rev = ticket_of(shop, number).rev
    for text, reason in (
        ("The engine oil stood 7 mm above its mark.", "7 mm"),
        ("The left engine oil stood 6 mm above its mark.", "left"),
        ("", "There are no words"),
        ("It stood high.\nVery high.", "more than one paragraph"),
        ("x" * 1001, "longer than 1,000 characters"),
        (sentence_at(story_of(shop, number), place).text, "the story's own words already"),
    ):
        with pytest.raises(InputError, match=reason) as raised:
            reword(shop, number, Wording("customer", place, text))
        assert "\n" not in str(raised.value)
    with pytest.raises(NotFoundError, match=r"has no sentence '9\.9'"):
        reword(shop, number, Wording("customer", "9.9", WORDS))
    assert ticket_of(shop, number).rev == rev


def test_a_changed_source_outdates_it_until_it_is_as_it_was(shop: Shop, number: int) -> None:
    """Even a change that the sentence does not tell: the new words may tell it."""
    place = place_of(shop, number, "oil level")
    reword(shop, number, Wording("customer", place, WORDS))
    add_lines(shop, number, "note: second look")
    assert not outdated(shop, number)
    strike_entry(shop, number, 3)
    ((stale, changed),) = outdated(shop, number)
    assert (stale.text, changed) == (WORDS, ("3",))
    assert WORDS not in [one.text for _, one in places(story_of(shop, number))]
    (gap,) = [gap for gap in open_gaps(shop, number) if gap.id == "rewording-outdated"]
    assert gap.entry == 3
    assert "K. Orlo" in gap.question
    assert WORDS in gap.question
    undo(shop, number)
    assert not outdated(shop, number)
    strike_entry(shop, number, 3)
    assert unreword(shop, number, "customer", WORDS) == stale
    assert not ticket_of(shop, number).rewordings


def test_two_terminals_at_one_sentence(shop: Shop, number: int, database: Path) -> None:
    place = place_of(shop, number, "oil level")
    seen = sentence_at(story_of(shop, number), place).text
    with Shop.open(database, "Mo Vale") as other:
        reword(other, number, Wording("customer", place, WORDS), seen=seen)
    mine = "The engine oil was 6 mm too high."
    with pytest.raises(ConflictError, match=f"by Mo Vale: it now says “{WORDS}”; yours was “{mine}”"):
        reword(shop, number, Wording("customer", seen, mine), seen=seen)
    assert reword(shop, number, Wording("customer", seen, mine), seen=WORDS).text == mine


def test_a_signed_ticket_keeps_its_words(shop: Shop, number: int, tmp_path: Path) -> None:
    place = place_of(shop, number, "oil level")
    reword(shop, number, Wording("customer", place, WORDS))
    sign_ticket(shop, number, overruled={gap.id: "a test" for gap in open_gaps(shop, number)})
    with pytest.raises(SealedError, match="is signed: its sentences stay as they were signed"):
        reword(shop, number, Wording("customer", place, "The engine oil was 6 mm too high."))
    document = to_document(ticket_of(shop, number))
    with Shop.open(tmp_path / "other.db", "Mo Vale") as other:
        load_documents(other, [("one.json", json.dumps(document))])
        assert sentence_at(story_of(other, number), WORDS).reworded == ticket_of(shop, number).rewordings[0]
        assert other.store.audit(deep=True).ok
    document["rewordings"][0]["text"] = "The engine oil stood 9 mm above its mark."
    with Shop.open(tmp_path / "third.db", "Mo Vale") as third:
        load_documents(third, [("forged.json", json.dumps(document))])
        assert all("9 mm" not in one.text for _, one in places(story_of(third, number)))
        assert [one.text for one, _ in outdated(third, number)] == ["The engine oil stood 9 mm above its mark."]


def test_from_the_shell(
    shop: Shop, number: int, database: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("TICKET_DB", str(database))
    monkeypatch.setenv("TICKET_PERSON", "K. Orlo")
    place = place_of(shop, number, "oil level")

    def run(*arguments: str) -> tuple[int, str, str]:
        code = main(list(arguments))
        return (code or 0, *capsys.readouterr())

    assert f"({place}) The engine oil level" in " ".join(run("story", "1", "--numbers")[1].split())
    code, _, said = run("reword", "1", place, "The engine oil stood 7 mm above its mark.")
    assert code == 2
    assert "“7 mm” is not typed" in said
    assert run("reword", "1", place, WORDS, "--for", "customer")[0] == 0
    assert "reworded" not in run("story", "1")[1]
    assert "K. Orlo" in run("story", "1", "--sources")[1]
    told = json.loads(run("story", "1", "--entry", "3", "--json")[1])
    marks = [one.get("reworded", {}).get("by") for part in told["sections"] for one in part["sentences"]]
    assert "K. Orlo" in marks
    assert all(3 in one["sources"] for part in told["sections"] for one in part["sentences"])
    (listed,) = json.loads(run("reword", "1", "--list", "--json")[1])
    assert (listed["text"], listed["sources"], listed["by"]) == (WORDS, [3], "K. Orlo")
    assert run("reword", "1", place, "--undo")[0] == 0
    assert run("reword", "1", "--list")[1] == "Nobody reworded a sentence of ticket 1.\n"
    assert run("reword", "1", place)[0] == run("story", "1", "--entry", "99")[0] == 2


UNPROVED = "The engine oil level stood 6 mm above its mark, as on many old coaches."


def test_what_is_not_proved_is_kept_only_knowingly_and_with_its_reason(shop: Shop, number: int) -> None:
    place = place_of(shop, number, "oil level")
    with pytest.raises(UnprovedError, match=r"“(coaches|many|old)” is not typed"):
        reword(shop, number, Wording("customer", place, UNPROVED))
    assert not ticket_of(shop, number).rewordings
    made = reword(shop, number, Wording("customer", place, UNPROVED, keep=True))
    assert (made.by, made.text) == ("K. Orlo", UNPROVED)
    assert "is not typed" in made.unproved
    assert sentence_at(story_of(shop, number), place).text == UNPROVED
    proved = reword(shop, number, Wording("customer", place, WORDS, keep=True))
    assert not proved.unproved, "what is proved needs no reason"


def test_the_payer_is_never_told_what_is_not_proved(shop: Shop, number: int) -> None:
    place = next(at for at, one in places(story_of(shop, number, "payer")) if "oil level" in one.text)
    with pytest.raises(InputError, match="the payer's copy tells only what the entries prove"):
        reword(shop, number, Wording("payer", place, UNPROVED, keep=True))
    customers = place_of(shop, number, "oil level")
    reword(shop, number, Wording("customer", customers, UNPROVED, keep=True))
    document = to_document(ticket_of(shop, number))
    original = sentence_at(story_of(shop, number, "payer"), place).text
    forged = {**document["rewordings"][0], "reader": "payer", "original": original}
    document["rewordings"].append(forged)
    with Shop.open(shop.store.path.with_name("forged.db"), "Mo Vale") as other:
        load_documents(other, [("forged.json", json.dumps(document))])
        assert len(ticket_of(other, number).rewordings) == 2
        assert all(one.text != UNPROVED for _, one in places(story_of(other, number, "payer")))
        assert any(one.text == UNPROVED for _, one in places(story_of(other, number)))


def test_a_rewording_without_its_reason_is_not_shown_while_the_ticket_is_open(shop: Shop, number: int) -> None:
    place = place_of(shop, number, "oil level")
    reword(shop, number, Wording("customer", place, UNPROVED, keep=True))
    document = to_document(ticket_of(shop, number))
    del document["rewordings"][0]["unproved"]
    with Shop.open(shop.store.path.with_name("bare.db"), "Mo Vale") as other:
        load_documents(other, [("bare.json", json.dumps(document))])
        assert all(one.text != UNPROVED for _, one in places(story_of(other, number)))


def test_sentences_are_merged_and_further_entries_cited(shop: Shop, number: int) -> None:
    add_lines(shop, number, "found: LF caliper seized\nnote: order pads")
    pad, caliper = place_of(shop, number, "brake pad"), place_of(shop, number, "caliper")
    before = [one.text for _, one in places(story_of(shop, number))]
    words = "The left front inner brake pad was 1.9 mm; at least 3.0 mm is needed. The left front caliper was seized."
    made = reword(shop, number, Wording("customer", pad, words, merges=(caliper,), keep=True))
    assert len(made.merges) == 1
    assert made.merges[0].original in before
    told = story_of(shop, number)
    assert sum(words == one.text for _, one in places(told)) == 1
    assert len([*places(told)]) == len(before) - 1, "the merged sentence is told once"
    assert {str(source) for source in sentence_at(told, words).sources} >= {"2", "5"}
    strike_entry(shop, number, 5)
    assert words not in [one.text for _, one in places(story_of(shop, number))], "what it merges rests on has changed"
    undo(shop, number)
    unreword(shop, number, "customer", words)
    assert [one.text for _, one in places(story_of(shop, number))] == before
    cause = place_of(shop, number, "shaft seal")
    with pytest.raises(InputError, match="only other sentences of"):
        reword(shop, number, Wording("customer", pad, words, merges=(cause,)))
    cited = "The left front inner brake pad was 1.9 mm, and the left front caliper was seized."
    with pytest.raises(InputError, match="caliper"):
        reword(shop, number, Wording("customer", pad, cited))
    assert reword(shop, number, Wording("customer", pad, cited, cites=("5",))).cites[0].source == "5"
    with pytest.raises(NotFoundError, match="there is no entry 99 to cite"):
        reword(shop, number, Wording("customer", pad, cited, cites=("99",)))
    add_lines(shop, number, "# found: LF caliper from another shop")
    with pytest.raises(InputError, match="stays inside the shop"):
        reword(shop, number, Wording("customer", pad, cited, cites=("7",)))


def test_the_shell_keeps_cites_and_merges(
    shop: Shop, number: int, database: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("TICKET_DB", str(database))
    monkeypatch.setenv("TICKET_PERSON", "K. Orlo")
    place = place_of(shop, number, "oil level")
    assert main(["reword", "1", place, UNPROVED]) == 2
    assert "--keep keeps it all the same" in capsys.readouterr().err
    assert not main(["reword", "1", place, UNPROVED, "--keep", "--with", "2"])
    assert "Kept though it is not proved" in capsys.readouterr().out
    assert not main(["reword", "1", "--list", "--json"])
    (listed,) = json.loads(capsys.readouterr().out)
    assert listed["cites"] == [2]
    assert "is not typed" in listed["unproved"]
    assert not main(["story", "1", "--json"])
    told = json.loads(capsys.readouterr().out)
    marks = [one["reworded"] for part in told["sections"] for one in part["sentences"] if "reworded" in one]
    assert ["is not typed" in one["unproved"] for one in marks] == [True]
