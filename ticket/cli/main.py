"""The outermost edge of the command line: parse, run one command, turn errors into one line and an exit code."""

import contextlib
import gc
import os
import sys
from collections.abc import Sequence
from itertools import islice
from typing import TextIO

from ticket.job.errors import InputError, TicketError, UsageError

DONE, FAULT, INTERRUPTED = 0, 3, 130

_GARBAGE = (100_000, 50, 100)
"""A command ends soon and makes little that only looking for garbage frees: looking seldom saves a tenth."""
TRACE = "TICKET_TRACE"
"""Set for developers: a fault of the program is raised with its whole trace instead of kept in a report."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    Exit codes: 0 done; 1 the answer is no; 2 wrong usage or input; 3 a fault of the program, told in one line.
    """
    _make_streams()
    gc.set_threshold(*_GARBAGE)
    given = sys.argv[1:] if arguments is None else arguments
    code = DONE
    try:
        code = _answer(given)
        _finish()
    except TicketError as error:
        code = _complain(error, error.exit_code, as_json=_wants_json(given))
    except BrokenPipeError:
        pass  # the reader of our output has what it wanted; an answer that is known stays what it is
    except KeyboardInterrupt:
        code = INTERRUPTED
    except Exception as error:
        if os.environ.get(TRACE):
            raise
        from ticket.cli.crash_report import keep_report

        code = _complain(TicketError(keep_report(error, given)), FAULT, as_json=_wants_json(given))
    for stream in (sys.stdout, sys.stderr):
        _let_go_of_unwritable(stream)
    return code


def _answer(given: Sequence[str]) -> int:
    try:
        return _screens() if not given else _command(given)
    except SystemExit as left:  # the parser has said why, or printed its help
        return left.code if isinstance(left.code, int) else DONE


def _finish() -> None:
    """Send out what still waits: a full disk behind the output shows only now."""
    try:
        sys.stdout.flush()
    except OSError as error:
        from ticket.cli.output import unwritable

        raise unwritable(error) from error


def _command(given: Sequence[str]) -> int:
    from ticket.cli.parser import build_parser

    if given[0] == "help":  # what is typed before the README is read
        given = [*given[1:2], "--help"]
    options = build_parser().parse_args(_searched(_common_first(given)))
    for name, value in vars(options).items():
        _check_text(name, value)
    if not sys.stderr.isatty() or getattr(options, "undrawn", False):
        return int(options.run(options) or DONE)
    from ticket.cli.progress_line import progress_line

    with progress_line():
        return int(options.run(options) or DONE)


def _common_first(given: Sequence[str]) -> list[str]:
    """The arguments with what every command takes in front: argparse reads no list of words around a flag."""
    end = given.index("--") if "--" in given else len(given)
    first, rest = [], []
    words = iter(given[:end])
    for word in words:
        name, sign, _ = word.partition("=")
        if word == "--json" or (name in ("--db", "--by") and sign):
            first.append(word)
        elif word in ("--db", "--by"):
            first += [word, *islice(words, 1)]
        else:
            rest.append(word)
    return [*first, *rest, *given[end:]]


_SEARCHES = ("past", "sample")
_SHORT = ("-o", "-h")
_VALUED = ("-o", "--output", "--limit", "--page", "--like", "--count", "--as", "--archive", "--n", "--seed", "--pin-fd")


def _searched(words: list[str]) -> list[str]:
    """The words of a search behind its flags, wherever they were typed; ``-relay`` is a word to leave out, no flag.

    A blank in front of such a word keeps argparse from taking it for one; the command takes it off again.
    """
    at = 0
    while at < len(words) and words[at].startswith("-"):
        at += 2 if words[at] in ("--db", "--by", "--pin-fd") else 1
    if at >= len(words) or words[at] not in _SEARCHES:
        return words
    end = words.index("--") if "--" in words else len(words)
    flags, said = [], []
    rest = iter(words[at + 1 : end])
    for word in rest:
        if word.startswith("--") or word in _SHORT:
            flags += [word, *islice(rest, int(word in _VALUED))]
        else:
            said.append(f" {word}" if word.startswith("-") and word != "-" else word)
    return [*words[: at + 1], *flags, *said, *words[end:]]


_PATHS = ("db", "output", "files", "file", "table", "keep")  # may hold any bytes, as names of files do


def _check_text(name: str, value: object) -> None:
    """Bytes that are no text come from the shell as lone surrogates; they would be kept as something else."""
    for text in value if isinstance(value, list) else [value]:
        if isinstance(text, str) and name not in _PATHS and any("\ud800" <= char <= "\udfff" for char in text):
            from ticket.job.text import clean

            raise InputError(f"{clean(text)[:60]!r} holds bytes that are no UTF-8 text: type it again in UTF-8.")


def _screens() -> int:
    """Without a word the screens open; no parser is built for that, so that they paint at once."""
    from ticket.cli.screens_command import run_screens
    from ticket.machine.environment import database_path, person_name

    return run_screens(database_path(), person_name())


# -- streams and faults ------------------------------------------------------------------------------------------


def _make_streams() -> None:
    """Standard streams that are there: a closed one becomes an empty one.

    Otherwise the next file that is opened, such as the database, would get its number and with it whatever is
    written to that stream.
    """
    for number, name, mode in ((0, "stdin", "r"), (1, "stdout", "w"), (2, "stderr", "w")):
        if getattr(sys, name) is None:
            with contextlib.suppress(OSError):
                os.fstat(number)
                continue  # somebody else's file by now: hands off
            handle = os.open(os.devnull, os.O_RDWR)  # the lowest free number, which is this one
            setattr(sys, name, os.fdopen(handle, mode, encoding="utf-8", closefd=False))
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal without the sign gets a mark, not a crash


def _let_go_of_unwritable(stream: TextIO) -> None:
    """Send what a stream refuses nowhere: Python would complain once more when it closes it, with a code of its own."""
    try:
        stream.flush()
    except (OSError, ValueError):
        with contextlib.suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def _wants_json(given: Sequence[str]) -> bool:
    return "--json" in given[: given.index("--") if "--" in given else len(given)]


def _complain(error: TicketError, code: int, *, as_json: bool) -> int:
    """One sentence on standard error; with ``--json`` an object by ``schemas/outputs/error.json``."""
    from ticket.job.text import sentence

    text = str(error) if isinstance(error, UsageError) else f"ticket: {sentence(str(error))}"
    if as_json:
        import json

        from ticket.job.text import escaped

        text = escaped(json.dumps({"error": text.removeprefix("ticket: "), "exit": code}, ensure_ascii=False))
    with contextlib.suppress(OSError):
        print(text, file=sys.stderr, flush=True)  # noqa: T201 - this is the edge
    return code
