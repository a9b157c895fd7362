"""The archive of several shops: nothing twice, nothing lost, nobody's name, and the answers of the shops themselves."""

import json
import os
import random
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import jsonschema
import pytest

pytest.importorskip("duckdb")

from support.chain import KEY, MORNING, NOW, job
from support.tickets import ticket_of
from ticket.archive import manifest
from ticket.archive.archive_counts import count_archived
from ticket.archive.archive_masking import masked, vehicle_digest
from ticket.archive.archive_search import find
from ticket.archive.gathering import RECORDS, gather
from ticket.archive.search_file import current, search_path
from ticket.cli.main import main
from ticket.data import data_folder
from ticket.job.errors import InputError
from ticket.job.ticket import Customer, Header, Ticket, Vehicle
from ticket.job.ticket_document import from_document, to_document
from ticket.past.query import Here, parse_query
from ticket.past.turned_out import Outcome, told
from ticket.shop.opening import Shop
from ticket.shop.past import Within, before, find_jobs
from ticket.store.seen_jobs import Window


@pytest.fixture(scope="module")
def shops(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two shops of eight and nine jobs over three months; a vehicle goes from one to the other."""
    folder = tmp_path_factory.mktemp("shops")
    for name, count in (("north", 8), ("south", 9)):
        with Shop.open(folder / f"{name}.db", "K. Orlo", now=lambda: NOW) as shop:
            tickets = [job(i + 1, i * 9, i, f"KDE {i % 3 if name == 'north' else i}") for i in range(count)]
            shop.store.load(tickets, "K. Orlo", "jobs")
    return folder


@pytest.fixture(scope="module")
def archive(shops: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("chain") / "archive"
    found = gather([shops], made, KEY)
    assert (found.tickets, found.shops) == (17, 2)
    return made


def test_a_second_gathering_writes_nothing(shops: Path, archive: Path) -> None:
    before_names = {path.name for path in (archive / RECORDS).iterdir()}
    again = gather([shops], archive, KEY)
    assert (again.tickets, again.written) == (17, 0)
    assert {path.name for path in (archive / RECORDS).iterdir()} == before_names
    assert search_path(archive, manifest.read(archive).generation) == current(archive)


def test_a_search_file_of_another_form_is_made_anew(archive: Path) -> None:
    """A program that asks other columns never asks them of a file that lacks them."""
    made = current(archive)
    older = archive / f"search-{manifest.read(archive).generation}.duckdb"
    made.rename(older)
    assert current(archive) == made
    assert made.is_file()
    assert not older.exists()


@pytest.mark.parametrize("keep", [0, 100, 8192])
def test_a_damaged_search_file_is_named_and_made_anew_once_it_is_gone(archive: Path, keep: int) -> None:
    made = current(archive)
    made.write_bytes(made.read_bytes()[:keep] + b"\0" * 64)
    with pytest.raises(InputError, match=r"search-.* cannot be read .* deleted, the next question makes it anew"):
        find(archive, parse_query("horn", Here()))
    made.unlink()
    find(archive, parse_query("horn", Here()))


def test_a_dump_in_json_lines_is_of_the_shop_that_wrote_it(
    shops: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = tmp_path / "both.jsonl"
    for name in ("north", "south"):
        assert main(["--db", str(shops / f"{name}.db"), "dump", "--as", "jsonl", "--by", "K. Orlo"]) == 0
        with lines.open("a", encoding="utf-8") as out:
            out.write(capsys.readouterr().out)
    whole = gather([shops], tmp_path / "one", KEY)
    assert gather([lines], tmp_path / "two", KEY).tickets == whole.tickets
    again = gather([lines], tmp_path / "one", KEY)
    assert (again.tickets, again.shops, again.written) == (17, 2, 0), "as late, and without the sums that are there"


def test_a_sample_of_an_archive_is_repeatable(archive: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["sample", "P0562", "--archive", str(archive), "--n", "5", "--seed", "S"]
    assert main([*words, "--json"]) in (0, 1)
    drawn = json.loads(capsys.readouterr().out)
    assert (drawn["total"], len(drawn["jobs"])) == (17, 5)
    definitions = json.loads((data_folder("schemas") / "outputs.json").read_text(encoding="utf-8"))["$defs"]
    jsonschema.validate(drawn, definitions["sample-archive"])
    assert main([*words, "--as", "csv"]) in (0, 1)
    table = capsys.readouterr().out
    assert all(f"{job['shop']}/{job['number']}," in table for job in drawn["jobs"])
    assert main([*words, "--as", "pdf"]) == 2
    assert "a paper is a shop's own" in capsys.readouterr().err


def test_a_payer_is_no_name(archive: Path) -> None:
    ticket = ticket_of(["says: Warranty lamp", "did: 1 h fit lamp; pay warranty"], number=1, opened=MORNING)
    document, _ = masked(to_document(replace(ticket, header=Header(customer=Customer("Warranty Fenn")))), KEY)
    assert from_document(document).entries[1].fact.pays == "warranty"  # type: ignore[attr-defined]
    assert "arranty" not in document["entries"][0]["fact"]["text"]


def test_nobody_is_named_in_what_leaves_the_shop(archive: Path) -> None:
    import duckdb

    rows = duckdb.connect().execute(f"SELECT doc, vehicle FROM '{archive / RECORDS}/*.parquet'").fetchall()
    for doc, vehicle in rows:
        for name in ("Oastley", "Maren", "555-0112", "KDE", "Kaia", "Orlo"):
            assert name.lower() not in doc.lower()
        assert len(vehicle) == 16
    assert len({vehicle for _, vehicle in rows}) == 9, "a vehicle is known again in the other shop"


def test_a_masked_document_is_a_ticket_whose_readings_stand_where_they_stood() -> None:
    ticket = ticket_of(["says: Oastley's lamps dim", "found: Oastley plug 11.2 V (min 11.5)"], number=1, opened=MORNING)
    header = Header(vehicle=Vehicle("van", "", "KDE 1"), customer=Customer("Maren Oastley"))
    document, vehicle = masked(to_document(replace(ticket, header=header)), KEY)
    again = from_document(document)
    assert again.entries[1].fact.measurements == ticket.entries[1].fact.measurements  # type: ignore[attr-defined]
    assert vehicle == vehicle_digest(KEY, "", "kde-1") != vehicle_digest(b"j" * 32, "", "kde-1")


@pytest.mark.parametrize(
    "typed",
    [
        "P0562",
        "P0562-16 cable",
        "-belt P0562",
        "part:4410",
        "1003",
        "since:2025-04",
        "declined:yes",
        "plug or cable",
        "unicorn",
    ],
)
def test_the_archive_finds_what_its_shops_find(shops: Path, archive: Path, typed: str) -> None:
    wanted = 0
    for name in ("north", "south"):
        with Shop.open(shops / f"{name}.db", "K. Orlo", now=lambda: NOW) as shop:
            wanted += find_jobs(shop, typed)[0].total
    total, jobs = find(archive, parse_query(typed, Here()))
    assert total == len(jobs) == wanted


def test_causes_of_the_archive_are_those_of_its_shops(shops: Path, archive: Path) -> None:
    counted = count_archived(archive, "P0562", "16", Window(90, NOW.timestamp()))
    finished, apart = 0, Counter[str]()
    worded: Counter[str] = Counter()
    for name in ("north", "south"):
        with Shop.open(shops / f"{name}.db", "K. Orlo", now=lambda: NOW) as shop:
            own = before(shop, "P0562", "16")
            finished += len(own.jobs)
            worded.update({one.text: len(one.jobs) for one in own.causes})
            apart += Counter(declined=len(own.declined), still_open=len(own.still_open))
    assert len(counted.whole.jobs) == len(list(counted.whole.jobs)) == finished
    assert {one.text: len(list(one.jobs)) for one in counted.causes} == worded
    assert Counter(declined=len(list(counted.declined)), still_open=len(list(counted.still_open))) == apart
    assert counted.fixes
    assert len(counted.came_back) == len(list(counted.came_back)) > 0, "in whichever shop the vehicle came back"


def _of_two_sub_codes(number: int, day: int) -> Ticket:
    """A job that reads a code twice, each with causes of its own; the newest state none beside one of them."""
    said = ["A says: lamps dim", "code: P0562-16", "cause: worn belt", "cause: loose plug", "did: 0.4 h replace belt"]
    said += ["B says: fan loud", "code: P0562-7B", "did: 1.5 h replace fan"] + ["cause: worn fan"] * (number < 45)
    ticket = ticket_of(said, number=number, opened=MORNING + timedelta(days=day), vehicle=Vehicle("van", "", "LMN 1"))
    return replace(ticket, status="signed", closed=ticket.opened + timedelta(hours=5), signed_by="Kaia")


@pytest.mark.parametrize(("sub", "days"), [("16", 90), ("16", 20), ("", 90), ("", 400), ("7B", 90)])
def test_an_engine_counts_as_job_by_job(tmp_path: Path, sub: str, days: int) -> None:
    with Shop.open(tmp_path / "one.db", "K. Orlo", now=lambda: NOW) as shop:
        jobs = [job(i + 1, i * 6, i, f"KDE {i % 3}") for i in range(30)]
        jobs += [_of_two_sub_codes(41 + i, i * 8) for i in range(6)]
        shop.store.load(jobs, "K. Orlo", "jobs")
        wanted = before(shop, "P0562", sub, within=Within(days))
    gather([tmp_path / "one.db"], tmp_path / "archive", KEY, names=True)
    window = Window(days, NOW.timestamp())
    found = told("P0562", sub, count_archived(tmp_path / "archive", "p0562", sub, window), window)

    def plain(outcomes: Sequence[Outcome]) -> list[object]:
        return [replace(one, jobs=own(one.jobs), came_back=own(one.came_back), far=None) for one in outcomes]

    def own(keys: Sequence[int]) -> list[int]:
        assert len(keys) == len(list(keys))
        return [key % 2**32 for key in keys]

    if not wanted.exact:  # the shop told of any sub-code
        assert not found.jobs
        return
    assert own(found.jobs) == list(wanted.jobs) != []
    assert plain(found.causes) == plain(wanted.causes)
    assert plain(found.fixes) == plain(wanted.fixes)
    assert own(found.unknown) == list(wanted.unknown)
    assert own(found.declined) == list(wanted.declined)
    assert found.held == wanted.held
    assert [(one.job % 2**32, one.days) for one in found.came_back] == [(one.job, one.days) for one in wanted.came_back]


def test_what_the_archive_does_not_hold_is_said(archive: Path) -> None:
    with pytest.raises(InputError, match="does not hold what plate"):
        find(archive, parse_query("plate:kde", Here()))


def test_what_is_no_archive_is_told_and_not_made(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    none = tmp_path / "none"
    for words in (["past", "P0562"], ["before", "P0562"], ["sample", "P0562"]):
        assert main([*words, "--archive", str(none)]) == 2
        assert f"{none} is no archive" in capsys.readouterr().err
    assert not none.exists()


def test_come_backs_of_an_archive_are_counted_within_the_days_asked_for(
    archive: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["before", "P0562", "--archive", str(archive), "--json", "--within"]
    backs = []
    for days in ("1d", "400d"):
        assert main([*words, days]) == 0
        found = json.loads(capsys.readouterr().out)
        backs.append(found["held"]["back"])
        assert f"{found['days']}d" == days
        assert found["far"] is None
    assert backs[0] < backs[1]
    assert main([*words, "500mi"]) == 2
    assert "An archive knows no distances" in capsys.readouterr().err


def test_one_gathering_at_a_time(archive: Path, shops: Path) -> None:
    with manifest.locked(archive), pytest.raises(InputError, match="Another gathering"):
        gather([shops], archive, KEY)


@pytest.mark.slow
def test_a_gathering_that_is_killed_loses_and_doubles_nothing(shops: Path, tmp_path: Path) -> None:
    wanted = tmp_path / "whole"
    gather([shops], wanted, KEY)
    cut = tmp_path / "cut"
    code = "import sys; from pathlib import Path; from ticket.archive.gathering import gather;"
    code += f"gather([Path({str(shops)!r})], Path({str(cut)!r}), b'k' * 32)"
    draw = random.Random(5)
    for _ in range(50 if os.environ.get("TICKET_FULL") else 12):
        work = subprocess.Popen([sys.executable, "-c", code])
        time.sleep(draw.uniform(0.2, 2.5))
        work.send_signal(signal.SIGKILL)
        work.wait()
        state = manifest.read(cut)
        for part in state.parts.values():
            assert (cut / RECORDS / part.name).exists()
    gather([shops], cut, KEY)
    assert manifest.read(cut).parts == manifest.read(wanted).parts
    assert {path.name for path in (cut / RECORDS).iterdir()} == {path.name for path in (wanted / RECORDS).iterdir()}


def test_an_export_of_the_archive_is_whole_and_in_the_form_asked_for(
    archive: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    asked = ["past", "since:2020", "--archive", str(archive)]
    assert main([*asked, "--json"]) == 0
    total = json.loads(capsys.readouterr().out)["total"]
    file = tmp_path / "jobs.csv"
    assert main([*asked, "--as", "csv", "-o", str(file)]) == 0
    assert len(file.read_text().splitlines()) == 1 + total
    assert main([*asked, "--as", "jsonl", "--limit", "2"]) == 0
    shown = capsys.readouterr()
    assert len(shown.out.splitlines()) == 2
    assert f"2 of {total} jobs that fit are in it" in shown.err
