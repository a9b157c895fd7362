"""Every command against hostile numbers, dates, paths, bytes and streams: one sentence and an exit code, never a trace.

The commands run in this process where that shows the same; ``TICKET_TRACE`` then raises whatever the edge would have
hidden in a report. Streams that are closed or full are shown by real processes.
"""

import argparse
import contextlib
import io
import json
import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from support.clock import Clock
from ticket.cli.main import main
from ticket.cli.parser import build_parser
from ticket.shop.changing import add_lines, new_ticket
from ticket.shop.opening import Shop
from ticket.store import driver

NUMBERS = ("0", "-1", "9" * 19, "9" * 5000, "1e400", "NaN", "²", "٣", "", "a\0b")
DATES = ("0001-01-01", "9999-12-31", "2026-02-30", "9" * 40, "20260302", "-1")
TEXTS = (
    "", "\n", "a\0b", "\x1b[2J", "9" * 5000, "(" * 3000, "found: x " + "9" * 5000 + " mm (min 3)",
    "later: x; by 0001-01-01", "told: Ivo by phone, yes; at 9999-12-31 10:00", "did: 9999999999 h x",
    "code: " + "F" * 900, "-", "--", "a\udcffb",
)  # fmt: skip

# Each command with its arguments. N number, D date, T text, P path to read, W path to write; others are themselves.
COMMANDS = {
    "demo": (["--no-screen"], ["--no-screen", "--keep", "W"]),
    "new": (["--odometer", "T"], ["--customer", "T", "--vehicle", "T"]),
    "set": (["N", "--odometer-out", "T"], ["1", "--status", "T"]),
    "add": (["N", "found: x"], ["1", "T"], ["1", "says: x", "--concern", "T"]),
    "edit": (["N", "1", "says: x"], ["1", "N", "says: x"], ["1", "1", "T"]),
    "strike": (["N", "1"], ["1", "N"]),
    "talk": (["N"],),
    "list": ([], ["--all", "--json"]),
    "show": (["N"], ["1", "--json"], ["1", "--names"], ["N", "--by", "T", "--names"]),
    "story": (["N"], ["1", "--entry", "N"], ["1", "--width", "N"], ["1", "--language", "T"]),
    "paper": (["N"], ["1", "--as", "html"], ["1", "--width", "N"], ["1", "--language", "T"]),
    "picture": (["N", "1"], ["1", "N"], ["1", "1", "-o", "W"]),
    "reword": (["N", "--list"], ["1", "T", "T"], ["1", "T", "--undo"]),
    "phrases": (["N"], ["take", "1/2", "T", "--clause"], ["take", "T", "x"], ["take", "N"], ["word", "T", "thing"],
         ["word", "x", "T"], ["find", "T"], ["back", "N"], ["import", "P"], ["export", "W"], ["--language", "T"]),
    "gaps": (["N"],),
    "past": (["T"], ["x", "--limit", "N"], ["since:D"], ["until:D"], ["x", "--page", "N"], ["--like", "N"],
         ["x", "--archive", "T"], ["x", "--archive", "P"]),
    "before": (["T"], ["P0562", "--within", "T"], ["P0562", "--same", "T", "T"], ["P0562", "--apart", "T", "x"],
         ["P0562", "--next", "--on", "N"], ["P0562", "--next", "--give-up", "N"], ["P0562", "--archive", "P"]),
    "due": (["--until", "D"], ["--within", "T"], ["--as", "ics"], ["--as", "csv"], ["1/3", "--remind", "letter"],
         ["1/3", "--explain"], ["1/3", "--date", "D"], ["T", "--call"], ["1/3", "--call", "--note", "T"]),
    "forecast": (["--after", "T", "--from", "D"], ["--reading", "T", "--after", "5"],
         ["--reading", "2026-01-05=T", "--after", "5"], ["--reading", "D=5", "--after", "5"]),
    "code": (["T"], ["--import", "P"], ["-"]),
    "check": (["T"], ["4.0 mm (min 3.0)", "--gauge", "N"]),
    "read": (["T"], ["T", "--json"], ["-"]),
    "vin": (["T"],),
    "sign": (["N"], ["1", "--pin-fd", "N"], ["1", "--by", "T"], ["1", "--rev", "N"], ["1", "--overrule", "T"]),
    "amend": (["N", "--reason", "T", "note: x"], ["1", "--replaces", "N", "--reason", "x", "note: y"]),
    "audit": ([], ["--deep"], ["--against", "T"], ["--against", "P"]),
    "index": (["--check"], ["--rebuild"]),
    "head": ([], ["--keys"], ["-o", "W"], ["--as", "T"], ["--as", "html", "-o", "W"]),
    "cheat": (["--width", "N"], ["--as", "T"], ["--paper", "T"], ["-o", "W"], ["--as", "html"]),
    "completion": (["bash"], ["T"]),
    "gather": (["P", "--to", "archive"], ["shop.db", "--to", "W"], ["shop.db", "--to", "archive", "--key", "P"]),
    "health": ([], ["--db", "P"], ["--json"]),
    "invoice": (["N", "--draft"], ["1", "--draft", "--language", "T"], ["1", "--draft", "--width", "N"],
         ["1", "--draft", "-o", "W"], ["N"]),
    "man": ([], ["--by", "T"]),
    "message": (["N"], ["1", "--language", "T"], ["1", "--about", "T"]),
    "promised": (["D"], ["T"], ["--language", "T"], ["--width", "N"], ["-o", "W"]),
    "receipt": (["N"], ["1", "N"], ["1", "--language", "T"]),
    "sample": (["T"], ["x", "--n", "N"], ["x", "--seed", "T"], ["x", "-o", "W"], ["since:D"],
         ["x", "--archive", "T"], ["x", "--archive", "P"]),
    "totals": (["D"], ["T"], ["--language", "T"], ["-o", "W"]),
    # With good arguments it would go on for ever, in a shop with a PIN.
    "serve": (["--of-no-such-name"], ["--port", "x"]),
    "load": (["P"],),
    "dump": (["--customer", "T"], ["N"], ["--as", "lines"], ["--since", "D"], ["--since", "T", "--as", "jsonl"], []),
    "backup": (["W"], ["P", "--keep", "N"]),
    "forget": (["N"], ["--customer", "T"], ["--plate", "T"], ["1", "--yes", "--why", "T"], ["1", "--also", "N"]),
    "rescue": (["P", "W"], ["shop.db", "W"]),
    "restore": (["P"], ["P", "--aside"], ["shop.db", "--to", "W"]),
    "bill": (["N"],),
    "estimate": (["N"],),
    "allowed": (["N"], ["400", "--rules", "T"]),
    "hours": (["--since", "D"], ["--until", "D"], ["--attended", "N"]),
    "shop": (["prices", "P"], ["pack", "P"], ["limits", "P"],
         ["comeback_days", "N"], ["zone", "T"], ["T", "T"], ["glossary", "T"], ["trust", "T", "T"],
         ["pin", "T", "--pin-fd", "87"], ["pin", "--pin-fd", "N"], ["pin", "T", "--remove"], ["lock_minutes", "N"],
         ["person", "T", "auditor"], []),
}  # fmt: skip


