"""The outermost edge of the command line: parse, run one command, turn errors into one line and an exit code."""

import os
import sys
from collections.abc import Sequence

from ticket.job.errors import TicketError

DONE, NO, WRONG = 0, 1, 2


def _command(arguments: Sequence[str]) -> int:
    from ticket.cli.parser import build_parser

    options = build_parser().parse_args(arguments)
    return int(options.run(options) or DONE)


def _screens() -> int:
    """Without a word the screens open; no parser is built for that, so that they paint at once."""
    from ticket.cli.screens import run_screens
    from ticket.shop.place import database_path, person_name

    return run_screens(database_path(), person_name())


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command. Exit codes: 0 done; 1 the answer is no; 2 wrong usage or input."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal without the sign gets a mark, not a crash
    given = sys.argv[1:] if arguments is None else arguments
    try:
        code = _screens() if not given else _command(given)
        sys.stdout.flush()
    except TicketError as error:
        from ticket.job.text import one_line

        print(f"ticket: {one_line(str(error))}", file=sys.stderr)  # noqa: T201 - this is the edge
        return error.exit_code
    except BrokenPipeError:
        # The reader of our output has gone; Python would complain once more when it closes stdout.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except KeyboardInterrupt:
        return 130
    return int(code or DONE)
