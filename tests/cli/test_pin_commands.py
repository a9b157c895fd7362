"""PINs on the command line: never an argument, never shown, from a terminal or a descriptor."""

import argparse
import json
import os
import pty
import re
import resource
import select
import signal
import sys
from pathlib import Path

import pytest

from support.installed import Command
from support.pins import PIN, descriptor, make_cheap
from ticket.cli import ask_pin
from ticket.cli.main import main
from ticket.cli.parser import build_parser
from ticket.job.errors import UsageError


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Command:
    """The command, in processes without a terminal of their own."""
    make_cheap(monkeypatch)
    monkeypatch.setattr(ask_pin, "has_terminal", lambda: False)
    return Command(tmp_path, dict(os.environ) | {"TICKET_DB": str(tmp_path / "s" / "shop.db"), "TICKET_PERSON": "Aud"})


@pytest.fixture
def shop(run: Command) -> Command:
    """A shop with a ticket whose owner has a PIN."""
    assert run("shop", "--start", "Wrenfold", "THEN", "new").returncode == 0
    done = run("shop", "pin", "--json", "--pin-fd", str(descriptor(PIN)))
    assert json.loads(done.stdout)["person"] == "Aud"
    assert re.fullmatch(r"(?:[A-Z2-9]{5}-){5}[A-Z2-9]{5}", json.loads(done.stdout)["recovery_code"])
    return run


def test_without_a_terminal_or_a_descriptor_one_sentence_says_what_to_do(shop: Command) -> None:
    done = shop("shop", "currency", "EUR")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        "ticket: Changing prices, rules and what papers show needs Aud's PIN: run it in a terminal, or use --pin-fd.\n"
    )


def test_a_descriptor_brings_one_line_a_pin_and_no_more_is_read(shop: Command) -> None:
    lines = descriptor(PIN, "the next line")
    assert shop("shop", "currency", "EUR", "--pin-fd", str(lines)).returncode == 0
    assert os.read(lines, 100) == b"the next line\n"


@pytest.mark.parametrize(
    ("lines", "why"),
    [
        (("000001",), "That is not the PIN of Aud. 2 more before a wait."),
        ((), "holds no further line: PIN of Aud is asked."),
        (("",), "That is not the PIN of Aud."),
        (("\udcff" * 9,), "That is not the PIN of Aud."),
        (("1" * 5000,), "That is not the PIN of Aud."),
    ],
)
def test_a_wrong_line_changes_nothing(shop: Command, lines: tuple[str, ...], why: str) -> None:
    lines = tuple(line.encode("utf-8", "replace").decode() for line in lines)
    done = shop("shop", "currency", "EUR", "--pin-fd", str(descriptor(*lines)))
    assert done.returncode == 2
    assert why in done.stderr
    assert json.loads(shop("shop", "currency", "--json").stdout)["settings"]["currency"] == "$"


def test_a_descriptor_that_is_not_open_is_told(shop: Command) -> None:
    never = resource.getrlimit(resource.RLIMIT_NOFILE)[0]  # numbers stay below it; a lower one may be the test's own
    done = shop("shop", "currency", "EUR", "--pin-fd", str(never))
    assert (done.returncode, f"File descriptor {never} cannot be read" in done.stderr) == (2, True)


def test_standard_input_is_not_taken_for_pins_where_it_brings_the_lines(shop: Command) -> None:
    shop("add", "1", "says: horn is silent")
    done = shop("amend", "1", "--reason", "r", "-", "--pin-fd", "0", typed=f"{PIN}\nfound: horn good\n")
    assert done.returncode == 2
    assert "Standard input brings the lines here" in done.stderr


def test_no_argument_and_no_variable_takes_a_pin() -> None:
    """The command line of a process is read by other logins, and so is its environment on some machines."""
    for command in ("sign", "amend", "shop", "forget", "restore"):
        told = subparser(command).format_help()
        assert set(re.findall(r"--\S*pin\S*", told)) == {"--pin-fd"}, command
        with pytest.raises(UsageError):
            build_parser().parse_args([command, "1", "--pin-fd", "4829a5"])  # the number of a descriptor, nothing else
    source = Path(ask_pin.__file__).read_text(encoding="utf-8")
    assert not re.search(r"os\.environ|getenv", source)