@pytest.fixture(autouse=True)
def never_for_ever() -> Iterator[None]:
    """What hangs is stopped, so that it fails here instead of holding the whole suite."""

    def stop(_number: int, _frame: object) -> None:
        raise RuntimeError("the command hangs")

    before = signal.signal(signal.SIGALRM, stop)
    signal.alarm(60)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


LINES = """says: fan roars
found: LF pad 4.1 mm (min 3.0)
later: pads; in 500 mi or 3 weeks; est 0
offer: fan; est 12.00
told: Ivo Tammel by phone, yes; total 12.00
did: 1 h fan; on 8:00-9:00"""


@pytest.fixture(scope="module")
def shop_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop with one ticket that has a little of everything."""
    path = tmp_path_factory.mktemp("shop") / "shop.db"
    with Shop.open(path, "K. Orlo", now=Clock()) as shop:
        number = new_ticket(shop)
        add_lines(shop, number, LINES)
    return path


@pytest.fixture
def here(shop_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a copy of that shop, and with everything that is no plain file."""
    shutil.copy(shop_file, tmp_path / "shop.db")
    monkeypatch.setenv("TICKET_DB", str(tmp_path / "shop.db"))
    monkeypatch.setenv("TICKET_PERSON", "K. Orlo")
    monkeypatch.setenv("TICKET_NOW", "2026-03-02T14:10:00+00:00")
    monkeypatch.chdir(tmp_path)
    os.mkfifo("pipe")
    Path("folder").mkdir()
    Path("latin").write_bytes("says: 40 °C at the gauge".encode("latin-1"))
    Path("users").write_text("root:x:0:0:root:/root:/bin/sh\nbin:x:1:1::/bin:/sbin/nologin\n")
    Path("deep").write_text("[" * 100_000)
    Path("long").write_text('{"format": "ticket-1", "number": ' + "9" * 5000 + "}")
    Path("nan").write_text('{"format": "ticket-1", "number": NaN}')
    Path("nul").write_bytes(b"says: a\0b")
    return tmp_path


