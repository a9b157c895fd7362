"""The outermost edge of the command line: parse, run one command, turn errors into one line and an exit code."""

import os
import sys
from collections.abc import Sequence

from ticket.cli.parser import build_parser
from ticket.job.errors import TicketError

DONE, NO, WRONG = 0, 1, 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command. Exit codes: 0 done; 1 the answer is no; 2 wrong usage or input."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal without the sign gets a mark, not a crash
    options = build_parser().parse_args(arguments)
    try:
        code = options.run(options)
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