def subparser(command: str) -> argparse.ArgumentParser:
    """The parser of one command."""
    holder = next(one for one in build_parser()._actions if isinstance(one, argparse._SubParsersAction))
    return holder.choices[command]  # type: ignore[no-any-return]


def test_a_reset_is_told_at_every_start(shop: Command) -> None:
    done = shop("shop", "pin", "--reset", "THEN", "gaps", "1")
    assert "All PINs of this shop are taken away" in done.stdout
    assert "All PINs of this shop were taken away on" in done.stderr


def test_show_says_whose_name_nobody_checked(shop: Command) -> None:
    shop("add", "1", "says: horn is silent\nfound: horn fuse good")
    gaps = json.loads(shop("gaps", "1", "--json").stdout)
    known = {gap["id"] for gap in (gaps["gaps"] if isinstance(gaps, dict) else gaps) if gap["level"] == "blocking"}
    overruled = [word for gap in sorted(known) for word in ("--overrule", f"{gap}=walked in")]
    done = shop("sign", "1", *overruled, "--pin-fd", str(descriptor(PIN)))
    assert done.returncode == 0, done.stderr
    assert re.search(r"Signed by Aud, 20\d\d-\d\d-\d\d \d\d:\d\d, record \d+-[0-9a-f]{16}", shop("show", "1").stdout)
    assert "(name not checked)" not in shop("show", "1").stdout


# -- at a terminal -------------------------------------------------------------------------------------------------


def at_terminal(run: Command, arguments: list[str], typed: dict[str, str]) -> tuple[int, str]:
    """Run a command at a terminal of its own; each question is answered once. Its exit code, and all that was shown."""
    child, terminal = pty.fork()
    if child == 0:
        try:
            os.environ.update(run.environ)
            signal.signal(signal.SIGINT, signal.default_int_handler)  # a suite in the background has it ignored
            sys.stdin, sys.stdout, sys.stderr = os.fdopen(0), os.fdopen(1, "w"), os.fdopen(2, "w")
            code = main(arguments)
        finally:
            os._exit(code)
    shown, left, last = "", dict(typed), ""
    while select.select([terminal], [], [], 15)[0] or last:
        if not select.select([terminal], [], [], 0)[0]:
            os.write(terminal, last.encode())  # as a person does: one that comes while Python tidies up is lost
            last = ""
            continue
        try:
            some = os.read(terminal, 4096)
        except OSError:
            break
        if not some:
            break
        shown += some.decode()
        for question in [one for one in left if shown.rstrip(" ").endswith(one)]:
            last = left.pop(question)
            os.write(terminal, last.encode())
    else:
        os.kill(child, signal.SIGKILL)  # fails the test by its exit code, not the whole suite by its silence
    _, status = os.waitpid(child, 0)
    os.close(terminal)
    return os.waitstatus_to_exitcode(status), shown


def test_at_a_terminal_it_is_asked_and_not_shown(shop: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ask_pin, "has_terminal", lambda: True)
    code, shown = at_terminal(shop, ["shop", "currency", "EUR"], {"PIN of Aud:": f"{PIN}\n"})
    assert code == 0, shown
    assert PIN not in shown
    code, shown = at_terminal(
        shop, ["shop", "pin"],
        {"PIN of Aud:": f"{PIN}\n", "New PIN of Aud:": "88990011\n", "The same again:": "88990012\n"},
    )  # fmt: skip
    assert code == 2
    assert "They are not the same; nothing was changed." in shown
    assert not {PIN, "88990011"} & set(shown.split())


def test_ctrl_c_and_the_end_of_the_line_leave_all_as_it_was(shop: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ask_pin, "has_terminal", lambda: True)
    code, _ = at_terminal(shop, ["shop", "currency", "EUR"], {"PIN of Aud:": "\x03"})
    assert code == 130
    code, shown = at_terminal(shop, ["shop", "currency", "EUR"], {"PIN of Aud:": "\x04"})
    assert (code, "Nothing was typed" in shown) == (2, True)
    assert json.loads(shop("shop", "currency", "--json").stdout)["settings"]["currency"] == "$"