PATHS = (
    "missing/x", "folder", "pipe", "/dev/zero", "/dev/full", "latin", "users", "deep", "long", "nan", "nul", "x" * 300,
    "~nobody-of-that-name/x", "b\udcffd", "a\0b", "", "-",
)  # fmt: skip
SLOTS = {"N": NUMBERS, "D": DATES, "T": TEXTS, "P": PATHS, "W": PATHS[:5] + PATHS[-6:]}


def tries(command: str) -> Iterator[list[str]]:
    """The command with one hostile value in each of its places, the other places filled with the first."""
    for form in COMMANDS[command]:
        slots = [slot for slot in SLOTS if any(word in (slot, f"since:{slot}", f"until:{slot}") for word in form)]
        for slot in slots:
            for value in SLOTS[slot]:
                yield [command, *(word.removesuffix(slot) + value if word.endswith(slot) else word for word in form)]
        if not slots:
            yield [command, *form]


def run(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, str, str]:
    code = main(arguments)
    shown = capsys.readouterr()
    return code, shown.out, shown.err


def test_every_command_is_tried() -> None:
    (action,) = (one for one in build_parser()._actions if isinstance(one, argparse._SubParsersAction))
    assert set(COMMANDS) == set(action.choices)


@pytest.mark.slow
@pytest.mark.parametrize("command", COMMANDS)
def test_hostile_arguments_end_in_one_sentence_and_an_honest_code(
    here: Path, command: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    for arguments in tries(command):
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"found: \xff\n")))
        code, _, told = run(arguments, capsys)
        assert code in (0, 1, 2), arguments
        if code == 2:
            lines = told.strip().split("\n")
            as_json = "--json" in arguments and json.loads(lines[-1])["exit"] == 2
            assert as_json or lines[-1].startswith("ticket"), (arguments, told)
            assert len(lines[-1]) < 700, arguments
    assert run(["list"], capsys)[0] == 0
    assert run(["audit", "--deep"], capsys)[0] == 0
    assert not _beside_devices(), "nothing is made beside a device that was named"


def _beside_devices() -> list[Path]:
    return [path for path in Path("/dev").iterdir() if path.name.startswith(("zero.", "full."))]


@pytest.mark.parametrize(
    "path", ["folder", "pipe", "/dev/zero", "/dev/full", "users", "x" * 300, "a\0b", "~nobody-of-that-name/x"]
)
def test_a_database_that_is_none_is_named_by_every_command_that_opens_one(
    here: Path, path: str, capsys: pytest.CaptureFixture[str]
) -> None:
    for command in (
        ["list"], ["show", "1"], ["audit"], ["new"], ["dump"], ["invoice", "1"], ["receipt", "1"], ["message", "1"],
        ["promised"], ["totals"], ["sample", "x"],
    ):  # fmt: skip
        code, out, told = run([*command, "--db", path], capsys)
        assert (code, out) == (2, ""), (command, told)
        assert told.count("\n") == 1
    assert not _beside_devices()


# -- text that is none --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "arguments",
    [["load", "latin"], ["shop", "prices", "latin"], ["shop", "pack", "latin"], ["code", "--import", "latin"],
     ["add", "1", "-"], ["add", "1", "found: \udcff"], ["new", "--customer", "\udcff"]],
    ids=" ".join,
)  # fmt: skip
def test_bytes_that_are_no_text_are_refused_not_kept_as_something_else(
    here: Path, arguments: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"says: x\nfound: 40 \xb0C\n")))
    before = run(["dump"], capsys)[1]
    code, out, told = run(arguments, capsys)
    assert (code, out) == (2, "")
    assert "no UTF-8 text" in told
    if "-" in arguments:
        assert "standard input: line 2 holds the byte 0xB0" in told
    assert run(["dump"], capsys)[1] == before


