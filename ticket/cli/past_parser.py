"""The commands about past jobs: searches, samples, what a code turned out to be."""

import argparse
from collections.abc import Callable

from ticket.cli.paper_flags import names_flag, number, output_flags

Command = Callable[..., argparse.ArgumentParser]

_SPREADS = (  # as store.past_jobs has them, which is not loaded for the sake of a help text
    "code", "sub-code", "cause", "did", "tech", "vehicle", "year", "month", "status", "outcome", "payer",
)  # fmt: skip


def _count(typed: str) -> int:
    """How many."""
    if not typed.isascii() or not typed.isdecimal() or not 0 < int(typed[:10]) < 2**31:
        raise argparse.ArgumentTypeError(f"{typed[:40]!r} is no count: write 1 or more")
    return int(typed)


def _minutes(typed: str) -> float:
    """Minutes above zero."""
    found = float(typed)
    if not 0 < found < 100_000:
        raise ValueError
    return found


def past_commands(command: Command) -> None:
    """Add the commands."""
    made = command(
        "past", "past_command", "past", "find past jobs by code, words and fields; count them by what they hold",
        "ticket past P0562", "ticket past P0562-16 flickers since:2026-03", "ticket past part:4410-77",
        "ticket past over:yes since:2026 --as csv -o over.csv", "ticket past P0562 -relay comeback:90d",
        "ticket past P0562 --count cause", "ticket past wiper or washer distance:80000..120000 --page 2",
    )  # fmt: skip
    made.add_argument(
        "query", nargs="*", metavar="QUERY", type=str.strip,
        help="codes, words, \"words behind each other\", -without, this or that, and part: plate: vin: vehicle: cause:"
        " did: unit: tech: customer: since: until: signed: distance: status: pays: total: over: comeback: declined:"
        " overruled: amended:",
    )  # fmt: skip
    made.add_argument("--limit", type=_count, metavar="N", help="how many jobs at most; 50 as text, else all that fit")
    made.add_argument(
        "--archive", metavar="FOLDER_OR_URL", help="over the shops of an archive, as ticket gather made it"
    )
    made.add_argument("--page", type=_count, default=1, metavar="N", help="the next so many: 2, 3 and so on")
    made.add_argument("--like", type=number, metavar="N", help="jobs that are told like this ticket, code or not")
    made.add_argument("--best", action="store_true", help="those whose words fit best first")
    made.add_argument("--count", choices=_SPREADS, metavar="WHAT", help=f"count by one of {', '.join(_SPREADS)}")
    made.add_argument(
        "--as", dest="form", default="text", choices=("text", "csv", "json", "jsonl", "parquet"),
        help="csv is safe for spreadsheets; parquet needs the extra named archive",
    )  # fmt: skip
    output_flags(made)
    names_flag(made)
    made = command(
        "sample", "sample_command", "draw", "draw jobs for an audit, look at each; 1 where one holds something",
        "ticket sample since:2026 --n 50 --seed S", "ticket sample over:yes --seed 7 --as pdf -o sample.pdf",
    )  # fmt: skip
    made.add_argument(
        "query", nargs="*", metavar="QUERY", type=str.strip, help="as ticket past takes it; all jobs if none"
    )
    made.add_argument("--n", type=_count, default=50, metavar="COUNT", help="how many jobs to draw")
    made.add_argument(
        "--archive", metavar="FOLDER_OR_URL", help="over the shops of an archive: sums against what was agreed"
    )
    made.add_argument("--seed", default="1", metavar="TEXT", help="the same text draws the same jobs")
    made.add_argument(
        "--as", dest="form", default="text", choices=("text", "csv", "pdf"), help="text, a table or a paper"
    )
    output_flags(made)
    made = command(
        "before", "before_command", "tell", "what this shop's jobs with a code turned out to be, and which came back",
        "ticket before P0562-16", "ticket before SPN 102 FMI 18 --json", "ticket before P0562-16 --next --on 2107",
        "ticket before P0562-16 --pairs", "ticket before P0562 --same 'belt worn out' 'worn belt'",
    )  # fmt: skip
    made.add_argument("code", nargs="+", metavar="CODE", help="one fault code in any written form")
    made.add_argument("--next", action="store_true", help="what to check next, by the chance to find it a minute")
    made.add_argument("--explain", action="store_true", help="the same with its arithmetic")
    made.add_argument("--on", type=number, metavar="N", help="with --next: on this ticket, after what it ruled out")
    made.add_argument(
        "--give-up", type=_minutes, metavar="MINUTES", help="with --next: what sending it out, or asking, would take"
    )
    made.add_argument("--archive", metavar="FOLDER_OR_URL", help="over the shops of an archive")
    made.add_argument(
        "--within", action="append", metavar="SPAN", help="count come-backs within so many days or so far: 60d, 2000mi"
    )
    made.add_argument("--pairs", action="store_true", help="causes that may be one in other words")
    made.add_argument("--same", nargs=2, metavar="CAUSE", help="count the first as the second from now on")
    made.add_argument("--apart", nargs=2, metavar="CAUSE", help="take that back")
    names_flag(made)
    made = command(
        "gather", "archive_commands", "gather", "take signed tickets of several shops into one archive, no customers",
        "ticket gather shop.db --to archive", "ticket gather north.db south.jsonl folder --to archive",
        "ticket gather shop.db --to archive --into postgresql://desk/chain",
    )  # fmt: skip
    made.add_argument("files", nargs="+", metavar="FILE", help="databases, dumps, or folders of them")
    made.add_argument("--to", required=True, metavar="FOLDER", help="of the archive; made where there is none")
    made.add_argument(
        "--key", metavar="FILE", help="of the chain of shops (else beside the archive); keep it elsewhere"
    )
    made.add_argument("--names", action="store_true", help="let the names of technicians stand")
    made.add_argument(
        "--into", metavar="URL", help="put what answers questions there too: postgresql://HOST/DATABASE or spark:FOLDER"
    )
