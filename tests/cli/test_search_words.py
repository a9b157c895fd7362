"""What somebody types behind a search or a code: minus words, blanks behind a colon, flags that would do nothing."""

import json
import shlex
from pathlib import Path

import pytest

from ticket.cli.main import main
from ticket.past.query import QueryFault, parse_query
from ticket.scratch_shop import fill
from ticket.shop.opening import Shop


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo shop; nothing here changes it."""
    path = tmp_path_factory.mktemp("demo") / "shop.db"
    with Shop.open(path, "K. Orlo") as shop:
        fill(shop)
    return path


class Ask:
    """Runs commands."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self.capsys = capsys

    def __call__(self, *words: str) -> tuple[int, str, str]:
        code = main(words)
        shown = self.capsys.readouterr()
        return code, shown.out, shown.err

    def numbers(self, *words: str) -> set[int]:
        """Numbers of the jobs found."""
        return {job["number"] for job in json.loads(self("past", "--json", *words)[1])["jobs"]}


@pytest.fixture
def ask(demo: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Ask:
    monkeypatch.setenv("TICKET_DB", str(demo))
    return Ask(capsys)


def test_a_minus_word_needs_no_marks_wherever_it_stands(ask: Ask) -> None:
    every, without = ask.numbers("P0562"), ask.numbers("P0562", "--", "-belt")
    assert without < every
    for words in ("P0562 -belt", "-belt P0562", "P0562 --limit 9 -belt", "-belt --best P0562"):
        assert ask.numbers(*words.split()) == without, words
    drawn = json.loads(ask("sample", "P0562", "-belt", "--n", "9", "--json")[1])
    assert {job["number"] for job in drawn["jobs"]} == without
    assert drawn["query"] == "P0562 -belt"
    assert ask("past", "-h")[0] == 0
    assert ask("past", "P0562", "--nothing")[0] == 2


def test_a_minus_behind_a_flag_is_its_value(ask: Ask, tmp_path: Path) -> None:
    assert "P0562" in ask("past", "P0562", "-o", "-")[1]
    kept = tmp_path / "jobs.csv"
    assert ask("past", "P0562", "-belt", "--as", "csv", "-o", str(kept))[0] == 0
    assert kept.read_text(encoding="utf-8-sig").startswith("number,")


@pytest.mark.parametrize("text", ["vehicle: corvane", 'vehicle:  "corvane"', "-vehicle: corvane", "since: 2026-03"])
def test_a_blank_behind_the_colon_changes_nothing(text: str) -> None:
    assert parse_query(text) == parse_query(text.replace(":  ", ":").replace(": ", ":"))


def test_what_stands_behind_a_blank_is_told_with_its_place() -> None:
    with pytest.raises(QueryFault, match="'soon' is no date") as caught:
        parse_query("P0562 since: soon relay")
    assert (caught.value.start, caught.value.end) == (6, 17)


def test_a_field_without_a_value_is_remarked(ask: Ask) -> None:
    assert "vehicle: has no value behind its colon" in ask("past", "P0562", "vehicle:")[2]
    assert ask("past", "vehicle:", "corvane")[2] == ""


def test_sums_without_a_price_list_are_said_to_fit_nothing(
    shop: Shop, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TICKET_DB", str(shop.store.path))
    for words in (("past", "over:yes"), ("sample", "total:>5")):
        assert main(words) in (0, 1)
        assert "has no price list" in capsys.readouterr().err
    assert main(("past", "P0562")) == 1
    assert "has no price list" not in capsys.readouterr().err


def test_one_code_at_a_time(ask: Ask) -> None:
    code, out, told = ask("before", "P0562", "P0420")
    assert (code, out) == (2, "")
    assert told == "ticket: 'P0420' behind P0562: ask for one code at a time; nothing was looked up.\n"
    assert "only a code can be asked for" in ask("before", "P0562", "relay")[2]
    assert ask("before", "SPN", "102", "FMI", "18")[0] == 0


@pytest.mark.parametrize(
    ("flags", "said"),
    [
        (("--on", "1023"), "--on belongs to --next"),
        (("--give-up", "30"), "--give-up belongs to --next"),
        (("--on", "1023", "--give-up", "30"), "--on and --give-up belong to --next"),
        (("--next", "--pairs"), "Either --next or --pairs"),
        (("--archive", "x", "--next"), "--next belongs to one shop"),
    ],
)
def test_a_flag_that_would_do_nothing_is_refused(ask: Ask, flags: tuple[str, ...], said: str) -> None:
    code, out, told = ask("before", "P0562", *flags)
    assert (code, out) == (2, "")
    assert said in told


def test_only_causes_that_are_there_are_called_one(ask: Ask) -> None:
    code, _, told = ask("before", "P0562", "--same", "worn belt tensioner lets the drive belt slip", "worn tensionr")
    assert code == 2
    assert "No job with P0562 states the cause 'worn tensionr'; causes there: " in told


def test_work_of_few_followed_jobs_is_ordered_by_how_often_it_was_done(ask: Ask) -> None:
    assert "too few jobs were followed" in ask("before", "P0562")[1]
    assert json.loads(ask("before", "P0562", "--json")[1])["ranked"] is False


def test_one_time_between_two_lines_tells_no_minutes(ask: Ask) -> None:
    out = " ".join(ask("before", "P0562", "--explain")[1].split())
    assert "(minutes not known)" in out
    assert "where three jobs or more tell it" in out


def test_a_sample_says_one_and_several_and_what_waits(ask: Ask) -> None:
    assert ask("sample", "P0562", "--n", "0")[2].startswith("ticket sample: argument --n: '0' is no count")
    drawn = json.loads(ask("sample", "P0562", "--n", "9", "--json")[1])
    assert "Beside that 1 job that is not signed has questions that block signing" in drawn["says"]
    assert all(isinstance(job["total"], str) for job in drawn["jobs"])
    assert "The one job holds nothing; the other" in ask("sample", "P0562", "--n", "1")[1]


def test_a_cause_in_other_words_is_named_when_it_is_typed_and_joined_only_when_somebody_says_so(
    demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    copy = tmp_path / "shop.db"
    copy.write_bytes(demo.read_bytes())
    monkeypatch.setenv("TICKET_DB", str(copy))
    ask = Ask(capsys)
    ask("new", "--vehicle", "Corvane Alder")
    said = "alternator with a faild diode"
    _, out, told = ask("add", "1024", "says: lamps dim", "code: P0562-16, stored", f"cause: {said}")
    assert f"cause: {said}" in out
    assert "counted apart from 'alternator with a failed diode' (1 job with P0562)" in told
    command = next(line for line in told.splitlines() if "--same" in line).partition(": ticket ")[2]
    assert ask("before", "P0562", "--json")[0] == 0
    words = shlex.split(command)
    assert ask(*words)[0] == 0
    texts = [one["text"] for one in json.loads(ask("before", "P0562", "--json")[1])["causes"]]
    assert len(texts) == 3
    ask("new", "--vehicle", "Corvane Alder")
    for line in (said, "alternator with a failed diode", "mouse in the fuse box"):
        assert "counted apart" not in ask("add", "1025", "code: P0562-16, stored", f"cause: {line}")[2], line


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("flickrs", "“flickrs” is in no job here; alike: flickers"),
        ("cause:eylet", "cause: eylet is in no job here"),
        ("P0455-7F", "P0455-7F is in no job here; P0455 with another sub-code, or none, is in 2 jobs"),
        ("P0562-16h", "as a code it would be P0562"),
        ("99999", "“99999” is in no job here"),
        ("bogus:1", "bogus: is no field"),
        ('"unclosed', "A quotation mark is not closed"),
        ("P0455 squeal", "Each part of this search fits some job, all of them together none"),
        ("until:1999", "No job here is from 1999-12-31 or before"),
        ("over:yes", "No job here fits over: as it was asked"),
        ("tech:Nobody", "tech: Nobody is in no job here"),
    ],
)
def test_a_search_that_finds_nothing_says_why(ask: Ask, typed: str, told: str) -> None:
    """What is mistyped and what is not there are two things to somebody who audits."""
    code, out, remarks = ask("past", typed)
    assert (code, out) == (1, "No job fits.\n")
    assert told in remarks
    assert told in ask("sample", typed)[2]
    assert told in ask("past", typed, "--count", "cause")[2]


@pytest.mark.parametrize("typed", ["total:200..100", "distance:200..100", "distance:90..80mi"])
def test_a_range_that_runs_backwards_is_refused(ask: Ask, typed: str) -> None:
    code, out, told = ask("past", typed)
    assert (code, out) == (2, "")
    assert "runs backwards: write" in told


def test_a_blank_before_the_unit_of_a_distance_changes_nothing(ask: Ask) -> None:
    for unit in ("km", "mi"):
        found = ask.numbers(f"distance:50000..200000{unit}")
        assert found
        assert ask.numbers(f"distance:50000..200000 {unit}") == found
        assert ask.numbers("distance:50000..200000", unit) == found


def test_all_jobs_are_counted_exported_and_drawn_from_without_a_search(ask: Ask) -> None:
    every = ask.numbers("since:2000")
    assert {job["number"] for job in json.loads(ask("past", "--as", "json")[1])["jobs"]} == every
    assert json.loads(ask("sample", "--n", "2", "--json")[1])["total"] == len(every)
    assert ask("past", "--count", "status")[0] == 0
    assert ask("past", "zzzzz", "--count", "status")[0] == 1
    assert "all jobs with --count or --as" in ask("past")[2]


def test_an_open_end_of_a_range_is_one_sign_less(ask: Ask) -> None:
    assert ask.numbers("distance:90000..") == ask.numbers("distance:>=90000") != set()
    assert ask.numbers("distance:..90000mi") == ask.numbers("distance:<=90000mi") != set()
    assert "with km or mi behind it" in ask("past", "distance:far")[2]


def test_a_ticket_is_found_by_its_number(ask: Ask) -> None:
    assert ask.numbers("1016") == {1016}