def test_any_other_text_file_makes_no_ticket(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Path("prose").write_text("The shop opens at eight.\nNote: bring the key.\n" + "It rains.\n" * 20)
    for name in ("users", "prose", __file__):
        code, _, told = run(["load", name], capsys)
        assert code == 2
        assert "this is no ticket file; nothing was loaded" in told
    Path("typed").write_text("plate: FEN-204\nsays: horn is silent\nfuse blown\nnew fuse, horn sounds\n")
    assert run(["load", "typed"], capsys)[0] == 0


# -- documents ----------------------------------------------------------------------------------------------------

_AT = "2026-03-01T09:00:00.000Z"


def document(path: str, value: object) -> dict[str, object]:
    """A ticket document with one value put into its place."""
    facts = {
        "found": {"what": "pad", "run": {"values": [{"number": "4"}], "unit": "mm", "limits": {"low": "3"}}},
        "offer": {"text": "fan", "estimate": "12", "hours": "1"},
        "told": {"who": "Ivo Tammel", "answers": [{"answer": "yes", "to": [{"no": 2}]}], "total": "12", "at": "10:00"},
        "did": {"text": "replaced fan", "hours": "1", "refs": [{"no": 2}]},
        "used": {"text": "fan", "amount": "2", "unit": "x", "price": "3"},
        "later": {"text": "pads", "due": {"distance": {"number": "5", "unit": "mi"}}, "date": "2026-05-01"},
        "proof": {"what": "pad", "of": {"no": 1}, "run": {"values": [{"number": "4"}], "unit": "mm"}},
    }
    made: dict[str, object] = {
        "format": "ticket-1", "number": 7, "opened": _AT,
        "header": {"odometer_in": {"number": "5", "unit": "mi"}, "vehicle": {"plate": "FEN-204"}},
        "entries": [
            {"no": no, "kind": kind, "person": "K. Orlo", "at": _AT, "fact": fact}
            for no, (kind, fact) in enumerate(facts.items(), 1)
        ],
    }  # fmt: skip
    *steps, last = path.split("/")
    spot: object = made
    for step in steps:
        spot = spot[int(step)] if isinstance(spot, list) else spot[step]  # type: ignore[index]
    spot[int(last) if isinstance(spot, list) else last] = value  # type: ignore[index]
    return made


REFUSED = [
    *((path, day) for path in ("opened", "entries/0/at") for day in ("0001-01-01T00:00:00Z", "9999-12-31T23:59:59Z")),
    ("opened", "0001-01-01T00:00:00+14:00"), ("entries/5/fact/date", "0001-01-01"),
    ("entries/5/fact/date", "2026-02-30"), ("entries/2/fact/at", "9999-12-31 10:00"),
    ("header/odometer_in/unit", "parsec"), ("header/odometer_in/unit", "psi"),
]  # fmt: skip
LONG = [
    "header/odometer_in/number", "entries/0/fact/run/values/0/number", "entries/0/fact/run/limits/low",
    "entries/1/fact/estimate", "entries/1/fact/hours", "entries/2/fact/total", "entries/3/fact/hours",
    "entries/4/fact/amount", "entries/4/fact/price", "entries/5/fact/due/distance/number",
    "entries/6/fact/run/values/0/number",
]  # fmt: skip


@pytest.mark.parametrize(("path", "value"), REFUSED, ids=str)
def test_a_document_that_would_shut_the_shop_is_refused_where_it_enters(
    here: Path, path: str, value: str, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("one.json").write_text(json.dumps(document(path, value)))
    code, out, told = run(["load", "one.json"], capsys)
    assert (code, out) == (2, "")
    assert path.removeprefix("entries/") in told
    assert "nothing was loaded" in told
    assert run(["list"], capsys)[1].count("\n") == 1


@pytest.mark.slow
@pytest.mark.parametrize("place", LONG)
def test_a_number_of_thousands_of_digits_is_kept_as_a_text_that_says_nothing(
    here: Path, place: str, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("one.json").write_text(json.dumps(document(place, "9" * 5000)))
    assert run(["load", "one.json"], capsys)[0] == 0
    for words in ("show 7", "story 7", "story 7 --language es", "paper 7", "paper 7 --for shop", "gaps 7", "bill 7",
                  "estimate 7", "due", "hours", "list", "past fan", "dump 7"):  # fmt: skip
        assert run(words.split(), capsys)[0] in (0, 1), words


# -- streams ------------------------------------------------------------------------------------------------------


@pytest.mark.slow
@pytest.mark.parametrize("waiting", [True, False], ids=["full at the end", "full at once"])
def test_output_that_cannot_be_written_is_told_by_every_command(
    here: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, waiting: bool
) -> None:
    for command, forms in COMMANDS.items():
        good = {"N": "1", "D": "2026-03-02", "T": "says: x", "P": "folder", "W": "copy.db", "1/3": "1/3"}
        arguments = [command, *(good.get(word, word.replace(":D", ":2026")) for word in forms[0])]
        with monkeypatch.context() as only:
            only.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"says: x\n")))
            only.setattr(sys, "stdout", open("/dev/full", "w", buffering=-1 if waiting else 1))  # noqa: SIM115, PTH123
            code = main(arguments)
            sys.stdout.close()
        told = capsys.readouterr().err
        assert code == 2, arguments
        assert "Traceback" not in told
        # usage that is wrong is told under the command's own name
        assert re.match(r"ticket(?: [a-z]+)?: ", told.strip().split("\n")[-1]), arguments
    with monkeypatch.context() as only:
        only.setattr(sys, "stdout", open("/dev/full", "w"))  # noqa: SIM115, PTH123
        assert main(["--help"]) == 2
        sys.stdout.close()


@pytest.mark.slow
@pytest.mark.parametrize("closed", [(0,), (1,), (2,), (0, 1, 2)], ids=str)
def test_every_command_with_closed_streams_leaves_with_an_honest_code(here: Path, closed: tuple[int, ...]) -> None:
    """A closed stream is a stream that holds nothing, or takes all: no command ends in a fault for it."""
    good = {"N": "1", "D": "2026-03-02", "T": "says: x", "P": "folder", "W": "copy.db"}
    for command, forms in COMMANDS.items():
        arguments = [command, *(good.get(word, word.replace(":D", ":2026")) for word in forms[0])]
        child = os.fork()
        if child == 0:
            code = 70
            try:
                null = os.open(os.devnull, os.O_RDWR)
                for number, name in enumerate(("stdin", "stdout", "stderr")):
                    os.dup2(null, number)
                    setattr(sys, name, os.fdopen(number, "r" if number == 0 else "w", closefd=False))
                os.close(null)
                for number in closed:
                    setattr(sys, ("stdin", "stdout", "stderr")[number], None)
                    os.close(number)
                code = main(arguments)
            finally:
                os._exit(code)
        assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) in (0, 1, 2), arguments


@pytest.mark.slow
@pytest.mark.parametrize(
    ("shell", "code"),
    [
        ("list >/dev/full", 2), ("list >&-", 0), ("add 1 - <&-", 2), ("show 99 2>&-", 2), ("--nope 2>/dev/full", 2),
        ("new <&- >&- 2>&-", 0), ("dump --json | head -c 9 >/dev/null; exit ${PIPESTATUS[0]}", 0),
    ],
    ids=str,
)  # fmt: skip
def test_closed_and_full_streams_of_a_real_process(here: Path, shell: str, code: int) -> None:
    command = f"{sys.executable} -m ticket {shell}"
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == code, done.stderr
    assert "Traceback" not in done.stderr
    assert "Exception ignored" not in done.stderr
    assert main(["audit", "--deep"]) == 0, "nothing that was said went into the database"


@pytest.mark.parametrize("form", [[], ["--json"]])
def test_a_reader_that_stops_early_does_not_turn_no_into_yes(here: Path, form: list[str]) -> None:
    """The audit of a changed shop says no, however few of its lines were read."""
    with contextlib.closing(driver.sqlite3.connect(str(here / "shop.db"), isolation_level=None)) as connection:
        connection.execute("INSERT INTO shop VALUES('odd', 'x')")
    reading, writing = os.pipe()
    os.close(reading)
    child = os.fork()
    if child == 0:
        code = 70
        try:
            sys.stdout = os.fdopen(writing, "w", buffering=1)
            code = main(["audit", *form])
        finally:
            os._exit(code)
    os.close(writing)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 1


# -- faults of the program ----------------------------------------------------------------------------------------


def test_a_fault_of_the_program_is_one_line_and_a_report_without_what_was_typed(
    here: Path, fixed_world: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    secret = "Ada Fenn, 555-0134"

    def broken(*_: object, **__: object) -> None:
        raise RuntimeError(secret)

    monkeypatch.delenv("TICKET_TRACE")
    monkeypatch.setattr("ticket.cli.auditing.audit_shop", broken)
    code, out, told = run(["--by", "Ada", "audit"], capsys)
    assert (code, out) == (3, "")
    assert told.count("\n") == 1
    (report,) = (fixed_world / "job-ticket").glob("fault-*.txt")
    assert str(report) in told
    kept = report.read_text()
    assert "command: audit" in kept
    assert "RuntimeError" in kept
    assert "broken" in kept
    assert not {"Ada", "Fenn", "555-0134"} & set(kept.replace(",", " ").split())
    (fixed_world / "job-ticket").rename(fixed_world / "kept")
    (fixed_world / "job-ticket").write_text("no folder")
    code, _, told = run(["audit"], capsys)
    assert code == 3
    assert "could not be kept" in told
    assert told.count("\n") == 1
